"""How much of a row's spread each drawn input explains, from the flights already flown."""

import numpy as np
from numpy.typing import NDArray

from homeleg.sortie.draws import Draws
from homeleg.verdict.result import Contribution, Contributions, Explained

Array = NDArray[np.float64]

__all__ = ["contributions"]

# Below this share of the variance a straight line does not tell how a row depends on its inputs.
_STRAIGHT_R2 = 0.7
_MOST_GROUPS, _LEAST_IN_A_GROUP = 64, 16
_LEAST_SHARE = 0.05


def contributions(row: str, values: Array, draws: Draws) -> Contributions | None:
    """Return what each input contributes to the variance of a row's values (members,).

    Where a linear fit explains most of it: slope times covariance over variance, which sum to the
    R2 of the fit even where inputs were drawn jointly. Else the given-data index, the variance of
    the means of groups of flights with like input over the variance of all, less what groups of
    this size show by chance (E. Plischke, E. Borgonovo, C. L. Smith, Eur. J. Oper. Res. 226, 2013;
    MEMORY). Shares below 5 % are left out. None where the values do not vary, or are too few.
    """
    read = np.isfinite(values)
    y = values[read]
    drawn = {name: value[: values.size][read] for name, value in draws.value.items()}
    if y.size <= 2 * len(drawn) or np.ptp(y) == 0.0:
        return None
    drawn = {name: value for name, value in drawn.items() if np.ptp(value) > 0.0}
    y = (y - y.mean()) / y.std()
    x = np.stack([(value - value.mean()) / value.std() for value in drawn.values()], axis=1)
    slopes = np.linalg.lstsq(x, y, rcond=None)[0]
    r2 = float(1.0 - np.mean((y - x @ slopes) ** 2))
    if r2 >= _STRAIGHT_R2:
        explained, shares = Explained.REGRESSION, slopes * (x.T @ y) / y.size
    else:
        explained = Explained.GIVEN_DATA
        shares = np.array([_given_data_share(column, y) for column in x.T])
    named = sorted(zip(drawn, shares, strict=True), key=lambda pair: -pair[1])
    return Contributions(
        row=row,
        r2=r2,
        explained=explained,
        inputs=tuple(
            Contribution(input=name, share=float(share))
            for name, share in named
            if share >= _LEAST_SHARE
        ),
    )


def _given_data_share(x: Array, y: Array) -> float:
    """Return how far the group means of a standardised `y` vary, corrected for their number."""
    groups = np.array_split(np.argsort(x), min(_MOST_GROUPS, max(y.size // _LEAST_IN_A_GROUP, 2)))
    between = sum(group.size * np.mean(y[group]) ** 2 for group in groups) / y.size
    by_chance = (len(groups) - 1) / (y.size - 1)
    return float((between - by_chance) / (1.0 - by_chance))
