"""A route found somewhere against the one released: SAME, NOT THE SAME, or CANNOT TELL."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from homeleg.foundation.heights import Datum
from homeleg.release.alignment import Cost, Pairing, Step, aligned
from homeleg.release.around_the_items import (
    LAUNCH_WITHIN_M,
    of_the_boundary,
    of_the_diversions,
    of_the_launch,
)
from homeleg.release.difference import FAR_OFF_M, Danger, Difference, distance_m, unlike
from homeleg.release.item_differences import is_same_place, item_differences, named
from homeleg.release.plain_route import Aspect, PlainItem, PlainRoute
from homeleg.release.read_aloud import height_words, kind_words, position_words
from homeleg.route.items import ItemKind

__all__ = ["Comparison", "End", "compare", "pairs"]

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
            *of_the_launch(released, found),
            *_of_the_items(released, found),
            *of_the_boundary(released, found),
            *of_the_diversions(released, found),
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
        yield unlike(
            Danger.NO_ROUTE,
            "There is no route: no item was found.",
            what="The route",
            pair=(f"{len(released.items)} items", "none"),
            then="It has nothing to fly.",
        )
        return
    steps = aligned(released.items, found.items, _cost_told_by(found))
    kept = sum(step.first is not None and step.second is not None for step in steps)
    if 2 * kept < len(released.items):
        words = (
            f"It is another route: {kept} of {len(released.items)} released items are in it, "
            f"among {len(found.items)}."
        )
        yield unlike(
            Danger.NO_ROUTE,
            words,
            what="The route",
            pair=(
                f"{len(released.items)} items",
                f"{len(found.items)} items, {kept} of them yours",
            ),
            then="It would fly a route that nobody checked.",
        )
    for step in steps:
        yield from _of_a_step(step, released, found)
    yield from _of_the_end(released, found)


def _of_a_step(step: Pairing, released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    i, j, items = step.first, step.second, released.items
    if i is None or j is None:
        if i is not None:
            yield _missing(i + 1, items[i])
        if j is not None:
            yield _added(j, found.items)
        return
    launch = released.launch_point
    known = launch is not None and launch.height and launch.height.above is Datum.AMSL
    launch_amsl_m = launch.height.value_m if launch and launch.height and known else None
    swapped = step.step is Step.SWAPPED
    if swapped:
        first, second = named(i + 1, items[i]), named(i + 2, items[i + 1])
        yield unlike(
            Danger.ITEMS,
            f"{first} and {second} are swapped.",
            item=i + 1,
            what="Order of two items",
            pair=(f"{first}, then {second}", f"{second}, then {first}"),
            then="It would fly the legs between them in another order.",
        )
        yield from item_differences(
            i + 2, items[i + 1], found.items[j], found.untold, launch_amsl_m
        )
    yield from item_differences(
        i + 1, items[i], found.items[j + swapped], found.untold, launch_amsl_m
    )


def _missing(number: int, item: PlainItem) -> Difference:
    ends = item.kind in _ENDS
    return unlike(
        Danger.END_OF_ROUTE if ends else Danger.ITEMS,
        f"{named(number, item)}, {kind_words(item)}, is missing.",
        item=number,
        what=named(number, item),
        pair=(kind_words(item), "missing"),
        then="It would not end its flight as you released."
        if ends
        else "It would fly straight from the item before it to the one after.",
    )


def _added(place: int, items: Sequence[PlainItem]) -> Difference:
    item = items[place]
    danger = Danger.ITEMS if isinstance(item.kind, ItemKind) else Danger.END_OF_ROUTE
    called = f", {item.name}" if item.name else ""
    height = "" if item.height is None else f", {height_words(item.height)}"
    where = f"{kind_words(item)} at {position_words(item.latitude_deg, item.longitude_deg)}{height}"
    return unlike(
        danger,
        f"An item was added in place {place + 1}{called}: {where}.",
        what=f"Place {place + 1}{called}",
        pair=("nothing", where),
        then="It would do this too, and nobody checked it.",
    )


def _of_the_end(released: PlainRoute, found: PlainRoute) -> Iterator[Difference]:
    last = found.items[-1]
    if Aspect.KIND in found.untold or not released.items:
        return
    if released.items[-1].kind in _ENDS and last.kind not in _ENDS:
        yield unlike(
            Danger.END_OF_ROUTE,
            f"The route ends with {kind_words(last)}: it neither lands nor hands over.",
            what="End of the route",
            pair=(kind_words(released.items[-1]), kind_words(last)),
            then="What it would do after that is not known.",
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
        if 0.05 <= off_m <= LAUNCH_WITHIN_M:
            yield f"The launch point lies {off_m:.1f} m from the one released."
