"""Properties of the airspeeds: round trips, order, refusals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics import airdata
from homeleg.physics.atmosphere import isa_pressure, isa_temperature, moist_air_density

AIRSPEED_M_S = st.floats(5.0, 60.0)
ALTITUDE_M = st.floats(0.0, 6_000.0)


@given(AIRSPEED_M_S, st.floats(0.5, 1.4))
def test_equivalent_undoes_true(airspeed_m_s: float, density_kg_m3: float) -> None:
    true_m_s = airdata.true_from_equivalent(airspeed_m_s, density_kg_m3)
    back_m_s = airdata.equivalent_from_true(true_m_s, density_kg_m3)
    assert back_m_s == pytest.approx(airspeed_m_s, rel=1e-12)


@given(AIRSPEED_M_S)
def test_all_airspeeds_are_one_at_standard_sea_level(airspeed_m_s: float) -> None:
    equivalent = airdata.equivalent_airspeed(airspeed_m_s, isa_pressure(0.0))
    true = airdata.true_airspeed(airspeed_m_s, isa_pressure(0.0), isa_temperature(0.0))
    assert equivalent == pytest.approx(airspeed_m_s, rel=1e-6)
    assert true == pytest.approx(airspeed_m_s, rel=1e-6)


@given(AIRSPEED_M_S, ALTITUDE_M, st.floats(250.0, 315.0))
def test_both_ways_to_true_airspeed_agree(
    calibrated_m_s: float, altitude_m: float, temperature_k: float
) -> None:
    pressure_pa = isa_pressure(altitude_m)
    density = moist_air_density(pressure_pa, temperature_k, 0.0)
    equivalent = airdata.equivalent_airspeed(calibrated_m_s, pressure_pa)
    direct = airdata.true_airspeed(calibrated_m_s, pressure_pa, temperature_k)
    assert airdata.true_from_equivalent(equivalent, density) == pytest.approx(direct, rel=1e-6)


@given(AIRSPEED_M_S, st.floats(100.0, 6_000.0))
def test_compressibility_lowers_equivalent_airspeed_aloft(
    calibrated_m_s: float, altitude_m: float
) -> None:
    assert airdata.equivalent_airspeed(calibrated_m_s, isa_pressure(altitude_m)) < calibrated_m_s


@given(AIRSPEED_M_S)
def test_impact_pressure_exceeds_dynamic_pressure_by_the_mach_series(airspeed_m_s: float) -> None:
    # NASA RP-1046: q_c = q (1 + M^2/4 + M^4/40 + ...)
    mach = airspeed_m_s / 340.294
    dynamic_pa = 0.7 * 101_325.0 * mach**2
    series_pa = dynamic_pa * (1.0 + mach**2 / 4.0 + mach**4 / 40.0)
    assert airdata.impact_pressure(airspeed_m_s) == pytest.approx(series_pa, rel=1e-7)


def test_arrays_broadcast() -> None:
    got = airdata.true_airspeed(np.array([10.0, 20.0]), np.full((3, 1), 9e4), 280.0)
    assert got.shape == (3, 2)


@pytest.mark.parametrize("airspeed_m_s", [-1.0, 341.0, np.nan])
def test_airspeeds_outside_the_law_are_refused(airspeed_m_s: float) -> None:
    with pytest.raises(ValueError, match="calibrated_airspeed_m_s holds"):
        airdata.impact_pressure(airspeed_m_s)


def test_supersonic_flight_is_refused() -> None:
    with pytest.raises(ValueError, match="Mach number holds"):
        airdata.equivalent_airspeed(300.0, 20_000.0)


@pytest.mark.parametrize("convert", [airdata.true_from_equivalent, airdata.equivalent_from_true])
def test_no_air_is_refused(convert: object) -> None:
    assert callable(convert)
    with pytest.raises(ValueError, match="density_kg_m3 holds 0"):
        convert(15.0, 0.0)
