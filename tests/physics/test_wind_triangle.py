"""Properties of the wind triangle: still air, symmetry, vector sums, refusals."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics.wind_triangle import head_and_cross_wind, track_solution, wind_components

ANGLE_RAD = st.floats(-7.0, 7.0)
AIRSPEED_M_S = st.floats(10.0, 30.0)
WIND_M_S = st.floats(-6.0, 6.0)


def test_a_west_wind_carries_the_air_eastward() -> None:
    east, north = wind_components(5.0, math.radians(270.0))
    assert (east, north) == pytest.approx((5.0, 0.0), abs=1e-12)


@given(AIRSPEED_M_S, ANGLE_RAD)
def test_without_wind_the_ground_speed_is_the_airspeed(airspeed_m_s: float, course: float) -> None:
    ground_speed, crab = track_solution(airspeed_m_s, course, 0.0, 0.0)
    assert ground_speed == pytest.approx(airspeed_m_s)
    assert abs(crab) < 1e-12


@given(AIRSPEED_M_S, ANGLE_RAD, WIND_M_S, WIND_M_S)
def test_air_velocity_plus_wind_lies_along_the_course(
    airspeed_m_s: float, course: float, wind_east: float, wind_north: float
) -> None:
    ground_speed, crab = track_solution(airspeed_m_s, course, wind_east, wind_north)
    east = airspeed_m_s * math.sin(course + crab) + wind_east
    north = airspeed_m_s * math.cos(course + crab) + wind_north
    assert east == pytest.approx(ground_speed * math.sin(course), abs=1e-9)
    assert north == pytest.approx(ground_speed * math.cos(course), abs=1e-9)


@given(AIRSPEED_M_S, WIND_M_S, WIND_M_S)
def test_mirrored_wind_mirrors_the_crab(airspeed_m_s: float, across: float, along: float) -> None:
    ground_speed, crab = track_solution(airspeed_m_s, 0.0, np.array([across, -across]), along)
    assert ground_speed[0] == pytest.approx(ground_speed[1], abs=1e-9)
    assert crab[0] == pytest.approx(-crab[1], abs=1e-12)


def test_wind_from_the_right_asks_for_crab_to_the_right() -> None:
    _, crab = track_solution(15.0, 0.0, *wind_components(5.0, math.radians(90.0)))
    assert crab == pytest.approx(math.asin(1.0 / 3.0))


def test_wind_above_the_airspeed_carries_the_aircraft_backwards() -> None:
    ground_speed, _ = track_solution(10.0, 0.0, *wind_components(12.0, 0.0))
    assert ground_speed == pytest.approx(-2.0)


def test_wind_across_above_the_airspeed_is_refused() -> None:
    with pytest.raises(ValueError, match=r"in 1 cases \(worst 1\.20"):
        track_solution(10.0, 0.0, np.array([3.0, 12.0]), 0.0)


def test_missing_wind_is_refused() -> None:
    with pytest.raises(ValueError, match="wind_north_m_s holds nan"):
        track_solution(10.0, 0.0, 1.0, math.nan)


@given(ANGLE_RAD, st.floats(0.0, 20.0), ANGLE_RAD)
def test_landing_the_other_way_reverses_both_components(
    wind_from: float, speed: float, runway: float
) -> None:
    one_way = head_and_cross_wind(wind_from, speed, runway)
    other_way = head_and_cross_wind(wind_from, speed, runway + math.pi)
    assert one_way[0] == pytest.approx(-other_way[0], abs=1e-9)
    assert one_way[1] == pytest.approx(-other_way[1], abs=1e-9)
    assert math.hypot(*one_way) == pytest.approx(speed, abs=1e-9)
