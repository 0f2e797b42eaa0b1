"""Where the sun stands, and when it next passes a height."""

from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.physics.validity import within

__all__ = [
    "CIVIL_TWILIGHT_RAD",
    "FIRST_YEAR",
    "LAST_YEAR",
    "SUNRISE_RAD",
    "days_since_2000",
    "next_passing",
    "sun_elevation",
    "sun_position",
]

# The formula is meant for these years. FOUND.
FIRST_YEAR, LAST_YEAR = 1950, 2050
_EPOCH = datetime(2000, 1, 1, 12, tzinfo=UTC)
_SECONDS_PER_DAY = 86_400.0
# Elevation of the sun's centre at sunrise and sunset: the upper limb on a level horizon, refraction
# included (zenith distance 90 deg 50'), and where civil twilight ends. FOUND (NOAA, USNO).
SUNRISE_RAD = np.radians(-50.0 / 60.0)
CIVIL_TWILIGHT_RAD = np.radians(-6.0)
# Of a day looked at for a passing: the sun moves evenly enough between two of these. [s]
_EVERY_S = 60.0


def days_since_2000(at: datetime) -> float:
    """Return the days from 2000-01-01 12:00 UTC to an aware time."""
    return (at - _EPOCH).total_seconds() / _SECONDS_PER_DAY


def sun_elevation(
    latitude_rad: ArrayLike, longitude_rad: ArrayLike, days: ArrayLike
) -> NDArray[np.float64]:
    """Return the elevation of the sun's centre above a level horizon, without refraction. [rad].

    Arguments, errors and source are those of `sun_position`.
    """
    return sun_position(latitude_rad, longitude_rad, days)[1]


def sun_position(
    latitude_rad: ArrayLike, longitude_rad: ArrayLike, days: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return azimuth and elevation of the sun's centre, without refraction.

    Parameters
    ----------
    latitude_rad, longitude_rad
        Place, north and east positive. [rad]
    days
        Days since 2000-01-01 12:00 UTC, see `days_since_2000`. [d]

    Returns
    -------
    tuple of NDArray[np.float64]
        Azimuth from true north over east, 0 to 2 pi, and elevation above a level horizon, below it
        negative. [rad]

    Raises
    ------
    ValueError
        If a value is NaN, the latitude beyond a pole, the longitude beyond 180 degrees or the time
        outside the years 1950 to 2050.

    References
    ----------
    The Astronomical Almanac 1996, page C24: low-precision position of the sun, 0.01 deg in those
    years (FOUND via stargazing.net/kepler/sun.html). Sidereal time at Greenwich: MEMORY, held
    against published sunrises.
    """
    latitude = within("latitude_rad", latitude_rad, -np.pi / 2.0, np.pi / 2.0)
    longitude = within("longitude_rad", longitude_rad, -np.pi, np.pi)
    first, last = (
        days_since_2000(datetime(year, 1, 1, tzinfo=UTC)) for year in (FIRST_YEAR, LAST_YEAR + 1)
    )
    d = within("days since 2000", days, first, last)
    mean_longitude = np.radians(280.461 + 0.9856474 * d)
    mean_anomaly = np.radians(357.528 + 0.9856003 * d)
    ecliptic_longitude = mean_longitude + np.radians(
        1.915 * np.sin(mean_anomaly) + 0.020 * np.sin(2.0 * mean_anomaly)
    )
    obliquity = np.radians(23.439 - 0.0000004 * d)
    # The sun's direction: towards the equinox, a quarter turn east of it, towards the pole.
    equinox = np.cos(ecliptic_longitude)
    quarter = np.cos(obliquity) * np.sin(ecliptic_longitude)
    pole = np.sin(obliquity) * np.sin(ecliptic_longitude)
    hour_angle = np.radians(280.46062 + 360.9856474 * d) + longitude - np.arctan2(quarter, equinox)
    # The same in the place's own directions.
    south = np.hypot(equinox, quarter) * np.cos(hour_angle)
    west = np.hypot(equinox, quarter) * np.sin(hour_angle)
    north = np.cos(latitude) * pole - np.sin(latitude) * south
    up = np.sin(latitude) * pole + np.cos(latitude) * south
    azimuth = np.arctan2(-west, north) % (2.0 * np.pi)
    return np.asarray(azimuth), np.asarray(np.arctan2(up, np.hypot(north, west)))


def next_passing(
    latitude_rad: float,
    longitude_rad: float,
    after: datetime,
    elevation_rad: float,
    *,
    rising: bool,
) -> datetime | None:
    """Return when the sun next passes an elevation, rising or setting, within a day.

    Parameters
    ----------
    latitude_rad, longitude_rad
        Place, north and east positive. [rad]
    after
        Aware time from which on to look, so that no calendar date of any zone plays a part.
    elevation_rad
        Elevation of the sun's centre, such as `SUNRISE_RAD`. [rad]
    rising
        Whether the sun comes up through it or goes down.

    Returns
    -------
    datetime or None
        The time, None where the sun does not pass that elevation in the next 24 hours. [UTC]

    Raises
    ------
    ValueError
        As `sun_position`.

    References
    ----------
    As `sun_position`; the passing is found between two whole minutes by a straight line.
    """
    seconds = np.arange(0.0, _SECONDS_PER_DAY + _EVERY_S, _EVERY_S)
    days = days_since_2000(after) + seconds / _SECONDS_PER_DAY
    above = sun_elevation(latitude_rad, longitude_rad, days) - elevation_rad
    passes = (above[:-1] < 0.0) & (above[1:] >= 0.0)
    if not rising:
        passes = (above[:-1] >= 0.0) & (above[1:] < 0.0)
    if not np.any(passes):
        return None
    k = int(np.argmax(passes))
    share = float(above[k] / (above[k] - above[k + 1]))
    return after + timedelta(seconds=float(seconds[k]) + share * _EVERY_S)
