"""A plain route as the items an aircraft stores, and items that were fetched as a plain route.

What an aircraft cannot hold (names, picture legs, how a corner is passed, the top of a boundary) is
left out on the way there, so that a release is compared in the form in which it is stored.

References: MAVLink common message set, MAV_CMD and MAV_FRAME (as its Python library lists them).
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import IntEnum

from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.link.messages import Item, PlanType
from homeleg.release.plain_route import PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.route.items import ItemKind, Passing

__all__ = [
    "WITH_A_PLACE",
    "Command",
    "Plans",
    "StoredSettings",
    "addressed",
    "cannot_be_stored",
    "home_item",
    "not_stored",
    "one_frame",
    "plans_of",
    "route_of_plans",
    "same_frame",
]

Plans = Mapping[PlanType, Sequence[Item]]
_STEPS_PER_DEG = 10_000_000
# What stands for no position in whole steps; also taken for a position that is no number.
_NOWHERE_DEG = 2_147_483_647 / _STEPS_PER_DEG
_AIRSPEED, _AS_IT_IS = 0.0, -1.0


class Command(IntEnum):
    """Commands that a released route, boundary or diversion point is stored as."""

    POINT = 16
    CIRCLE_WITHOUT_END = 17
    CIRCLE_TURNS = 18
    CIRCLE_TIME = 19
    RETURN = 20
    LAND = 21
    TAKEOFF = 22
    JUMP = 177
    SPEED = 178
    CORNER = 5001
    DIVERSION = 5100


# Further commands with a place: other circles, take-offs and landings, other fences.
WITH_A_PLACE = frozenset({16, 17, 18, 19, 21, 22, 31, 84, 85, 189, *range(5000, 5005), 5100})
_FRAMES = {Datum.AMSL: 5, Datum.ABOVE_LAUNCH: 6, Datum.AGL: 11}
_DATUMS = {
    0: Datum.AMSL,
    5: Datum.AMSL,
    3: Datum.ABOVE_LAUNCH,
    6: Datum.ABOVE_LAUNCH,
    10: Datum.AGL,
    11: Datum.AGL,
}
_KINDS = {
    Command.POINT: ItemKind.POINT,
    Command.CIRCLE_TURNS: ItemKind.ORBIT,
    Command.CIRCLE_TIME: ItemKind.ORBIT,
    Command.LAND: ItemKind.LAND,
    Command.TAKEOFF: ItemKind.TAKEOFF,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredSettings:
    """What an item takes that says nothing itself: the cruise airspeed and the pattern height."""

    cruise: StatedAirspeed
    pattern_height: StatedHeight


def plans_of(route: PlainRoute, settings: StoredSettings) -> dict[PlanType, tuple[Item, ...]]:
    """Return what an aircraft holds of a route, numbered from 0 and addressed to nobody."""
    items: list[Item] = []
    changed = False
    for item in route.items:
        if item.airspeed is not None or changed:
            items.append(_speed_item((item.airspeed or settings.cruise).value_m_s))
            changed = item.airspeed is not None
        items.append(_route_item(item, settings))
    corners = () if route.boundary is None else route.boundary.corners_deg
    boundary = [
        _placed(Command.CORNER, a, b, None, (float(len(corners)), 0.0, 0.0, 0.0))
        for a, b in corners
    ]
    diversions = [
        _placed(Command.DIVERSION, one.latitude_deg, one.longitude_deg, one.height)
        for one in route.diversions
    ]
    return {
        PlanType.ROUTE: _numbered(items, PlanType.ROUTE),
        PlanType.BOUNDARY: _numbered(boundary, PlanType.BOUNDARY),
        PlanType.DIVERSIONS: _numbered(diversions, PlanType.DIVERSIONS),
    }


def home_item(launch: PlainPlace) -> Item:
    """Return the launch point as the item that some aircraft keep in front of the route."""
    return _placed(Command.POINT, launch.latitude_deg, launch.longitude_deg, launch.height)


def cannot_be_stored(route: PlainRoute, settings: StoredSettings) -> tuple[str, ...]:
    """Return in words why no aircraft can hold this route; nothing where it can."""
    reasons = []
    heights = [one.height for one in route.items] + [one.height for one in route.diversions]
    if any(height is not None and height.above is Datum.ELLIPSOID for height in heights):
        reasons.append("heights above the ellipsoid have no form in which an aircraft stores them")
    kinds = {item.airspeed.kind for item in route.items if item.airspeed is not None}
    if len(kinds | {settings.cruise.kind}) > 1:
        reasons.append("it states two kinds of airspeed, and an aircraft stores bare numbers")
    return tuple(reasons)


def not_stored(route: PlainRoute) -> tuple[str, ...]:
    """Return in words what of a route no aircraft holds, and a comparison says nothing about."""
    words = ["names"]
    kinds = {item.airspeed.kind.value for item in route.items if item.airspeed is not None}
    words += [f"that an airspeed is {kind}" for kind in sorted(kinds)]
    if any(item.passing is Passing.FLY_OVER for item in route.items):
        words.append("which points are overflown")
    if any(item.picture for item in route.items):
        words.append("which legs are picture legs")
    if route.boundary is not None and route.boundary.top is not None:
        words.append("the top of the boundary")
    return tuple(words)


def addressed(items: Sequence[Item], system: int, component: int) -> tuple[Item, ...]:
    """Return items addressed to an aircraft and numbered in their order."""
    return tuple(
        replace(item, to_system=system, to_component=component, sequence=place)
        for place, item in enumerate(items)
    )


def route_of_plans(
    plans: Plans, *, first: int = 0, speeds: SpeedKind = SpeedKind.IAS
) -> PlainRoute:
    """Return the plans of an aircraft as a plain route.

    `first` is the number of the first item of the route: 1 where the launch point is kept in
    front of it. Jumps name items as the route counts them. `speeds` is what its bare numbers are
    taken for.
    """
    corners = [_degrees(item) for item in plans.get(PlanType.BOUNDARY, ())]
    return PlainRoute(
        items=_plain_items(plans.get(PlanType.ROUTE, ())[first:], first, speeds),
        boundary=PlainBoundary(corners_deg=tuple(corners), top=None) if corners else None,
        diversions=tuple(
            _place(item, place) for place, item in enumerate(plans.get(PlanType.DIVERSIONS, ()), 1)
        ),
    )


def same_frame(first: int, second: int) -> bool:
    """Return whether two frames are one height reference."""
    return first == second or (
        first in _DATUMS and second in _DATUMS and _DATUMS[first] is _DATUMS[second]
    )


def one_frame(frame: int) -> int:
    """Return the lowest frame of the same height reference, so that twins are one."""
    return min(other for other in (*_DATUMS, frame) if same_frame(other, frame))


def _speed_item(airspeed_m_s: float) -> Item:
    return _item(Command.SPEED, 2, (_AIRSPEED, airspeed_m_s, _AS_IT_IS, 0.0))


def _route_item(item: PlainItem, settings: StoredSettings) -> Item:
    height = item.height
    if height is None and item.kind is not ItemKind.LAND:
        height = settings.pattern_height
    command, params = _command(item)
    return _placed(command, item.latitude_deg, item.longitude_deg, height, params)


def _command(item: PlainItem) -> tuple[Command, tuple[float, float, float, float]]:
    match item.kind:
        case ItemKind.ORBIT:
            turned = -1.0 if item.side is Side.LEFT else 1.0
            radius_m = turned * (item.radius_m or 0.0)
            if item.turns is not None:
                return Command.CIRCLE_TURNS, (item.turns, 0.0, radius_m, 0.0)
            return Command.CIRCLE_TIME, (item.duration_s or 0.0, 0.0, radius_m, 0.0)
        case ItemKind.TAKEOFF:
            return Command.TAKEOFF, (0.0, 0.0, 0.0, 0.0)
        case ItemKind.LAND:
            return Command.LAND, (0.0, 0.0, 0.0, 0.0)
        case ItemKind.HAND_OVER:
            return Command.CIRCLE_WITHOUT_END, (0.0, 0.0, 0.0, 0.0)
        case _:
            return Command.POINT, (0.0, 0.0, 0.0, 0.0)


def _placed(
    command: Command,
    latitude_deg: float,
    longitude_deg: float,
    height: StatedHeight | None,
    params: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0),
) -> Item:
    stated = height or StatedHeight(0.0, Datum.ABOVE_LAUNCH)
    item = _item(command, _FRAMES[stated.above], params)
    x, y = (round(_STEPS_PER_DEG * degrees) for degrees in (latitude_deg, longitude_deg))
    return replace(item, x=x, y=y, z=stated.value_m)


def _item(command: Command, frame: int, params: tuple[float, float, float, float]) -> Item:
    return Item(
        to_system=0,
        to_component=0,
        plan=PlanType.ROUTE,
        sequence=0,
        frame=frame,
        command=command,
        current=0,
        autocontinue=1,
        params=params,
        x=0,
        y=0,
        z=0.0,
        precise=True,
    )


def _numbered(items: Sequence[Item], plan: PlanType) -> tuple[Item, ...]:
    return tuple(replace(item, plan=plan, sequence=place) for place, item in enumerate(items))


def _plain_items(items: Sequence[Item], first: int, speeds: SpeedKind) -> tuple[PlainItem, ...]:
    """Return the items of a route; a change of airspeed becomes that of the items behind it."""
    numbers = _plain_numbers(items, first)
    plain: list[PlainItem] = []
    airspeed = None
    for place, item in enumerate(items):
        if _is_airspeed(items, place):
            airspeed = StatedAirspeed(round(item.params[1], 3), speeds)
            continue
        is_last = place == len(items) - 1
        kind = _kind(item, numbers, is_last=is_last)
        latitude_deg, longitude_deg = _degrees(item)
        if item.command not in WITH_A_PLACE and plain:
            latitude_deg, longitude_deg = plain[-1].latitude_deg, plain[-1].longitude_deg
        plain.append(
            PlainItem(
                name="",
                kind=kind,
                latitude_deg=latitude_deg,
                longitude_deg=longitude_deg,
                height=_height(item),
                airspeed=airspeed if isinstance(kind, ItemKind) else None,
            )
        )
        plain[-1] = _with_circle(plain[-1], item)
    return tuple(plain)


def _is_airspeed(items: Sequence[Item], place: int) -> bool:
    """Return whether an item only sets the airspeed of those behind it."""
    item = items[place]
    kind, value_m_s, throttle, _ = item.params
    sets = item.command == Command.SPEED and kind == _AIRSPEED and throttle == _AS_IT_IS
    return sets and 0.0 < value_m_s < math.inf and place < len(items) - 1


def _plain_numbers(items: Sequence[Item], first: int) -> dict[int, int]:
    """Return which item of the route, from one, each stored number leads to."""
    numbers, counted = {}, 1
    for place in range(len(items)):
        numbers[place + first] = counted
        counted += not _is_airspeed(items, place)
    return numbers


def _kind(item: Item, numbers: Mapping[int, int], *, is_last: bool) -> ItemKind | str:
    match item.command:
        case Command.CIRCLE_WITHOUT_END:
            return ItemKind.HAND_OVER if is_last else "circling without end"
        case Command.RETURN:
            return "a return to the launch point as set in the aircraft"
        case Command.JUMP:
            target = numbers.get(int(item.params[0]) if math.isfinite(item.params[0]) else -1)
            return f"a jump to {'nowhere' if target is None else f'item {target}'}"
        case Command.SPEED:
            return f"a change of speed, kind {item.params[0]:g}, to {item.params[1]:g} m/s"
        case _ if item.command in _KINDS:
            return _KINDS[Command(item.command)]
        case _:
            return f"command {item.command}"


def _with_circle(plain: PlainItem, item: Item) -> PlainItem:
    """Return an item with radius, side and length of its circle, where it is one."""
    circles = (Command.CIRCLE_TURNS, Command.CIRCLE_TIME, Command.CIRCLE_WITHOUT_END)
    length, _, radius_m, _ = (value if math.isfinite(value) else None for value in item.params)
    if item.command not in circles:
        return plain
    if radius_m is not None and (radius_m or item.command != Command.CIRCLE_WITHOUT_END):
        side = Side.LEFT if radius_m < 0.0 else Side.RIGHT
        plain = replace(plain, radius_m=round(abs(radius_m), 3), side=side)
    if length is not None and item.command == Command.CIRCLE_TURNS:
        return replace(plain, turns=round(length, 3))
    if length is not None and item.command == Command.CIRCLE_TIME:
        return replace(plain, duration_s=round(length, 3))
    return plain


def _height(item: Item) -> StatedHeight | None:
    datum = _DATUMS.get(item.frame)
    if datum is None or not math.isfinite(item.z) or item.command not in WITH_A_PLACE:
        return None
    return StatedHeight(round(item.z, 3), datum)


def _degrees(item: Item) -> tuple[float, float]:
    x, y = item.x, item.y
    if not (math.isfinite(x) and math.isfinite(y)):
        return _NOWHERE_DEG, _NOWHERE_DEG
    return (x / _STEPS_PER_DEG, y / _STEPS_PER_DEG) if item.precise else (x, y)


def _place(item: Item, number: int) -> PlainPlace:
    latitude_deg, longitude_deg = _degrees(item)
    return PlainPlace(
        name=f"diversion point {number}",
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        height=_height(item),
    )
