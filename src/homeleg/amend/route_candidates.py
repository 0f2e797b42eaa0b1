"""Changes of the route: turned round, a leg made longer, heights, the farthest points dropped."""

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from homeleg.amend.basis import Basis, reading, want
from homeleg.amend.change import Change, ItemChange
from homeleg.route.geometry import PlannedItem
from homeleg.verdict.result import Row
from homeleg.world.wind import profile_speed

__all__ = [
    "farthest_dropped",
    "leg_lengthened",
    "lowered",
    "raised",
    "shortened",
    "turned_round",
]

HEIGHT_COST = 1.5
ROUND_COST = 2.0
SHORTER_COST = 2.0
MOVE_COST = 2.5
DROP_COST = 3.0
_SAME_PLACE_M = 1.0
# The corners at both ends change with the leg: it is made a little longer than was missing. Ours.
_LONGER = 1.1


def turned_round(basis: Basis, row: Row) -> Iterator[Change]:
    """Turn the order round; not where a leg is for pictures, or a height is carried on."""
    points = [item.name for item in basis.points]
    items = [item.name for item in basis.resolved.items]
    if len(points) < 2 or any(item.picture for item in basis.points) or not basis.heights_are_own:
        return
    if items[1 : len(points) + 1] == points:
        order = (items[0], *reversed(points), *items[len(points) + 1 :])
        yield Change(words="fly the loop the other way round", cost=ROUND_COST, order=order)


def shortened(basis: Basis, row: Row) -> Iterator[Change]:
    """Shorten the orbits that last a time to three quarters and half of it, in whole minutes."""
    timed = [item for item in basis.points if item.duration_s]
    for share in (0.75, 0.5):
        minutes = {item.name: math.floor(share * item.duration_s / 60.0) for item in timed}
        if timed and min(minutes.values()) >= 1:
            said = ", ".join(f"{name} to {left} min" for name, left in minutes.items())
            yield Change(
                words=f"shorten {said}",
                cost=SHORTER_COST + 2.0 * (1.0 - share),
                items=tuple(
                    ItemChange(name=name, duration_s=60.0 * left) for name, left in minutes.items()
                ),
            )


def leg_lengthened(basis: Basis, row: Row) -> Iterator[Change]:
    """Make the leg that is too short longer: its end, or its start, moved out along it.

    Alone, or with the item beyond, which keeps the corner as it is.
    """
    ends = None if row.where is None else basis.leg(row.where.leg)
    if ends is None:
        return
    items, (first, last) = basis.middle, ends
    start, end = items[first], items[last]
    length_m = math.hypot(end.east_m - start.east_m, end.north_m - start.north_m)
    missing_m = (want(row) - reading(row)) * _ground_speed(basis, end)
    sides = (
        (1.0, [end]),
        (-1.0, [start]),
        (1.0, [*items[last : last + 2]]),
        (-1.0, [*items[max(first - 1, 0) : first + 1]]),
    )
    by_m = 5.0 * math.ceil(_LONGER * missing_m / 5.0)
    for sign, moved in sides:
        if all(item in basis.points for item in moved):
            along = sign * by_m / length_m
            by = (along * (end.east_m - start.east_m), along * (end.north_m - start.north_m))
            yield _moved(moved, by, by_m, f"{start.name} to {end.name}", length_m)


def _ground_speed(basis: Basis, end: PlannedItem) -> float:
    """Return airspeed and wind together: no leg is flown faster [m/s]."""
    wind_m_s = math.hypot(*profile_speed(basis.resolved.wind, end.height_m))
    return end.airspeed_eas_m_s * basis.resolved.tas_per_eas + wind_m_s


def _moved(
    items: Sequence[PlannedItem], by: tuple[float, float], by_m: float, leg: str, length_m: float
) -> Change:
    names = " and ".join(dict.fromkeys(item.name for item in items))
    return Change(
        words=f"make {leg} {length_m + by_m:.0f} m long: move {names} {_away(by, by_m)}",
        cost=MOVE_COST + 0.002 * by_m + 0.2 * (len(items) - 1),
        items=tuple(
            ItemChange(
                name=item.name,
                place_m=(round(item.east_m + by[0]) + 0.0, round(item.north_m + by[1]) + 0.0),
            )
            for item in items
        ),
    )


def _away(by: tuple[float, float], by_m: float) -> str:
    towards_deg = round(math.degrees(math.atan2(*by))) % 360
    return f"{by_m:.0f} m towards {towards_deg:03d} deg"


def raised(basis: Basis, row: Row) -> Iterator[Change]:
    """Raise the items of the leg that is too low by what is missing."""
    missing_m = want(row) - reading(row)
    ends = None if row.where is None else basis.leg(row.where.leg)
    if ends is not None:
        yield _by_height([basis.middle[k] for k in ends], missing_m)
    yield _by_height(basis.middle, missing_m)


def lowered(basis: Basis, row: Row) -> Iterator[Change]:
    """Lower the items above what the ceiling leaves."""
    too_high_m = reading(row) - want(row)
    highest_m = max(item.height_m for item in basis.middle)
    high = [item for item in basis.middle if item.height_m > highest_m - too_high_m]
    if too_high_m > 0.0:
        yield _by_height(high, -too_high_m)


def _by_height(items: Sequence[PlannedItem], by_m: float) -> Change:
    up = by_m > 0.0
    names = ", ".join(item.name for item in items)
    whole_m = math.ceil(abs(by_m)) * (1 if up else -1)
    return Change(
        words=f"{'raise' if up else 'lower'} {names} by {abs(whole_m)} m",
        cost=HEIGHT_COST + 0.1 * len(items),
        items=tuple(
            ItemChange(name=item.name, height_m=float(math.floor(item.height_m + whole_m)))
            for item in items
        ),
    )


def farthest_dropped(basis: Basis, row: Row) -> Iterator[Change]:
    """Leave out the farthest points: one, two, half of them, three in four; a point stays."""
    points = sorted(basis.points, key=lambda item: -math.hypot(item.east_m, item.north_m))
    if not basis.heights_are_own:
        return
    counts = {1, 2, len(points) // 2, 3 * len(points) // 4}
    for count in sorted(count for count in counts if 0 < count < len(points)):
        names = _with_twins(basis, {item.name for item in points[:count]})
        if len(names) < len(points):
            yield Change(
                words=f"leave out {', '.join(names)}",
                cost=DROP_COST + 0.5 * len(names),
                items=tuple(ItemChange(name=name, drop=True) for name in names),
            )


def _with_twins(basis: Basis, dropped: set[str]) -> list[str]:
    """Return the names in route order, with every point that would follow itself."""
    left = [item for item in basis.points if item.name not in dropped]
    for before, after in pairwise(left):
        apart_m = math.hypot(after.east_m - before.east_m, after.north_m - before.north_m)
        if apart_m < _SAME_PLACE_M:
            dropped = dropped | {after.name}
    return [item.name for item in basis.points if item.name in dropped]
