"""The simulated flight of one member, compiled: a point mass in moving air, launch to touchdown.

Scalar per member, float64, semi-implicit Euler. Each member writes only its own rows and its gusts
come from a hash of (seed, member, node, channel), so the bits do not depend on threads or batches.

The state is wind-relative: airspeed and heading are those against the steady wind of the member.
Gusts act as forces (drag, carried along, lift and sink) and are left out of the speeds the verdict
reads; the stall event alone includes them.
"""

# numba finds the types of compiled functions by itself, from arrays that are all float64.
# mypy: allow-untyped-defs, allow-untyped-calls

import math

import numpy as np
from numba import prange

from homeleg.flight import layout as c
from homeleg.flight.compiled import STEP_S, compiled, in_parallel, inlined
from homeleg.flight.guidance import count_turns, enter_leg, next_leg_due
from homeleg.flight.motion import fly_step, move, release
from homeleg.flight.pack import drain, open_circuit_volts, warm
from homeleg.flight.readings import (
    clear_results,
    note,
    read_end,
    read_heights,
    read_launch,
    read_leg,
    read_speeds,
)
from homeleg.flight.surroundings import gust
from homeleg.foundation.constants import CELSIUS_ZERO_K, ISA_SEA_LEVEL_DENSITY_KG_M3
from homeleg.physics.battery import (
    RESISTANCE_FIT_B_K,
    RESISTANCE_FIT_ZERO_K,
    RESISTANCE_REFERENCE_C,
)

__all__ = ["fly_members", "fly_onwards"]

_RHO0 = ISA_SEA_LEVEL_DENSITY_KG_M3
_NODE_STEPS = 5  # a gust node every half second
_STALL_TIME_S = 1.0
_FLARE_M = 3.0
_TOUCHDOWN_M = 0.5


@inlined
def _event(state, leg, member, plan, clear, result):
    """Return the event that ends the flight now, or -1.

    A flight that touches ground on the way is computed on, so that its clearance tells by how much.
    """
    if leg[c.KIND] == c.FINAL and clear <= _TOUCHDOWN_M:
        return c.TOUCHED_GROUND if state[c.TOUCHED] == 1.0 else c.LANDED
    if clear <= 0.0:
        if leg[c.KIND] == c.CLIMB_OUT:
            return c.LOST_AT_LAUNCH
        if state[c.TOUCHED] == 0.0:
            note(result, c.EVENT_PLACE, c.TOUCHED_GROUND, state)
        state[c.TOUCHED] = 1.0
    flaring = leg[c.KIND] == c.FINAL and clear < _FLARE_M
    if state[c.STALL_SECONDS] > _STALL_TIME_S and not flaring:
        return c.STALLED
    if state[c.CHARGE] >= member[c.USABLE]:
        return c.TOUCHED_GROUND if state[c.TOUCHED] == 1.0 else c.PACK_EMPTY
    if state[c.TIME] >= plan[c.TIME_LIMIT]:
        return c.TOUCHED_GROUND if state[c.TOUCHED] == 1.0 else c.NOT_ARRIVED
    return -1.0


@compiled
def _at_node(state, member, seed, number, node):
    """Renew gusts (first-order Dryden) and the pack's resistance, every half second."""
    interval = _NODE_STEPS * STEP_S
    airspeed = state[c.TRUE_AIRSPEED]
    kept = math.exp(-airspeed * interval / member[c.GUST_LENGTH_U])
    fresh = member[c.GUST_SIGMA_U] * math.sqrt(1.0 - kept * kept)
    state[c.GUST_U] = kept * state[c.GUST_U] + fresh * gust(seed, number, node, 0)
    state[c.GUST_V] = kept * state[c.GUST_V] + fresh * gust(seed, number, node, 1)
    kept = math.exp(-airspeed * interval / member[c.GUST_LENGTH_W])
    fresh = member[c.GUST_SIGMA_W] * math.sqrt(1.0 - kept * kept)
    state[c.GUST_W] = kept * state[c.GUST_W] + fresh * gust(seed, number, node, 2)
    fitted_k = state[c.TEMPERATURE] - CELSIUS_ZERO_K + RESISTANCE_FIT_ZERO_K
    reference_k = RESISTANCE_REFERENCE_C + RESISTANCE_FIT_ZERO_K
    ratio = math.exp(RESISTANCE_FIT_B_K * (1.0 / fitted_k - 1.0 / reference_k))
    state[c.RESISTANCE] = member[c.RESISTANCE_25] * ratio


@compiled
def _fly(  # noqa: PLR0913 - a kernel takes plain arrays
    seed,
    number,
    member,
    wind,
    legs,
    plan,
    cell_volts,
    ground,
    obstacles,
    result,
    leg_result,
    times,
    states,
):
    """Fly one member from release to its first event, or to the last of `times`, if any."""
    state = np.zeros(c.STATE_COLUMNS)
    state[c.CHARGE] = member[c.CHARGE_AT_START]
    state[c.TEMPERATURE] = member[c.PACK_TEMPERATURE]
    state[c.OVERFLIES] = 1.0
    result[c.LIFT_OFF_DISTANCE] = release(state, member, wind, plan)
    state[c.ROOT_DENSITY_RATIO] = math.sqrt(member[c.DENSITY] / _RHO0)
    _fly_on(
        seed,
        number,
        state,
        member,
        wind,
        legs,
        plan,
        cell_volts,
        ground,
        obstacles,
        result,
        leg_result,
        times,
        states,
    )


@compiled
def _fly_on(  # noqa: PLR0913
    seed,
    number,
    state,
    member,
    wind,
    legs,
    plan,
    cell_volts,
    ground,
    obstacles,
    result,
    leg_result,
    times,
    states,
):
    """Fly one member on from a state, at the start of its leg, to its first event.

    States are kept at `times`; with the last of them the flight is not computed further.
    """
    clear_results(result, leg_result, plan)
    enter_leg(state, member, legs, plan, wind)
    density_ratio = member[c.DENSITY] / _RHO0
    step = round(state[c.TIME] / STEP_S)
    leg = legs[int(state[c.LEG])]
    kept = 0
    renewed = False
    event = -1.0
    while event < 0.0:
        if step % _NODE_STEPS == 0 or not renewed:
            _at_node(state, member, seed, number, step // _NODE_STEPS)
            thinner = 1.0 - plan[c.DENSITY_LAPSE] * state[c.UP]
            state[c.ROOT_DENSITY_RATIO] = math.sqrt(density_ratio * thinner)
            renewed = True
        if next_leg_due(state, leg, member):
            if state[c.LEG] + 1.0 >= legs.shape[0]:
                event = c.TOUCHED_GROUND if state[c.TOUCHED] == 1.0 else c.NOT_ARRIVED
                break
            state[c.OVERFLIES] = 1.0 if state[c.LEAD] == 0.0 else 0.0
            state[c.LEG] += 1.0
            leg = legs[int(state[c.LEG])]
            enter_leg(state, member, legs, plan, wind)
        volts = open_circuit_volts(state, member, plan, cell_volts)
        fly_step(state, member, leg, plan, volts)
        ground_speed = move(state, wind, plan)
        loaded_volts, energy = drain(state, member, volts)
        result[c.ENERGY] += energy
        result[c.LEAST_VOLTS] = min(result[c.LEAST_VOLTS], loaded_volts)
        warm(state, plan, volts - loaded_volts)
        if leg[c.KIND] == c.ORBIT:
            count_turns(state, leg)
        read_launch(state, leg, result)
        read_speeds(state, member, leg, result, ground_speed)
        clear = read_heights(state, member, leg, plan, ground, obstacles, result, leg_result)
        read_leg(state, leg, leg_result, ground_speed, energy)
        if kept < times.shape[0] and state[c.TIME] >= times[kept] - 0.5 * STEP_S:
            states[kept, :] = state
            kept += 1
            if kept == times.shape[0]:
                break
        event = _event(state, leg, member, plan, clear, result)
        step += 1
    read_end(state, member, event, result, leg_result)


@in_parallel
def fly_members(  # noqa: PLR0913
    seed, numbers, members, winds, legs, plan, cell_volts, ground, obstacles, times
):
    """Fly every member; return results, leg results and the states at `times`.

    Parameters are float64 arrays laid out as `homeleg.flight.layout` says; `numbers` (int64) are
    the members' own numbers, which alone with `seed` decide their gusts. `legs` is (legs,
    LEG_COLUMNS) for all, `obstacles` (obstacles, 4): east, north, top above ground, radius [m];
    `times` rise; where there are any, only the states are wanted, and nothing is flown beyond the
    last. Returns (members, RESULT_COLUMNS), (members, legs, LEG_RESULT_COLUMNS) and
    (members, times, STATE_COLUMNS), zero after the end of a flight.
    """
    count = members.shape[0]
    results = np.zeros((count, c.RESULT_COLUMNS))
    leg_results = np.zeros((count, legs.shape[0], c.LEG_RESULT_COLUMNS))
    states = np.zeros((count, times.shape[0], c.STATE_COLUMNS))
    for i in prange(count):
        _fly(
            seed,
            numbers[i],
            members[i],
            winds[i],
            legs,
            plan,
            cell_volts,
            ground,
            obstacles,
            results[i],
            leg_results[i],
            times,
            states[i],
        )
    return results, leg_results, states


@in_parallel
def fly_onwards(  # noqa: PLR0913
    seed, numbers, who, starts, members, winds, legs, plan, cell_volts, ground, obstacles
):
    """Fly on from saved states over other legs; return results (starts, RESULT_COLUMNS).

    `who` (starts,) says which member each of `starts` (starts, STATE_COLUMNS) belongs to. The legs
    begin with the second row: the first only stands for where the aircraft comes from.
    """
    count = starts.shape[0]
    results = np.zeros((count, c.RESULT_COLUMNS))
    no_times = np.zeros(0)
    no_states = np.zeros((0, c.STATE_COLUMNS))
    for i in prange(count):
        state = starts[i].copy()
        state[c.LEG] = 1.0
        state[c.COURSE] = state[c.HEADING]
        state[c.OVERFLIES] = 1.0
        state[c.STALL_SECONDS] = 0.0
        _fly_on(
            seed,
            numbers[who[i]],
            state,
            members[who[i]],
            winds[who[i]],
            legs,
            plan,
            cell_volts,
            ground,
            obstacles,
            results[i],
            np.zeros((legs.shape[0], c.LEG_RESULT_COLUMNS)),
            no_times,
            no_states,
        )
    return results
