"""How high the sun stands."""

from datetime import UTC, datetime

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.physics.validity import within

__all__ = ["FIRST_YEAR", "LAST_YEAR", "days_since_2000", "sun_elevation"]

# The formula is meant for these years. FOUND.
FIRST_YEAR, LAST_YEAR = 1950, 2050
_EPOCH = datetime(2000, 1, 1, 12, tzinfo=UTC)
_SECONDS_PER_DAY = 86_400.0


def days_since_2000(at: datetime) -> float:
    """Return the days from 2000-01-01 12:00 UTC to an aware time."""
    return (at - _EPOCH).total_seconds() / _SECONDS_PER_DAY


def sun_elevation(
    latitude_rad: ArrayLike, longitude_rad: ArrayLike, days: ArrayLike
) -> NDArray[np.float64]:
    """Return the elevation of the sun's centre above a level horizon, without refraction.

    Parameters
    ----------
    latitude_rad, longitude_rad
        Place, north and east positive. [rad]
    days
        Days since 2000-01-01 12:00 UTC, see `days_since_2000`. [d]

    Returns
    -------
    NDArray[np.float64]
        Elevation, below the horizon negative. [rad]

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
    declination = np.arcsin(np.sin(obliquity) * np.sin(ecliptic_longitude))
    right_ascension = np.arctan2(
        np.cos(obliquity) * np.sin(ecliptic_longitude), np.cos(ecliptic_longitude)
    )
    hour_angle = np.radians(280.46062 + 360.9856474 * d) + longitude - right_ascension
    return np.asarray(
        np.arcsin(
            np.clip(
                np.sin(latitude) * np.sin(declination)
                + np.cos(latitude) * np.cos(declination) * np.cos(hour_angle),
                -1.0,
                1.0,
            )
        )
    )
