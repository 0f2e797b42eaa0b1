"""The drag polar of an aeroplane and what follows from it in closed form.

CD = CD0 + k (CL - CL0)^2, with CL0 the lift coefficient of least drag; everything per unit of
dynamic pressure is in equivalent airspeed. Compressibility and Reynolds number are left out.

References
----------
S1: J. D. Anderson, Introduction to Flight, ch. 6 (FOUND via worked examples 6.1, 6.9, 6.12); the
    terms in CL0 follow by differentiation.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.foundation.constants import ISA_SEA_LEVEL_DENSITY_KG_M3
from homeleg.physics.validity import finite, not_negative, positive

__all__ = [
    "airspeed_at_lift_coefficient",
    "best_glide",
    "best_range_speed",
    "drag_coefficient",
    "drag_force",
    "induced_factor",
    "level_power",
    "lift_coefficient",
    "minimum_sink",
    "stall_speed_eas",
]

# Halvings of the bracket of best_range_speed: from 1000 m/s to below 1e-12 m/s.
_HALVINGS = 60


def induced_factor(
    span_efficiency_fraction: ArrayLike, aspect_ratio: ArrayLike
) -> NDArray[np.float64]:
    """Return the induced-drag factor k = 1 / (pi e AR).

    Parameters
    ----------
    span_efficiency_fraction
        Oswald span efficiency e, above 0. [1]
    aspect_ratio
        Span squared over wing area. [1]

    Returns
    -------
    NDArray[np.float64]
        Induced-drag factor k. [1]

    Raises
    ------
    ValueError
        If an input is not above 0.

    References
    ----------
    S1.
    """
    efficiency = positive("span_efficiency_fraction", span_efficiency_fraction)
    return 1.0 / (np.pi * efficiency * positive("aspect_ratio", aspect_ratio))


def drag_coefficient(
    lift_coefficient: ArrayLike,
    zero_lift_drag: ArrayLike,
    induced_factor: ArrayLike,
    lift_at_least_drag: ArrayLike,
) -> NDArray[np.float64]:
    """Return CD = CD0 + k (CL - CL0)^2.

    Parameters
    ----------
    lift_coefficient
        CL. [1]
    zero_lift_drag
        CD0, the least drag coefficient. [1]
    induced_factor
        k. [1]
    lift_at_least_drag
        CL0; zero for the textbook two-term polar. [1]

    Returns
    -------
    NDArray[np.float64]
        CD, in the broadcast shape of the inputs. [1]

    Raises
    ------
    ValueError
        If CL or CL0 is not finite, or CD0 or k not above 0. Stall is not part of the polar:
        compare CL with CLmax before calling.

    References
    ----------
    S1.
    """
    cd0 = positive("zero_lift_drag", zero_lift_drag)
    k = positive("induced_factor", induced_factor)
    cl = finite("lift_coefficient", lift_coefficient)
    return cd0 + k * (cl - finite("lift_at_least_drag", lift_at_least_drag)) ** 2


def lift_coefficient(
    load_factor: ArrayLike,
    weight_n: ArrayLike,
    equivalent_airspeed_m_s: ArrayLike,
    wing_area_m2: ArrayLike,
) -> NDArray[np.float64]:
    """Return the lift coefficient CL = n W / (q S) needed at an equivalent airspeed.

    Parameters
    ----------
    load_factor
        Lift over weight. [1]
    weight_n
        Weight. [N]
    equivalent_airspeed_m_s
        Equivalent airspeed. [m/s]
    wing_area_m2
        Wing area. [m2]

    Returns
    -------
    NDArray[np.float64]
        CL, in the broadcast shape of the inputs. [1]

    Raises
    ------
    ValueError
        If the load factor is not finite or another input not above 0.

    References
    ----------
    S1.
    """
    lift_n = finite("load_factor", load_factor) * positive("weight_n", weight_n)
    return lift_n / _pressure_area(equivalent_airspeed_m_s, wing_area_m2)


def airspeed_at_lift_coefficient(
    lift_coefficient: ArrayLike, weight_n: ArrayLike, wing_area_m2: ArrayLike
) -> NDArray[np.float64]:
    """Return the equivalent airspeed of level flight at a lift coefficient.

    Parameters
    ----------
    lift_coefficient
        CL. [1]
    weight_n
        Weight. [N]
    wing_area_m2
        Wing area. [m2]

    Returns
    -------
    NDArray[np.float64]
        Equivalent airspeed, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If an input is not above 0.

    References
    ----------
    S1: V = sqrt(2 W / (rho0 S CL)).
    """
    cl = positive("lift_coefficient", lift_coefficient)
    loading = positive("weight_n", weight_n) / positive("wing_area_m2", wing_area_m2)
    return np.sqrt(2.0 * loading / (ISA_SEA_LEVEL_DENSITY_KG_M3 * cl))


def stall_speed_eas(
    weight_n: ArrayLike, wing_area_m2: ArrayLike, maximum_lift_coefficient: ArrayLike
) -> NDArray[np.float64]:
    """Return the equivalent airspeed below which the wing cannot carry the weight at 1 g.

    Parameters
    ----------
    weight_n
        Weight. [N]
    wing_area_m2
        Wing area. [m2]
    maximum_lift_coefficient
        CLmax, trimmed. [1]

    Returns
    -------
    NDArray[np.float64]
        Stall speed, equivalent, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If an input is not above 0.

    References
    ----------
    S1.
    """
    return airspeed_at_lift_coefficient(maximum_lift_coefficient, weight_n, wing_area_m2)


def drag_force(
    equivalent_airspeed_m_s: ArrayLike,
    load_factor: ArrayLike,
    weight_n: ArrayLike,
    wing_area_m2: ArrayLike,
    zero_lift_drag: ArrayLike,
    induced_factor: ArrayLike,
    lift_at_least_drag: ArrayLike,
) -> NDArray[np.float64]:
    """Return the drag of flight at a load factor.

    Parameters
    ----------
    equivalent_airspeed_m_s
        Equivalent airspeed. [m/s]
    load_factor
        Lift over weight. [1]
    weight_n
        Weight. [N]
    wing_area_m2
        Wing area. [m2]
    zero_lift_drag, induced_factor, lift_at_least_drag
        The polar: CD0, k, CL0. [1]

    Returns
    -------
    NDArray[np.float64]
        Drag, in the broadcast shape of the inputs. [N]

    Raises
    ------
    ValueError
        As `lift_coefficient` and `drag_coefficient`.

    References
    ----------
    S1: D = q S CD.
    """
    cl = lift_coefficient(load_factor, weight_n, equivalent_airspeed_m_s, wing_area_m2)
    cd = drag_coefficient(cl, zero_lift_drag, induced_factor, lift_at_least_drag)
    return _pressure_area(equivalent_airspeed_m_s, wing_area_m2) * cd


def level_power(true_airspeed_m_s: ArrayLike, drag_n: ArrayLike) -> NDArray[np.float64]:
    """Return the thrust power of level flight, true airspeed times drag.

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed, not the equivalent one of `drag_force`. [m/s]
    drag_n
        Drag. [N]

    Returns
    -------
    NDArray[np.float64]
        Thrust power, before the losses of propeller and motor. [W]

    Raises
    ------
    ValueError
        If an input is not above 0.

    References
    ----------
    S1.
    """
    return positive("true_airspeed_m_s", true_airspeed_m_s) * positive("drag_n", drag_n)


def best_glide(
    zero_lift_drag: ArrayLike, induced_factor: ArrayLike, lift_at_least_drag: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the lift coefficient of the best CL / CD, and that ratio.

    Parameters
    ----------
    zero_lift_drag, induced_factor, lift_at_least_drag
        The polar: CD0, k, CL0. [1]

    Returns
    -------
    tuple[NDArray[np.float64], NDArray[np.float64]]
        CL and CL / CD there. The optimum may lie above CLmax: the caller compares. [1]

    Raises
    ------
    ValueError
        As `drag_coefficient`.

    References
    ----------
    S1: CL = sqrt(CD0 / k + CL0^2), from d(CD / CL) = 0.
    """
    cl0 = finite("lift_at_least_drag", lift_at_least_drag)
    cl = np.sqrt(_drag_over_k(zero_lift_drag, induced_factor) + cl0**2)
    return cl, cl / drag_coefficient(cl, zero_lift_drag, induced_factor, cl0)


def minimum_sink(
    zero_lift_drag: ArrayLike, induced_factor: ArrayLike, lift_at_least_drag: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the lift coefficient of least sink and least thrust power, and CL^1.5 / CD there.

    Parameters
    ----------
    zero_lift_drag, induced_factor, lift_at_least_drag
        The polar: CD0, k, CL0. [1]

    Returns
    -------
    tuple[NDArray[np.float64], NDArray[np.float64]]
        CL and CL^1.5 / CD there. The optimum may lie above CLmax: the caller compares. [1]

    Raises
    ------
    ValueError
        As `drag_coefficient`.

    References
    ----------
    S1: CL = sqrt(3 CD0 / k) for CL0 = 0; with it, the positive root of
    CL^2 + 2 CL0 CL - 3 (CD0 / k + CL0^2) = 0, from d(CD / CL^1.5) = 0.
    """
    cl0 = finite("lift_at_least_drag", lift_at_least_drag)
    cl = -cl0 + np.sqrt(3.0 * _drag_over_k(zero_lift_drag, induced_factor) + 4.0 * cl0**2)
    return cl, cl**1.5 / drag_coefficient(cl, zero_lift_drag, induced_factor, cl0)


def best_range_speed(
    weight_n: ArrayLike,
    wing_area_m2: ArrayLike,
    density_kg_m3: ArrayLike,
    zero_lift_drag: ArrayLike,
    induced_factor: ArrayLike,
    lift_at_least_drag: ArrayLike,
    headwind_m_s: ArrayLike,
    standing_power_w: ArrayLike,
) -> NDArray[np.float64]:
    """Return the true airspeed of least energy per metre over the ground, in a wind along the way.

    Parameters
    ----------
    weight_n
        Weight. [N]
    wing_area_m2
        Wing area. [m2]
    density_kg_m3
        Air density. [kg/m3]
    zero_lift_drag, induced_factor, lift_at_least_drag
        The polar: CD0, k, CL0. [1]
    headwind_m_s
        Head wind, tail wind negative. [m/s]
    standing_power_w
        Power drawn whatever the speed (avionics, payload), times the battery-to-thrust
        efficiency, so that it adds to the thrust power. [W]

    Returns
    -------
    NDArray[np.float64]
        True airspeed, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If an input is not finite, or weight, area, density, CD0 or k is not above 0, or the
        standing power is below 0.

    References
    ----------
    S1 for the power P(V) = a V^3 - c V + b / V + standing. P is convex, so P / (V - headwind)
    falls and then rises: its only extremum is where P'(V) (V - headwind) = P(V). Found by
    bisection to better than 1e-12 m/s. A constant propulsive efficiency is assumed.
    """
    area = positive("wing_area_m2", wing_area_m2)
    weight = positive("weight_n", weight_n)
    half_density_area = 0.5 * positive("density_kg_m3", density_kg_m3) * area
    k = positive("induced_factor", induced_factor)
    cl0 = finite("lift_at_least_drag", lift_at_least_drag)
    headwind = finite("headwind_m_s", headwind_m_s)
    standing = not_negative("standing_power_w", standing_power_w)
    a = half_density_area * (positive("zero_lift_drag", zero_lift_drag) + k * cl0**2)
    b = k * weight**2 / half_density_area
    c = 2.0 * k * cl0 * weight

    def excess(speed: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return P'(V) (V - headwind) - P(V): rising with V, negative below the optimum."""
        slope = 3.0 * a * speed**2 - c - b / speed**2
        return slope * (speed - headwind) - (a * speed**3 - c * speed + b / speed + standing)

    low = np.maximum(headwind, 0.0) + np.zeros_like(a * standing)
    high = low + (b / a) ** 0.25
    while np.any(excess(high) < 0.0):
        high = low + 2.0 * (high - low)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        below = excess(middle) < 0.0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return 0.5 * (low + high)


def _pressure_area(
    equivalent_airspeed_m_s: ArrayLike, wing_area_m2: ArrayLike
) -> NDArray[np.float64]:
    """Return dynamic pressure times wing area, in newtons."""
    airspeed = positive("equivalent_airspeed_m_s", equivalent_airspeed_m_s)
    pressure_pa = 0.5 * ISA_SEA_LEVEL_DENSITY_KG_M3 * airspeed**2
    return pressure_pa * positive("wing_area_m2", wing_area_m2)


def _drag_over_k(zero_lift_drag: ArrayLike, induced_factor: ArrayLike) -> NDArray[np.float64]:
    """Return CD0 / k."""
    return positive("zero_lift_drag", zero_lift_drag) / positive("induced_factor", induced_factor)
