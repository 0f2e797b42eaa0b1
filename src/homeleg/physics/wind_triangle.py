"""The wind triangle: ground velocity is air velocity plus the motion of the air.

Angles are true, clockwise from north; vectors are east and north components.

References
----------
S1: V_ground = V_air + W; sin(wind correction) = (W / V) sin(wind from - course). FOUND in every
    navigation text; check values from the War Department's Mathematics for Air Crew Trainees, 1942.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.physics.validity import finite, positive

__all__ = ["head_and_cross_wind", "track_solution", "wind_components"]


def wind_components(
    wind_speed_m_s: ArrayLike, wind_from_true_rad: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the motion of the air for a wind named by where it blows FROM.

    Parameters
    ----------
    wind_speed_m_s
        Wind speed. [m/s]
    wind_from_true_rad
        Direction the wind blows from, clockwise from true north. [rad]

    Returns
    -------
    tuple[NDArray[np.float64], NDArray[np.float64]]
        Eastward and northward speed of the air, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If a value is NaN or infinite.

    References
    ----------
    S1.
    """
    speed = finite("wind_speed_m_s", wind_speed_m_s)
    wind_from = finite("wind_from_true_rad", wind_from_true_rad)
    return -speed * np.sin(wind_from), -speed * np.cos(wind_from)


def track_solution(
    true_airspeed_m_s: ArrayLike,
    course_true_rad: ArrayLike,
    wind_east_m_s: ArrayLike,
    wind_north_m_s: ArrayLike,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the ground speed on a course and the crab angle that holds it.

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed, level flight. [m/s]
    course_true_rad
        Course over the ground, clockwise from true north. [rad]
    wind_east_m_s, wind_north_m_s
        Motion of the air. [m/s]

    Returns
    -------
    tuple[NDArray[np.float64], NDArray[np.float64]]
        Ground speed along the course [m/s] and crab = heading - course, right positive, within
        +/- pi/2 [rad]. The ground speed is negative where the head wind carries the aircraft
        backwards along the course.

    Raises
    ------
    ValueError
        If the airspeed is not above 0, an input is not finite, or the wind across the course
        exceeds the airspeed anywhere: no heading holds that course.

    References
    ----------
    S1.
    """
    airspeed = positive("true_airspeed_m_s", true_airspeed_m_s)
    course = finite("course_true_rad", course_true_rad)
    wind_east = finite("wind_east_m_s", wind_east_m_s)
    wind_north = finite("wind_north_m_s", wind_north_m_s)
    along = wind_east * np.sin(course) + wind_north * np.cos(course)
    across = wind_east * np.cos(course) - wind_north * np.sin(course)
    sine = -across / airspeed
    blown_off = np.abs(sine) > 1.0
    if np.any(blown_off):
        raise ValueError(
            f"the wind across the course exceeds true_airspeed_m_s in {np.sum(blown_off)} cases "
            f"(worst {np.max(np.abs(sine)):.2f} of the airspeed): no heading holds the course"
        )
    crab = np.arcsin(sine)
    return airspeed * np.cos(crab) + along, crab


def head_and_cross_wind(
    wind_from_true_rad: ArrayLike, wind_speed_m_s: ArrayLike, runway_true_rad: ArrayLike
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the wind along and across a runway direction.

    Parameters
    ----------
    wind_from_true_rad
        Direction the wind blows from. [rad]
    wind_speed_m_s
        Wind speed. [m/s]
    runway_true_rad
        Direction of take-off or landing, same north as the wind. [rad]

    Returns
    -------
    tuple[NDArray[np.float64], NDArray[np.float64]]
        Head wind (tail wind negative) and cross wind (from the right positive). [m/s]

    Raises
    ------
    ValueError
        If a value is NaN or infinite.

    References
    ----------
    S1.
    """
    speed = finite("wind_speed_m_s", wind_speed_m_s)
    angle = finite("wind_from_true_rad", wind_from_true_rad) - finite(
        "runway_true_rad", runway_true_rad
    )
    return speed * np.cos(angle), speed * np.sin(angle)
