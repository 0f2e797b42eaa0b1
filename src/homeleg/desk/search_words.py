"""What is said to those who look for an aircraft: the sighting, what is kept, what it rests on."""

import math
from dataclasses import dataclass
from datetime import datetime

from homeleg.briefing.search_sheet import Spot, spot_line
from homeleg.formats.plane import Plane
from homeleg.foundation.heights import Datum
from homeleg.foundation.stated_text import StatedPlace
from homeleg.release.release import Release
from homeleg.verdict.wording import clock
from homeleg.way_home.last_seen import End, Ends, LastSeen
from homeleg.way_home.search_squares import Area, Look

__all__ = ["Known", "area_words", "kept_words", "notes", "seen_words", "spot"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A sighting as read: the place, seconds after launch, and the times."""

    place: StatedPlace
    at: datetime
    launched: datetime
    after_s: float


def spot(number: int, look: Look, plane: Plane) -> Spot:
    """Return a place to look, as it is found on a map and from the launch point."""
    latitude_rad, longitude_rad = plane.to_geographic(look.east_m, look.north_m)
    return Spot(
        number=number,
        share=look.share,
        bearing_deg=_bearing_deg(look.east_m, look.north_m),
        distance_m=math.hypot(look.east_m, look.north_m),
        latitude_deg=math.degrees(latitude_rad),
        longitude_deg=math.degrees(longitude_rad),
    )


def _bearing_deg(east_m: float, north_m: float) -> int:
    return round(math.degrees(math.atan2(east_m, north_m))) % 360


def seen_words(typed: Known, seen: LastSeen, plane: Plane) -> str:
    """Return when and where it was seen last."""
    place = spot(0, Look(east_m=seen.east_m, north_m=seen.north_m, share=0.0), plane)
    _, bearing, distance, degrees = spot_line(place)
    height = f"{seen.height_m:.0f} m above launch"
    if typed.place.height is None:
        height = f"height not told, as planned then: {height}"
    elif typed.place.height.above is not Datum.ABOVE_LAUNCH:
        told = typed.place.height
        height = f"{told.value_m:.0f} m {told.above.value}, {height}"
    return (
        f"Last seen {typed.at:%H:%M:%S}Z, {clock(typed.after_s)} after launch, at {degrees}; "
        f"{distance} from the launch point on {bearing} true; {height}."
    )


def kept_words(ends: Ends, members: int) -> tuple[str, ...]:
    """Return which ways of coming down are kept, each with its share."""
    words = [
        f"{100.0 * share:.0f} %: {end.value}."
        for end, share in ends.by_end.items()
        if share > 0.0 or end is not End.HOME
    ]
    words.append("Which it was nobody knows: those kept weigh the same.")
    if End.HOME in ends.by_end:
        words.append(
            f"Of {members} flights home {100.0 * ends.landed_share:.0f} % end at the landing "
            "point, where you would see it: look there first. They are left out."
        )
    return tuple(words)


def area_words(most: Area, half: Area) -> tuple[str, ...]:
    """Return how much ground there is to search."""
    corners = [corner for outer, _ in most.outlines for corner in outer]
    distances = [math.hypot(*corner) for corner in corners]
    return (
        f"Nine in ten: {most.ground_m2 / 1e4:.0f} ha, to {max(distances):.0f} m from the launch "
        f"point. Five in ten: {half.ground_m2 / 1e4:.0f} ha.",
    )


def notes(typed: Known, release: Release, ends: Ends) -> tuple[str, ...]:
    """Return what it rests on, and what is not in it."""
    notes = [
        f"Wind, aircraft and ground as released for {release.launch_time:%Y-%m-%d %H:%M}Z; "
        f"launched {typed.launched:%H:%M:%S}Z.",
        f"Flying straight on it may be {ends.straight_on_m / 1000.0:.0f} km away when the pack is "
        "empty: nothing is drawn for that.",
    ]
    if ends.unknown_share > 0.0:
        notes.append(
            f"{100.0 * ends.unknown_share:.0f} % lies where the ground is not known: taken as high "
            "as the last that is."
        )
    return tuple(notes)
