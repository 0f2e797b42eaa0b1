"""Two lists of items laid side by side, so that one missing item is one sentence."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum

from homeleg.release.plain_route import PlainItem

__all__ = ["Cost", "Pairing", "Step", "aligned"]

# An item put in or left out, or two neighbours in the other order.
_ONE_STEP = 1.0

Cost = Callable[[PlainItem, PlainItem], float]


class Step(Enum):
    """How a place in one list goes with a place in the other."""

    KEPT = "kept"
    MISSING = "missing"
    ADDED = "added"
    SWAPPED = "swapped"


@dataclass(frozen=True, slots=True)
class Pairing:
    """One step of the alignment: places in the first and the second list, None where there is none.

    SWAPPED stands for two neighbours: `first` and `second` are the places of the earlier ones.
    """

    step: Step
    first: int | None
    second: int | None


def aligned(
    first: Sequence[PlainItem], second: Sequence[PlainItem], cost: Cost
) -> tuple[Pairing, ...]:
    """Return the cheapest way from one list to the other, in order.

    `cost` of two items is 0 where they are the same, above that of leaving one out and putting one
    in where they have nothing in common. Optimal string alignment: Damerau, CACM 7, 171 (1964) and
    its restricted form (MEMORY of the reference).
    """
    best: list[list[tuple[float, Step]]] = [
        [(0.0, Step.KEPT)] * (len(second) + 1) for _ in range(len(first) + 1)
    ]
    for i in range(len(first) + 1):
        for j in range(len(second) + 1):
            if i or j:
                best[i][j] = _cheapest(best, first, second, (i, j), cost)
    return _walked_back(best, len(first), len(second))


def _cheapest(
    best: list[list[tuple[float, Step]]],
    first: Sequence[PlainItem],
    second: Sequence[PlainItem],
    at: tuple[int, int],
    cost: Cost,
) -> tuple[float, Step]:
    i, j = at
    ways = []
    if i and j:
        ways.append((best[i - 1][j - 1][0] + cost(first[i - 1], second[j - 1]), Step.KEPT))
    if i:
        ways.append((best[i - 1][j][0] + _ONE_STEP, Step.MISSING))
    if j:
        ways.append((best[i][j - 1][0] + _ONE_STEP, Step.ADDED))
    if i > 1 and j > 1:
        crossed = cost(first[i - 2], second[j - 1]) + cost(first[i - 1], second[j - 2])
        ways.append((best[i - 2][j - 2][0] + _ONE_STEP + 2.0 * crossed, Step.SWAPPED))
    return min(ways, key=lambda way: way[0])


def _walked_back(best: list[list[tuple[float, Step]]], i: int, j: int) -> tuple[Pairing, ...]:
    steps: list[Pairing] = []
    back = {Step.KEPT: (1, 1), Step.MISSING: (1, 0), Step.ADDED: (0, 1), Step.SWAPPED: (2, 2)}
    while i or j:
        step = best[i][j][1]
        of_first, of_second = back[step]
        i, j = i - of_first, j - of_second
        steps.append(Pairing(step, i if of_first else None, j if of_second else None))
    return tuple(reversed(steps))
