"""A route in words and figures, for one person to read aloud and another to follow."""

from collections.abc import Mapping
from typing import Any

from homeleg.foundation.heights import StatedAirspeed, StatedHeight
from homeleg.release.plain_route import PlainItem, PlainPlace, PlainRoute
from homeleg.route.items import ItemKind, Passing

__all__ = [
    "airspeed_words",
    "height_words",
    "item_words",
    "kind_words",
    "lines_to_read",
    "place_words",
    "position_words",
    "settings_words",
]


def lines_to_read(route: PlainRoute, settings: Mapping[str, Any]) -> tuple[str, ...]:
    """Return everything that is read aloud, a line each: launch point, items, settings."""
    launch = () if route.launch_point is None else (place_words(route.launch_point),)
    items = (f"{n} {item_words(item)}" for n, item in enumerate(route.items, start=1))
    return (*launch, *items, settings_words(settings))


def settings_words(settings: Mapping[str, Any]) -> str:
    """Return what the aircraft does where its link is lost, as declared, in stored form."""
    loss = settings["link_loss"]
    height = loss["return_height"]
    after = "a time not told" if loss["after_ds"] is None else f"{loss['after_ds'] / 10:g} s"
    climb = {True: "climbs first", False: "does not climb first", None: "climbs or not: not told"}
    at = "not told" if height is None else f"{height['cm'] / 100:g} m {height['above']}"
    path = loss["path"] or "by a path not told"
    if isinstance(path, list):
        path = f"over {', '.join(path)}"
    return (
        f"Link lost, as declared: after {after}; {climb[loss['climb_first']]}; return height {at}; "
        f"home {path}; then {loss['at_launch_point'] or 'not told'}."
    )


def place_words(place: PlainPlace) -> str:
    """Return name, place and height of a point."""
    height = "" if place.height is None else f", {height_words(place.height)}"
    return f"{place.name}: {position_words(place.latitude_deg, place.longitude_deg)}{height}"


def item_words(item: PlainItem) -> str:
    """Return an item in one line: name, kind, place, and all that it says of itself."""
    parts = [position_words(item.latitude_deg, item.longitude_deg)]
    parts += [] if item.height is None else [height_words(item.height)]
    parts += [] if item.airspeed is None else [airspeed_words(item.airspeed)]
    parts += ["overflown"] if item.passing is Passing.FLY_OVER else []
    parts += [orbit_words(item)] if item.radius_m is not None else []
    return f"{item.name}, {kind_words(item)}: {'; '.join(parts)}"


def position_words(latitude_deg: float, longitude_deg: float, decimals: int = 7) -> str:
    """Return latitude and longitude in decimal degrees, with their letters."""
    north, east = "N" if latitude_deg >= 0.0 else "S", "E" if longitude_deg >= 0.0 else "W"
    return f"{abs(latitude_deg):.{decimals}f} {north} {abs(longitude_deg):.{decimals}f} {east}"


def height_words(height: StatedHeight) -> str:
    """Return a height with what it is above."""
    return f"{round(height.value_m, 2):g} m {height.above.value}"


def airspeed_words(airspeed: StatedAirspeed) -> str:
    """Return an airspeed with its kind."""
    return f"{round(airspeed.value_m_s, 1):g} m/s {airspeed.kind.value}"


def orbit_words(item: PlainItem) -> str:
    """Return radius, side and length of an orbit."""
    radius = "" if item.radius_m is None else f"radius {round(item.radius_m, 2):g} m"
    side = "" if item.side is None else f" to the {item.side.value}"
    turns = "" if item.turns is None else f", {item.turns:g} turns"
    minutes = "" if item.duration_s is None else f", {item.duration_s / 60.0:g} min"
    return f"{radius}{side}{turns}{minutes}".lstrip(" ,")


def kind_words(item: PlainItem) -> str:
    """Return what an item asks of the aircraft."""
    return item.kind.value.replace("_", " ") if isinstance(item.kind, ItemKind) else item.kind
