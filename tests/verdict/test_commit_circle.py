"""The commit circle: readings in closed form, limits held to flights they were not found from."""

import math
from typing import Any

import numpy as np
import pytest

from homeleg.aircraft.performance import FlyingAircraft, level_electrical_power
from homeleg.verdict.commit_circle import limits_of_readings, readings, turn_time

NO_ERRORS = np.zeros((1, 2))


@pytest.mark.parametrize(
    ("airspeed", "wind", "half", "mean"),
    [
        # Headed with the wind V + w, against it V - w: half the difference w, the mean V.
        (15.5, 6.0, 6.0, 15.5),
        (15.5, 0.0, 0.0, 15.5),
        # Blown backwards at w - V: the mean tells the wind, which no band about V holds.
        (12.0, 14.0, 12.0, 14.0),
    ],
)
def test_readings(airspeed: float, wind: float, half: float, mean: float) -> None:
    got = readings(np.array([airspeed]), np.array([wind]), NO_ERRORS)
    assert (got[0][0], got[1][0]) == (pytest.approx(half), pytest.approx(mean))


def test_reading_errors() -> None:
    # The highest read 0.4 too high, the lowest 0.2 too low.
    half, mean = readings(np.array([15.0]), np.array([5.0]), np.array([[0.4, -0.2]]))
    assert (half[0], mean[0]) == (pytest.approx(5.3), pytest.approx(15.1))


def test_a_turn_by_hand() -> None:
    # R = V^2 / (g tan 20 deg) = 240.25 / 3.5694 = 67.31 m; 2 pi R / V = 27.28 s.
    assert turn_time(15.5, math.radians(20.0)) == pytest.approx(27.28, abs=0.01)


def test_power_in_a_turn_by_hand() -> None:
    # Level at 15.5 m/s, 1.225 kg/m3: 0.5 rho V^3 S CD0 / eta = 79.74 W,
    # 2 k (m g)^2 / (rho V S eta) = 16.10 W, avionics 8 W: 103.8 W. Lift 1 / cos 20 deg times as
    # great: 16.10 / cos^2 = 18.24 W, in all 106.0 W.
    aircraft = FlyingAircraft(
        mass_kg=np.float64(2.6),
        wing_area_m2=0.46,
        zero_lift_drag=np.float64(0.038),
        induced_factor=np.float64(0.0541),
        lift_at_least_drag=0.0,
        maximum_lift=np.float64(1.15),
        efficiency=np.float64(0.5),
        climb_efficiency=np.float64(0.45),
        full_power_w=np.float64(420.0),
        avionics_w=8.0,
    )
    turning = level_electrical_power(aircraft, 15.5, 1.225, 1.0 / math.cos(math.radians(20.0)))
    assert level_electrical_power(aircraft, 15.5, 1.225) == pytest.approx(103.8, abs=0.1)
    assert turning == pytest.approx(106.0, abs=0.1)


def flights(seed: int, count: int, wind_m_s: float = 8.5) -> Any:
    """Return readings, and who misses 5 m/s against the wind or is lost below 1 m/s."""
    random = np.random.default_rng(seed)
    wind = random.normal(wind_m_s, 1.5, count)
    airspeed = random.normal(15.5, 0.5, count)
    half, mean = readings(airspeed, wind, random.normal(0.0, 0.4, (count, 2)))
    return half, mean, airspeed - wind < 5.0, airspeed - wind < 1.0


def test_limits_hold_on_flights_they_were_not_found_from() -> None:
    # w < 10.5 +- 0.5 wanted of 8.5 +- 1.5: 1 in 9 would miss it, and fewer than 1 in 10 may.
    half, mean, missed, lost = flights(1, 2048)
    assert missed.mean() > 0.1
    limits = limits_of_readings(half, mean, missed, lost)
    assert limits is not None
    half, mean, missed, lost = flights(2, 50_000)
    going_on = limits.passed(half, mean)
    assert missed[going_on].mean() <= 0.1
    assert lost[going_on].mean() <= 0.01
    assert going_on.mean() > 0.85


def test_a_stronger_wind_is_allowed_no_more() -> None:
    # In 10.5 +- 1.5 half the flights miss it. Those with a wind read at 9.6 +- 0.3 or less and
    # an airspeed of 15.5 +- 0.5 keep 5.9 +- 0.6 m/s; a limit above 10.5 would not.
    limits = limits_of_readings(*flights(3, 2048, wind_m_s=10.5))
    assert limits is not None
    assert 9.4 <= limits.most_half_difference_m_s <= 10.5
    half, mean, missed, _ = flights(4, 50_000, wind_m_s=10.5)
    going_on = limits.passed(half, mean)
    assert missed[going_on].mean() <= 0.1
    assert missed[~going_on].mean() > 0.5


def test_limits_are_printed_in_tenths_and_nothing_unseen_is_allowed() -> None:
    half, mean, missed, lost = flights(5, 1024)
    limits = limits_of_readings(half, mean, missed, lost)
    assert limits is not None
    for value in (
        limits.most_half_difference_m_s,
        limits.least_mean_m_s,
        limits.most_mean_m_s,
    ):
        assert value == round(value, 1)
    assert limits.most_half_difference_m_s < half.max()
    assert mean.min() < limits.least_mean_m_s < limits.most_mean_m_s < mean.max()


def test_no_limits_where_none_help() -> None:
    half, mean, missed, lost = flights(6, 1024)
    assert limits_of_readings(half, mean, np.ones_like(missed), lost) is None
    # One flight got away: its reading lies between two tenths, and no band holds it.
    assert limits_of_readings(half[:1], np.array([15.55]), missed[:1], lost[:1]) is None
    # Lost for reasons that wind and airspeed do not show: 1 in 20, whatever they read.
    lost_anyhow = np.arange(1024) % 20 == 0
    assert limits_of_readings(half, mean, lost_anyhow, lost_anyhow) is None
