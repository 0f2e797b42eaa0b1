"""Propeller coefficients and the actuator disk that bounds them."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.physics.validity import finite, not_negative, positive

__all__ = [
    "advance_ratio",
    "disk_power",
    "efficiency",
    "ideal_efficiency",
    "induced_velocity",
    "power_coefficient",
    "shaft_power",
    "thrust",
    "thrust_coefficient",
    "thrust_from_disk_power",
]

# Coefficients are those of the UIUC Propeller Database: CT = T / (rho n^2 D^4) with n in
# revolutions per second. Blade-element programs often use T / (rho/2 (Omega R)^2 pi R^2)
# instead: that number is pi^3 / 8 = 3.876 times smaller.


def advance_ratio(
    airspeed_m_s: ArrayLike, rev_per_s: ArrayLike, diameter_m: ArrayLike
) -> NDArray[np.float64]:
    """Return the advance ratio J = V / (n D).

    Parameters
    ----------
    airspeed_m_s
        True airspeed along the shaft, not negative. [m/s]
    rev_per_s
        Rotation rate in revolutions per second, positive. [1/s]
    diameter_m
        Propeller diameter, positive. [m]

    Returns
    -------
    NDArray[np.float64]
        Advance ratio. [-]

    Raises
    ------
    ValueError
        If an argument is NaN or outside the range above.

    References
    ----------
    J. B. Brandt, R. W. Deters, G. K. Ananda, O. D. Dantsker, M. S. Selig, UIUC Propeller
    Database, vol. 1: definitions (FOUND).
    """
    airspeed = not_negative("airspeed_m_s", airspeed_m_s)
    return airspeed / (positive("rev_per_s", rev_per_s) * positive("diameter_m", diameter_m))


def thrust_coefficient(
    thrust_n: ArrayLike, density_kg_m3: ArrayLike, rev_per_s: ArrayLike, diameter_m: ArrayLike
) -> NDArray[np.float64]:
    """Return CT = T / (rho n^2 D^4), the inverse of `thrust`.

    Parameters
    ----------
    thrust_n
        Thrust; negative when the propeller brakes. [N]
    density_kg_m3, rev_per_s, diameter_m
        Air density [kg/m3], revolutions per second [1/s], diameter [m]; all positive.

    Returns
    -------
    NDArray[np.float64]
        Thrust coefficient. [-]

    Raises
    ------
    ValueError
        If a value is NaN, or density, rotation rate or diameter not positive.

    References
    ----------
    UIUC Propeller Database, as for `advance_ratio`.
    """
    return finite("thrust_n", thrust_n) / _thrust_scale(density_kg_m3, rev_per_s, diameter_m)


def thrust(
    thrust_coefficient: ArrayLike,
    density_kg_m3: ArrayLike,
    rev_per_s: ArrayLike,
    diameter_m: ArrayLike,
) -> NDArray[np.float64]:
    """Return the thrust T = CT rho n^2 D^4.

    Parameters
    ----------
    thrust_coefficient
        CT in the UIUC definition. [-]
    density_kg_m3, rev_per_s, diameter_m
        Air density [kg/m3], revolutions per second [1/s], diameter [m]; all positive.

    Returns
    -------
    NDArray[np.float64]
        Thrust. [N]

    Raises
    ------
    ValueError
        If a value is NaN, or density, rotation rate or diameter not positive.

    References
    ----------
    UIUC Propeller Database, as for `advance_ratio`.
    """
    return finite("thrust_coefficient", thrust_coefficient) * _thrust_scale(
        density_kg_m3, rev_per_s, diameter_m
    )


def power_coefficient(
    shaft_power_w: ArrayLike, density_kg_m3: ArrayLike, rev_per_s: ArrayLike, diameter_m: ArrayLike
) -> NDArray[np.float64]:
    """Return CP = P / (rho n^3 D^5), the inverse of `shaft_power`.

    Parameters
    ----------
    shaft_power_w
        Power at the propeller shaft. [W]
    density_kg_m3, rev_per_s, diameter_m
        Air density [kg/m3], revolutions per second [1/s], diameter [m]; all positive.

    Returns
    -------
    NDArray[np.float64]
        Power coefficient. [-]

    Raises
    ------
    ValueError
        If a value is NaN, or density, rotation rate or diameter not positive.

    References
    ----------
    UIUC Propeller Database, as for `advance_ratio`.
    """
    return finite("shaft_power_w", shaft_power_w) / _power_scale(
        density_kg_m3, rev_per_s, diameter_m
    )


def shaft_power(
    power_coefficient: ArrayLike,
    density_kg_m3: ArrayLike,
    rev_per_s: ArrayLike,
    diameter_m: ArrayLike,
) -> NDArray[np.float64]:
    """Return the shaft power P = CP rho n^3 D^5.

    Parameters
    ----------
    power_coefficient
        CP in the UIUC definition. [-]
    density_kg_m3, rev_per_s, diameter_m
        Air density [kg/m3], revolutions per second [1/s], diameter [m]; all positive.

    Returns
    -------
    NDArray[np.float64]
        Power at the propeller shaft. [W]

    Raises
    ------
    ValueError
        If a value is NaN, or density, rotation rate or diameter not positive.

    References
    ----------
    UIUC Propeller Database, as for `advance_ratio`.
    """
    return finite("power_coefficient", power_coefficient) * _power_scale(
        density_kg_m3, rev_per_s, diameter_m
    )


def efficiency(
    advance_ratio: ArrayLike, thrust_coefficient: ArrayLike, power_coefficient: ArrayLike
) -> NDArray[np.float64]:
    """Return the propeller efficiency J CT / CP.

    Parameters
    ----------
    advance_ratio
        J, not negative. [-]
    thrust_coefficient
        CT; negative when the propeller brakes. [-]
    power_coefficient
        CP, positive: a windmill that drives the motor has no propeller efficiency. [-]

    Returns
    -------
    NDArray[np.float64]
        Thrust power over shaft power. [-]

    Raises
    ------
    ValueError
        If J is negative or CP not positive, or either NaN.

    References
    ----------
    UIUC Propeller Database, as for `advance_ratio`.
    """
    ratio = not_negative("advance_ratio", advance_ratio)
    power = positive("power_coefficient", power_coefficient)
    return ratio * finite("thrust_coefficient", thrust_coefficient) / power


def ideal_efficiency(
    advance_ratio: ArrayLike, thrust_coefficient: ArrayLike
) -> NDArray[np.float64]:
    """Return V / (V + v), the efficiency that no propeller of this CT and J can exceed.

    Parameters
    ----------
    advance_ratio
        J, positive. [-]
    thrust_coefficient
        CT, not negative. [-]

    Returns
    -------
    NDArray[np.float64]
        Actuator-disk efficiency, 0 to 1. [-]

    Raises
    ------
    ValueError
        If an argument is NaN or outside the range above.

    References
    ----------
    Rankine-Froude momentum theory, 2 / (1 + sqrt(1 + 8 CT / (pi J^2))) (FOUND).
    """
    ratio = positive("advance_ratio", advance_ratio)
    coefficient = not_negative("thrust_coefficient", thrust_coefficient)
    loading = 8.0 * coefficient / (np.pi * ratio**2)
    return 2.0 / (1.0 + np.sqrt(1.0 + loading))


def induced_velocity(
    thrust_n: ArrayLike, density_kg_m3: ArrayLike, disk_area_m2: ArrayLike, airspeed_m_s: ArrayLike
) -> NDArray[np.float64]:
    """Return the velocity that the propeller adds to the air at its disk.

    Parameters
    ----------
    thrust_n
        Thrust, not negative. [N]
    density_kg_m3, disk_area_m2
        Air density [kg/m3] and area swept by the propeller [m2]; both positive.
    airspeed_m_s
        True airspeed along the shaft, not negative. [m/s]

    Returns
    -------
    NDArray[np.float64]
        Induced velocity v. [m/s]

    Raises
    ------
    ValueError
        If an argument is NaN or outside the range above.

    References
    ----------
    Rankine-Froude momentum theory, v = -V/2 + sqrt(V^2/4 + T / (2 rho A)) (FOUND).
    """
    half_airspeed = 0.5 * not_negative("airspeed_m_s", airspeed_m_s)
    loading = not_negative("thrust_n", thrust_n) / _mass_flow_per_speed(density_kg_m3, disk_area_m2)
    return np.sqrt(half_airspeed**2 + loading) - half_airspeed


def disk_power(
    thrust_n: ArrayLike, density_kg_m3: ArrayLike, disk_area_m2: ArrayLike, airspeed_m_s: ArrayLike
) -> NDArray[np.float64]:
    """Return the least power T (V + v) that gives this thrust at this airspeed.

    Parameters
    ----------
    thrust_n, density_kg_m3, disk_area_m2, airspeed_m_s
        As for `induced_velocity`.

    Returns
    -------
    NDArray[np.float64]
        Power given to the air. [W]

    Raises
    ------
    ValueError
        As for `induced_velocity`.

    References
    ----------
    Rankine-Froude momentum theory (FOUND).
    """
    induced = induced_velocity(thrust_n, density_kg_m3, disk_area_m2, airspeed_m_s)
    return finite("thrust_n", thrust_n) * (finite("airspeed_m_s", airspeed_m_s) + induced)


def thrust_from_disk_power(
    power_w: ArrayLike, density_kg_m3: ArrayLike, disk_area_m2: ArrayLike, airspeed_m_s: ArrayLike
) -> NDArray[np.float64]:
    """Return the thrust T for which T (V + v) equals the power: the inverse of `disk_power`.

    Parameters
    ----------
    power_w
        Power given to the air, not negative. [W]
    density_kg_m3, disk_area_m2
        Air density [kg/m3] and area swept by the propeller [m2]; both positive.
    airspeed_m_s
        True airspeed along the shaft, not negative. [m/s]

    Returns
    -------
    NDArray[np.float64]
        Thrust. [N]

    Raises
    ------
    ValueError
        If an argument is NaN or outside the range above.

    References
    ----------
    Rankine-Froude momentum theory; Cardano's formula.
    """
    power = not_negative("power_w", power_w)
    third = not_negative("airspeed_m_s", airspeed_m_s) / 3.0
    # With u = V + v, T = 2 rho A v u turns T u = P into u^3 - V u^2 - K = 0. Its discriminant
    # is never negative for K >= 0, so one real root, and Cardano needs no case distinction.
    k = power / _mass_flow_per_speed(density_kg_m3, disk_area_m2)
    root = np.cbrt(third**3 + 0.5 * k + np.sqrt(k * (third**3 + 0.25 * k)))
    still = root == 0.0  # no power at no airspeed: no thrust
    safe_root = np.where(still, 1.0, root)
    velocity = third + safe_root + third**2 / safe_root
    return power / velocity


def _thrust_scale(
    density_kg_m3: ArrayLike, rev_per_s: ArrayLike, diameter_m: ArrayLike
) -> NDArray[np.float64]:
    density = positive("density_kg_m3", density_kg_m3)
    rate = positive("rev_per_s", rev_per_s)
    return density * rate**2 * positive("diameter_m", diameter_m) ** 4


def _power_scale(
    density_kg_m3: ArrayLike, rev_per_s: ArrayLike, diameter_m: ArrayLike
) -> NDArray[np.float64]:
    tip_scale = positive("rev_per_s", rev_per_s) * positive("diameter_m", diameter_m)
    return _thrust_scale(density_kg_m3, rev_per_s, diameter_m) * tip_scale


def _mass_flow_per_speed(density_kg_m3: ArrayLike, disk_area_m2: ArrayLike) -> NDArray[np.float64]:
    """Return 2 rho A. [kg/m]."""
    density = positive("density_kg_m3", density_kg_m3)
    return 2.0 * density * positive("disk_area_m2", disk_area_m2)
