"""The electric motor against the listings of a propeller and motor program."""

import math

import pytest

from homeleg.physics import motor
from tests.published import Published, table, texts, values

# Program output, hence a consistent worked example and not a measurement.
LISTING = (
    "M. Drela, user guide of his propeller and motor program, sample listings, motor of 0.31 ohm, "
    "0.77 A and 2760 rpm/V. FOUND"
)
TEXTBOOK = "R. Beard and T. McLain: KV = 60 / (2 pi 145) V s/rad of a motor of 145 rpm/V. FOUND"
PRINTED = "the printed digits: 4 of rpm and torque"
RPM_RAD_S = 2.0 * math.pi / 60.0
SAMPLE = motor.Motor(
    speed_constant_rad_s_v=2760.0 * RPM_RAD_S, resistance_ohm=0.31, no_load_current_a=0.77
)
ROWS = table("flight_motor_propeller_match.csv")
SPEED_RAD_S = values(ROWS, "rpm") * RPM_RAD_S
VOLTS = motor.motor_volts(SAMPLE, SPEED_RAD_S, values(ROWS, "torque_N_m"))


def test_listing(published: Published) -> None:
    assert len(ROWS) == 41
    current = motor.motor_current(SAMPLE, VOLTS, SPEED_RAD_S)
    torque = motor.motor_torque(SAMPLE, values(ROWS, "current_A"))
    # Half a printed digit of torque (5e-6 N m) at 1500 rad/s is 0.0075 W; 4 digits of rpm add.
    power = motor.motor_shaft_power(SAMPLE, VOLTS, SPEED_RAD_S)
    efficiency = motor.motor_efficiency(SAMPLE, VOLTS, SPEED_RAD_S)
    for quantity, ours, key, unit, within in (
        ("volts for speed and torque", VOLTS, "motor_voltage_V", "V", 0.002),
        ("current for speed and torque", current, "current_A", "A", 0.0015),
        ("torque of the printed current", torque, "torque_N_m", "N m", 6e-6),
        ("shaft power", power, "shaft_power_W", "W", 0.025),
        ("efficiency", efficiency, "motor_efficiency", "", 0.00015),
    ):
        printed = texts(ROWS, key)
        published(quantity, ours, printed, unit, source=LISTING, within=within, because=PRINTED)


def test_worked_point(published: Published) -> None:
    # 14020 rpm, 0.0288 N m
    speed = 14_020.0 * RPM_RAD_S
    volts = motor.motor_volts(SAMPLE, speed, 0.0288)
    current = motor.motor_current(SAMPLE, volts, speed)
    power = motor.motor_shaft_power(SAMPLE, volts, speed)
    efficiency = motor.motor_efficiency(SAMPLE, volts, speed)
    for quantity, ours, printed, unit, within in (
        ("volts at 14020 rpm and 0.0288 N m", volts, "7.899", "V", 0.002),
        ("current there", current, "9.0945", "A", 0.0015),
        ("shaft power there", power, "42.29", "W", 0.015),
        ("efficiency there", efficiency, "0.5886", "", 0.00015),
    ):
        published(quantity, ours, printed, unit, source=LISTING, within=within, because=PRINTED)


def test_a_speed_constant_in_rpm_per_volt_is_seen() -> None:
    # The trap: 2760 is rpm/V. Taken as rad/s/V the torque comes out 9.55 times too small.
    wrong = motor.Motor(speed_constant_rad_s_v=2760.0, resistance_ohm=0.31, no_load_current_a=0.77)
    ratio = motor.motor_torque(SAMPLE, 9.0945) / motor.motor_torque(wrong, 9.0945)
    assert ratio == pytest.approx(9.5493, abs=5e-5)


def test_back_emf_constant_is_the_inverse(published: Published) -> None:
    inverse_v_s = 1.0 / (145.0 * RPM_RAD_S)
    published("back-EMF constant of 145 rpm/V", inverse_v_s, "0.06586", "V s/rad", source=TEXTBOOK)
    beard = motor.Motor(
        speed_constant_rad_s_v=1.0 / 0.06586, resistance_ohm=0.042, no_load_current_a=1.5
    )
    torque = motor.motor_torque(beard, 11.5)
    published("torque of 10 A over no load", torque, "0.6586", "N m", source=TEXTBOOK)
