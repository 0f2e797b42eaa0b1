"""A sortie launched from another point: the launch moves, the route stays where it is on the earth.

What a sortie gives in metres or by bearing and distance from its launch point is told anew from
the new one. Heights above launch stay as they are written: the aircraft counts them from where it
starts. What belongs to whoever launches (pilot, strip, launch direction) moves along.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from homeleg.formats.field_answers import FieldAnswers, answer_kind
from homeleg.formats.findings import Findings, Spot, raise_problems
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Values
from homeleg.formats.sortie_ground import place_of, terrain_elevation
from homeleg.foundation.errors import Problem
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.route.items import ItemKind

__all__ = ["LaunchHere", "from_here", "launch_here_of"]

_OPTION = "--launch-here"
_WITH_THE_LAUNCH = (ItemKind.TAKEOFF, ItemKind.RETURN, ItemKind.HAND_OVER, ItemKind.LAND)
_AT_LAUNCH_M = 1.0
_PLACE_KEYS = ("east", "north", "latitude", "longitude")


@dataclass(frozen=True, slots=True, kw_only=True)
class LaunchHere:
    """Where the launch is now made from [rad], and its height AMSL where it was told."""

    latitude_rad: float
    longitude_rad: float
    elevation: StatedHeight | None

    @property
    def plane(self) -> Plane:
        """The plane about it."""
        return Plane(self.latitude_rad, self.longitude_rad)


@dataclass(frozen=True, slots=True)
class _Move:
    """From the launch point of the file to the new one, which lies higher by `raised_m`."""

    old: Plane
    new: Plane
    raised_m: float

    @property
    def distance_m(self) -> float:
        return self.old.distance_m(self.new.latitude_rad, self.new.longitude_rad)

    def place(self, east_m: float, north_m: float) -> tuple[float, float]:
        """Return a place of the old plane on the new one."""
        return self.new.to_plane(*self.old.to_geographic(east_m, north_m))


def launch_here_of(answers: FieldAnswers) -> LaunchHere | None:
    """Return where the launch is made from; None where it is not told to have moved.

    Raises InputFileError where the place is none.
    """
    problems: list[Problem] = []
    if answers.launch_here is None:
        if answers.elevation is not None:
            Findings("--elevation", {}, problems).top.report(
                "is the height of a new launch point, and none is told",
                f'Add {_OPTION} "55.0000 N" "5.0000 W".',
            )
            raise_problems(problems)
        return None
    spot = Findings(_OPTION, {}, problems).top
    place = answer_kind("site", "launch_point").read(list(answers.launch_here), spot)
    elevation = None
    if answers.elevation is not None:
        spot = Findings("--elevation", {}, problems).top
        elevation = answer_kind("site", "elevation").read(answers.elevation, spot)
        if isinstance(elevation, StatedHeight) and elevation.above is not Datum.AMSL:
            spot.report(
                f"is {elevation.above.value}, and the elevation is above mean sea level",
                'Write it as "35 m AMSL".',
            )
    raise_problems(problems)
    if not isinstance(place, tuple) or not isinstance(elevation, StatedHeight | None):
        raise TypeError("answers read without problems are of their kinds")
    latitude_rad, longitude_rad = place
    return LaunchHere(latitude_rad=latitude_rad, longitude_rad=longitude_rad, elevation=elevation)


def from_here(
    values: Values, tables: tuple[Values, ...], here: LaunchHere, folder: Path
) -> tuple[Values, tuple[Values, ...]]:
    """Return a sortie's values, with true directions, and its route's, launched from `here`.

    Raises InputFileError where the elevation is not to be had, or the ground told by eye does not
    reach there.
    """
    problems: list[Problem] = []
    spot = Findings(_OPTION, {}, problems).top
    site = values.table("site")
    elevation = here.elevation or _by_terrain(site, here, folder, spot)
    raise_problems(problems)
    old_m = site.need("elevation", StatedHeight).value_m
    old = Plane(*site.items("launch_point", float))
    move = _Move(old=old, new=here.plane, raised_m=elevation.value_m - old_m)
    moved = {
        "launch_point": (here.latitude_rad, here.longitude_rad),
        "elevation": elevation,
        "ground": _ground(site.table("ground"), move, spot),
    }
    for key, of_one in _PLACES.items():
        if site.has(key):
            moved[key] = tuple(of_one(one, move) for one in site.items(key, Values))
    if site.has("tree_line"):
        moved["tree_line"] = _by_bearing(site.table("tree_line"), move)
    raise_problems(problems)
    items = tuple(_item(table, move) for table in tables)
    return _with(values, {"site": _with(site, moved)}), items


def _by_terrain(site: Values, here: LaunchHere, folder: Path, spot: Spot) -> StatedHeight:
    ground = site.table("ground")
    height_m = terrain_elevation(ground, folder, here.plane) if ground.has("terrain") else math.nan
    if math.isnan(height_m):
        why = "does not reach there" if ground.has("terrain") else "is told by eye"
        spot.report(
            f"how high is that point? The ground of this sortie {why}",
            'Add --elevation "35 m AMSL".',
        )
    return StatedHeight(height_m, Datum.AMSL)


def _with(values: Values, changed: Mapping[str, object]) -> Values:
    return Values(values.spot, {**values.found, **changed})


def _item(table: Values, move: _Move) -> Values:
    """Return an item of the route; what is at the launch point, as take-off is, moves along."""
    east_m, north_m = table.get("east", float), table.get("north", float)
    latitude_rad, longitude_rad = table.get("latitude", float), table.get("longitude", float)
    if latitude_rad is not None and longitude_rad is not None:
        from_launch_m = move.old.distance_m(latitude_rad, longitude_rad)
    elif east_m is not None and north_m is not None:
        from_launch_m = math.hypot(east_m, north_m)
    else:
        return table
    if from_launch_m < _AT_LAUNCH_M and table.need("kind", ItemKind) in _WITH_THE_LAUNCH:
        return _with(table, dict.fromkeys(_PLACE_KEYS))
    if east_m is None or north_m is None:
        return table
    east_m, north_m = move.place(east_m, north_m)
    return _with(table, {"east": east_m, "north": north_m})


def _corners(table: Values, move: _Move) -> Values:
    corners = tuple(move.place(*corner) for corner in table.items("vertices_m", tuple))
    return _with(table, {"vertices_m": corners}) if corners else table


def _circle(table: Values, move: _Move) -> Values:
    if not table.has("east"):
        return table
    east_m, north_m = move.place(table.need("east", float), table.need("north", float))
    return _with(table, {"east": east_m, "north": north_m})


def _by_bearing(table: Values, move: _Move) -> Values:
    if not table.has("bearing"):
        return table
    east_m, north_m = move.place(*place_of(table))
    bearing_rad = math.atan2(east_m, north_m) % (2.0 * math.pi)
    return _with(table, {"bearing": bearing_rad, "distance": math.hypot(east_m, north_m)})


_PLACES: Mapping[str, Callable[[Values, _Move], Values]] = {
    "keep_out": _corners,
    "canopy": _corners,
    "come_down": _circle,
    "obstacle": _by_bearing,
}


def _ground(table: Values, move: _Move, spot: Spot) -> Values:
    """Return the ground about the new point: no farther than it was known about the old one."""
    changed: dict[str, object] = {}
    for key, what in (("radius", "is known"), ("flat_to", "is flat"), ("clearing", "is clear")):
        told_m = table.get(key, float)
        if told_m is None:
            continue
        changed[key] = told_m - move.distance_m
        if told_m <= move.distance_m:
            spot.report(
                f"lies {move.distance_m:.0f} m from the launch point of the file, and the ground "
                f"{what} out to {told_m:.0f} m from there",
                "Look at the ground again, and write it into a sortie of its own.",
            )
    level_m = table.get("by_eye", float)
    if level_m is not None and abs(move.raised_m) > level_m:
        spot.report(
            f"lies {abs(move.raised_m):.0f} m {'above' if move.raised_m > 0.0 else 'below'} the "
            f"launch point of the file, and the ground was judged flat within {level_m:.0f} m",
            "Judge the ground again, and write it into a sortie of its own.",
        )
    highest = table.get("highest", StatedHeight)
    if highest is not None:
        changed["highest"] = _above_new(highest, move)
    if table.has("skyline"):
        points = table.items("skyline", Values)
        changed["skyline"] = tuple(_skyline_point(point, move) for point in points)
    return _with(table, changed)


def _skyline_point(table: Values, move: _Move) -> Values:
    """Return a point of the skyline with its height, whatever angle it is now seen at."""
    angle_rad, height = table.get("angle", float), table.get("height", StatedHeight)
    if angle_rad is not None:
        height_m = table.need("distance", float) * math.tan(angle_rad)
        height = StatedHeight(height_m, Datum.ABOVE_LAUNCH)
    moved = {"angle": None, "height": None if height is None else _above_new(height, move)}
    return _by_bearing(_with(table, moved), move)


def _above_new(height: StatedHeight, move: _Move) -> StatedHeight:
    """Return the height of something that stays where it is."""
    if height.above is not Datum.ABOVE_LAUNCH:
        return height
    return StatedHeight(height.value_m - move.raised_m, height.above)
