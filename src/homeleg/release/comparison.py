"""A route found somewhere against the one released: SAME, NOT THE SAME, or CANNOT TELL."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from homeleg.release.alignment import Cost, Pairing, Step, aligned
from homeleg.release.difference import (
    FAR_OFF_M,
    Danger,
    Difference,
    distance_m,
    is_rounded_degree,
    is_rounded_height,
)
from homeleg.release.item_differences import is_same_place, item_differences, named
from homeleg.release.plain_route import Aspect, PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.release.read_aloud import height_words, kind_words, position_words
from homeleg.route.items import ItemKind

__all__ = ["Comparison", "End", "compare", "pairs"]

_LAUNCH_WITHIN_M, _LAUNCH_HEIGHT_WITHIN_M = 10.0, 5.0
_NOTHING_IN_COMMON = 2.5
_ENDS = (ItemKind.LAND, ItemKind.HAND_OVER, ItemKind.RETURN)


class End(Enum):
    """How a comparison ends."""

    SAME = "SAME"
    NOT_THE_SAME = "NOT THE SAME"
    CANNOT_TELL = "CANNOT TELL"


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The end, differences with the most dangerous first, and how far rounding went.

    `unproven` names what the source could not tell and the release rests on; `remarks` are
    sentences that change nothing.
    """

    end: End
    differences: tuple[Difference, ...]
    unproven: tuple[Aspect, ...]
    rounding_m: float
    remarks: tuple[str, ...]


def compare(released: PlainRoute, found: PlainRoute) -> Comparison:
    """Return what a route that was found is against the released one."""
    differences = sorted(
        (
            *_of_the_launch(released, found),
            *_of_the_items(released, found),
            *_of_the_boundary(released, found),
            *_of_the_diversions(released, found),
        ),
        key=lambda one: (one.danger, one.item or 0),
    )
    unproven = tuple(aspect for aspect in Aspect if _is_unproven(aspect, released, found))
    end = End.CANNOT_TELL if unproven else End.SAME
    return Comparison(
        end=End.NOT_THE_SAME if differences else end,
        differences=tuple(differences),
        unproven=unproven,
        rounding_m=_rounding_m(released, found),
        remarks=tuple(_remarks(released, found)),
    )


def pairs(
    released: PlainRoute, found: PlainRoute
) -> tuple[tuple[PlainItem | None, PlainItem], ...]:
    """Return every found item with the released one that it stands for, None where none does."""
    partner: dict[int, int] = {}
    for step in aligned(released.items, found.items, _cost_told_by(found)):
        if step.first is not None and step.second is not None:
            swap = step.step is Step.SWAPPED
            partner[step.second] = step.first + swap
            if swap:
                partner[step.second + 1] = step.first
    return tuple(
        (released.items[partner[k]] if k in partner else None, item)
        for k, item in enumerate(found.items)
    )


def _cost_told_by(found: PlainRoute) -> Cost:
    """Return how unlike two items are: 0 the same, above 2 nothing in common.

    What the source cannot tell counts for nothing.
    """
    tells = {aspect: aspect not in found.untold for aspect in Aspect}

    def cost(released: PlainItem, item: PlainItem) -> float:
        unlike = (
            not is_same_place(released, item),
            tells[Aspect.KIND] and released.kind != item.kind,
            tells[Aspect.HEIGHT] and released.height != item.height,
            tells[Aspect.NAME] and released.name != item.name,
        )
        if distance_m(released, item) <= FAR_OFF_M:
            return 0.25 * sum(unlike)
        return _NOTHING_IN_COMMON if sum(unlike) >= 3 else 0.25 * (sum(unlike) + 2)

    return cost


def _of_the_items(released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    if not found.items:
        yield _told(Danger.NO_ROUTE, None, "There is no route: no item was found.")
        return
    steps = aligned(released.items, found.items, _cost_told_by(found))
    kept = sum(step.first is not None and step.second is not None for step in steps)
    if 2 * kept < len(released.items):
        words = (
            f"It is another route: {kept} of {len(released.items)} released items are in it, "
            f"among {len(found.items)}."
        )
        yield _told(Danger.NO_ROUTE, None, words)
    for step in steps:
        yield from _of_a_step(step, released.items, found)
    yield from _of_the_end(released, found)


def _of_a_step(
    step: Pairing, released: Sequence[PlainItem], found: PlainRoute
) -> Iterator[Difference]:
    i, j = step.first, step.second
    if i is None or j is None:
        if i is not None:
            yield _missing(i + 1, released[i])
        if j is not None:
            yield _added(j, found.items)
        return
    swapped = step.step is Step.SWAPPED
    if swapped:
        words = f"{named(i + 1, released[i])} and {named(i + 2, released[i + 1])} are swapped."
        yield _told(Danger.ITEMS, i + 1, words)
        yield from item_differences(i + 2, released[i + 1], found.items[j], found.untold)
    yield from item_differences(i + 1, released[i], found.items[j + swapped], found.untold)


def _missing(number: int, item: PlainItem) -> Difference:
    danger = Danger.END_OF_ROUTE if item.kind in _ENDS else Danger.ITEMS
    return _told(danger, number, f"{named(number, item)}, {kind_words(item)}, is missing.")


def _added(place: int, items: Sequence[PlainItem]) -> Difference:
    item = items[place]
    danger = Danger.ITEMS if isinstance(item.kind, ItemKind) else Danger.END_OF_ROUTE
    called = f", {item.name}" if item.name else ""
    height = "" if item.height is None else f", {height_words(item.height)}"
    where = position_words(item.latitude_deg, item.longitude_deg)
    words = (
        f"An item was added in place {place + 1}{called}: {kind_words(item)} at {where}{height}."
    )
    return _told(danger, None, words)


def _of_the_end(released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    last = found.items[-1]
    if Aspect.KIND in found.untold or not released.items:
        return
    if released.items[-1].kind in _ENDS and last.kind not in _ENDS:
        words = f"The route ends with {kind_words(last)}: it neither lands nor hands over."
        yield _told(Danger.END_OF_ROUTE, None, words)


def _of_the_launch(released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    right, got = released.launch_point, found.launch_point
    if right is None or got is None:
        return
    off_m = distance_m(right, got)
    if off_m > _LAUNCH_WITHIN_M:
        words = f"The launch point is {off_m:.0f} m from the one released."
        yield _told(Danger.LAUNCH_MOVED, None, words, Aspect.LAUNCH_POINT)
    heights = (right.height, got.height)
    if right.height is None or got.height is None:
        return
    if heights[0] and heights[1] and right.height.above is not got.height.above:
        words = f"The launch point is given {got.height.above.value}: its height is not proven."
        yield _told(Danger.HEIGHT_REFERENCE, None, words, Aspect.LAUNCH_POINT)
    elif abs(got.height.value_m - right.height.value_m) > _LAUNCH_HEIGHT_WITHIN_M:
        words = (
            f"The launch point is at {height_words(got.height)} instead of "
            f"{height_words(right.height)}."
        )
        yield _told(Danger.LAUNCH_MOVED, None, words, Aspect.LAUNCH_POINT)


def _of_the_boundary(released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    right, got = released.boundary, found.boundary
    if Aspect.BOUNDARY in found.untold or (right is None and got is None):
        return
    if right is None or got is None:
        words = "The boundary is not there." if got is None else "A boundary was not released."
        yield _told(Danger.BOUNDARY, None, words, Aspect.BOUNDARY)
    elif not _is_same_outline(right, got):
        words = f"The boundary is another one, of {len(got.corners_deg)} corners."
        yield _told(Danger.BOUNDARY, None, words, Aspect.BOUNDARY)
    elif not _is_same_top(right, got):
        top = "none" if got.top is None else height_words(got.top)
        right_top = "none" if right.top is None else height_words(right.top)
        words = f"The top of the boundary: {top} instead of {right_top}."
        yield _told(Danger.BOUNDARY, None, words, Aspect.BOUNDARY)


def _is_same_outline(right: PlainBoundary, got: PlainBoundary) -> bool:
    """Return whether corner follows corner, wherever the count begins, in either direction."""
    count = len(right.corners_deg)
    if len(got.corners_deg) != count:
        return False
    turned = (got.corners_deg, got.corners_deg[::-1])
    return any(
        all(
            is_rounded_degree(a, b)
            for corner, other in zip(
                right.corners_deg, (*corners[start:], *corners[:start]), strict=True
            )
            for a, b in zip(corner, other, strict=True)
        )
        for corners in turned
        for start in range(max(count, 1))
    )


def _is_same_top(right: PlainBoundary, got: PlainBoundary) -> bool:
    if right.top is None or got.top is None:
        return right.top is got.top
    return right.top.above is got.top.above and is_rounded_height(
        right.top.value_m, got.top.value_m
    )


def _of_the_diversions(released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    if Aspect.DIVERSIONS in found.untold:
        return
    missing = [place for place in released.diversions if not _is_among(place, found.diversions)]
    added = [place for place in found.diversions if not _is_among(place, released.diversions)]
    for words, places in (("is missing", missing), ("was not released", added)):
        for place in places:
            where = position_words(place.latitude_deg, place.longitude_deg)
            sentence = f"The diversion point at {where} {words}."
            yield _told(Danger.BOUNDARY, None, sentence, Aspect.DIVERSIONS)


def _is_among(place: PlainPlace, places: Sequence[PlainPlace]) -> bool:
    return any(
        is_rounded_degree(place.latitude_deg, other.latitude_deg)
        and is_rounded_degree(place.longitude_deg, other.longitude_deg)
        and (
            place.height is other.height
            if place.height is None or other.height is None
            else place.height.above is other.height.above
            and is_rounded_height(place.height.value_m, other.height.value_m)
        )
        for other in places
    )


def _is_unproven(aspect: Aspect, released: PlainRoute, found: PlainRoute) -> bool:
    """Return whether the release rests on something that the source cannot tell."""
    if aspect not in found.untold:
        return False
    kinds = [item.kind for item in released.items]
    rests = {
        Aspect.NAME: False,  # nothing flies by them
        Aspect.PICTURE: False,
        Aspect.ORBIT: ItemKind.ORBIT in kinds,
        Aspect.PASSING: ItemKind.POINT in kinds,
        Aspect.BOUNDARY: released.boundary is not None,
        Aspect.DIVERSIONS: bool(released.diversions),
    }
    return rests.get(aspect, True)


def _rounding_m(released: PlainRoute, found: PlainRoute) -> float:
    """Return the largest distance that was taken for rounding. [m]."""
    return max(
        (
            distance_m(first, second)
            for first, second in pairs(released, found)
            if first is not None and is_same_place(first, second)
        ),
        default=0.0,
    )


def _remarks(released: PlainRoute, found: PlainRoute) -> Iterator[str]:
    right, got = released.launch_point, found.launch_point
    if right is not None and got is None:
        yield (
            "The launch point was not in it: heights above launch hold only where the aircraft is "
            "started at the released one."
        )
    elif right is not None and got is not None:
        off_m = distance_m(right, got)
        if 0.05 <= off_m <= _LAUNCH_WITHIN_M:
            yield f"The launch point lies {off_m:.1f} m from the one released."


def _told(
    danger: Danger, item: int | None, sentence: str, aspect: Aspect | None = None
) -> Difference:
    return Difference(danger=danger, aspect=aspect, item=item, sentence=sentence)
