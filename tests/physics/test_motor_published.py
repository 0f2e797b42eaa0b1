"""M. Drela, user guide of his propeller and motor program, sample listings (FOUND).

Program output, hence a consistent worked example and not a measurement. Motor: R 0.31 ohm,
I0 0.77 A, Kv 2760 rpm/V. Tolerances: those of the printed digits (4 of rpm and torque).
"""

import csv
import math
import pathlib

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.physics import motor

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"
RPM_RAD_S = 2.0 * math.pi / 60.0
SAMPLE = motor.Motor(
    speed_constant_rad_s_v=2760.0 * RPM_RAD_S, resistance_ohm=0.31, no_load_current_a=0.77
)

with (REFERENCE / "flight_motor_propeller_match.csv").open(newline="") as _file:
    ROWS = list(csv.DictReader(_file))


def column(key: str) -> NDArray[np.float64]:
    return np.array([float(row[key]) for row in ROWS])


SPEED_RAD_S = column("rpm") * RPM_RAD_S
VOLTS = motor.motor_volts(SAMPLE, SPEED_RAD_S, column("torque_N_m"))


def test_volts_for_speed_and_torque() -> None:
    assert len(ROWS) == 41
    np.testing.assert_allclose(VOLTS, column("motor_voltage_V"), rtol=0.0, atol=0.002)


def test_current_for_speed_and_torque() -> None:
    current = motor.motor_current(SAMPLE, VOLTS, SPEED_RAD_S)
    np.testing.assert_allclose(current, column("current_A"), rtol=0.0, atol=0.0015)


def test_torque_of_the_printed_current() -> None:
    torque = motor.motor_torque(SAMPLE, column("current_A"))
    np.testing.assert_allclose(torque, column("torque_N_m"), rtol=0.0, atol=6e-6)


def test_shaft_power() -> None:
    # Half a printed digit of torque (5e-6 N m) at 1500 rad/s is 0.0075 W; 4 digits of rpm add.
    power = motor.motor_shaft_power(SAMPLE, VOLTS, SPEED_RAD_S)
    np.testing.assert_allclose(power, column("shaft_power_W"), rtol=0.0, atol=0.025)


def test_efficiency() -> None:
    got = motor.motor_efficiency(SAMPLE, VOLTS, SPEED_RAD_S)
    np.testing.assert_allclose(got, column("motor_efficiency"), rtol=0.0, atol=0.00015)


def test_worked_point() -> None:
    # 14020 rpm, 0.0288 N m: 9.0945 A, 7.899 V, 42.29 W, efficiency 0.5886.
    speed = 14_020.0 * RPM_RAD_S
    volts = motor.motor_volts(SAMPLE, speed, 0.0288)
    assert volts == pytest.approx(7.899, abs=0.002)
    assert motor.motor_current(SAMPLE, volts, speed) == pytest.approx(9.0945, abs=0.0015)
    assert motor.motor_shaft_power(SAMPLE, volts, speed) == pytest.approx(42.29, abs=0.015)
    assert motor.motor_efficiency(SAMPLE, volts, speed) == pytest.approx(0.5886, abs=0.00015)


def test_a_speed_constant_in_rpm_per_volt_is_seen() -> None:
    # The trap: 2760 is rpm/V. Taken as rad/s/V the torque comes out 9.55 times too small.
    wrong = motor.Motor(speed_constant_rad_s_v=2760.0, resistance_ohm=0.31, no_load_current_a=0.77)
    ratio = motor.motor_torque(SAMPLE, 9.0945) / motor.motor_torque(wrong, 9.0945)
    assert ratio == pytest.approx(9.5493, abs=5e-5)


def test_back_emf_constant_is_the_inverse() -> None:
    # R. Beard and T. McLain print KV = 60 / (2 pi 145) = 0.06586 V s/rad for a 145 rpm/V motor.
    inverse_v_s = 1.0 / (145.0 * RPM_RAD_S)
    assert inverse_v_s == pytest.approx(0.06586, abs=5e-6)
    beard = motor.Motor(
        speed_constant_rad_s_v=1.0 / 0.06586, resistance_ohm=0.042, no_load_current_a=1.5
    )
    assert motor.motor_torque(beard, 11.5) == pytest.approx(0.6586, abs=5e-5)
