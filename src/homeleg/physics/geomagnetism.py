"""The earth's magnetic field: how far a compass points aside of true north, and its strength."""

import math
from dataclasses import dataclass
from datetime import UTC, date, datetime

from pygeomag import GeoMag
from pygeomag.wmm.wmm_2025 import WMM_2025

from homeleg.physics.validity import within

__all__ = [
    "COMPASS_FAILS_BELOW_T",
    "COMPASS_POOR_BELOW_T",
    "FIRST_DAY",
    "LAST_DAY",
    "MODEL",
    "MagneticField",
    "decimal_year",
    "is_covered",
    "magnetic_field",
]

MODEL = "WMM2025"
FIRST_DAY, LAST_DAY = date(2025, 1, 1), date(2029, 12, 31)
_FIRST_YEAR, _LAST_YEAR = 2025.0, 2030.0
_LOWEST_M, _HIGHEST_M = -1_000.0, 850_000.0
# Horizontal field below which a compass is poor, and below which it is of no use. FOUND (pygeomag,
# which quotes the model's report).
COMPASS_POOR_BELOW_T, COMPASS_FAILS_BELOW_T = 6_000e-9, 2_000e-9
# One standard deviation of the declination: a part that is the same everywhere, in degrees, and one
# that grows as the horizontal field weakens, in degrees times nT. FOUND (pygeomag, the same).
_EVERYWHERE_DEG, _OVER_HORIZONTAL_DEG_NT = 0.26, 5417.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MagneticField:
    """The field at a place: declination, east positive, and its spread [rad]; strength [T]."""

    declination_rad: float
    declination_sd_rad: float
    horizontal_t: float
    total_t: float


def decimal_year(at: datetime) -> float:
    """Return an aware time as a year with a fraction, the way the model counts it."""
    start = datetime(at.astimezone(UTC).year, 1, 1, tzinfo=UTC)
    return start.year + (at - start) / (start.replace(year=start.year + 1) - start)


def is_covered(at: datetime) -> bool:
    """Return whether the model reaches an aware time."""
    return FIRST_DAY <= at.astimezone(UTC).date() <= LAST_DAY


def magnetic_field(
    latitude_rad: float, longitude_rad: float, height_m: float, year: float
) -> MagneticField:
    """Return the magnetic field of the earth's core.

    Iron, cables and magnetised ground near by are not in it.

    Parameters
    ----------
    latitude_rad, longitude_rad
        Place, geodetic, north and east positive. [rad]
    height_m
        Height above the WGS 84 ellipsoid; above mean sea level is as good here. [m]
    year
        Time as a decimal year, see `decimal_year`.

    Returns
    -------
    MagneticField
        Declination with one standard deviation [rad], horizontal and total strength [T].

    Raises
    ------
    ValueError
        If a value is NaN, the latitude beyond a pole, the longitude beyond 180 degrees, the height
        outside -1 to 850 km or the year outside 2025.0 to 2030.0.

    References
    ----------
    World Magnetic Model 2025, by NOAA and the British Geological Survey, through pygeomag; its
    error model for the declination from the same.
    """
    within("latitude_rad", latitude_rad, -math.pi / 2.0, math.pi / 2.0)
    within("longitude_rad", longitude_rad, -math.pi, math.pi)
    within("height_m", height_m, _LOWEST_M, _HIGHEST_M)
    within("year", year, _FIRST_YEAR, _LAST_YEAR)
    field = GeoMag(coefficients_data=WMM_2025).calculate(
        math.degrees(latitude_rad), math.degrees(longitude_rad), height_m / 1000.0, year
    )
    return MagneticField(
        declination_rad=math.radians(field.d),
        declination_sd_rad=math.radians(
            math.hypot(_EVERYWHERE_DEG, _OVER_HORIZONTAL_DEG_NT / field.h)
        ),
        horizontal_t=field.h * 1e-9,
        total_t=field.f * 1e-9,
    )
