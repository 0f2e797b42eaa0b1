"""A plain route as the numbers an aircraft can store, and back.

Places to 1e-7 degree (11 mm at most), heights and radii to the centimetre, airspeeds to 0.1 m/s,
turns to 0.01, times to 0.1 s.
"""

from collections.abc import Mapping
from typing import Any

from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.release.canonical import Frozen
from homeleg.release.plain_route import PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.route.items import ItemKind, Passing

__all__ = [
    "DEGREES",
    "airspeed_of",
    "height_of",
    "route_of",
    "stored_height",
    "stored_route",
    "stored_speed",
]

DEGREES = 10_000_000
_CENTIMETRES, _DECIMETRES_PER_SECOND, _HUNDREDTHS, _TENTHS = 100, 10, 100, 10


def stored_route(route: PlainRoute) -> dict[str, Frozen]:
    """Return a route as whole numbers, each with its unit in the key."""
    return {
        "launch_point": None if route.launch_point is None else _position(route.launch_point),
        "items": [_item(item) for item in route.items],
        "boundary": None if route.boundary is None else _boundary(route.boundary),
        "diversions": [_position(place) for place in route.diversions],
    }


def route_of(stored: Mapping[str, Any]) -> PlainRoute:
    """Return the route of its stored form."""
    launch, boundary = stored["launch_point"], stored["boundary"]
    return PlainRoute(
        launch_point=None if launch is None else _place_of(launch),
        items=tuple(_item_of(item) for item in stored["items"]),
        boundary=boundary
        and PlainBoundary(
            corners_deg=tuple((a / DEGREES, b / DEGREES) for a, b in boundary["corners_1e7_deg"]),
            top=height_of(boundary["top"]),
        ),
        diversions=tuple(_place_of(place) for place in stored["diversions"]),
    )


def stored_height(height: StatedHeight | None) -> Frozen:
    """Return a height in whole centimetres, with what it is above."""
    if height is None:
        return None
    return {"cm": _whole(height.value_m, _CENTIMETRES), "above": height.above.value}


def stored_speed(airspeed: StatedAirspeed | None) -> Frozen:
    """Return an airspeed in whole decimetres per second, with its kind."""
    if airspeed is None:
        return None
    whole = _whole(airspeed.value_m_s, _DECIMETRES_PER_SECOND)
    return {"dm_s": whole, "kind": airspeed.kind.value}


def _whole(value: float, per_unit: int) -> int:
    return round(value * per_unit)


def _maybe(value: float | None, per_unit: int) -> int | None:
    return None if value is None else _whole(value, per_unit)


def _position(place: PlainPlace | PlainItem) -> dict[str, Frozen]:
    return {
        "name": place.name,
        "latitude_1e7_deg": _whole(place.latitude_deg, DEGREES),
        "longitude_1e7_deg": _whole(place.longitude_deg, DEGREES),
        "height": stored_height(place.height),
    }


def _boundary(boundary: PlainBoundary) -> dict[str, Frozen]:
    return {
        "corners_1e7_deg": [[_whole(a, DEGREES) for a in c] for c in boundary.corners_deg],
        "top": stored_height(boundary.top),
    }


def _item(item: PlainItem) -> dict[str, Frozen]:
    return {
        **_position(item),
        "kind": item.kind.value if isinstance(item.kind, ItemKind) else item.kind,
        "airspeed": stored_speed(item.airspeed),
        "passing": item.passing and item.passing.value,
        "radius_cm": _maybe(item.radius_m, _CENTIMETRES),
        "side": item.side and item.side.value,
        "turns_hundredths": _maybe(item.turns, _HUNDREDTHS),
        "duration_ds": _maybe(item.duration_s, _TENTHS),
        "picture": item.picture,
    }


def height_of(stored: Mapping[str, Any] | None) -> StatedHeight | None:
    """Return the height of its stored form."""
    if stored is None:
        return None
    return StatedHeight(stored["cm"] / _CENTIMETRES, Datum(stored["above"]))


def airspeed_of(stored: Mapping[str, Any] | None) -> StatedAirspeed | None:
    """Return the airspeed of its stored form."""
    if stored is None:
        return None
    return StatedAirspeed(stored["dm_s"] / _DECIMETRES_PER_SECOND, SpeedKind(stored["kind"]))


def _place_of(stored: Mapping[str, Any]) -> PlainPlace:
    return PlainPlace(
        name=stored["name"],
        latitude_deg=stored["latitude_1e7_deg"] / DEGREES,
        longitude_deg=stored["longitude_1e7_deg"] / DEGREES,
        height=height_of(stored["height"]),
    )


def _over(whole: int | None, per_unit: int) -> float | None:
    return None if whole is None else whole / per_unit


def _item_of(stored: Mapping[str, Any]) -> PlainItem:
    words = [kind.value for kind in ItemKind]
    return PlainItem(
        name=stored["name"],
        kind=ItemKind(stored["kind"]) if stored["kind"] in words else stored["kind"],
        latitude_deg=stored["latitude_1e7_deg"] / DEGREES,
        longitude_deg=stored["longitude_1e7_deg"] / DEGREES,
        height=height_of(stored["height"]),
        airspeed=airspeed_of(stored["airspeed"]),
        passing=stored["passing"] and Passing(stored["passing"]),
        radius_m=_over(stored["radius_cm"], _CENTIMETRES),
        side=stored["side"] and Side(stored["side"]),
        turns=_over(stored["turns_hundredths"], _HUNDREDTHS),
        duration_s=_over(stored["duration_ds"], _TENTHS),
        picture=stored["picture"],
    )
