"""What to measure next: the inputs whose measuring takes most of the doubt out of a tight row."""

from collections.abc import Sequence

from homeleg.sortie.draws import Draws
from homeleg.verdict.measures import MEASURES
from homeleg.verdict.result import Contributions, MeasureNext

__all__ = ["measure_next"]

_MOST = 3
_WORTH_IT = 0.1


def measure_next(tight: Sequence[Contributions], draws: Draws) -> tuple[MeasureNext, ...]:
    """Return at most three inputs, each with the share of one tight row's variance it removes.

    That share is what the input contributes, times 1 - (spread afterwards / spread now)^2: a
    measurement leaves a spread of its own. Each input stands once, under the row it helps most.
    """
    best: dict[str, MeasureNext] = {}
    for row in tight:
        for one in row.inputs:
            removed = one.share * _removed_by_measuring(one.input, draws)
            known = best.get(one.input)
            if removed >= _WORTH_IT and (known is None or removed > known.share):
                measure = MEASURES[one.input]
                best[one.input] = MeasureNext(
                    input=one.input,
                    how=measure.how,
                    minutes=measure.minutes,
                    row=row.row,
                    share=removed,
                )
    return tuple(sorted(best.values(), key=lambda one: -one.share)[:_MOST])


def _removed_by_measuring(name: str, draws: Draws) -> float:
    """Return the share of an input's own variance that measuring it removes, 0 to 1."""
    measure = MEASURES.get(name)
    if measure is None:
        return 0.0
    drawn = draws.value[name]
    after = measure.relative_sd * abs(float(drawn.mean())) + measure.sd
    return max(1.0 - (after / float(drawn.std())) ** 2, 0.0)
