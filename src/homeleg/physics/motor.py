"""The three-constant model of a brushless or brushed direct-current motor."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.foundation.estimate import Basis, Estimate
from homeleg.physics.validity import finite, not_negative, positive, within

__all__ = [
    "SPEED_CONTROLLER_EFFICIENCY",
    "Motor",
    "motor_current",
    "motor_efficiency",
    "motor_shaft_power",
    "motor_torque",
    "motor_volts",
]

# Power out over power in of the electronic speed controller. MEMORY: 0.95 to 0.98 at full
# throttle and several points less at part throttle; no trustworthy public table was found, so
# it is a doubtful input to be drawn, never a check value.
SPEED_CONTROLLER_EFFICIENCY = Estimate(value=0.93, sd=0.03, basis=Basis.ASSUMED)


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor:
    """The three constants of a motor, all positive.

    Parameters
    ----------
    speed_constant_rad_s_v
        Kv in radians per second per volt. A maker's rpm per volt is 60 / (2 pi) = 9.55 times
        larger; the back-EMF constant that some texts call KV (V s/rad) is its inverse.
    resistance_ohm
        Resistance between the terminals. [ohm]
    no_load_current_a
        Current at no load, taken as constant. [A]

    References
    ----------
    M. Drela, First-Order DC Electric Motor Model, MIT Aero and Astro, 2007 (FOUND).
    """

    speed_constant_rad_s_v: float
    resistance_ohm: float
    no_load_current_a: float

    def __post_init__(self) -> None:
        positive("speed_constant_rad_s_v", self.speed_constant_rad_s_v)
        positive("resistance_ohm", self.resistance_ohm)
        positive("no_load_current_a", self.no_load_current_a)


def motor_current(
    motor: Motor, volts: ArrayLike, shaft_speed_rad_s: ArrayLike
) -> NDArray[np.float64]:
    """Return the current i = (v - Omega / Kv) / R drawn at a voltage and a speed.

    Parameters
    ----------
    motor
        The motor.
    volts
        Voltage at the terminals, not negative. [V]
    shaft_speed_rad_s
        Shaft speed, not negative. [rad/s]

    Returns
    -------
    NDArray[np.float64]
        Current; negative where the shaft drives the motor. [A]

    Raises
    ------
    ValueError
        If a value is NaN or negative.

    References
    ----------
    Drela 2007, as for `Motor`.
    """
    terminal = not_negative("volts", volts)
    speed = not_negative("shaft_speed_rad_s", shaft_speed_rad_s)
    return (terminal - speed / motor.speed_constant_rad_s_v) / motor.resistance_ohm


def motor_torque(motor: Motor, current_a: ArrayLike) -> NDArray[np.float64]:
    """Return the shaft torque Q = (i - i0) / Kv.

    Parameters
    ----------
    motor
        The motor.
    current_a
        Current, at least the no-load current. [A]

    Returns
    -------
    NDArray[np.float64]
        Torque at the shaft. [N m]

    Raises
    ------
    ValueError
        If a current is NaN or below the no-load current.

    References
    ----------
    Drela 2007, as for `Motor`.
    """
    current = within("current_a", current_a, motor.no_load_current_a, np.inf)
    return (current - motor.no_load_current_a) / motor.speed_constant_rad_s_v


def motor_volts(
    motor: Motor, shaft_speed_rad_s: ArrayLike, torque_n_m: ArrayLike
) -> NDArray[np.float64]:
    """Return the terminal voltage that holds a speed against a torque.

    Parameters
    ----------
    motor
        The motor.
    shaft_speed_rad_s
        Shaft speed, not negative. [rad/s]
    torque_n_m
        Load torque, not negative. [N m]

    Returns
    -------
    NDArray[np.float64]
        Voltage at the terminals. [V]

    Raises
    ------
    ValueError
        If a value is NaN or negative.

    References
    ----------
    Drela 2007, as for `Motor`: v = Omega / Kv + (Q Kv + i0) R.
    """
    speed = not_negative("shaft_speed_rad_s", shaft_speed_rad_s)
    torque = not_negative("torque_n_m", torque_n_m)
    current = torque * motor.speed_constant_rad_s_v + motor.no_load_current_a
    return speed / motor.speed_constant_rad_s_v + current * motor.resistance_ohm


def motor_shaft_power(
    motor: Motor, volts: ArrayLike, shaft_speed_rad_s: ArrayLike
) -> NDArray[np.float64]:
    """Return the power Q Omega = (i - i0)(v - i R) at the shaft.

    Parameters
    ----------
    motor, volts, shaft_speed_rad_s
        As for `motor_current`.

    Returns
    -------
    NDArray[np.float64]
        Power at the shaft. [W]

    Raises
    ------
    ValueError
        If a value is NaN or negative, or the current falls below the no-load current.

    References
    ----------
    Drela 2007, as for `Motor`.
    """
    current = motor_current(motor, volts, shaft_speed_rad_s)
    return motor_torque(motor, current) * finite("shaft_speed_rad_s", shaft_speed_rad_s)


def motor_efficiency(
    motor: Motor, volts: ArrayLike, shaft_speed_rad_s: ArrayLike
) -> NDArray[np.float64]:
    """Return shaft power over electrical power, (1 - i0 / i)(1 - i R / v).

    Parameters
    ----------
    motor, volts, shaft_speed_rad_s
        As for `motor_current`; the voltage must be positive.

    Returns
    -------
    NDArray[np.float64]
        Efficiency, 0 to 1. [-]

    Raises
    ------
    ValueError
        As for `motor_shaft_power`.

    References
    ----------
    Drela 2007, as for `Motor`.
    """
    terminal = positive("volts", volts)
    current = motor_current(motor, terminal, shaft_speed_rad_s)
    return motor_shaft_power(motor, terminal, shaft_speed_rad_s) / (terminal * current)
