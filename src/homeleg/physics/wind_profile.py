"""Mean wind over height above ground."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.physics.validity import not_negative, positive, within

__all__ = ["HIGHEST_LOG_LAW_M", "HIGHEST_POWER_LAW_M", "log_law", "power_law"]

# MEMORY: the neutral log law belongs to the surface layer, 100 to 200 m deep; fitted power laws
# are used through the lower boundary layer.
HIGHEST_LOG_LAW_M = 200.0
HIGHEST_POWER_LAW_M = 500.0
# MEMORY: from the slightly reversed shear of strong convection to that of a very stable night.
_LOWEST_EXPONENT = -0.2
_HIGHEST_EXPONENT = 1.0


def power_law(
    wind_speed_m_s: ArrayLike,
    height_agl_m: ArrayLike,
    reference_height_m: ArrayLike,
    exponent: ArrayLike,
) -> NDArray[np.float64]:
    """Return the wind at a height from that at a reference height, u (z / z_ref)^alpha.

    Parameters
    ----------
    wind_speed_m_s
        Mean wind at the reference height, not negative. [m/s]
    height_agl_m, reference_height_m
        Heights above ground, above 0 to 500 m. [m]
    exponent
        Shear exponent, -0.2 to 1. [-]

    Returns
    -------
    NDArray[np.float64]
        Mean wind at the height. [m/s]

    Raises
    ------
    ValueError
        If a value is NaN or outside the range above.

    References
    ----------
    Power law of the wind profile, as in wind-energy practice (FOUND).
    """
    shear = within("exponent", exponent, _LOWEST_EXPONENT, _HIGHEST_EXPONENT)
    height = _height("height_agl_m", height_agl_m, HIGHEST_POWER_LAW_M)
    reference = _height("reference_height_m", reference_height_m, HIGHEST_POWER_LAW_M)
    return _speed(wind_speed_m_s) * (height / reference) ** shear


def log_law(
    wind_speed_m_s: ArrayLike,
    height_agl_m: ArrayLike,
    reference_height_m: ArrayLike,
    roughness_length_m: ArrayLike,
) -> NDArray[np.float64]:
    """Return the wind at a height over rough ground in neutral air.

    Parameters
    ----------
    wind_speed_m_s
        Mean wind at the reference height, not negative. [m/s]
    height_agl_m, reference_height_m
        Heights above ground, above the roughness length and up to 200 m. [m]
    roughness_length_m
        Roughness length z0, positive. [m]

    Returns
    -------
    NDArray[np.float64]
        Mean wind at the height, u ln(z / z0) / ln(z_ref / z0). [m/s]

    Raises
    ------
    ValueError
        If a value is NaN or outside the range above.

    References
    ----------
    Logarithmic law of the neutral surface layer, without displacement height (FOUND).
    """
    roughness = positive("roughness_length_m", roughness_length_m)
    height = _height("height_agl_m", height_agl_m, HIGHEST_LOG_LAW_M) / roughness
    reference = _height("reference_height_m", reference_height_m, HIGHEST_LOG_LAW_M) / roughness
    profile = np.log(within("height over roughness length", height, 1.0, np.inf))
    scale = np.log(reference)
    positive("ln(reference height / roughness length)", scale)
    return _speed(wind_speed_m_s) * profile / scale


def _speed(wind_speed_m_s: ArrayLike) -> NDArray[np.float64]:
    return not_negative("wind_speed_m_s", wind_speed_m_s)


def _height(name: str, height_m: ArrayLike, highest_m: float) -> NDArray[np.float64]:
    return within(name, positive(name, height_m), 0.0, highest_m)
