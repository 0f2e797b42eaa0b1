import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics import motor

SMALL = motor.Motor(speed_constant_rad_s_v=100.0, resistance_ohm=0.1, no_load_current_a=1.0)


@given(st.floats(0.0, 2_000.0), st.floats(0.0, 0.5))
def test_volts_undo_torque(speed: float, torque: float) -> None:
    volts = motor.motor_volts(SMALL, speed, torque)
    current = motor.motor_current(SMALL, volts, speed)
    assert current == pytest.approx(torque * 100.0 + 1.0, rel=1e-9, abs=1e-9)


@given(st.floats(1.0, 2_000.0), st.floats(0.001, 0.5))
def test_losses_are_copper_and_no_load(speed: float, torque: float) -> None:
    volts = motor.motor_volts(SMALL, speed, torque)
    current = motor.motor_current(SMALL, volts, speed)
    losses = current**2 * 0.1 + 1.0 * speed / 100.0
    shaft = motor.motor_shaft_power(SMALL, volts, speed)
    assert volts * current == pytest.approx(shaft + losses, rel=1e-9)
    closed = (1.0 - 1.0 / current) * (1.0 - current * 0.1 / volts)
    assert motor.motor_efficiency(SMALL, volts, speed) == pytest.approx(closed, rel=1e-6, abs=1e-9)


def test_a_driven_motor_is_refused() -> None:
    # 1000 rad/s needs 10 V of back EMF: at 9 V the current is negative.
    assert motor.motor_current(SMALL, 9.0, 1_000.0) == pytest.approx(-10.0)
    with pytest.raises(ValueError, match="current_a"):
        motor.motor_shaft_power(SMALL, 9.0, 1_000.0)


def test_constants_must_be_positive() -> None:
    with pytest.raises(ValueError, match="resistance_ohm"):
        motor.Motor(speed_constant_rad_s_v=100.0, resistance_ohm=0.0, no_load_current_a=1.0)


def test_the_speed_controller_is_a_doubtful_input() -> None:
    assumed = motor.SPEED_CONTROLLER_EFFICIENCY
    assert assumed.is_assumed
    assert assumed.value + 2.0 * assumed.sd < 1.0
