"""Airspeeds: what the pitot tube says, what the wing feels, how fast the air passes.

Calibrated airspeed is defined by impact pressure at the standard sea level; equivalent airspeed
carries the dynamic pressure; true airspeed is the speed through the air.

References
----------
S1: SFTE Flight Test Engineering Reference Handbook, ch. 4 (FOUND); NASA RP-1046.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.foundation import constants as c
from homeleg.physics.atmosphere import speed_of_sound
from homeleg.physics.validity import positive, within

__all__ = [
    "equivalent_airspeed",
    "equivalent_from_true",
    "impact_pressure",
    "true_airspeed",
    "true_from_equivalent",
]


def impact_pressure(calibrated_airspeed_m_s: ArrayLike) -> NDArray[np.float64]:
    """Return the impact pressure (total minus static) of a calibrated airspeed.

    Parameters
    ----------
    calibrated_airspeed_m_s
        Calibrated airspeed, any shape, 0 to the speed of sound at sea level. [m/s]

    Returns
    -------
    NDArray[np.float64]
        Impact pressure. [Pa]

    Raises
    ------
    ValueError
        If a value is NaN, negative or supersonic.

    References
    ----------
    S1: q_c = p0 [(1 + 0.2 (CAS / a0)^2)^3.5 - 1].
    """
    sound = c.ISA_SEA_LEVEL_SPEED_OF_SOUND_M_S
    speed = within("calibrated_airspeed_m_s", calibrated_airspeed_m_s, 0.0, sound)
    return c.ISA_SEA_LEVEL_PRESSURE_PA * ((1.0 + 0.2 * (speed / sound) ** 2) ** 3.5 - 1.0)


def equivalent_airspeed(
    calibrated_airspeed_m_s: ArrayLike, pressure_pa: ArrayLike
) -> NDArray[np.float64]:
    """Return the equivalent airspeed of a calibrated one at a static pressure.

    Parameters
    ----------
    calibrated_airspeed_m_s
        Calibrated airspeed, 0 to the speed of sound at sea level. [m/s]
    pressure_pa
        Static pressure. [Pa]

    Returns
    -------
    NDArray[np.float64]
        Equivalent airspeed, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If the flight would not be subsonic or the pressure is not above 0.

    References
    ----------
    S1: EAS = M sqrt(gamma p / rho0).
    """
    pressure = positive("pressure_pa", pressure_pa)
    mach = _mach_number(impact_pressure(calibrated_airspeed_m_s), pressure)
    dynamic = c.RATIO_OF_SPECIFIC_HEATS * pressure / c.ISA_SEA_LEVEL_DENSITY_KG_M3
    return mach * np.sqrt(dynamic)


def true_airspeed(
    calibrated_airspeed_m_s: ArrayLike, pressure_pa: ArrayLike, temperature_k: ArrayLike
) -> NDArray[np.float64]:
    """Return the true airspeed of a calibrated one in air of this pressure and temperature.

    Parameters
    ----------
    calibrated_airspeed_m_s
        Calibrated airspeed, 0 to the speed of sound at sea level. [m/s]
    pressure_pa
        Static pressure. [Pa]
    temperature_k
        Air temperature. [K]

    Returns
    -------
    NDArray[np.float64]
        True airspeed, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If the flight would not be subsonic, the pressure is not above 0 or the temperature is
        outside -80 to 60 degC.

    References
    ----------
    S1: TAS = M sqrt(gamma R T). The air is taken as dry.
    """
    pressure = positive("pressure_pa", pressure_pa)
    mach = _mach_number(impact_pressure(calibrated_airspeed_m_s), pressure)
    return mach * speed_of_sound(temperature_k)


def true_from_equivalent(
    equivalent_airspeed_m_s: ArrayLike, density_kg_m3: ArrayLike
) -> NDArray[np.float64]:
    """Return the true airspeed with the same dynamic pressure, EAS / sqrt(rho / rho0).

    Parameters
    ----------
    equivalent_airspeed_m_s
        Equivalent airspeed. [m/s]
    density_kg_m3
        Density of the air flown in, moist or dry. [kg/m3]

    Returns
    -------
    NDArray[np.float64]
        True airspeed, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If the density is not above 0.

    References
    ----------
    S1.
    """
    return np.asarray(equivalent_airspeed_m_s, dtype=np.float64) / _root_sigma(density_kg_m3)


def equivalent_from_true(
    true_airspeed_m_s: ArrayLike, density_kg_m3: ArrayLike
) -> NDArray[np.float64]:
    """Return the equivalent airspeed with the same dynamic pressure, TAS sqrt(rho / rho0).

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed. [m/s]
    density_kg_m3
        Density of the air flown in, moist or dry. [kg/m3]

    Returns
    -------
    NDArray[np.float64]
        Equivalent airspeed, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If the density is not above 0.

    References
    ----------
    S1.
    """
    return np.asarray(true_airspeed_m_s, dtype=np.float64) * _root_sigma(density_kg_m3)


def _mach_number(
    impact_pressure_pa: NDArray[np.float64], pressure_pa: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the subsonic Mach number, refusing a faster one (S1: isentropic flow)."""
    mach = np.sqrt(5.0 * ((impact_pressure_pa / pressure_pa + 1.0) ** (2.0 / 7.0) - 1.0))
    return within("Mach number", mach, 0.0, 1.0)


def _root_sigma(density_kg_m3: ArrayLike) -> NDArray[np.float64]:
    """Return sqrt(rho / rho0)."""
    return np.sqrt(positive("density_kg_m3", density_kg_m3) / c.ISA_SEA_LEVEL_DENSITY_KG_M3)
