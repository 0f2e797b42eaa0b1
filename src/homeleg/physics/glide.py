"""Steady glides and climb paths over the ground, and the energy of straight flight.

References
----------
S1: J. D. Anderson, Introduction to Flight, ch. 6: tan(glide angle) = 1 / (L/D) (FOUND).
S2: climb rate [ft/min] = gradient [ft/NM] x ground speed [kt] / 60, the relation of the FAA
    Aeronautical Information Manual (FOUND via a climb-gradient page); here in SI units.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.physics.validity import finite, positive

__all__ = [
    "energy_height",
    "energy_over_ground",
    "glide_angle",
    "glide_ratio_over_ground",
    "sink_rate",
    "vertical_speed_on_gradient",
]


def glide_angle(glide_ratio: ArrayLike) -> NDArray[np.float64]:
    """Return the angle of the path below the horizon, atan(1 / glide ratio).

    Parameters
    ----------
    glide_ratio
        Distance forward over height lost: CL / CD in still air, or the one over the ground. [1]

    Returns
    -------
    NDArray[np.float64]
        Glide angle, down positive, same shape as the input. [rad]

    Raises
    ------
    ValueError
        If the ratio is not above 0.

    References
    ----------
    S1.
    """
    return np.arctan(1.0 / positive("glide_ratio", glide_ratio))


def sink_rate(true_airspeed_m_s: ArrayLike, glide_ratio: ArrayLike) -> NDArray[np.float64]:
    """Return the rate of descent of a steady glide in still air.

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed along the path. [m/s]
    glide_ratio
        CL / CD at that airspeed. [1]

    Returns
    -------
    NDArray[np.float64]
        Rate of descent, down positive, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If an input is not above 0.

    References
    ----------
    S1: V sin(glide angle), without the small-angle step V CD / CL.
    """
    return positive("true_airspeed_m_s", true_airspeed_m_s) * np.sin(glide_angle(glide_ratio))


def glide_ratio_over_ground(
    true_airspeed_m_s: ArrayLike, sink_rate_m_s: ArrayLike, headwind_m_s: ArrayLike
) -> NDArray[np.float64]:
    """Return the distance over the ground per metre of height lost, in a wind along the way.

    Parameters
    ----------
    true_airspeed_m_s
        True airspeed along the path. [m/s]
    sink_rate_m_s
        Rate of descent, down positive. [m/s]
    headwind_m_s
        Head wind, tail wind negative. [m/s]

    Returns
    -------
    NDArray[np.float64]
        Glide ratio over the ground; negative where the wind carries the aircraft backwards. [1]

    Raises
    ------
    ValueError
        If the airspeed or sink rate is not above 0, or the aircraft sinks faster than it flies.

    References
    ----------
    S1, with the horizontal airspeed sqrt(V^2 - sink^2) less the head wind.
    """
    airspeed = positive("true_airspeed_m_s", true_airspeed_m_s)
    sink = positive("sink_rate_m_s", sink_rate_m_s)
    if np.any(sink > airspeed):
        raise ValueError("sink_rate_m_s exceeds true_airspeed_m_s: no glide path is that steep")
    return (np.sqrt(airspeed**2 - sink**2) - finite("headwind_m_s", headwind_m_s)) / sink


def vertical_speed_on_gradient(
    gradient: ArrayLike, ground_speed_m_s: ArrayLike
) -> NDArray[np.float64]:
    """Return the vertical speed that holds a path gradient over the ground.

    Parameters
    ----------
    gradient
        Height gained per distance over the ground, up positive. [1]
    ground_speed_m_s
        Ground speed, not airspeed: a head wind steepens the path of a given climb rate. [m/s]

    Returns
    -------
    NDArray[np.float64]
        Vertical speed, up positive, in the broadcast shape of the inputs. [m/s]

    Raises
    ------
    ValueError
        If a value is NaN or infinite.

    References
    ----------
    S2.
    """
    return finite("gradient", gradient) * finite("ground_speed_m_s", ground_speed_m_s)


def energy_height(height_amsl_m: ArrayLike, true_airspeed_m_s: ArrayLike) -> NDArray[np.float64]:
    """Return the mechanical energy per unit of weight, h + V^2 / (2 g).

    Parameters
    ----------
    height_amsl_m
        Height above mean sea level. [m]
    true_airspeed_m_s
        True airspeed, in air that does not accelerate. [m/s]

    Returns
    -------
    NDArray[np.float64]
        Energy height: without thrust it never grows in still air. [m]

    Raises
    ------
    ValueError
        If a value is NaN or infinite.

    References
    ----------
    S1, accelerated climb.
    """
    airspeed = finite("true_airspeed_m_s", true_airspeed_m_s)
    return finite("height_amsl_m", height_amsl_m) + airspeed**2 / (2.0 * STANDARD_GRAVITY_M_S2)


def energy_over_ground(
    power_w: ArrayLike, distance_m: ArrayLike, ground_speed_m_s: ArrayLike
) -> NDArray[np.float64]:
    """Return the energy of a straight leg flown at constant power, P x distance / ground speed.

    Parameters
    ----------
    power_w
        Power drawn. [W]
    distance_m
        Length of the leg over the ground. [m]
    ground_speed_m_s
        Ground speed along the leg. [m/s]

    Returns
    -------
    NDArray[np.float64]
        Energy, in the broadcast shape of the inputs. [J]

    Raises
    ------
    ValueError
        If an input is not above 0: at no ground speed the leg never ends.

    References
    ----------
    Definition of power.
    """
    duration = positive("distance_m", distance_m) / positive("ground_speed_m_s", ground_speed_m_s)
    return positive("power_w", power_w) * duration
