"""A battery as an electromotive force behind a resistance, with its temperature and its label.

Volts and ohms may be those of a cell or of the pack, as long as both are of the same thing.
"""

from enum import Enum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.foundation.constants import CELSIUS_ZERO_K
from homeleg.physics.battery_tables import (
    OPEN_CIRCUIT_VOLTS,
    STATE_OF_CHARGE_STEP_FRACTION,
    Chemistry,
)
from homeleg.physics.validity import finite, not_negative, positive, within

__all__ = [
    "COOLING_TIME_S",
    "NOMINAL_CELL_VOLTS",
    "OPEN_CIRCUIT_VOLTS",
    "RELAXATION_RESISTANCE_SHARE",
    "RELAXATION_TIME_S",
    "RESISTANCE_FIT_B_K",
    "RESISTANCE_FIT_ZERO_K",
    "RESISTANCE_REFERENCE_C",
    "SPECIFIC_HEAT_J_KG_K",
    "STATE_OF_CHARGE_STEP_FRACTION",
    "Chemistry",
    "TransportClass",
    "current_for_power",
    "maximum_power",
    "open_circuit_volts",
    "pack_temperature_after",
    "relaxation_volts_after",
    "resistance_ratio",
    "self_heating_rate",
    "transport_class",
    "usable_charge_fraction",
    "watt_hours",
]

# R = a exp(B / (273 + T_C)): fit to a 2S 2200 mAh lithium polymer pack measured at 0, 10 and
# 30 C, rcex.cz p=3589, 2010 (FOUND). The fit says 273, not 273.15.
RESISTANCE_FIT_B_K = 3131.0
RESISTANCE_FIT_ZERO_K = 273.0
RESISTANCE_REFERENCE_C = 25.0
# The usual limits of use of such packs (MEMORY). Beyond the measured 0 to 30 C the Arrhenius
# form carries the fit: a cold flight must be computed to be refused.
_RESISTANCE_LOWEST_C = -20.0
_RESISTANCE_HIGHEST_C = 60.0

# MEMORY: measured lithium polymer pouches lie near 900 to 1100 J/(kg K).
SPECIFIC_HEAT_J_KG_K = 1000.0
# MEMORY: slow polarisation of pouch packs adds about a third to the resistance felt at once, over
# half a minute; a pack inside a fuselage cools with a time constant of some ten minutes.
RELAXATION_RESISTANCE_SHARE = 0.3
RELAXATION_TIME_S = 30.0
COOLING_TIME_S = 600.0

# The voltage on the label from which shipping rules count watt-hours. FOUND.
NOMINAL_CELL_VOLTS = 3.7
_FREE_UP_TO_WH = 100.0
_APPROVAL_UP_TO_WH = 160.0


def open_circuit_volts(
    state_of_charge_fraction: ArrayLike, chemistry: Chemistry
) -> NDArray[np.float64]:
    """Return the resting voltage of one cell, linear between the points of the table.

    Parameters
    ----------
    state_of_charge_fraction
        Charge left over full charge, 0 to 1. [-]
    chemistry
        Which table.

    Returns
    -------
    NDArray[np.float64]
        Open-circuit voltage per cell at 25 C. [V]

    Raises
    ------
    ValueError
        If a value is NaN or outside 0 to 1.

    References
    ----------
    The parameter sets named at `OPEN_CIRCUIT_VOLTS` (COMPUTED).
    """
    charge = within("state_of_charge_fraction", state_of_charge_fraction, 0.0, 1.0)
    volts = np.array(OPEN_CIRCUIT_VOLTS[chemistry])
    return np.asarray(np.interp(charge, np.linspace(0.0, 1.0, volts.size), volts))


def resistance_ratio(temperature_k: ArrayLike) -> NDArray[np.float64]:
    """Return the internal resistance over that at 25 C.

    Parameters
    ----------
    temperature_k
        Pack temperature, 253.15 to 333.15 K; measured was 273 to 303 K. [K]

    Returns
    -------
    NDArray[np.float64]
        R(T) / R(25 C). [-]

    Raises
    ------
    ValueError
        If a value is NaN or outside that range.

    References
    ----------
    Fit to a measured 2S 2200 mAh lithium polymer pack, rcex.cz p=3589, 2010 (FOUND).
    """
    lowest_k = CELSIUS_ZERO_K + _RESISTANCE_LOWEST_C
    highest_k = CELSIUS_ZERO_K + _RESISTANCE_HIGHEST_C
    temperature = within("temperature_k", temperature_k, lowest_k, highest_k)
    fit_k = temperature - CELSIUS_ZERO_K + RESISTANCE_FIT_ZERO_K
    reference_k = RESISTANCE_REFERENCE_C + RESISTANCE_FIT_ZERO_K
    return np.exp(RESISTANCE_FIT_B_K * (1.0 / fit_k - 1.0 / reference_k))


def current_for_power(
    open_circuit_volts: ArrayLike, resistance_ohm: ArrayLike, power_w: ArrayLike
) -> NDArray[np.float64]:
    """Return the smaller current at which the battery delivers a power.

    Parameters
    ----------
    open_circuit_volts
        Electromotive force E, relaxation included, positive. [V]
    resistance_ohm
        Internal resistance R, not negative. [ohm]
    power_w
        Power at the terminals, not negative. [W]

    Returns
    -------
    NDArray[np.float64]
        Current I with (E - I R) I = P. [A]

    Raises
    ------
    ValueError
        If the power is above E^2 / (4 R), or an argument is NaN or outside the range above.

    References
    ----------
    Ohm's law: I = (E - sqrt(E^2 - 4 P R)) / (2 R).
    """
    volts = positive("open_circuit_volts", open_circuit_volts)
    resistance = not_negative("resistance_ohm", resistance_ohm)
    power = not_negative("power_w", power_w)
    discriminant = volts**2 - 4.0 * power * resistance
    if np.any(discriminant < 0.0):
        excess = np.max(4.0 * power * resistance / volts**2)
        raise ValueError(
            f"power_w is up to {excess:.3g} times what the battery can deliver, E^2 / (4 R)"
        )
    # The same root written so that nothing cancels and R = 0 needs no special case.
    return 2.0 * power / (volts + np.sqrt(discriminant))


def maximum_power(
    open_circuit_volts: ArrayLike, resistance_ohm: ArrayLike, cut_off_volts: ArrayLike
) -> NDArray[np.float64]:
    """Return the greatest power that keeps the terminals at or above the cut-off.

    Parameters
    ----------
    open_circuit_volts
        Electromotive force E, relaxation included, positive. [V]
    resistance_ohm
        Internal resistance R, positive. [ohm]
    cut_off_volts
        Lowest allowed voltage under load, not negative. [V]

    Returns
    -------
    NDArray[np.float64]
        Power at the terminals; 0 where E itself is at or below the cut-off. [W]

    Raises
    ------
    ValueError
        If an argument is NaN or outside the range above.

    References
    ----------
    Ohm's law: V (E - V) / R is greatest at V = E / 2, so at max(E / 2, cut-off) here.
    """
    volts = positive("open_circuit_volts", open_circuit_volts)
    resistance = positive("resistance_ohm", resistance_ohm)
    cut_off = not_negative("cut_off_volts", cut_off_volts)
    terminal = np.maximum(cut_off, 0.5 * volts)
    return terminal * np.maximum(volts - terminal, 0.0) / resistance


def relaxation_volts_after(
    step_s: ArrayLike,
    *,
    relaxation_volts: ArrayLike,
    current_a: ArrayLike,
    resistance_ohm: ArrayLike,
    time_constant_s: ArrayLike,
) -> NDArray[np.float64]:
    """Return the slow voltage drop after a step at constant current, exact for any step.

    Parameters
    ----------
    step_s
        Length of the step, not negative. [s]
    relaxation_volts
        Drop across the pair before the step. [V]
    current_a
        Discharge current during the step. [A]
    resistance_ohm, time_constant_s
        Resistance [ohm] and time constant R C [s] of the pair, both positive.

    Returns
    -------
    NDArray[np.float64]
        Drop across the pair after the step, to be taken from the open-circuit voltage. [V]

    Raises
    ------
    ValueError
        If the step, resistance or time constant is NaN or outside the range above.

    References
    ----------
    Solution of dU/dt = (I R - U) / (R C), one resistor-capacitor pair.
    """
    settled = finite("current_a", current_a) * positive("resistance_ohm", resistance_ohm)
    return _settle(finite("relaxation_volts", relaxation_volts), settled, step_s, time_constant_s)


def self_heating_rate(
    current_a: ArrayLike, resistance_ohm: ArrayLike, mass_kg: ArrayLike
) -> NDArray[np.float64]:
    """Return how fast the pack warms by its own losses when it gives none away.

    Parameters
    ----------
    current_a
        Current, either sign. [A]
    resistance_ohm, mass_kg
        Internal resistance [ohm] and mass [kg] of the pack, both positive.

    Returns
    -------
    NDArray[np.float64]
        I^2 R / (m c) with a specific heat c of 1000 J/(kg K) (MEMORY). [K/s]

    Raises
    ------
    ValueError
        If resistance or mass is NaN or not positive.

    References
    ----------
    Joule's law; the specific heat is recalled.
    """
    heating_w = finite("current_a", current_a) ** 2 * positive("resistance_ohm", resistance_ohm)
    return heating_w / (positive("mass_kg", mass_kg) * SPECIFIC_HEAT_J_KG_K)


def pack_temperature_after(
    step_s: ArrayLike,
    *,
    temperature_k: ArrayLike,
    air_temperature_k: ArrayLike,
    heating_rate_k_s: ArrayLike,
    cooling_time_constant_s: ArrayLike,
) -> NDArray[np.float64]:
    """Return the pack temperature after a step at constant heating, exact for any step.

    Parameters
    ----------
    step_s
        Length of the step, not negative. [s]
    temperature_k, air_temperature_k
        Pack temperature before the step and temperature of the air around it, positive. [K]
    heating_rate_k_s
        As `self_heating_rate` gives it. [K/s]
    cooling_time_constant_s
        Heat capacity over heat loss per kelvin, m c / (h A), positive. [s]

    Returns
    -------
    NDArray[np.float64]
        Pack temperature after the step, one temperature for the whole pack. [K]

    Raises
    ------
    ValueError
        If an argument is NaN or outside the range above.

    References
    ----------
    Solution of dT/dt = heating - (T - T_air) / tau (Newton's law of cooling).
    """
    air = positive("air_temperature_k", air_temperature_k)
    start = positive("temperature_k", temperature_k)
    rise = finite("heating_rate_k_s", heating_rate_k_s) * positive(
        "cooling_time_constant_s", cooling_time_constant_s
    )
    return _settle(start, air + rise, step_s, cooling_time_constant_s)


def usable_charge_fraction(
    current_a: ArrayLike,
    resistance_ohm: ArrayLike,
    cut_off_volts: ArrayLike,
    chemistry: Chemistry,
) -> NDArray[np.float64]:
    """Return the share of a full charge that a constant current takes before the cut-off.

    Sag and cut-off are modelled, not the diffusion that also limits a cold cell: near freezing
    a real cell gives much less than this.

    Parameters
    ----------
    current_a
        Discharge current, not negative. [A]
    resistance_ohm
        Resistance per cell while discharging, at its temperature, not negative. [ohm]
    cut_off_volts
        Lowest allowed voltage per cell under load. [V]
    chemistry
        Which voltage curve.

    Returns
    -------
    NDArray[np.float64]
        Usable charge over full charge, 0 to 1. [-]

    Raises
    ------
    ValueError
        If even a full cell is below the cut-off at this current, or a value is NaN or negative.

    References
    ----------
    Peukert's rule is avoided: it holds only near one current and one temperature (N. Omar
    et al., Energies 6, 2013; D. Doerffel, S. A. Sharkh, J. Power Sources 155, 2006; FOUND).
    """
    table = np.array(OPEN_CIRCUIT_VOLTS[chemistry])
    sag = not_negative("current_a", current_a) * not_negative("resistance_ohm", resistance_ohm)
    cut_off = not_negative("cut_off_volts", cut_off_volts)
    volts_at_end = within("cut-off plus sag per cell", cut_off + sag, 0.0, table[-1])
    # Below the table's first voltage the cell is empty before the cut-off: all of it is usable.
    return 1.0 - np.interp(volts_at_end, table, np.linspace(0.0, 1.0, table.size))


def watt_hours(cells_in_series: int, capacity_ah: float) -> float:
    """Return the energy on the label: cells x 3.7 V x capacity.

    Parameters
    ----------
    cells_in_series
        Number of cells in series, positive.
    capacity_ah
        Capacity of the pack, positive. [Ah]

    Returns
    -------
    float
        Nominal energy as shipping rules count it. [Wh]

    Raises
    ------
    ValueError
        If an argument is NaN or not positive.

    References
    ----------
    49 CFR 175.10(a)(18), 2018 edition (FOUND); 3.7 V per cell by convention.
    """
    positive("cells_in_series", cells_in_series)
    positive("capacity_ah", capacity_ah)
    return cells_in_series * NOMINAL_CELL_VOLTS * capacity_ah


class TransportClass(Enum):
    """How passenger aircraft take a lithium battery."""

    FREE = "carry-on without operator approval"
    APPROVAL = "operator approval, at most two spares"
    NOT_PERMITTED = "not permitted for passengers"


def transport_class(energy_wh: float) -> TransportClass:
    """Return how a passenger aircraft takes a battery of this energy.

    Parameters
    ----------
    energy_wh
        Energy on the label, positive. [Wh]

    Returns
    -------
    TransportClass
        Free up to 100 Wh, with approval up to 160 Wh, else not permitted.

    Raises
    ------
    ValueError
        If the energy is NaN or not positive.

    References
    ----------
    49 CFR 175.10(a)(18), 2018 edition, and the Lithium Batteries guide 2024 p. 35 (FOUND).
    Rules change: the current edition decides.
    """
    positive("energy_wh", energy_wh)
    if energy_wh <= _FREE_UP_TO_WH:
        return TransportClass.FREE
    if energy_wh <= _APPROVAL_UP_TO_WH:
        return TransportClass.APPROVAL
    return TransportClass.NOT_PERMITTED


def _settle(
    start: NDArray[np.float64],
    settled: NDArray[np.float64],
    step_s: ArrayLike,
    time_constant_s: ArrayLike,
) -> NDArray[np.float64]:
    """Return where a first-order lag stands a step after `start`."""
    step = not_negative("step_s", step_s)
    decay = np.exp(-step / positive("time constant", time_constant_s))
    return settled + (start - settled) * decay
