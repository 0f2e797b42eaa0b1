"""Properties of the atmosphere: round trips, monotony, refusals."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from homeleg.physics import atmosphere as air

ALTITUDE_M = st.floats(-4_999.0, 10_999.0)
TEMPERATURE_K = st.floats(230.0, 320.0)


@given(ALTITUDE_M)
def test_pressure_altitude_undoes_pressure(altitude_m: float) -> None:
    assert air.pressure_altitude(air.isa_pressure(altitude_m)) == pytest.approx(
        altitude_m, abs=1e-6
    )


@given(ALTITUDE_M)
def test_density_altitude_undoes_density(altitude_m: float) -> None:
    assert air.density_altitude(air.isa_density(altitude_m)) == pytest.approx(altitude_m, abs=1e-6)


@given(ALTITUDE_M)
def test_standard_density_is_that_of_dry_air_at_standard_pressure(altitude_m: float) -> None:
    dry = air.moist_air_density(air.isa_pressure(altitude_m), air.isa_temperature(altitude_m), 0.0)
    assert dry == pytest.approx(air.isa_density(altitude_m), rel=1e-7)


@given(st.floats(95_000.0, 105_000.0), st.floats(0.0, 4_000.0), st.floats(1.0, 500.0))
def test_station_pressure_falls_with_elevation(
    qnh_pa: float, elevation_m: float, higher_by_m: float
) -> None:
    lower, higher = air.station_pressure_from_qnh(
        qnh_pa, np.array([elevation_m, elevation_m + higher_by_m])
    )
    assert lower > higher


@given(st.floats(95_000.0, 105_000.0))
def test_station_at_sea_level_has_the_qnh(qnh_pa: float) -> None:
    assert air.station_pressure_from_qnh(qnh_pa, 0.0) == pytest.approx(qnh_pa, rel=1e-12)


@given(TEMPERATURE_K, st.floats(0.0, 0.9), st.floats(0.01, 0.1))
def test_damper_air_is_lighter(temperature_k: float, humidity: float, more: float) -> None:
    drier, damper = air.moist_air_density(
        90_000.0, temperature_k, np.array([humidity, humidity + more])
    )
    assert damper < drier


def test_vapour_pressure_at_freezing_is_the_constant_of_its_formula() -> None:
    assert air.saturation_vapour_pressure(273.15) == pytest.approx(611.21, abs=1e-9)


def test_arrays_keep_their_shape() -> None:
    altitudes_m = np.zeros((2, 3))
    for law in (air.isa_temperature, air.isa_pressure, air.isa_density, air.geopotential_altitude):
        assert law(altitudes_m).shape == (2, 3)


@pytest.mark.parametrize(
    "law",
    [air.isa_temperature, air.isa_pressure, air.isa_density, air.geopotential_altitude],
)
@pytest.mark.parametrize("altitude_m", [11_000.1, -5_000.1, np.nan])
def test_altitudes_outside_the_troposphere_are_refused(
    law: Callable[[float], NDArray[np.float64]], altitude_m: float
) -> None:
    with pytest.raises(ValueError, match=r"altitude_m holds .* valid is -5000 to 11000"):
        law(altitude_m)


@pytest.mark.parametrize(
    "law", [air.speed_of_sound, air.dynamic_viscosity, air.saturation_vapour_pressure]
)
@pytest.mark.parametrize("temperature_k", [15.0, 340.0, np.nan])
def test_temperatures_of_no_weather_are_refused(
    law: Callable[[float], NDArray[np.float64]], temperature_k: float
) -> None:
    with pytest.raises(ValueError, match="temperature_k holds"):
        law(temperature_k)


def test_percent_in_place_of_a_fraction_is_refused() -> None:
    with pytest.raises(ValueError, match="relative_humidity_fraction holds 65"):
        air.moist_air_density(101_325.0, 288.15, 65.0)


def test_hectopascal_in_place_of_pascal_is_refused() -> None:
    with pytest.raises(ValueError, match="pressure_pa holds"):
        air.pressure_altitude(1013.25)


def test_density_of_vacuum_is_refused() -> None:
    with pytest.raises(ValueError, match="density_kg_m3 holds 0 "):
        air.density_altitude(0.0)
