"""What a radio link loses on its way: distance, and ground that stands in it."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.foundation.constants import SPEED_OF_LIGHT_M_S
from homeleg.physics.validity import finite, not_negative, positive

__all__ = [
    "earth_bulge",
    "free_space_loss",
    "fresnel_radius",
    "knife_edge_loss",
    "knife_edge_parameter",
    "level_dbm",
]

# Four thirds of the earth's radius, to take where nothing better is known. FOUND (P.526).
_EFFECTIVE_EARTH_RADIUS_M = 8_500e3
# Below this parameter the published formula takes the edge to cost nothing. FOUND (P.526).
_LOWEST_PARAMETER = -0.78


def level_dbm(power_w: ArrayLike) -> NDArray[np.float64]:
    """Return a power as a level.

    Parameters
    ----------
    power_w
        Power, above 0, any shape. [W]

    Returns
    -------
    NDArray[np.float64]
        Level over one milliwatt, same shape. [dBm]

    Raises
    ------
    ValueError
        If a value is NaN, zero or negative.

    References
    ----------
    Definition of the decibel over one milliwatt.
    """
    return np.asarray(10.0 * np.log10(positive("power_w", power_w) / 1e-3))


def free_space_loss(frequency_hz: ArrayLike, distance_m: ArrayLike) -> NDArray[np.float64]:
    """Return the loss between isotropic antennas with nothing in between.

    Parameters
    ----------
    frequency_hz, distance_m
        Frequency and distance, above 0, shapes that broadcast. [Hz, m]

    Returns
    -------
    NDArray[np.float64]
        Free-space basic transmission loss. [dB]

    Raises
    ------
    ValueError
        If a value is NaN, zero or negative.

    References
    ----------
    ITU-R P.525 (FOUND, with the rounded constant 32.4 dB at 1 MHz and 1 km; here the exact one,
    from 4 pi d / wavelength).
    """
    wavelength_m = SPEED_OF_LIGHT_M_S / positive("frequency_hz", frequency_hz)
    turns = positive("distance_m", distance_m) / wavelength_m
    return np.asarray(20.0 * np.log10(4.0 * np.pi * turns))


def fresnel_radius(
    to_one_end_m: ArrayLike, to_other_end_m: ArrayLike, wavelength_m: ArrayLike
) -> NDArray[np.float64]:
    """Return the radius of the first Fresnel zone at a point of a path.

    Parameters
    ----------
    to_one_end_m, to_other_end_m
        Distances from the point to both ends, above 0, shapes that broadcast. [m]
    wavelength_m
        Wavelength, above 0. [m]

    Returns
    -------
    NDArray[np.float64]
        Radius across the path. [m]

    Raises
    ------
    ValueError
        If a value is NaN, zero or negative.

    References
    ----------
    ITU-R P.526, the exact form of eq. 3 (FOUND; its practical form with 550 lies 0.45 % higher).
    """
    d1 = positive("to_one_end_m", to_one_end_m)
    d2 = positive("to_other_end_m", to_other_end_m)
    return np.sqrt(positive("wavelength_m", wavelength_m) * d1 * d2 / (d1 + d2))


def knife_edge_parameter(above_line_m: ArrayLike, radius_m: ArrayLike) -> NDArray[np.float64]:
    """Return the diffraction parameter of an edge near the line between two antennas.

    Parameters
    ----------
    above_line_m
        Height of the edge above that line, negative below it. [m]
    radius_m
        Radius of the first Fresnel zone there, above 0, see `fresnel_radius`. [m]

    Returns
    -------
    NDArray[np.float64]
        The parameter, without a unit, of the sign of `above_line_m`.

    Raises
    ------
    ValueError
        If a height is not finite or a radius NaN, zero or negative.

    References
    ----------
    ITU-R P.526: v = h sqrt(2/wavelength (1/d1 + 1/d2)) (FOUND), which is sqrt(2) h / radius.
    """
    height_m = finite("above_line_m", above_line_m)
    return np.asarray(np.sqrt(2.0) * height_m / positive("radius_m", radius_m))


def knife_edge_loss(parameter: ArrayLike) -> NDArray[np.float64]:
    """Return what one sharp edge costs beyond free space.

    Parameters
    ----------
    parameter
        Diffraction parameter, finite, any shape, see `knife_edge_parameter`.

    Returns
    -------
    NDArray[np.float64]
        Diffraction loss, 0 for an edge clear below the line; within 0.13 dB of the exact Fresnel
        integrals from -0.5 to 10. [dB]

    Raises
    ------
    ValueError
        If a value is not finite.

    References
    ----------
    ITU-R P.526, the approximation of J(v) for v > -0.78 (FOUND).
    """
    v = finite("parameter", parameter)
    from_edge = np.maximum(v, _LOWEST_PARAMETER) - 0.1
    loss_db = 6.9 + 20.0 * np.log10(np.sqrt(from_edge**2 + 1.0) + from_edge)
    return np.where(v > _LOWEST_PARAMETER, loss_db, 0.0)


def earth_bulge(to_one_end_m: ArrayLike, to_other_end_m: ArrayLike) -> NDArray[np.float64]:
    """Return how far the bent earth reaches up between two ends of a path.

    Parameters
    ----------
    to_one_end_m, to_other_end_m
        Distances from the point to both ends, 0 or above, shapes that broadcast. [m]

    Returns
    -------
    NDArray[np.float64]
        Height of the bulge over the straight line between both ends' feet. [m]

    Raises
    ------
    ValueError
        If a value is NaN or negative.

    References
    ----------
    ITU-R P.526 annex 1: effective radius 8,500 km when nothing better is known (FOUND); d1 d2 / 2a.
    """
    d1 = not_negative("to_one_end_m", to_one_end_m)
    d2 = not_negative("to_other_end_m", to_other_end_m)
    return np.asarray(d1 * d2 / (2.0 * _EFFECTIVE_EARTH_RADIUS_M))
