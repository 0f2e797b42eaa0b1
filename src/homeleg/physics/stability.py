"""How the lowest air is layered, after Turner, and how wind then grows with height."""

from collections.abc import Mapping
from enum import Enum
from types import MappingProxyType

import numpy as np

from homeleg.foundation.constants import FOOT_M, KNOT_M_S
from homeleg.physics.validity import not_negative, within

__all__ = [
    "CLOUD_HEIGHTS_M",
    "RURAL_EXPONENTS",
    "StabilityClass",
    "day_radiation_index",
    "night_radiation_index",
    "stability_class",
]


class StabilityClass(Enum):
    """Pasquill's classes, very unstable to stable; the EPA counts the seventh as F."""

    A = 1
    B = 2
    C = 3
    D = 4
    E = 5
    F = 6


# Power-law exponents over open country. J. S. Irwin, Atmospheric Environment 13, 1979, and U.S.
# EPA, ISC3 user's guide and EPA-454/R-99-005 section 6.2.5 (FOUND in several public programs
# that cite them).
RURAL_EXPONENTS: Mapping[StabilityClass, float] = MappingProxyType(
    {
        StabilityClass.A: 0.07,
        StabilityClass.B: 0.07,
        StabilityClass.C: 0.10,
        StabilityClass.D: 0.15,
        StabilityClass.E: 0.35,
        StabilityClass.F: 0.55,
    }
)

# D. B. Turner, J. Appl. Meteorol. 3, 1964, as in EPA-454/R-99-005 tables 6-4 to 6-6 (FOUND via an
# encyclopedia and webmet.com). Rows: wind of 0-1, 2-3, 4-5, 6, 7, 8-9, 10, 11 and from 12 kt, told
# in whole knots; columns: net radiation index 4 to -2; 7 counts as 6.
_ROWS_BEGIN_KT = (2, 4, 6, 7, 8, 10, 11, 12)
_CLASSES = (
    (1, 1, 2, 3, 4, 6, 7),
    (1, 2, 2, 3, 4, 6, 7),
    (1, 2, 3, 4, 4, 5, 6),
    (2, 2, 3, 4, 4, 5, 6),
    (2, 2, 3, 4, 4, 4, 5),
    (2, 3, 3, 4, 4, 4, 5),
    (3, 3, 4, 4, 4, 4, 5),
    (3, 3, 4, 4, 4, 4, 4),
    (3, 4, 4, 4, 4, 4, 4),
)
_HIGHEST_INDEX, _LOWEST_INDEX = 4, -2
# Elevation of the sun above which the insolation class is 2, 3, 4 [deg]. FOUND in two programs
# that quote table 6-5.
_INSOLATION_BEGINS_DEG = (15.0, 35.0, 60.0)
_LOW_CLOUD_M, _MIDDLE_CLOUD_M = 7_000.0 * FOOT_M, 16_000.0 * FOOT_M
# A ceiling of each kind, low, middle, high, for those who do not know which it is [m].
CLOUD_HEIGHTS_M = (0.5 * _LOW_CLOUD_M, 0.5 * (_LOW_CLOUD_M + _MIDDLE_CLOUD_M), 6_000.0)


def day_radiation_index(sun_elevation_rad: float, cloud_fraction: float, ceiling_m: float) -> int:
    """Return Turner's net radiation index by day, 0 to 4.

    Parameters
    ----------
    sun_elevation_rad
        Elevation of the sun, a plain number; below the horizon counts as low. [rad]
    cloud_fraction
        Share of the sky in cloud, 0 to 1.
    ceiling_m
        Height of the cloud above ground; does not matter below six tenths. [m]

    Returns
    -------
    int
        0 under low overcast, else 1 (weak sun) to 4 (strong sun).

    Raises
    ------
    ValueError
        If a value is NaN, the cloud outside 0 to 1 or a height below 0.

    References
    ----------
    EPA-454/R-99-005 table 6-6, as for `stability_class`; that overcast above 16 000 ft takes one
    off too is MEMORY.
    """
    elevation_deg = np.degrees(
        within("sun_elevation_rad", sun_elevation_rad, -np.pi / 2.0, np.pi / 2.0)
    )
    if _is_low_overcast(cloud_fraction, ceiling_m):
        return 0
    insolation = 1 + sum(bool(elevation_deg > begins) for begins in _INSOLATION_BEGINS_DEG)
    if cloud_fraction <= 0.5:
        return insolation
    if ceiling_m < _LOW_CLOUD_M:
        insolation -= 2
    elif ceiling_m < _MIDDLE_CLOUD_M:
        insolation -= 1
    return max(insolation - (cloud_fraction >= 1.0), 1)


def night_radiation_index(cloud_fraction: float, ceiling_m: float) -> int:
    """Return Turner's net radiation index by night, -2 to 0.

    Parameters
    ----------
    cloud_fraction, ceiling_m
        As for `day_radiation_index`.

    Returns
    -------
    int
        -2 under a clear sky, -1 under cloud, 0 under low overcast. Night lasts from one hour before
        sunset to one hour after sunrise.

    Raises
    ------
    ValueError
        As for `day_radiation_index`.

    References
    ----------
    EPA-454/R-99-005 table 6-6, as for `stability_class`.
    """
    if _is_low_overcast(cloud_fraction, ceiling_m):
        return 0
    return -2 if cloud_fraction <= 0.4 else -1


def stability_class(wind_10m_m_s: float, net_radiation_index: int) -> StabilityClass:
    """Return the stability class of the lowest air.

    Parameters
    ----------
    wind_10m_m_s
        Mean wind 10 m above ground, a plain number. [m/s]
    net_radiation_index
        See `day_radiation_index` and `night_radiation_index`.

    Returns
    -------
    StabilityClass
        A (very unstable) to F (stable).

    Raises
    ------
    ValueError
        If the wind is NaN or negative, or there is no such index.

    References
    ----------
    D. B. Turner, 1964, as in EPA-454/R-99-005 table 6-4.
    """
    whole_kt = round(float(not_negative("wind_10m_m_s", wind_10m_m_s)) / KNOT_M_S)
    if not _LOWEST_INDEX <= net_radiation_index <= _HIGHEST_INDEX:
        raise ValueError(f"net_radiation_index {net_radiation_index} is not one of -2 to 4")
    row = _CLASSES[sum(whole_kt >= begins for begins in _ROWS_BEGIN_KT)]
    return StabilityClass(min(row[_HIGHEST_INDEX - net_radiation_index], StabilityClass.F.value))


def _is_low_overcast(cloud_fraction: float, ceiling_m: float) -> bool:
    within("cloud_fraction", cloud_fraction, 0.0, 1.0)
    not_negative("ceiling_m", ceiling_m)
    return cloud_fraction >= 1.0 and ceiling_m < _LOW_CLOUD_M
