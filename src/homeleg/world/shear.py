"""How wind grows with height: by the layering of the air, and aloft on a stable night."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import product

import numpy as np

from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.mixture import Mixture, mixture_of
from homeleg.physics.stability import (
    CLOUD_HEIGHTS_M,
    RURAL_EXPONENTS,
    StabilityClass,
    day_radiation_index,
    night_radiation_index,
    stability_class,
)
from homeleg.physics.sun import days_since_2000, sun_elevation

__all__ = [
    "ALOFT_DIRECTION_SD_RAD",
    "ALOFT_M",
    "EIGHTHS",
    "SkyState",
    "air_classes",
    "shear_exponent",
    "wind_aloft",
]

EIGHTHS = 8
# Spread of the exponent within a class, and the share of the class told against one beside it:
# an eye sorts the sky into the right class about as often as into a neighbour. Ours.
_WITHIN_CLASS_SD = 0.03
_SHARE_OF_CLASS, _SHARE_BESIDE = 0.5, 0.25
# The upper limb on the horizon, with refraction. Almanac definition (FOUND).
_SUNRISE_RAD = float(np.radians(-50.0 / 60.0))
# Turner's night reaches an hour into the sunlit day (FOUND); the air follows the sun by about
# another hour (ours), so that the class of an hour ago counts as much as that of now.
_NIGHT_REACHES = timedelta(hours=1)
_AIR_FOLLOWS = (timedelta(0), timedelta(hours=1))
# On a stable night the surface is cut off from the wind above it; below a calm the power law says
# nothing. P. Baas and others, J. Appl. Meteorol. Climatol. 48, 2009: low-level jets of 6 to
# 10 m/s, typically 140 to 260 m up, in about 20 % of all nights (FOUND in its abstract); calm and
# clear nights are the likely ones, and J. A. Aird and others, Wind Energ. Sci. 6, 2021, have
# 9.6 m/s at 182 m on average (FOUND in its abstract). So 10 m/s, 9 in 10, at 100 m. Ours.
ALOFT_M = 100.0
_SURFACE_M = 10.0
_ALOFT_NINE_IN_TEN_M_S = 10.0
_LEAST_STABLE_SHARE = 1.0 / 3.0
# Where the jet blows from cannot be seen at the surface: it may be turned by half a right angle,
# and a calm has no direction. Ours.
ALOFT_DIRECTION_SD_RAD = float(np.radians(60.0))
# By day the air is unstable or neutral, by night neutral or stable: no class of the other kind
# stands beside (Turner's table has none).
_DAY_CLASSES = (StabilityClass.A, StabilityClass.D)
_NIGHT_CLASSES = (StabilityClass.D, StabilityClass.F)
_STABLE = (StabilityClass.E, StabilityClass.F)


@dataclass(frozen=True, slots=True, kw_only=True)
class SkyState:
    """Cloud in eighths and its height above ground, None where nobody told."""

    eighths: int | None = None
    ceiling_m: float | None = None


def air_classes(
    at: datetime, latitude_rad: float, longitude_rad: float, sky: SkyState, wind_10m_m_s: float
) -> dict[StabilityClass, float]:
    """Return the classes the lowest air may be in, with weights that add up to one.

    What is not told about the sky is taken in every way it can be; classes beside count too.
    Raises ValueError outside the years the sun is known for.
    """
    amounts = range(EIGHTHS + 1) if sky.eighths is None else (sky.eighths,)
    ceilings_m = CLOUD_HEIGHTS_M if sky.ceiling_m is None else (sky.ceiling_m,)
    seen: Counter[tuple[StabilityClass, bool]] = Counter()
    for lag, eighths, ceiling_m in product(_AIR_FOLLOWS, amounts, ceilings_m):
        night = _is_night(at - lag, latitude_rad, longitude_rad)
        index = _radiation_index(at - lag, latitude_rad, longitude_rad, eighths, ceiling_m)
        seen[stability_class(wind_10m_m_s, index), night] += 1
    weights = dict.fromkeys(StabilityClass, 0.0)
    for (air, night), count in seen.items():
        weights[air] += _SHARE_OF_CLASS * count / seen.total()
        first, last = _NIGHT_CLASSES if night else _DAY_CLASSES
        for beside in (air.value - 1, air.value + 1):
            # Beside the first and the last there is no other: that share stays with them.
            kept = min(max(beside, first.value), last.value)
            weights[StabilityClass(kept)] += _SHARE_BESIDE * count / seen.total()
    return weights


def _is_night(at: datetime, latitude_rad: float, longitude_rad: float) -> bool:
    """Return whether it is night as Turner counts it: an hour into the sunlit day on both sides."""
    nearby = (at - _NIGHT_REACHES, at, at + _NIGHT_REACHES)
    lowest = min(_sun(time, latitude_rad, longitude_rad) for time in nearby)
    return lowest < _SUNRISE_RAD


def _sun(at: datetime, latitude_rad: float, longitude_rad: float) -> float:
    return float(sun_elevation(latitude_rad, longitude_rad, days_since_2000(at)))


def _radiation_index(
    at: datetime, latitude_rad: float, longitude_rad: float, eighths: int, ceiling_m: float
) -> int:
    cloud_fraction = eighths / EIGHTHS
    if _is_night(at, latitude_rad, longitude_rad):
        return night_radiation_index(cloud_fraction, ceiling_m)
    return day_radiation_index(_sun(at, latitude_rad, longitude_rad), cloud_fraction, ceiling_m)


def shear_exponent(classes: dict[StabilityClass, float], basis: Basis) -> Mixture:
    """Return the exponent of wind over height, drawn over all classes the air may be in."""
    weights = dict.fromkeys(RURAL_EXPONENTS.values(), 0.0)
    for air, weight in classes.items():
        weights[RURAL_EXPONENTS[air]] += weight
    return mixture_of(weights, _WITHIN_CLASS_SD, basis)


def wind_aloft(
    classes: dict[StabilityClass, float], exponent: Estimate, wind_10m_m_s: float
) -> Estimate | None:
    """Return the wind at 100 m where a stable surface may hide a stronger one, else None.

    Its middle is the power law's; 9 in 10 are below what such nights bring. Where the power law
    itself reaches as high, nothing is hidden.
    """
    stable_share = sum(classes[air] for air in _STABLE)
    ratio = ALOFT_M / _SURFACE_M
    middle_m_s = wind_10m_m_s * ratio**exponent.value
    reached_m_s = wind_10m_m_s * ratio ** float(exponent.drawn(np.array([NINE_IN_TEN_Z]))[0])
    if stable_share < _LEAST_STABLE_SHARE or reached_m_s >= _ALOFT_NINE_IN_TEN_M_S:
        return None
    sd_m_s = (_ALOFT_NINE_IN_TEN_M_S - middle_m_s) / NINE_IN_TEN_Z
    return Estimate(value=middle_m_s, sd=sd_m_s, basis=Basis.ASSUMED)
