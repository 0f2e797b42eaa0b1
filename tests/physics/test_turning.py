"""Properties of turns: symmetry, still air, splitting, a numerical twin, refusals."""

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from homeleg.physics import turning

SPEED_M_S = st.floats(10.0, 25.0)
BANK_RAD = st.floats(0.1, 1.0)
ANGLE_RAD = st.floats(0.0, 6.28)
WIND_M_S = st.floats(-6.0, 6.0)
SIGN = st.sampled_from([1, -1])


@given(SPEED_M_S, BANK_RAD)
def test_radius_times_rate_is_the_airspeed(speed: float, bank: float) -> None:
    product = turning.turn_radius(speed, bank) * turning.turn_rate(speed, bank)
    assert product == pytest.approx(speed)


@given(SPEED_M_S, BANK_RAD)
def test_left_and_right_turns_mirror(speed: float, bank: float) -> None:
    assert turning.turn_radius(speed, -bank) == turning.turn_radius(speed, bank)
    assert turning.turn_rate(speed, -bank) == -turning.turn_rate(speed, bank)
    assert turning.load_factor(-bank) == turning.load_factor(bank)


@given(SPEED_M_S, BANK_RAD, st.floats(0.05, 3.0), ANGLE_RAD, SIGN)
def test_fly_by_in_still_air_is_the_textbook_lead(
    speed: float, bank: float, change: float, course: float, sign: int
) -> None:
    lead, rollout = turning.fly_by_distances(
        speed, bank, course, course + sign * change, sign, 0.0, 0.0
    )
    expected = turning.turn_lead_in_still_air(turning.turn_radius(speed, bank), change)
    assert lead == pytest.approx(expected, rel=1e-6)
    assert rollout == pytest.approx(expected, rel=1e-6)


@given(SPEED_M_S, BANK_RAD, st.floats(0.1, 3.0), ANGLE_RAD, WIND_M_S, WIND_M_S)
def test_fly_by_mirrors_in_the_north_south_plane(
    speed: float, bank: float, change: float, course: float, wind_east: float, wind_north: float
) -> None:
    right = turning.fly_by_distances(speed, bank, course, course + change, 1, wind_east, wind_north)
    left = turning.fly_by_distances(
        speed, bank, -course, -course - change, -1, -wind_east, wind_north
    )
    np.testing.assert_allclose(right, left, rtol=1e-6, atol=1e-6)


@given(SPEED_M_S, BANK_RAD, ANGLE_RAD, st.floats(0.1, 3.0), st.floats(0.1, 3.0), SIGN, WIND_M_S)
def test_a_turn_split_in_two_ends_at_the_same_place(
    speed: float, bank: float, start: float, first: float, second: float, sign: int, wind: float
) -> None:
    middle, end = start + sign * first, start + sign * (first + second)

    def turn(begin: float, finish: float) -> np.ndarray:
        return np.array(
            turning.constant_bank_turn_displacement(speed, bank, begin, finish, sign, wind, 2.0)
        )

    np.testing.assert_allclose(turn(start, middle) + turn(middle, end), turn(start, end), atol=1e-7)


@given(SPEED_M_S, BANK_RAD, ANGLE_RAD, ANGLE_RAD, SIGN, WIND_M_S, WIND_M_S)
def test_displacement_is_the_summed_ground_velocity(
    speed: float,
    bank: float,
    start: float,
    end: float,
    sign: int,
    wind_east: float,
    wind_north: float,
) -> None:
    east, north, duration = turning.constant_bank_turn_displacement(
        speed, bank, start, end, sign, wind_east, wind_north
    )
    steps = 2000
    heading_rate = sign * 9.80665 * math.tan(bank) / speed
    time_s = (np.arange(steps) + 0.5) * float(duration) / steps  # midpoints
    heading = start + heading_rate * time_s
    east_sum = np.mean(speed * np.sin(heading) + wind_east) * float(duration)
    north_sum = np.mean(speed * np.cos(heading) + wind_north) * float(duration)
    # midpoint rule: error below V T (dpsi/step)^2 / 24
    bound = 1e-9 + speed * float(duration) * (2.0 * math.pi / steps) ** 2 / 24.0
    assert east == pytest.approx(east_sum, abs=bound)
    assert north == pytest.approx(north_sum, abs=bound)
    end_heading = start + heading_rate * float(duration)
    assert math.cos(end_heading - end) == pytest.approx(1.0, abs=1e-9)


@given(SPEED_M_S, BANK_RAD, ANGLE_RAD, SIGN)
def test_no_change_of_heading_is_no_turn(
    speed: float, bank: float, heading: float, sign: int
) -> None:
    almost = heading - sign * 1e-12  # rounding must not become a whole circle
    _, _, duration = turning.constant_bank_turn_displacement(
        speed, bank, heading, almost, sign, 3.0, 0.0
    )
    assert duration == 0.0


@given(SPEED_M_S, st.floats(0.0, 5.0), st.floats(40.0, 200.0))
def test_ground_circle_needs_most_bank_down_wind(speed: float, wind: float, radius: float) -> None:
    assume(wind > 0.1)
    up, still, down = turning.bank_for_ground_circle(speed, np.array([-wind, 0.0, wind]), radius)
    assert up < still < down
    assert turning.turn_radius(speed, still) == pytest.approx(radius)


def test_arrays_broadcast() -> None:
    got = turning.fly_by_distances(
        15.0, np.array([0.4, 0.5, 0.6]), 0.0, np.full((2, 1), 1.0), 1, 2.0, 0.0
    )
    assert got[0].shape == got[1].shape == (2, 3)


@pytest.mark.parametrize("bank_rad", [math.pi / 2.0, -1.6, math.nan, 30.0])
def test_no_level_turn_on_the_knife_edge(bank_rad: float) -> None:
    with pytest.raises(ValueError, match="bank_rad holds"):
        turning.load_factor(bank_rad)


def test_wings_level_has_no_radius() -> None:
    with pytest.raises(ValueError, match="bank_rad"):
        turning.turn_radius(15.0, 0.0)


@pytest.mark.parametrize("course_out", [0.3, 0.3 + math.pi, 0.3 + 2.0 * math.pi])
def test_parallel_courses_have_no_corner(course_out: float) -> None:
    with pytest.raises(ValueError, match="parallel"):
        turning.fly_by_distances(15.0, 0.5, 0.3, course_out, 1, 2.0, 0.0)


def test_turn_sign_says_left_or_right() -> None:
    with pytest.raises(ValueError, match="turn_sign"):
        turning.constant_bank_turn_displacement(15.0, 0.5, 0.0, 1.0, 0.0, 0.0, 0.0)


def test_ground_circle_against_a_stronger_wind_is_refused() -> None:
    with pytest.raises(ValueError, match="wind_speed_along_m_s"):
        turning.bank_for_ground_circle(12.0, -12.5, 60.0)


def test_reversal_has_no_fly_by_lead() -> None:
    with pytest.raises(ValueError, match="course_change_rad"):
        turning.turn_lead_in_still_air(40.0, math.pi)
