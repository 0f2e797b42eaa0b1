"""The items of a route, from a table each: what they must hold, and what a route must be."""

import math
from dataclasses import dataclass
from itertools import pairwise

from homeleg.formats.aircraft_fields import AIRSPEED, HEIGHT
from homeleg.formats.aircraft_file import LOWEST_FLOWN_M
from homeleg.formats.findings import Spot
from homeleg.formats.kinds import Choice, Flag, Number, Quantity, Stated, Text
from homeleg.formats.mistaken_place import slip_in
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Field, ListOf, TableOf, Values
from homeleg.foundation.heights import Datum, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.foundation.stated_text import parse_latitude, parse_longitude
from homeleg.foundation.units import Dimension
from homeleg.route.items import ItemKind, Passing, Route, RouteItem

__all__ = ["ROUTE_ITEM", "ROUTE_ITEMS", "height_problems", "route_of"]

_FARTHEST_M = 50_000.0
_SAME_PLACE_M = 1.0
_NEEDS_A_PLACE = (ItemKind.POINT, ItemKind.ORBIT)
_ON_PLANE = Quantity(Dimension.LENGTH, -100_000, 100_000)
ROUTE_ITEM = TableOf(
    (
        Field("name", Text(40), "What the item is called.", required=True),
        Field("kind", Choice(ItemKind), "What it asks of the aircraft.", required=True),
        Field("east", _ON_PLANE, "How far east of the launch point."),
        Field("north", _ON_PLANE, "How far north of the launch point."),
        Field("latitude", Stated(parse_latitude, "55.0000 N"), "Latitude, instead of north."),
        Field("longitude", Stated(parse_longitude, "5.0000 W"), "Longitude, instead of east."),
        Field("height", HEIGHT, "Height, and above what."),
        Field("airspeed", AIRSPEED, "Airspeed; the cruise airspeed when left out."),
        Field("pass", Choice(Passing), "Whether the corner is cut or the point overflown."),
        Field("radius", Quantity(Dimension.LENGTH, 10, 5000), "Radius of an orbit."),
        Field("side", Choice(Side), "To which side an orbit turns."),
        Field("turns", Number(0.25, 1000.0), "How many turns of an orbit."),
        Field("minutes", Number(0.1, 600.0), "How long an orbit lasts, instead of turns."),
        Field("picture", Flag(), "Whether the leg that leads here is a picture leg."),
    )
)
ROUTE_ITEMS = ListOf(ROUTE_ITEM, 2, 500)


@dataclass(frozen=True, slots=True)
class _Placed:
    """An item with the place in the file it came from."""

    item: RouteItem
    spot: Spot


def route_of(tables: tuple[Values, ...], spot: Spot, launch: Plane) -> Route:
    """Return the route of item tables read without problems; reports what a route must not be."""
    placed = [_Placed(_item(table, launch), table.spot) for table in tables]
    _report_order(placed, spot)
    _report_distance(placed, launch, geographic=any(table.has("latitude") for table in tables))
    _report_same_places(placed)
    _report_same_names(placed)
    return Route(items=tuple(place.item for place in placed))


def _item(table: Values, launch: Plane) -> RouteItem:
    kind = table.need("kind", ItemKind)
    east_m, north_m = _position(table, kind, launch)
    minutes = table.get("minutes", float)
    height = table.get("height", StatedHeight)
    if height is None and kind in _NEEDS_A_PLACE:
        table.spot.at("height").report("is missing", 'Add it, such as "80 m above launch".')
    if kind is ItemKind.ORBIT:
        _report_orbit(table)
    return RouteItem(
        name=table.need("name", str),
        kind=kind,
        east_m=east_m,
        north_m=north_m,
        height=height,
        airspeed=table.get("airspeed", StatedAirspeed),
        passing=table.get("pass", Passing) or Passing.FLY_BY,
        radius_m=table.get("radius", float),
        side=table.get("side", Side) or Side.RIGHT,
        turns=table.get("turns", float),
        duration_s=None if minutes is None else 60.0 * minutes,
        picture=table.get("picture", bool) or False,
    )


def _position(table: Values, kind: ItemKind, launch: Plane) -> tuple[float, float]:
    """Return east and north; an item that needs no place of its own lies at the launch point."""
    east_m, north_m = table.get("east", float), table.get("north", float)
    latitude_rad, longitude_rad = table.get("latitude", float), table.get("longitude", float)
    plane, geographic = (east_m, north_m), (latitude_rad, longitude_rad)
    if latitude_rad is not None and longitude_rad is not None and plane == (None, None):
        return launch.to_plane(latitude_rad, longitude_rad)
    if east_m is not None and north_m is not None and geographic == (None, None):
        return east_m, north_m
    nowhere = plane == geographic == (None, None)
    if kind in _NEEDS_A_PLACE or not nowhere:
        table.spot.report(
            "the place is not given as one pair of figures",
            "Give either east and north, or latitude and longitude.",
        )
    return 0.0, 0.0


def _report_orbit(table: Values) -> None:
    if not table.has("radius"):
        table.spot.report("an orbit has no radius", 'Add radius, such as "80 m".')
    if table.has("turns") == table.has("minutes"):
        problem = "has both turns and minutes" if table.has("turns") else "does not end"
        table.spot.report(f"the orbit {problem}", "Give either turns or minutes.")


def _report_order(placed: list[_Placed], spot: Spot) -> None:
    kinds = [place.item.kind for place in placed]
    if kinds[:1] != [ItemKind.TAKEOFF]:
        where = placed[0].spot if placed else spot
        where.report("the first item is not a take-off", 'Start with an item of kind "takeoff".')
    ends = (ItemKind.LAND, ItemKind.HAND_OVER)
    if kinds and kinds[-1] not in ends:
        placed[-1].spot.report(
            "the last item neither lands nor hands over", 'End with "land" or "hand_over".'
        )
    for place in placed[1:-1]:
        if place.item.kind in (ItemKind.TAKEOFF, *ends):
            problem = f"a {place.item.kind.value} stands in the middle of the route"
            place.spot.report(problem, "Take off first, land last, once each.")


def _report_distance(placed: list[_Placed], launch: Plane, *, geographic: bool) -> None:
    farthest = max(placed, key=lambda place: _distance_m(place.item), default=None)
    if farthest is None or _distance_m(farthest.item) <= _FARTHEST_M:
        return
    cause = "the likely slip is a unit"
    if geographic:
        place = launch.to_geographic(farthest.item.east_m, farthest.item.north_m)
        cause = slip_in(*place, launch.distance_m) or "is a degree mistyped"
    farthest.spot.report(
        f"the route reaches {_distance_m(farthest.item) / 1000.0:,.0f} km from the launch point",
        f"Check this item and the launch point: {cause}.",
    )


def _distance_m(item: RouteItem) -> float:
    return math.hypot(item.east_m, item.north_m)


def _report_same_places(placed: list[_Placed]) -> None:
    for before, after in pairwise(placed):
        start, end = before.item, after.item
        if start.kind not in _NEEDS_A_PLACE or end.kind not in _NEEDS_A_PLACE:
            continue
        if math.hypot(end.east_m - start.east_m, end.north_m - start.north_m) < _SAME_PLACE_M:
            after.spot.report(
                f"{end.name} is where {start.name} is: a leg without length",
                "Remove one of them, or move it.",
            )


def _report_same_names(placed: list[_Placed]) -> None:
    seen: set[str] = set()
    for place in placed:
        if place.item.name in seen:
            place.spot.report(
                f"a second item is called {place.item.name}", "Give each item its own name."
            )
        seen.add(place.item.name)


def height_problems(tables: tuple[Values, ...], elevation_amsl_m: float) -> None:
    """Report heights above sea level below the launch point, and take-offs that hardly climb."""
    for table in tables:
        height = table.get("height", StatedHeight)
        if height is None:
            continue
        is_amsl = height.above is Datum.AMSL
        above_m = height.value_m - is_amsl * elevation_amsl_m
        if is_amsl and above_m < 0.0:
            table.spot.at("height").report(
                f"{height.value_m:.0f} m AMSL is {-above_m:.0f} m below the launch point",
                "Did you mean above launch?",
            )
        elif table.need("kind", ItemKind) is ItemKind.TAKEOFF and above_m < LOWEST_FLOWN_M:
            table.spot.at("height").report(
                f"the take-off ends {above_m:.0f} m above launch",
                f"Climb to {LOWEST_FLOWN_M:.0f} m above launch or more.",
            )
