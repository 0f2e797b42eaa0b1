"""What minutes flown and charge put back say about the aircraft: one step of Bayes, jointly.

The flight's ensemble is flown again. Its mean current, charge over time, hardly depends on the
wind, on an orbit more or on a detour, so it is what is compared. Its logarithm is fitted as a
straight line in the standard normals z that all inputs are drawn from; z has mean 0 and covariance
1; the observation moves them by the rule of a linear Gaussian model, and with them what is learned:

    y = a + b.z + e,   mean(z) = b (y - a) / (b.b + r2),   cov(z) = 1 - b b' / (b.b + r2)

References: R. E. Kalman, J. Basic Eng. 82, 35 (1960), scalar observation (MEMORY); a truncated
normal's moments: N. L. Johnson, S. Kotz, Continuous Univariate Distributions 1, ch. 13 (MEMORY).
"""

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.record import Learned
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown
from homeleg.foundation.errors import OutOfModelError
from homeleg.sortie.draws import joint_root, log_spread

Array = NDArray[np.float64]

__all__ = ["LEARNED", "MOST_SIGMAS", "Prediction", "TwoNumbers", "lesson", "prediction"]

# What two numbers can teach, in the order in which it is written down.
LEARNED = ("zero_lift_drag", "induced_factor", "efficiency", "airspeed_factor", "usable_charge")
# Further off than this, a person has to say that the numbers are right.
MOST_SIGMAS = 2.0
# MEMORY: what chargers of the trade show as put back differs by this from each other; a pack is
# filled to the same point within this share of its capacity; a stop watch is worked by hand.
_CHARGER_SD, _FILLING_SD, _CLOCK_S = 0.03, 0.005, 5.0
# Of the charge put in, this much comes out again (lithium cells, MEMORY).
_COULOMB_EFFICIENCY = 0.995
# The model is not the aircraft, and the same charger errs the same way on each flight: however many
# flights agree, mean power is never taken to be better known than this. Ours, by
# `benchmarks/learning.py`: another form of polar leaves 4 % between mean current and cruise power.
POWER_FLOOR = 0.06
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoNumbers:
    """A flight on paper: time from launch to landing, and the charge that was put back."""

    duration_s: float
    charge_ah: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Prediction:
    """The charge that a flight of this length was to take, nine in ten each side [Ah].

    `sigmas` is how far off the observed one is, in standard deviations of prediction and meters.
    """

    low_ah: float
    middle_ah: float
    high_ah: float
    sigmas: float


@dataclass(frozen=True, slots=True)
class _Line:
    """The fitted line: level a, slopes b on the normals, and the variance around it."""

    level: float
    slopes: Array
    variance: float


def prediction(flown: Flown, seen: TwoNumbers) -> Prediction:
    """Return what the ensemble foretold for the observed time, and how far off the charge is.

    Raises OutOfModelError as `lesson` does.
    """
    line = _fitted(flown)
    spread = math.sqrt(line.variance + float(line.slopes @ line.slopes))
    doubt = math.hypot(spread, math.sqrt(_meter_variance(flown, seen)))
    foretold_ah = np.exp(_log_currents(flown)) * seen.duration_s
    low, middle, high = np.percentile(foretold_ah, [10.0, 50.0, 90.0])
    return Prediction(
        low_ah=float(low),
        middle_ah=float(middle),
        high_ah=float(high),
        sigmas=(_observed(seen) - line.level) / doubt,
    )


def lesson(flown: Flown, seen: TwoNumbers, *, valid: str, learned_from: str) -> Learned:
    """Return what is known after a flight; `flown` is its ensemble, flown on what was known before.

    `valid` and `learned_from` are kept with it as they are. Raises OutOfModelError where fewer
    flights landed than a line can be fitted through.
    """
    line = _fitted(flown)
    names, middle, root = _known(flown)
    order = list(flown.draws.normal)
    slopes = np.array([line.slopes[order.index(name)] for name in names])
    mean, covariance = _updated(line, slopes, _observed(seen), _meter_variance(flown, seen))
    log_mean, log_covariance = _at_least(
        names, np.log(middle) + root @ mean, root @ covariance @ root.T, seen
    )
    of_new_pack = np.exp(log_mean) / _pack_share(flown, names)
    before = flown.resolved.sortie.aircraft.learned
    return Learned(
        names=names,
        mean=of_new_pack,
        covariance=np.outer(of_new_pack, of_new_pack) * np.expm1(log_covariance),
        flights=1 if before is None else before.flights + 1,
        valid=valid,
        learned_from=learned_from,
    )


def _log_currents(flown: Flown) -> Array:
    """Return the logarithm of each landed flight's mean current [Ah/s]."""
    results = flown.results[flown.landed]
    used_ah = results[:, c.CHARGE_USED] - flown.members[flown.landed, c.CHARGE_AT_START]
    return np.asarray(np.log(used_ah / results[:, c.DURATION]))


def _observed(seen: TwoNumbers) -> float:
    return math.log(_COULOMB_EFFICIENCY * seen.charge_ah / seen.duration_s)


def _meter_variance(flown: Flown, seen: TwoNumbers) -> float:
    """Return the variance of the logarithm of a mean current from two numbers."""
    filling = _FILLING_SD * flown.resolved.sortie.aircraft.battery.capacity_ah / seen.charge_ah
    return _CHARGER_SD**2 + filling**2 + (_CLOCK_S / seen.duration_s) ** 2


def _fitted(flown: Flown) -> _Line:
    currents = _log_currents(flown)
    normals = np.stack([z[flown.landed] for z in flown.draws.normal.values()], axis=1)
    if currents.size <= 2 * normals.shape[1]:
        raise OutOfModelError(
            f"only {currents.size} of {flown.landed.size} computed flights landed: too few to "
            "learn from. Was the wind another one? Say so with --wind."
        )
    design = np.column_stack([np.ones(currents.size), normals])
    fit, *_ = np.linalg.lstsq(design, currents, rcond=None)
    around = currents - design @ fit
    freedom = currents.size - design.shape[1]
    slopes = np.asarray(fit[1:], dtype=np.float64)
    return _Line(float(fit[0]), slopes, float(around @ around) / freedom)


def _known(flown: Flown) -> tuple[tuple[str, ...], Array, Array]:
    """Return names, middle values as of today's pack, and the root of their log covariance."""
    inputs, before = flown.resolved.inputs, flown.resolved.sortie.aircraft.learned
    joint = () if before is None else before.names
    names = (*joint, *(name for name in LEARNED if name not in joint))
    root = np.diag([0.0 if name in joint else log_spread(inputs[name]) for name in names])
    if before is not None:
        root[: len(joint), : len(joint)] = joint_root(before)
    return names, np.array([inputs[name].value for name in names]), root


def _updated(line: _Line, slopes: Array, seen: float, meters: float) -> tuple[Array, Array]:
    """Return mean and covariance of the normals behind what is learned, the floor kept."""
    taught = float(slopes @ slopes)
    whole = float(line.slopes @ line.slopes) + line.variance + meters
    mean = slopes * (seen - line.level) / whole
    left = max(taught - taught**2 / whole, min(taught, POWER_FLOOR**2))
    shrink = (taught - left) / taught**2 if taught > 0.0 else 0.0
    return mean, np.eye(slopes.size) - shrink * np.outer(slopes, slopes)


def _at_least(
    names: tuple[str, ...], mean: Array, covariance: Array, seen: TwoNumbers
) -> tuple[Array, Array]:
    """Return mean and covariance once the pack has shown that it holds what was taken from it.

    The usable charge is then no smaller: a normal cut off below, the others moved along with it.
    """
    place = names.index("usable_charge")
    sd = math.sqrt(covariance[place, place])
    if sd == 0.0:
        return mean, covariance
    taken = math.log(_COULOMB_EFFICIENCY * seen.charge_ah)
    # The meters' doubt: a charge that only seems larger than the pack must not cut hard.
    cut = (taken - _CHARGER_SD - mean[place]) / sd
    if cut < -3.0:
        return mean, covariance
    cut = min(cut, 4.0)
    hazard = _NORMAL.pdf(cut) / (1.0 - _NORMAL.cdf(cut))
    moved, kept = hazard, 1.0 - hazard * (hazard - cut)
    along = covariance[:, place] / sd
    return mean + along * moved, covariance - (1.0 - kept) * np.outer(along, along)


def _pack_share(flown: Flown, names: tuple[str, ...]) -> Array:
    """Return what today's pack holds of a new one, for the usable charge; 1 for all else."""
    share = flown.resolved.sortie.pack.capacity_fraction.value
    return np.array([share if name == "usable_charge" else 1.0 for name in names])
