"""The compiled pieces of the kernel against their plain twins in `homeleg.physics`."""

import math

import numpy as np
import pytest

from homeleg.flight import compiled, guidance, kernel, motion, pack, surroundings
from homeleg.flight import layout as c
from homeleg.foundation.constants import CELSIUS_ZERO_K
from homeleg.physics import battery, propeller, turning, wind_triangle
from homeleg.physics.battery_tables import OPEN_CIRCUIT_VOLTS, Chemistry


def test_disk_thrust() -> None:
    for power_w in (0.0, 5.0, 120.0, 900.0):
        for airspeed_m_s in (0.0, 1.0, 8.0, 25.0):
            got_n = motion._disk_thrust(power_w, 1.1, 0.06, airspeed_m_s)
            expected_n = float(propeller.thrust_from_disk_power(power_w, 1.1, 0.06, airspeed_m_s))
            assert got_n == pytest.approx(expected_n, rel=1e-9)


@pytest.mark.parametrize("sign", [1.0, -1.0])
@pytest.mark.parametrize("corner_deg", [20.0, 75.0, 120.0])
@pytest.mark.parametrize("wind_from_deg", [0.0, 100.0, 230.0])
def test_corner_lead(sign: float, corner_deg: float, wind_from_deg: float) -> None:
    wind = [float(w) for w in wind_triangle.wind_components(6.0, math.radians(wind_from_deg))]
    course_in = math.radians(40.0)
    course_out = course_in + sign * math.radians(corner_deg)
    bank = math.radians(30.0)
    turn_m, _ = turning.fly_by_distances(15.0, bank, course_in, course_out, sign, *wind)
    ground_speed_m_s, _ = wind_triangle.track_solution(15.0, course_in, *wind)
    rolling_m = float(ground_speed_m_s) * compiled.ROLL_LAG_S
    got_m = guidance.corner_lead(15.0, bank, course_in, course_out, sign, *wind)
    assert got_m == pytest.approx(float(turn_m) + rolling_m, abs=1e-9)


def test_wind_is_linear_in_the_root_of_height_down_to_2_m() -> None:
    nodes = np.arange(c.WIND_NODES)
    wind = np.stack([3.0 + 0.5 * nodes, -1.0 * nodes])
    heights_m = 150.0 * (nodes / (c.WIND_NODES - 1)) ** 2
    for height_m in (0.0, 0.3, 17.0, 60.0, 149.0, 150.0, 400.0):
        got = surroundings.wind_at(wind, 150.0, height_m)
        roots = np.sqrt(heights_m), np.sqrt(max(height_m, 2.0))
        assert got[0] == pytest.approx(np.interp(roots[1], roots[0], wind[0]), abs=1e-12)
        assert got[1] == pytest.approx(np.interp(roots[1], roots[0], wind[1]), abs=1e-12)


def _pack(temperature_c: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    state, member, plan = (
        np.zeros(c.STATE_COLUMNS),
        np.zeros(c.MEMBER_COLUMNS),
        np.zeros(c.PLAN_COLUMNS),
    )
    state[c.TRUE_AIRSPEED] = 15.0
    state[c.TEMPERATURE] = temperature_c + CELSIUS_ZERO_K
    member[c.GUST_LENGTH_U] = member[c.GUST_LENGTH_W] = 100.0
    member[c.RESISTANCE_25], member[c.CAPACITY], member[c.AVIONICS_POWER] = 0.030, 10.0, 8.0
    plan[c.CELLS], plan[c.PACK_MASS], plan[c.OUTSIDE_AIR] = 4.0, 0.8, CELSIUS_ZERO_K + 10.0
    return state, member, plan


@pytest.mark.parametrize("chemistry", list(Chemistry))
def test_open_circuit_volts(chemistry: Chemistry) -> None:
    state, member, plan = _pack(20.0)
    state[c.RELAXATION] = 0.1
    table = np.array(OPEN_CIRCUIT_VOLTS[chemistry])
    for used_fraction in (0.0, 0.013, 0.25, 0.777, 1.0):
        state[c.CHARGE] = 10.0 * used_fraction
        cell = float(battery.open_circuit_volts(1.0 - used_fraction, chemistry))
        got = pack.open_circuit_volts(state, member, plan, table)
        assert got == pytest.approx(4.0 * cell - 0.1, abs=1e-9)


def test_resistance_over_temperature() -> None:
    for temperature_c in (0.0, 18.0, 25.0, 45.0):
        state, member, _ = _pack(temperature_c)
        kernel._at_node(state, member, 1, 0, 0)
        ratio = float(battery.resistance_ratio(temperature_c + CELSIUS_ZERO_K))
        assert state[c.RESISTANCE] == pytest.approx(0.030 * ratio, rel=1e-12)


def test_drain_and_warming() -> None:
    state, member, plan = _pack(20.0)
    state[c.POWER], state[c.RESISTANCE] = 300.0, 0.035
    loaded_v, energy_j = pack.drain(state, member, 15.2)
    current_a = float(battery.current_for_power(15.2, 0.035, 308.0))
    assert energy_j == pytest.approx(308.0 * compiled.STEP_S, rel=1e-12)
    assert loaded_v == pytest.approx(308.0 / current_a, rel=1e-9)  # P = V I
    assert state[c.CHARGE] == pytest.approx(current_a * compiled.STEP_S / 3600.0, rel=1e-9)
    slow_v = float(
        battery.relaxation_volts_after(
            compiled.STEP_S,
            relaxation_volts=0.0,
            current_a=current_a,
            resistance_ohm=0.035 * battery.RELAXATION_RESISTANCE_SHARE,
            time_constant_s=battery.RELAXATION_TIME_S,
        )
    )
    # The kernel's first-order step against the exact exponential: half a step over the constant.
    assert state[c.RELAXATION] == pytest.approx(
        slow_v, rel=compiled.STEP_S / battery.RELAXATION_TIME_S
    )
    pack.warm(state, plan, 15.2 - loaded_v)
    cooling_k_s = 10.0 / battery.COOLING_TIME_S
    rate_k_s = float(battery.self_heating_rate(current_a, 0.035, 0.8)) - cooling_k_s
    warmed_k = state[c.TEMPERATURE] - CELSIUS_ZERO_K - 20.0
    assert warmed_k == pytest.approx(rate_k_s * compiled.STEP_S, rel=1e-6)


def test_gusts_are_of_unit_variance_and_apart() -> None:
    count = 20_000
    members = np.array([surroundings.gust(7, k, 3, 0) for k in range(count)])
    nodes = np.array([surroundings.gust(7, 3, k, 1) for k in range(count)])
    channels = np.array([[surroundings.gust(7, 3, k, j) for j in (0, 2)] for k in range(count)])
    # Sampling errors of mean, variance (kurtosis of four uniforms: 2.7) and correlation; four each.
    for numbers in (members, nodes):
        assert abs(numbers.mean()) < 4.0 / math.sqrt(count)
        assert numbers.var() == pytest.approx(1.0, abs=4.0 * math.sqrt(1.7 / count))
        assert abs(np.corrcoef(numbers[1:], numbers[:-1])[0, 1]) < 4.0 / math.sqrt(count)
    assert abs(np.corrcoef(channels.T)[0, 1]) < 4.0 / math.sqrt(count)
