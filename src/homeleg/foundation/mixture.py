"""An estimate of which nobody knows the kind: several values, each with a weight of its own."""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from homeleg.foundation.estimate import Basis, Estimate

__all__ = ["Mixture", "mixture_of"]

# Quantiles are read off this many points, which reach six standard deviations past the ends.
_POINTS = 1501
_REACH = 6.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture(Estimate):
    """Normal distributions of one spread about several values; `value` is the median of all.

    `parts` holds weight and middle of each; the weights add up to one. `part_sd` is the spread
    within each, `sd` that of all together.
    """

    parts: tuple[tuple[float, float], ...]
    part_sd: float

    def drawn(self, normal: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the values that standard normal numbers stand for; larger gives larger."""
        return np.interp(normal, *_quantiles(self.parts, self.part_sd))


def mixture_of(weights: dict[float, float], part_sd: float, basis: Basis) -> Mixture:
    """Return the mixture of values with their weights, which need not add up to one.

    Raises ValueError unless a weight is above zero, none below, and the spread above zero.
    """
    total = sum(weights.values())
    if not (total > 0.0 and min(weights.values()) >= 0.0 and part_sd > 0.0):
        raise ValueError(f"not a mixture: weights {weights}, spread {part_sd}")
    parts = tuple((weight / total, middle) for middle, weight in sorted(weights.items()))
    mean = sum(weight * middle for weight, middle in parts)
    between = sum(weight * (middle - mean) ** 2 for weight, middle in parts)
    median = np.interp(0.0, *_quantiles(parts, part_sd))
    return Mixture(
        value=float(median),
        sd=float(np.hypot(part_sd, np.sqrt(between))),
        basis=basis,
        parts=parts,
        part_sd=part_sd,
    )


def _quantiles(
    parts: tuple[tuple[float, float], ...], part_sd: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return standard normal numbers, rising, and the value that each stands for."""
    normal = NormalDist()
    middles = [middle for _, middle in parts]
    values = np.linspace(min(middles) - _REACH * part_sd, max(middles) + _REACH * part_sd, _POINTS)
    below = [
        sum(weight * normal.cdf((value - middle) / part_sd) for weight, middle in parts)
        for value in values
    ]
    # Where nearly nothing, or nearly all, lies below, the inverse has no digits left.
    known = [
        (normal.inv_cdf(p), value) for p, value in zip(below, values, strict=True) if 0 < p < 1
    ]
    numbers, kept = np.array(known).T
    return numbers, kept
