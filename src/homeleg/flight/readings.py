"""What is kept of a flight, compiled: least and greatest values with their places, legs."""

# numba finds the types of compiled functions by itself, from arrays that are all float64.
# mypy: allow-untyped-defs, allow-untyped-calls

import math

from homeleg.flight import layout as c
from homeleg.flight.compiled import STEP_S, compiled, inlined
from homeleg.flight.guidance import wrap
from homeleg.flight.surroundings import ground_at

__all__ = [
    "clear_results",
    "note",
    "read_end",
    "read_heights",
    "read_launch",
    "read_leg",
    "read_speeds",
]

_LAUNCH_WATCH_S = 5.0
_SETTLED_AIRSPEED_M_S = 0.5
_REACHED_AIRSPEED_M_S = 0.1
_SETTLING_TIME_S = 10.0
_SETTLED_AFTER_TURN_S = 4.0


@inlined
def note(result, place, value, state):
    """Keep a value with where and when it was read."""
    result[place] = value
    result[place + 1] = state[c.LEG]
    result[place + 2] = state[c.TIME]
    result[place + 3] = state[c.EAST]
    result[place + 4] = state[c.NORTH]
    result[place + 5] = state[c.UP]


@compiled
def clear_results(result, leg_result, plan):
    """Put every running extreme where the first reading replaces it."""
    for place in (c.HEADWAY_PLACE, c.TURN_PLACE, c.GUST_PLACE, c.GROUND_PLACE):
        result[place] = math.inf
    result[c.CEILING_PLACE] = -math.inf
    result[c.LEAST_VOLTS] = math.inf
    result[c.LAUNCH_LEAST_HEIGHT] = plan[c.RELEASE_HEIGHT]
    leg_result[:, c.LEG_CLEARANCE] = math.inf


@inlined
def read_speeds(state, member, leg, result, ground_speed):
    """Keep the least ground speed, turn and gust margins and the greatest wind over airspeed."""
    index = state[c.LEG]
    eas = state[c.TRUE_AIRSPEED] * state[c.ROOT_DENSITY_RATIO]
    stall = state[c.STALL_EAS]
    demanded = leg[c.AIRSPEED] * member[c.AIRSPEED_FACTOR]
    settled = state[c.TURN] == 0.0 and (
        abs(eas - demanded) < _SETTLED_AIRSPEED_M_S
        or state[c.TIME] - state[c.TURN_SINCE] > _SETTLING_TIME_S
    )
    if leg[c.ON_ROUTE] == 1.0:
        wind = math.sqrt(state[c.WIND_EAST] ** 2 + state[c.WIND_NORTH] ** 2)
        ratio = wind * state[c.ROOT_DENSITY_RATIO] / leg[c.AIRSPEED]
        result[c.GREATEST_WIND_RATIO] = max(result[c.GREATEST_WIND_RATIO], ratio)
        if settled and ground_speed < result[c.HEADWAY_PLACE]:
            note(result, c.HEADWAY_PLACE, ground_speed, state)
    if state[c.FLYING] == 0.0 and eas >= 1.2 * stall:
        state[c.FLYING] = 1.0
    if state[c.GUST_READ] == 0.0 and (index > 0.0 or eas >= demanded - _REACHED_AIRSPEED_M_S):
        state[c.GUST_READ] = 1.0
    turn_stall = stall / math.sqrt(state[c.BANK_COSINE])
    if state[c.FLYING] == 1.0 and (state[c.TURN] != 0.0 or leg[c.KIND] == c.ORBIT):
        margin = eas / turn_stall
        if margin < result[c.TURN_PLACE]:
            note(result, c.TURN_PLACE, margin, state)
    if state[c.GUST_READ] == 1.0 and leg[c.KIND] != c.FINAL:
        margin = (eas - 0.5 * member[c.GUST_SPREAD]) / turn_stall
        if margin < result[c.GUST_PLACE]:
            note(result, c.GUST_PLACE, margin, state)
    gusty = eas + state[c.GUST_U] * state[c.ROOT_DENSITY_RATIO]
    if state[c.FLYING] == 1.0 and gusty < turn_stall:
        state[c.STALL_SECONDS] += STEP_S
    else:
        state[c.STALL_SECONDS] = 0.0


@inlined
def read_heights(state, member, leg, plan, ground, obstacles, result, leg_result):
    """Keep the least clearance and greatest height; return metres above what is below."""
    below = ground_at(ground, plan, state[c.EAST], state[c.NORTH])
    distance = math.sqrt(state[c.EAST] ** 2 + state[c.NORTH] ** 2)
    result[c.GREATEST_DISTANCE] = max(result[c.GREATEST_DISTANCE], distance)
    if math.isnan(below):
        result[c.UNKNOWN_GROUND] += STEP_S
        return math.nan
    # At the launch point the ground is known; a hundred metres away its spread is in full.
    unsure = min(1.0, max(0.0, (distance - plan[c.KNOWN_GROUND]) / 100.0))
    below += member[c.GROUND_ERROR] * unsure
    height = state[c.UP] - below
    if height > result[c.CEILING_PLACE]:
        note(result, c.CEILING_PLACE, height, state)
    clear = height
    for k in range(obstacles.shape[0]):
        east = state[c.EAST] - obstacles[k, 0]
        north = state[c.NORTH] - obstacles[k, 1]
        if east * east + north * north < obstacles[k, 3] * obstacles[k, 3]:
            clear = min(clear, height - obstacles[k, 2])
    index = int(state[c.LEG])
    leg_result[index, c.LEG_CLEARANCE] = min(leg_result[index, c.LEG_CLEARANCE], clear)
    if leg[c.CLEARS_GROUND] == 1.0 and clear < result[c.GROUND_PLACE]:
        note(result, c.GROUND_PLACE, clear, state)
    return clear


@inlined
def read_leg(state, leg, leg_result, ground_speed, energy):
    """Add one step to the sums of the leg."""
    index = int(state[c.LEG])
    leg_result[index, c.LEG_TIME] += STEP_S
    leg_result[index, c.LEG_ENERGY] += energy
    if (
        state[c.TURN] == 0.0
        and leg[c.KIND] == c.TRACK
        and state[c.TIME] - state[c.TURN_SINCE] > _SETTLED_AFTER_TURN_S
    ):
        leg_result[index, c.LEG_STRAIGHT] += STEP_S
        leg_result[index, c.LEG_GROUND_SPEED] += ground_speed * STEP_S
        leg_result[index, c.LEG_CRAB] += abs(wrap(state[c.HEADING] - state[c.COURSE])) * STEP_S


@inlined
def read_launch(state, leg, result):
    """Keep the least height of the first seconds, until the aircraft flies and climbs."""
    if leg[c.KIND] != c.CLIMB_OUT or state[c.TIME] > _LAUNCH_WATCH_S:
        return
    if state[c.FLYING] == 0.0 or state[c.PATH_ANGLE] <= 0.0:
        result[c.LAUNCH_LEAST_HEIGHT] = min(result[c.LAUNCH_LEAST_HEIGHT], state[c.UP])


@compiled
def read_end(state, member, event, result, leg_result):
    """Write down how and when the flight ended, and the means of its legs."""
    result[c.EVENT] = event
    if state[c.TOUCHED] == 0.0:
        note(result, c.EVENT_PLACE, event, state)
    result[c.DURATION] = state[c.TIME]
    result[c.CHARGE_USED] = state[c.CHARGE]
    result[c.END_STATE_OF_CHARGE] = 1.0 - state[c.CHARGE] / member[c.CAPACITY]
    result[c.END_PACK_TEMPERATURE] = state[c.TEMPERATURE]
    result[c.END_RELAXATION] = state[c.RELAXATION]
    for index in range(leg_result.shape[0]):
        seconds = leg_result[index, c.LEG_STRAIGHT]
        if seconds > 0.0:
            leg_result[index, c.LEG_GROUND_SPEED] /= seconds
            leg_result[index, c.LEG_CRAB] /= seconds
