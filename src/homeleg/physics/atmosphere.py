"""Air: the standard troposphere, pressure settings, density of moist air.

Heights are geopotential unless the name says otherwise; below 1 km the two differ by 0.2 m.

References
----------
S1: U.S. Standard Atmosphere, 1976, NASA-TM-X-74335; the same troposphere as ISO 2533:1975.
    FOUND via the SFTE Flight Test Engineering Reference Handbook, ch. 3.
S2: A. L. Buck, New equations for computing vapor pressure and enhancement factor, J. Appl.
    Meteorol. 20, 1981, p. 1527. Constants FOUND via two public implementations that cite it.
S3: ICAO Doc 9837 altimeter-setting equation. FOUND via a public page.
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.foundation import constants as c
from homeleg.physics.validity import positive, within

__all__ = [
    "density_altitude",
    "dynamic_viscosity",
    "geopotential_altitude",
    "isa_density",
    "isa_pressure",
    "isa_temperature",
    "moist_air_density",
    "pressure_altitude",
    "saturation_vapour_pressure",
    "speed_of_sound",
    "station_pressure_from_qnh",
]

_PRESSURE_EXPONENT = c.STANDARD_GRAVITY_M_S2 / (c.AIR_GAS_CONSTANT_J_KG_K * c.ISA_LAPSE_RATE_K_M)
_DENSITY_EXPONENT = _PRESSURE_EXPONENT - 1.0
_TEMPERATURE_LAPSE_HEIGHT_M = c.ISA_SEA_LEVEL_TEMPERATURE_K / c.ISA_LAPSE_RATE_K_M

# Outdoor air on Earth lies well inside; S2 fits its vapour pressure curve over this span (MEMORY).
_COLDEST_K = c.CELSIUS_ZERO_K - 80.0
_HOTTEST_K = c.CELSIUS_ZERO_K + 60.0

# S2, over liquid water: pressure at 0 degC [Pa], slope [1], offset [K].
_BUCK_PRESSURE_PA = 611.21
_BUCK_SLOPE = 17.502
_BUCK_OFFSET_K = 240.97


def isa_temperature(geopotential_altitude_m: ArrayLike) -> NDArray[np.float64]:
    """Return the temperature of the standard atmosphere in the troposphere.

    Parameters
    ----------
    geopotential_altitude_m
        Geopotential altitude above mean sea level, any shape. [m]

    Returns
    -------
    NDArray[np.float64]
        Temperature, same shape as the input. [K]

    Raises
    ------
    ValueError
        If a value is NaN or outside -5000 to 11 000 m: the formula is not valid there.

    References
    ----------
    S1, definition of the layer below 11 km.
    """
    return c.ISA_SEA_LEVEL_TEMPERATURE_K * _temperature_ratio(geopotential_altitude_m)


def isa_pressure(geopotential_altitude_m: ArrayLike) -> NDArray[np.float64]:
    """Return the static pressure of the standard atmosphere in the troposphere.

    Parameters
    ----------
    geopotential_altitude_m
        Geopotential altitude above mean sea level, any shape. [m]

    Returns
    -------
    NDArray[np.float64]
        Static pressure, same shape as the input. [Pa]

    Raises
    ------
    ValueError
        If a value is NaN or outside -5000 to 11 000 m: the formula is not valid there.

    References
    ----------
    S1, eq. 33a (equation number: MEMORY).
    """
    ratio = _temperature_ratio(geopotential_altitude_m)
    return c.ISA_SEA_LEVEL_PRESSURE_PA * ratio**_PRESSURE_EXPONENT


def isa_density(geopotential_altitude_m: ArrayLike) -> NDArray[np.float64]:
    """Return the air density of the standard atmosphere in the troposphere.

    Parameters
    ----------
    geopotential_altitude_m
        Geopotential altitude above mean sea level, any shape. [m]

    Returns
    -------
    NDArray[np.float64]
        Density, same shape as the input. [kg/m3]

    Raises
    ------
    ValueError
        If a value is NaN or outside -5000 to 11 000 m: the formula is not valid there.

    References
    ----------
    S1: rho = p / (R T).
    """
    ratio = _temperature_ratio(geopotential_altitude_m)
    return c.ISA_SEA_LEVEL_DENSITY_KG_M3 * ratio**_DENSITY_EXPONENT


def pressure_altitude(pressure_pa: ArrayLike) -> NDArray[np.float64]:
    """Return the altitude at which the standard atmosphere has this pressure.

    Parameters
    ----------
    pressure_pa
        Static pressure, any shape. [Pa]

    Returns
    -------
    NDArray[np.float64]
        Pressure altitude, geopotential. [m]

    Raises
    ------
    ValueError
        If the altitude would lie outside -5000 to 11 000 m.

    References
    ----------
    S1, inverse of `isa_pressure`.
    """
    highest_pa, lowest_pa = isa_pressure(np.array([c.ISA_LOWEST_M, c.ISA_TROPOPAUSE_M]))
    ratio = within("pressure_pa", pressure_pa, lowest_pa, highest_pa) / c.ISA_SEA_LEVEL_PRESSURE_PA
    return _TEMPERATURE_LAPSE_HEIGHT_M * (1.0 - ratio ** (1.0 / _PRESSURE_EXPONENT))


def density_altitude(density_kg_m3: ArrayLike) -> NDArray[np.float64]:
    """Return the altitude at which the standard atmosphere has this density.

    Parameters
    ----------
    density_kg_m3
        Air density, any shape. [kg/m3]

    Returns
    -------
    NDArray[np.float64]
        Density altitude, geopotential. [m]

    Raises
    ------
    ValueError
        If the altitude would lie outside -5000 to 11 000 m.

    References
    ----------
    S1, inverse of `isa_density`.
    """
    highest, lowest = isa_density(np.array([c.ISA_LOWEST_M, c.ISA_TROPOPAUSE_M]))
    density = within("density_kg_m3", density_kg_m3, lowest, highest)
    ratio = density / c.ISA_SEA_LEVEL_DENSITY_KG_M3
    return _TEMPERATURE_LAPSE_HEIGHT_M * (1.0 - ratio ** (1.0 / _DENSITY_EXPONENT))


def speed_of_sound(temperature_k: ArrayLike) -> NDArray[np.float64]:
    """Return the speed of sound in dry air, sqrt(gamma R T).

    Parameters
    ----------
    temperature_k
        Air temperature, any shape. [K]

    Returns
    -------
    NDArray[np.float64]
        Speed of sound. [m/s]

    Raises
    ------
    ValueError
        If a value is NaN or outside -80 to 60 degC.

    References
    ----------
    S1.
    """
    temperature = within("temperature_k", temperature_k, _COLDEST_K, _HOTTEST_K)
    return np.sqrt(c.RATIO_OF_SPECIFIC_HEATS * c.AIR_GAS_CONSTANT_J_KG_K * temperature)


def dynamic_viscosity(temperature_k: ArrayLike) -> NDArray[np.float64]:
    """Return the dynamic viscosity of air by Sutherland's law.

    Parameters
    ----------
    temperature_k
        Air temperature, any shape. [K]

    Returns
    -------
    NDArray[np.float64]
        Dynamic viscosity. [Pa s]

    Raises
    ------
    ValueError
        If a value is NaN or outside -80 to 60 degC.

    References
    ----------
    S1, with the constants of the 1976 standard.
    """
    temperature = within("temperature_k", temperature_k, _COLDEST_K, _HOTTEST_K)
    return (
        c.SUTHERLAND_CONSTANT_PA_S_K05
        * temperature**1.5
        / (temperature + c.SUTHERLAND_TEMPERATURE_K)
    )


def saturation_vapour_pressure(temperature_k: ArrayLike) -> NDArray[np.float64]:
    """Return the saturation pressure of water vapour over liquid water.

    Parameters
    ----------
    temperature_k
        Air temperature, any shape. [K]

    Returns
    -------
    NDArray[np.float64]
        Saturation vapour pressure. [Pa]

    Raises
    ------
    ValueError
        If a value is NaN or outside -80 to 60 degC.

    References
    ----------
    S2, without the enhancement factor for air pressure (0.4 % of the vapour pressure).
    """
    celsius = within("temperature_k", temperature_k, _COLDEST_K, _HOTTEST_K) - c.CELSIUS_ZERO_K
    return _BUCK_PRESSURE_PA * np.exp(_BUCK_SLOPE * celsius / (_BUCK_OFFSET_K + celsius))


def moist_air_density(
    pressure_pa: ArrayLike, temperature_k: ArrayLike, relative_humidity_fraction: ArrayLike
) -> NDArray[np.float64]:
    """Return the density of moist air: dry air and water vapour, each an ideal gas.

    Parameters
    ----------
    pressure_pa
        Static pressure. [Pa]
    temperature_k
        Air temperature. [K]
    relative_humidity_fraction
        Relative humidity over liquid water, 0 to 1.

    Returns
    -------
    NDArray[np.float64]
        Density, in the broadcast shape of the inputs. [kg/m3]

    Raises
    ------
    ValueError
        If the pressure is not above 0, the humidity outside 0 to 1 or the temperature outside
        -80 to 60 degC.

    References
    ----------
    Dalton's law: rho = (p - e) / (R_d T) + e / (R_v T), with the vapour pressure e by S2.
    """
    pressure = positive("pressure_pa", pressure_pa)
    humidity = within("relative_humidity_fraction", relative_humidity_fraction, 0.0, 1.0)
    temperature = np.asarray(temperature_k, dtype=np.float64)
    vapour_pa = humidity * saturation_vapour_pressure(temperature)
    dry_part = (pressure - vapour_pa) / c.AIR_GAS_CONSTANT_J_KG_K
    return (dry_part + vapour_pa / c.WATER_VAPOUR_GAS_CONSTANT_J_KG_K) / temperature


def station_pressure_from_qnh(qnh_pa: ArrayLike, elevation_m: ArrayLike) -> NDArray[np.float64]:
    """Return the pressure at a station whose altimeter, set to QNH, reads its elevation.

    Parameters
    ----------
    qnh_pa
        Altimeter setting. [Pa]
    elevation_m
        Elevation of the station above mean sea level. [m]

    Returns
    -------
    NDArray[np.float64]
        Static pressure at the station. [Pa]

    Raises
    ------
    ValueError
        If the station would lie outside -5000 to 11 000 m of pressure altitude.

    References
    ----------
    S3. Not the inverse of a sea-level pressure (QFF), which is another reduction.
    """
    return isa_pressure(pressure_altitude(qnh_pa) + np.asarray(elevation_m, dtype=np.float64))


def geopotential_altitude(geometric_altitude_m: ArrayLike) -> NDArray[np.float64]:
    """Return the geopotential altitude of a geometric one, r Z / (r + Z).

    Parameters
    ----------
    geometric_altitude_m
        Height above mean sea level as a tape would measure it, any shape. [m]

    Returns
    -------
    NDArray[np.float64]
        Geopotential altitude. [m]

    Raises
    ------
    ValueError
        If a value is NaN or outside -5000 to 11 000 m.

    References
    ----------
    S1.
    """
    geometric = within(
        "geometric_altitude_m", geometric_altitude_m, c.ISA_LOWEST_M, c.ISA_TROPOPAUSE_M
    )
    radius = c.GEOPOTENTIAL_EARTH_RADIUS_M
    return radius * geometric / (radius + geometric)


def _temperature_ratio(geopotential_altitude_m: ArrayLike) -> NDArray[np.float64]:
    """Return T / T0 of the standard troposphere, refusing altitudes outside it."""
    altitude_m = within(
        "geopotential_altitude_m", geopotential_altitude_m, c.ISA_LOWEST_M, c.ISA_TROPOPAUSE_M
    )
    return 1.0 - altitude_m / _TEMPERATURE_LAPSE_HEIGHT_M
