"""Dryden turbulence near the ground, and the gust to expect in a mean wind."""

from collections.abc import Mapping
from enum import Enum
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.foundation.constants import FOOT_M
from homeleg.physics.validity import not_negative, within

__all__ = [
    "DRYDEN_HIGHEST_M",
    "DRYDEN_LOWEST_M",
    "GUST_FACTORS",
    "Exposure",
    "gust_from_mean",
    "horizontal_gust_sd",
    "horizontal_scale_length",
    "vertical_gust_sd",
    "vertical_scale_length",
]

# Range of the low-altitude model. The upper end is FOUND, the lower end MEMORY. From 1000 to
# 2000 ft the standard interpolates in a way not read here, so heights above are refused.
DRYDEN_LOWEST_M = 10.0 * FOOT_M
DRYDEN_HIGHEST_M = 1000.0 * FOOT_M

# MIL-F-8785C, constants of a formula in feet. Textbook tables of rounded values (200 m,
# 1.06 m/s at 50 m) run 5 % lower: never mix the two.
_SHAPE_CONSTANT = 0.177
_SHAPE_SLOPE_PER_FT = 0.000823
_LENGTH_EXPONENT = 1.2
_INTENSITY_EXPONENT = 0.4
_VERTICAL_INTENSITY = 0.1


def vertical_scale_length(height_agl_m: ArrayLike) -> NDArray[np.float64]:
    """Return the vertical scale length L_w = h of Dryden turbulence.

    Parameters
    ----------
    height_agl_m
        Height above ground, 3.048 to 304.8 m. [m]

    Returns
    -------
    NDArray[np.float64]
        L_w in the convention of MIL-F-8785C; MIL-HDBK-1797 halves it (MEMORY). [m]

    Raises
    ------
    ValueError
        If a height is NaN or outside that range.

    References
    ----------
    MIL-F-8785C, low-altitude model (formula FOUND via two public implementations).
    """
    return within("height_agl_m", height_agl_m, DRYDEN_LOWEST_M, DRYDEN_HIGHEST_M)


def horizontal_scale_length(height_agl_m: ArrayLike) -> NDArray[np.float64]:
    """Return the horizontal scale lengths L_u = L_v = h / (0.177 + 0.000823 h_ft)^1.2.

    Parameters
    ----------
    height_agl_m
        Height above ground, 3.048 to 304.8 m. [m]

    Returns
    -------
    NDArray[np.float64]
        L_u and L_v in the convention of MIL-F-8785C. [m]

    Raises
    ------
    ValueError
        If a height is NaN or outside that range.

    References
    ----------
    As for `vertical_scale_length`.
    """
    return vertical_scale_length(height_agl_m) / _shape(height_agl_m) ** _LENGTH_EXPONENT


def vertical_gust_sd(wind_at_20_ft_m_s: ArrayLike) -> NDArray[np.float64]:
    """Return the vertical intensity sigma_w, a tenth of the wind at 20 ft.

    Parameters
    ----------
    wind_at_20_ft_m_s
        Mean wind 20 ft (6.1 m) above ground, not negative; 15, 30 and 45 kt are the standard's
        light, moderate and severe turbulence. [m/s]

    Returns
    -------
    NDArray[np.float64]
        Standard deviation of the vertical gust, the same at every height of the model. [m/s]

    Raises
    ------
    ValueError
        If a wind is NaN or negative.

    References
    ----------
    As for `vertical_scale_length`.
    """
    return _VERTICAL_INTENSITY * not_negative("wind_at_20_ft_m_s", wind_at_20_ft_m_s)


def horizontal_gust_sd(
    height_agl_m: ArrayLike, wind_at_20_ft_m_s: ArrayLike
) -> NDArray[np.float64]:
    """Return the horizontal intensities sigma_u = sigma_v.

    Parameters
    ----------
    height_agl_m
        Height above ground, 3.048 to 304.8 m. [m]
    wind_at_20_ft_m_s
        As for `vertical_gust_sd`. [m/s]

    Returns
    -------
    NDArray[np.float64]
        Standard deviation of each horizontal gust component. [m/s]

    Raises
    ------
    ValueError
        If a value is NaN or outside the range above.

    References
    ----------
    As for `vertical_scale_length`: sigma_u = sigma_w / (0.177 + 0.000823 h_ft)^0.4.
    """
    return vertical_gust_sd(wind_at_20_ft_m_s) / _shape(height_agl_m) ** _INTENSITY_EXPONENT


def _shape(height_agl_m: ArrayLike) -> NDArray[np.float64]:
    height = within("height_agl_m", height_agl_m, DRYDEN_LOWEST_M, DRYDEN_HIGHEST_M)
    return _SHAPE_CONSTANT + _SHAPE_SLOPE_PER_FT * (height / FOOT_M)


class Exposure(Enum):
    """What the wind blew over before it arrived."""

    IN_LAND = "roughly open land"
    OFF_LAND = "coast, wind from the land"


# 3 s gust over the mean wind, by averaging period in seconds. B. A. Harper, J. D. Kepert,
# J. D. Ginger, WMO/TD-No. 1555, 2010 (FOUND in a script that cites it). Written for strong
# winds: in light, thermal winds the true factor is larger. Durst's curve has 1.53 over an hour
# in open terrain (FOUND), an eighth lower than the in-land row.
GUST_FACTORS: Mapping[Exposure, Mapping[float, float]] = MappingProxyType(
    {
        Exposure.IN_LAND: MappingProxyType(
            {60.0: 1.49, 120.0: 1.55, 180.0: 1.58, 600.0: 1.66, 3600.0: 1.75}
        ),
        Exposure.OFF_LAND: MappingProxyType(
            {60.0: 1.36, 120.0: 1.42, 180.0: 1.44, 600.0: 1.52, 3600.0: 1.60}
        ),
    }
)


def gust_from_mean(
    mean_wind_m_s: ArrayLike, averaging_period_s: float, exposure: Exposure = Exposure.IN_LAND
) -> NDArray[np.float64]:
    """Return the 3 s gust to expect where only a mean wind is known.

    Parameters
    ----------
    mean_wind_m_s
        Mean wind at 10 m, not negative. [m/s]
    averaging_period_s
        Period of that mean: 60, 120, 180, 600 or 3600 s. [s]
    exposure
        What the wind blew over.

    Returns
    -------
    NDArray[np.float64]
        Gust of 3 s. [m/s]

    Raises
    ------
    ValueError
        If a wind is NaN or negative, or the period is not in the table.

    References
    ----------
    WMO/TD-No. 1555, as for `GUST_FACTORS`.
    """
    mean = not_negative("mean_wind_m_s", mean_wind_m_s)
    factors = GUST_FACTORS[exposure]
    if averaging_period_s not in factors:
        known = ", ".join(f"{period:g}" for period in factors)
        raise ValueError(f"averaging_period_s {averaging_period_s:g} s is not one of {known} s")
    return mean * factors[averaging_period_s]
