"""Coordinated level turns, in still air and carried by a steady wind.

Bank is positive to the right. A turn at constant bank is a circle in the air mass; over the
ground the circle is carried by the wind, a trochoid. Height, airspeed and wind are constant, and
the bank is taken as reached at once: the roll in and out is left out.

References
----------
S1: SFTE Flight Test Engineering Reference Handbook, ch. 12, Level Turn Performance (FOUND).
S2: R tan(delta / 2), distance of turn anticipation, e.g. ICAO Doc 8168 (MEMORY); plane geometry.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.physics.validity import finite, positive, within
from homeleg.physics.wind_triangle import track_solution

__all__ = [
    "bank_for_ground_circle",
    "constant_bank_turn_displacement",
    "fly_by_distances",
    "load_factor",
    "stall_speed_factor",
    "turn_lead_in_still_air",
    "turn_radius",
    "turn_rate",
]

_FULL_TURN_RAD = 2.0 * np.pi
# A heading change this little short of a full turn is the rounding of no change at all.
_HEADING_ROUNDING_RAD = 1e-9
# Two courses closer to parallel than this have no corner to fly by.
_LEAST_CORNER_SINE = 1e-6


def load_factor(bank_rad: ArrayLike) -> NDArray[np.float64]:
    """Return the load factor of a level turn, 1 / cos(bank).

    Parameters
    ----------
    bank_rad
        Bank angle, any shape, right positive. [rad]

    Returns
    -------
    NDArray[np.float64]
        Lift over weight. [1]

    Raises
    ------
    ValueError
        If the bank is NaN or not between -90 and 90 deg: no level turn exists there.

    References
    ----------
    S1.
    """
    return 1.0 / np.cos(_level_bank(bank_rad))


def stall_speed_factor(load_factor: ArrayLike) -> NDArray[np.float64]:
    """Return the stall speed at a load factor over the one at 1 g, sqrt(n).

    Parameters
    ----------
    load_factor
        Lift over weight, above 0. [1]

    Returns
    -------
    NDArray[np.float64]
        Ratio of stall speeds. [1]

    Raises
    ------
    ValueError
        If the load factor is not above 0.

    References
    ----------
    S1.
    """
    return np.sqrt(positive("load_factor", load_factor))


def turn_radius(true_airspeed_m_s: ArrayLike, bank_rad: ArrayLike) -> NDArray[np.float64]:
    """Return the radius of a level turn in the air mass, V^2 / (g tan|bank|).

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed. [m/s]
    bank_rad
        Bank angle, not zero. [rad]

    Returns
    -------
    NDArray[np.float64]
        Radius, in the broadcast shape of the inputs. [m]

    Raises
    ------
    ValueError
        If the airspeed is not above 0, or the bank is zero (straight flight) or not between -90
        and 90 deg.

    References
    ----------
    S1.
    """
    airspeed = positive("true_airspeed_m_s", true_airspeed_m_s)
    bank = positive("abs(bank_rad)", np.abs(_level_bank(bank_rad)))
    return airspeed**2 / (STANDARD_GRAVITY_M_S2 * np.tan(bank))


def turn_rate(true_airspeed_m_s: ArrayLike, bank_rad: ArrayLike) -> NDArray[np.float64]:
    """Return the rate of heading change of a level turn, g tan(bank) / V.

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed. [m/s]
    bank_rad
        Bank angle, right positive. [rad]

    Returns
    -------
    NDArray[np.float64]
        Rate of heading change, right positive, in the broadcast shape of the inputs. [rad/s]

    Raises
    ------
    ValueError
        If the airspeed is not above 0 or the bank not between -90 and 90 deg.

    References
    ----------
    S1.
    """
    airspeed = positive("true_airspeed_m_s", true_airspeed_m_s)
    return STANDARD_GRAVITY_M_S2 * np.tan(_level_bank(bank_rad)) / airspeed


def turn_lead_in_still_air(
    radius_m: ArrayLike, course_change_rad: ArrayLike
) -> NDArray[np.float64]:
    """Return how far before a corner a fly-by turn must begin in still air, R tan(change / 2).

    Parameters
    ----------
    radius_m
        Turn radius. [m]
    course_change_rad
        Change of course, either sign. [rad]

    Returns
    -------
    NDArray[np.float64]
        Lead distance, in the broadcast shape of the inputs. [m]

    Raises
    ------
    ValueError
        If the radius is not above 0 or the change not between -180 and 180 deg.

    References
    ----------
    S2.
    """
    radius = positive("radius_m", radius_m)
    half_change = _level_bank(
        np.asarray(course_change_rad, dtype=np.float64) / 2.0, "course_change_rad / 2"
    )
    return radius * np.tan(np.abs(half_change))


def bank_for_ground_circle(
    true_airspeed_m_s: ArrayLike, wind_speed_along_m_s: ArrayLike, radius_m: ArrayLike
) -> NDArray[np.float64]:
    """Return the bank that holds a circle over the ground where the wind is along the path.

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed. [m/s]
    wind_speed_along_m_s
        Wind along the path, tail wind positive. The whole wind gives the steepest bank of the
        circle, its negative the shallowest. [m/s]
    radius_m
        Radius of the circle over the ground. [m]

    Returns
    -------
    NDArray[np.float64]
        Bank, unsigned, in the broadcast shape of the inputs. [rad]

    Raises
    ------
    ValueError
        If the airspeed, the radius or the ground speed is not above 0.

    References
    ----------
    S1: tan(bank) = (V + W)^2 / (g R).
    """
    airspeed = positive("true_airspeed_m_s", true_airspeed_m_s)
    wind = finite("wind_speed_along_m_s", wind_speed_along_m_s)
    ground_speed = positive("true_airspeed_m_s + wind_speed_along_m_s", airspeed + wind)
    return np.arctan(ground_speed**2 / (STANDARD_GRAVITY_M_S2 * positive("radius_m", radius_m)))


def constant_bank_turn_displacement(
    true_airspeed_m_s: ArrayLike,
    bank_rad: ArrayLike,
    heading_start_rad: ArrayLike,
    heading_end_rad: ArrayLike,
    turn_sign: ArrayLike,
    wind_east_m_s: ArrayLike,
    wind_north_m_s: ArrayLike,
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Return where a level turn at constant bank ends over the ground, and how long it takes.

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed. [m/s]
    bank_rad
        Size of the bank; its sign is ignored, `turn_sign` says which way. [rad]
    heading_start_rad, heading_end_rad
        Headings at the start and the end, true. [rad]
    turn_sign
        +1 for a right turn, -1 for a left turn. The heading change is taken in that sense, from
        0 to less than a full turn.
    wind_east_m_s, wind_north_m_s
        Motion of the air. [m/s]

    Returns
    -------
    tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]
        Displacement east and north [m] and duration [s], in the broadcast shape of the inputs.

    Raises
    ------
    ValueError
        If an input is not finite, the airspeed not above 0, the bank zero or not between -90 and
        90 deg, or a turn sign neither +1 nor -1.

    References
    ----------
    S1: a circle of radius R in the air mass, plus wind times duration.
    """
    start = finite("heading_start_rad", heading_start_rad)
    end = finite("heading_end_rad", heading_end_rad)
    sign = finite("turn_sign", turn_sign)
    if np.any(np.abs(sign) != 1.0):
        raise ValueError("turn_sign must be +1 (right) or -1 (left)")
    radius = turn_radius(true_airspeed_m_s, bank_rad)
    change = np.mod(sign * (end - start), _FULL_TURN_RAD)
    change = np.where(_FULL_TURN_RAD - change < _HEADING_ROUNDING_RAD, 0.0, change)
    duration = change * radius / np.asarray(true_airspeed_m_s, dtype=np.float64)
    air_east = sign * radius * (np.cos(start) - np.cos(end))
    air_north = sign * radius * (np.sin(end) - np.sin(start))
    east = air_east + finite("wind_east_m_s", wind_east_m_s) * duration
    north = air_north + finite("wind_north_m_s", wind_north_m_s) * duration
    return east, north, duration


def fly_by_distances(
    true_airspeed_m_s: ArrayLike,
    bank_rad: ArrayLike,
    course_in_rad: ArrayLike,
    course_out_rad: ArrayLike,
    turn_sign: ArrayLike,
    wind_east_m_s: ArrayLike,
    wind_north_m_s: ArrayLike,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return where a constant-bank turn in wind must begin to roll out on the next leg.

    The aircraft crabs along the first course, turns at constant bank to the heading that crabs
    along the second, and is then exactly on it.

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed. [m/s]
    bank_rad
        Size of the bank. [rad]
    course_in_rad, course_out_rad
        Courses of the leg into and out of the corner. [rad]
    turn_sign
        +1 for a right turn, -1 for a left turn.
    wind_east_m_s, wind_north_m_s
        Motion of the air. [m/s]

    Returns
    -------
    tuple[NDArray[np.float64], NDArray[np.float64]]
        Lead: the turn begins this far before the corner. Roll-out: it ends this far after it.
        Either may be negative in a strong wind or where the turn is made the long way round. [m]

    Raises
    ------
    ValueError
        If the courses are parallel or opposite, the wind across a course exceeds the airspeed, or
        an input is refused by `constant_bank_turn_displacement`.

    References
    ----------
    S1 for the turn; its displacement is decomposed along the two courses.
    """
    course_in = finite("course_in_rad", course_in_rad)
    course_out = finite("course_out_rad", course_out_rad)
    corner_sine = np.sin(course_out - course_in)
    if np.any(np.abs(corner_sine) < _LEAST_CORNER_SINE):
        raise ValueError("course_in_rad and course_out_rad are parallel: no corner to fly by")
    wind = (wind_east_m_s, wind_north_m_s)
    crab_in = track_solution(true_airspeed_m_s, course_in, *wind)[1]
    crab_out = track_solution(true_airspeed_m_s, course_out, *wind)[1]
    east, north, _ = constant_bank_turn_displacement(
        true_airspeed_m_s, bank_rad, course_in + crab_in, course_out + crab_out, turn_sign, *wind
    )
    # (east, north) = lead * unit vector in + rollout * unit vector out, solved by cross products
    lead = (north * np.sin(course_out) - east * np.cos(course_out)) / corner_sine
    rollout = (east * np.cos(course_in) - north * np.sin(course_in)) / corner_sine
    return lead, rollout


def _level_bank(bank_rad: ArrayLike, name: str = "bank_rad") -> NDArray[np.float64]:
    """Return the angle as an array, refusing anything not strictly within a quarter turn."""
    limit = np.nextafter(np.pi / 2.0, 0.0)
    return within(name, bank_rad, -limit, limit)
