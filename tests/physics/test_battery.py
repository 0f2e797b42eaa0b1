import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics import battery
from homeleg.physics.battery import Chemistry

volts = st.floats(3.0, 60.0)
resistances = st.floats(0.001, 0.5)


@pytest.mark.parametrize("chemistry", list(Chemistry))
def test_tables_are_uniform_and_rise(chemistry: Chemistry) -> None:
    table = battery.OPEN_CIRCUIT_VOLTS[chemistry]
    assert (len(table) - 1) * battery.STATE_OF_CHARGE_STEP_FRACTION == pytest.approx(1.0)
    assert np.all(np.diff(table) > 0.0)


def test_volts_between_two_points_of_the_table() -> None:
    # Halfway between 3.745 V at 0.50 and 3.7537 V at 0.55.
    got = battery.open_circuit_volts(0.525, Chemistry.LITHIUM_POLYMER)
    assert got == pytest.approx(3.74935)


@pytest.mark.parametrize("charge", [-0.01, 1.01, math.nan])
def test_charge_outside_the_cell_is_refused(charge: float) -> None:
    with pytest.raises(ValueError, match="state_of_charge_fraction"):
        battery.open_circuit_volts(charge, Chemistry.LITHIUM_ION)


def test_current_by_hand() -> None:
    # 16 V behind 0.1 ohm at 10 A leaves 15 V: 150 W.
    assert battery.current_for_power(16.0, 0.1, 150.0) == pytest.approx(10.0)
    assert battery.current_for_power(15.0, 0.0, 150.0) == pytest.approx(10.0)
    # At E^2 / (4 R) = 640 W the terminals are at half the voltage: 80 A.
    assert battery.current_for_power(16.0, 0.1, 640.0) == pytest.approx(80.0)
    with pytest.raises(ValueError, match=r"1\.02 times"):
        battery.current_for_power(16.0, 0.1, 652.8)


@given(volts, resistances, st.floats(0.0, 0.999))
def test_current_gives_the_power_on_the_stiff_side(
    open_volts: float, resistance: float, share: float
) -> None:
    power = share * open_volts**2 / (4.0 * resistance)
    current = battery.current_for_power(open_volts, resistance, power)
    terminal = open_volts - current * resistance
    assert terminal * current == pytest.approx(power, rel=1e-9, abs=1e-9)
    assert terminal >= 0.5 * open_volts


def test_maximum_power_by_hand() -> None:
    # 16 V, 0.1 ohm, cut-off 12 V: 40 A at 12 V. Without a cut-off 80 A at 8 V.
    assert battery.maximum_power(16.0, 0.1, 12.0) == pytest.approx(480.0)
    assert battery.maximum_power(16.0, 0.1, 0.0) == pytest.approx(640.0)
    assert battery.maximum_power(11.0, 0.1, 12.0) == 0.0


@given(volts, resistances, st.floats(0.0, 1.0))
def test_maximum_power_holds_the_cut_off(
    open_volts: float, resistance: float, cut_off_share: float
) -> None:
    cut_off = cut_off_share * open_volts
    power = battery.maximum_power(open_volts, resistance, cut_off)
    # A hair less: at E^2 / (4 R) the last bit decides whether the root exists.
    current = battery.current_for_power(open_volts, resistance, 0.999999 * power)
    assert open_volts - current * resistance >= cut_off * (1.0 - 1e-9)


def test_relaxation_by_hand() -> None:
    # 10 A through 0.02 ohm settles at 0.2 V; after one time constant 1 - 1/e of it.
    got = battery.relaxation_volts_after(
        30.0, relaxation_volts=0.0, current_a=10.0, resistance_ohm=0.02, time_constant_s=30.0
    )
    assert got == pytest.approx(0.2 * 0.6321206, abs=1e-7)


@given(st.floats(0.0, 1.0), st.floats(-10.0, 80.0), st.floats(0.0, 500.0), st.floats(0.0, 500.0))
def test_splitting_a_relaxation_step_changes_nothing(
    start: float, current: float, first: float, second: float
) -> None:
    def after(step: float, before: float) -> float:
        return float(
            battery.relaxation_volts_after(
                step,
                relaxation_volts=before,
                current_a=current,
                resistance_ohm=0.01,
                time_constant_s=40.0,
            )
        )

    assert after(second, after(first, start)) == pytest.approx(after(first + second, start))


def test_self_heating_by_hand() -> None:
    # 20 A through 0.05 ohm is 20 W; 0.8 kg at 1000 J/(kg K) is 800 J/K.
    rate = battery.self_heating_rate(20.0, 0.05, 0.8)
    assert rate == pytest.approx(0.025)

    def after(step: float) -> float:
        return float(
            battery.pack_temperature_after(
                step,
                temperature_k=283.15,
                air_temperature_k=283.15,
                heating_rate_k_s=rate,
                cooling_time_constant_s=800.0,
            )
        )

    # At first the rate, in the end 20 W over 1 W/K of loss.
    assert after(1.0) - 283.15 == pytest.approx(0.025, rel=1e-3)
    assert after(1e6) == pytest.approx(303.15)


@pytest.mark.parametrize("celsius", [-21.0, 61.0])
def test_resistance_outside_the_range_is_refused(celsius: float) -> None:
    with pytest.raises(ValueError, match="temperature_k"):
        battery.resistance_ratio(celsius + 273.15)


def test_usable_charge_by_hand() -> None:
    # 3.0 V under 0.705 V of sag is 3.705 V at rest: from 0.35 (3.7022) to 0.40 (3.7153).
    left = 0.35 + 0.05 * (3.705 - 3.7022) / (3.7153 - 3.7022)
    got = battery.usable_charge_fraction(10.0, 0.0705, 3.0, Chemistry.LITHIUM_POLYMER)
    assert got == pytest.approx(1.0 - left)
    # A cut-off below the empty cell takes everything.
    assert battery.usable_charge_fraction(0.0, 0.01, 3.0, Chemistry.LITHIUM_POLYMER) == 1.0


def test_a_full_cell_below_the_cut_off_is_refused() -> None:
    with pytest.raises(ValueError, match="cut-off plus sag"):
        battery.usable_charge_fraction(30.0, 0.05, 3.0, Chemistry.LITHIUM_POLYMER)


@given(st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_more_current_never_gives_more_charge(one: float, other: float) -> None:
    low, high = battery.usable_charge_fraction(
        np.array([min(one, other), max(one, other)]), 0.05, 3.3, Chemistry.LITHIUM_POLYMER
    )
    assert high <= low + 1e-12
