"""Estimates to members: every input drawn together, correlated where flights taught it so."""

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.record import Learned
from homeleg.foundation.estimate import Estimate
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.sortie.sobol import scrambled_points

__all__ = ["RATIO_INPUTS", "Draws", "draw", "joint_root", "log_spread"]

# Inputs that cannot be negative are drawn log-normally about their value as the median.
RATIO_INPUTS = frozenset(
    {
        "mass",
        "zero_lift_drag",
        "induced_factor",
        "efficiency",
        "maximum_lift",
        "usable_charge",
        "resistance",
        "airspeed_factor",
        "full_power",
        "propeller_diameter",
        "gust_spread",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draws:
    """Members' inputs: standard normal numbers and the values they stand for, each (members,)."""

    normal: dict[str, NDArray[np.float64]]
    value: dict[str, NDArray[np.float64]]

    @property
    def members(self) -> int:
        """How many members were drawn."""
        return next(iter(self.value.values())).size


def draw(resolved: ResolvedSortie, members: int, seed: int) -> Draws:
    """Return `members` draws of all inputs; more members never change the earlier ones."""
    names = tuple(resolved.inputs)
    unit = scrambled_points(members, len(names), seed)
    inverse = NormalDist().inv_cdf
    normals = np.fromiter(map(inverse, unit.ravel()), dtype=np.float64, count=unit.size)
    normals = normals.reshape(unit.shape)
    normal = {name: normals[:, column] for column, name in enumerate(names)}
    value = {name: _value(name, resolved.inputs[name], normal[name]) for name in names}
    learned = resolved.sortie.aircraft.learned
    if learned is not None:
        z = np.stack([normal[name] for name in learned.names])
        middle = np.array([resolved.inputs[name].value for name in learned.names])
        joint = middle[:, np.newaxis] * np.exp(joint_root(learned) @ z)
        value.update(zip(learned.names, joint, strict=True))
    return Draws(normal=normal, value=value)


def _value(name: str, estimate: Estimate, z: NDArray[np.float64]) -> NDArray[np.float64]:
    if name in RATIO_INPUTS and estimate.value > 0.0:
        return np.asarray(estimate.value * np.exp(log_spread(estimate) * z))
    return estimate.drawn(z)


def joint_root(learned: Learned) -> NDArray[np.float64]:
    """Return what turns standard normals into logarithms of the jointly learned inputs, (n, n).

    Log-normal with the learned relative covariance, drawn through the eigenvectors, so that one
    without full rank is drawn too.
    """
    relative = np.log1p(learned.covariance / np.outer(learned.mean, learned.mean))
    eigenvalues, vectors = np.linalg.eigh(relative)
    return np.asarray(vectors * np.sqrt(np.maximum(eigenvalues, 0.0)))


def log_spread(estimate: Estimate) -> float:
    """Return the standard deviation of the logarithm of an input that is drawn log-normally."""
    return float(np.sqrt(np.log1p((estimate.sd / estimate.value) ** 2)))
