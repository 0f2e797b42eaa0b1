"""The battery in flight, compiled: volts, charge taken, warmth."""

# numba finds the types of compiled functions by itself, from arrays that are all float64.
# mypy: allow-untyped-defs, allow-untyped-calls

import math

from homeleg.flight import layout as c
from homeleg.flight.compiled import STEP_S, inlined
from homeleg.physics.battery import (
    COOLING_TIME_S,
    RELAXATION_RESISTANCE_SHARE,
    RELAXATION_TIME_S,
    SPECIFIC_HEAT_J_KG_K,
)

__all__ = ["drain", "open_circuit_volts", "warm"]


@inlined
def open_circuit_volts(state, member, plan, cell_volts):
    """Return the pack's volts without current, slow polarisation taken off."""
    full = min(1.0, max(0.0, 1.0 - state[c.CHARGE] / member[c.CAPACITY]))
    place = full * (cell_volts.shape[0] - 1)
    node = min(int(place), cell_volts.shape[0] - 2)
    cell = cell_volts[node] + (place - node) * (cell_volts[node + 1] - cell_volts[node])
    return plan[c.CELLS] * cell - state[c.RELAXATION]


@inlined
def drain(state, member, volts):
    """Take one step's charge from the pack; return volts under load and joules taken."""
    power = state[c.POWER] + member[c.AVIONICS_POWER]
    resistance = state[c.RESISTANCE]
    inside = max(volts * volts - 4.0 * power * resistance, 0.0)
    current = (volts - math.sqrt(inside)) / (2.0 * resistance)
    state[c.CHARGE] += current * (STEP_S / 3600.0)
    slow_volts = current * resistance * RELAXATION_RESISTANCE_SHARE
    state[c.RELAXATION] += (slow_volts - state[c.RELAXATION]) * (STEP_S / RELAXATION_TIME_S)
    return volts - current * resistance, power * STEP_S


@inlined
def warm(state, plan, sag):
    """Heat the pack by the current through its resistance; cool it towards the air outside."""
    heat_w = sag * sag / state[c.RESISTANCE]
    capacity_j_k = plan[c.PACK_MASS] * SPECIFIC_HEAT_J_KG_K
    cooling = (state[c.TEMPERATURE] - plan[c.OUTSIDE_AIR]) * (1.0 / COOLING_TIME_S)
    state[c.TEMPERATURE] += (heat_w / capacity_j_k - cooling) * STEP_S
