"""What was read from an aircraft against a release: the comparison in words, held to each number.

The release is taken in the form in which an aircraft stores it. Where the comparison in words finds
nothing, every stored number is compared all the same, so that SAME stands for all of them.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from homeleg.foundation.heights import SpeedKind
from homeleg.link.items import (
    WITH_A_PLACE,
    Command,
    StoredSettings,
    not_stored,
    plans_of,
    route_of_plans,
    same_frame,
)
from homeleg.link.messages import Item, PlanType
from homeleg.link.session import Reading
from homeleg.release.comparison import Comparison, End, compare
from homeleg.release.difference import Danger, Difference, is_rounded_degree, is_rounded_height
from homeleg.release.plain_route import Aspect, PlainRoute

__all__ = ["found_route", "is_as_written", "prove"]

_ASPECTS = {PlanType.BOUNDARY: Aspect.BOUNDARY, PlanType.DIVERSIONS: Aspect.DIVERSIONS}
_DEGREES_PER_STEP = 1e-7
_PARAM_ROUNDING = 1e-6
# What means nothing to a fixed wing (MAV_CMD): yaw at a point, at take-off, landing or hand-over.
_MEANS_NOTHING = {
    int(Command.POINT): (4,),
    int(Command.CIRCLE_WITHOUT_END): (4,),
    int(Command.TAKEOFF): (4,),
    int(Command.LAND): (4,),
}


def prove(
    released: PlainRoute, settings: StoredSettings, reading: Reading, *, home_first: bool
) -> Comparison:
    """Return how what was read compares with the release, as stored."""
    expected, speeds = plans_of(released, settings), settings.cruise.kind
    right = _as_released(route_of_plans(expected, speeds=speeds), released)
    found = found_route(reading, home_first=home_first, speeds=speeds)
    if reading.home is None and any(_rests_on_launch(plan) for plan in expected.values()):
        found = replace(found, untold=found.untold | {Aspect.LAUNCH_POINT})
    compared = compare(right, found)
    unlike = []
    for plan, fetched in reading.plans.items():
        front = 1 if home_first and plan is PlanType.ROUTE else 0
        unlike += list(_unlike(plan, expected[plan], fetched.items[front:]))
    hard = [one.difference for one in unlike if not one.means_nothing]
    if hard and compared.end is not End.NOT_THE_SAME:
        compared = replace(compared, end=End.NOT_THE_SAME, differences=tuple(hard))
    notes = [one.difference.sentence for one in unlike if one.means_nothing]
    left_out = f"No aircraft stores {', '.join(not_stored(released))}."
    unread = [
        f"The {plan.name.lower()} could not be read: {why}." for plan, why in reading.unread.items()
    ]
    return replace(compared, remarks=(*compared.remarks, *unread, *notes, left_out))


def found_route(
    reading: Reading, *, home_first: bool, speeds: SpeedKind = SpeedKind.IAS
) -> PlainRoute:
    """Return what an aircraft holds as a plain route, with its home as the launch point."""
    plans = {plan: fetched.items for plan, fetched in reading.plans.items()}
    untold = {Aspect.NAME, *(_ASPECTS[plan] for plan in reading.unread)}
    return replace(
        route_of_plans(plans, first=int(home_first), speeds=speeds),
        launch_point=None if reading.home is None else reading.home.place(),
        untold=frozenset(untold),
    )


def is_as_written(plan: PlanType, written: Sequence[Item], found: Sequence[Item]) -> bool:
    """Return whether items that were found are those that were written, but for rounding."""
    return not any(True for _ in _unlike(plan, written, found))


@dataclass(frozen=True, slots=True)
class _Unlike:
    """A stored number that is another one, and whether it means nothing to a fixed wing."""

    difference: Difference
    means_nothing: bool = False


def _as_released(stored: PlainRoute, released: PlainRoute) -> PlainRoute:
    """Return the stored form of a release with the names that it gave and its launch point."""
    items = tuple(
        replace(item, name=named.name)
        for item, named in zip(stored.items, released.items, strict=True)
    )
    return replace(stored, items=items, launch_point=released.launch_point)


def _rests_on_launch(items: Sequence[Item]) -> bool:
    heights = (item for item in items if item.command in WITH_A_PLACE)
    return any(same_frame(item.frame, 6) for item in heights)


def _unlike(plan: PlanType, right: Sequence[Item], got: Sequence[Item]) -> Iterator[_Unlike]:
    """Return what of two lists of items is another number, beyond the rounding of storing them."""
    if len(right) != len(got):
        words = f"{len(got)} stored items instead of {len(right)}"
        yield _Unlike(_told(plan, None, words))
    for place, (first, second) in enumerate(zip(right, got, strict=False), start=1):
        for words in _unlike_fields(first, second):
            yield _Unlike(_told(plan, place, words))
        for number, (a, b) in enumerate(zip(first.params, second.params, strict=True), start=1):
            if not _is_same_number(a, b):
                words = f"parameter {number} is {b:g} instead of {a:g}"
                nothing = number in _MEANS_NOTHING.get(first.command, ())
                yield _Unlike(_told(plan, place, words), nothing)


def _unlike_fields(right: Item, got: Item) -> Iterator[str]:
    if right.command != got.command:
        yield f"command {got.command} instead of {right.command}"
    if right.autocontinue != got.autocontinue:
        yield "it stops there instead of going on" if right.autocontinue else "it goes on"
    if right.command not in WITH_A_PLACE:
        if (got.x, got.y, got.z) != (right.x, right.y, right.z):
            yield f"parameters 5 to 7 are {got.x:g}, {got.y:g}, {got.z:g}"
        return
    if not same_frame(right.frame, got.frame):
        yield f"frame {got.frame} instead of {right.frame}"
    if not math.isfinite(got.z) or not is_rounded_height(right.z, got.z):
        yield f"height {got.z:g} m instead of {right.z:g} m"
    for name, a, b in (("latitude", right.x, got.x), ("longitude", right.y, got.y)):
        a_deg, b_deg = _degrees(right, a), _degrees(got, b)
        if not math.isfinite(b_deg) or not is_rounded_degree(a_deg, b_deg):
            yield f"{name} {b_deg:.7f} instead of {a_deg:.7f}"


def _degrees(item: Item, value: float) -> float:
    return _DEGREES_PER_STEP * value if item.precise else value


def _is_same_number(right: float, got: float) -> bool:
    """Return whether two parameters are equal as stored, or both unset."""
    if math.isnan(right) or math.isnan(got):
        return math.isnan(right) and math.isnan(got)
    equal = bool(np.float32(right) == np.float32(got))
    return equal or abs(got - right) <= _PARAM_ROUNDING * abs(right)


def _told(plan: PlanType, place: int | None, words: str) -> Difference:
    where = f"The {plan.name.lower()}, as stored"
    item = "" if place is None else f", item {place}"
    return Difference(
        danger=Danger.THE_REST, aspect=None, item=None, sentence=f"{where}{item}: {words}."
    )
