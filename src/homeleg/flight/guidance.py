"""Guidance, compiled: legs begun and ended, the course to make good, bank and climb asked for.

The sense of a turn and its lead are frozen when a leg begins.
"""

# numba finds the types of compiled functions by itself, from arrays that are all float64.
# mypy: allow-untyped-defs, allow-untyped-calls

import math

from homeleg.flight import layout as c
from homeleg.flight.compiled import ROLL_LAG_S, STEP_S, compiled, inlined
from homeleg.flight.surroundings import wind_at
from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2

__all__ = [
    "bank_demand",
    "climb_demand",
    "corner_lead",
    "count_turns",
    "enter_leg",
    "next_leg_due",
    "wrap",
]

_G = STANDARD_GRAVITY_M_S2
_TWO_PI = 2.0 * math.pi
_HEADING_LAG_S = 1.2
_INTERCEPT_S = 2.5
_HEIGHT_GAIN_1_S = 0.5
_STEEPENED = 1.5  # a final above its slope is flown down this much faster
_FLY_OVER_TURN_RAD = math.radians(150.0)
_LEAST_TURN_RAD = math.radians(8.0)
# The barometer was set to zero at the launch point; this long after, its drift is in full. Ours.
_DRIFTED_S = 60.0
# Just after release nobody banks: wings nearly level until clear of the ground.
_WINGS_LEVEL_BELOW_M = 10.0
_NEARLY_LEVEL_RAD = math.radians(5.0)


@inlined
def _indicated_height(state, member):
    """Return the height above launch that the barometer shows: right at release, then it drifts."""
    return state[c.UP] - member[c.BAROMETER_ERROR] * min(1.0, state[c.TIME] / _DRIFTED_S)


@inlined
def wrap(angle_rad):
    """Return an angle between minus and plus half a circle."""
    return angle_rad - _TWO_PI * math.floor((angle_rad + math.pi) / _TWO_PI)


@compiled
def _heading_for_course(course, airspeed, wind_east, wind_north):
    """Return the heading that makes good a course; across the wind as far as airspeed allows."""
    across = wind_east * math.cos(course) - wind_north * math.sin(course)
    return course - math.asin(min(1.0, max(-1.0, across / airspeed)))


@compiled
def _turn_sign(leg_side, course_in, course_out, wind_east, wind_north):
    """Return the committed sense of a turn: as stated, else the shorter way, else into the wind."""
    if leg_side != 0.0:
        return leg_side
    change = wrap(course_out - course_in)
    if abs(change) < math.radians(175.0):
        return 1.0 if change > 0.0 else -1.0
    across = wind_east * math.cos(course_in) - wind_north * math.sin(course_in)
    return -1.0 if across > 0.0 else 1.0


@compiled
def corner_lead(airspeed, bank, course_in, course_out, sign, wind_east, wind_north):
    """Return how far before a corner a turn in wind begins, negative if none fits, in metres.

    At constant bank: the twin of `homeleg.physics.turning.fly_by_distances`, plus the
    distance flown while rolling in.
    """
    heading_in = _heading_for_course(course_in, airspeed, wind_east, wind_north)
    heading_out = _heading_for_course(course_out, airspeed, wind_east, wind_north)
    turned = (sign * (heading_out - heading_in)) % _TWO_PI
    crossing = math.sin(course_out - course_in)
    if turned > 1.2 * _FLY_OVER_TURN_RAD or abs(crossing) < 1e-6:
        return -1.0
    radius = airspeed * airspeed / (_G * math.tan(bank))
    seconds = radius * turned / airspeed
    east = sign * radius * (math.cos(heading_in) - math.cos(heading_out)) + wind_east * seconds
    north = sign * radius * (math.sin(heading_out) - math.sin(heading_in)) + wind_north * seconds
    lead = (north * math.sin(course_out) - east * math.cos(course_out)) / crossing
    ground_speed = airspeed * math.cos(heading_in - course_in) + (
        wind_east * math.sin(course_in) + wind_north * math.cos(course_in)
    )
    return lead + ground_speed * ROLL_LAG_S


@compiled
def enter_leg(state, member, legs, plan, wind):
    """Begin a leg: fix its track, commit the sense of the turn onto it and plan its own end."""
    index = int(state[c.LEG])
    leg = legs[index]
    if leg[c.DIRECT] == 1.0:
        state[c.TRACK_EAST] = state[c.EAST]
        state[c.TRACK_NORTH] = state[c.NORTH]
    else:
        state[c.TRACK_EAST] = leg[c.START_EAST]
        state[c.TRACK_NORTH] = leg[c.START_NORTH]
    east = leg[c.END_EAST] - state[c.TRACK_EAST]
    north = leg[c.END_NORTH] - state[c.TRACK_NORTH]
    course_in = state[c.COURSE]
    if index > 0 and legs[index - 1][c.KIND] == c.ORBIT:
        course_in = state[c.HEADING]
    state[c.LENGTH] = math.hypot(east, north)
    if state[c.LENGTH] > 0.5:
        state[c.COURSE] = math.atan2(east, north)
    state[c.COURSE_SINE] = math.sin(state[c.COURSE])
    state[c.COURSE_COSINE] = math.cos(state[c.COURSE])
    state[c.LEG_SINCE] = state[c.TIME]
    state[c.TURN_SINCE] = state[c.TIME]
    state[c.TURN] = 0.0
    if index == 0 or leg[c.KIND] == c.ORBIT:
        state[c.HELD_AIRSPEED] = leg[c.AIRSPEED]
    if leg[c.KIND] == c.ORBIT:
        _enter_orbit(state, leg)
        return
    wind_east, wind_north = wind_at(wind, plan[c.WIND_TOP], leg[c.HEIGHT])
    if index > 0:
        heading = _heading_for_course(
            state[c.COURSE], state[c.TRUE_AIRSPEED], wind_east, wind_north
        )
        if abs(wrap(heading - state[c.HEADING])) > _LEAST_TURN_RAD:
            state[c.TURN] = _turn_sign(
                leg[c.SIDE], course_in, state[c.COURSE], wind_east, wind_north
            )
        else:
            state[c.HELD_AIRSPEED] = leg[c.AIRSPEED]
    _plan_corner(state, member, legs, wind_east, wind_north)


@compiled
def _enter_orbit(state, leg):
    """Begin an orbit about its place, or beside where the aircraft is; `TRACK` holds the centre."""
    state[c.TRACK_EAST] = leg[c.END_EAST]
    state[c.TRACK_NORTH] = leg[c.END_NORTH]
    if leg[c.DIRECT] == 1.0:
        aside = leg[c.SIDE] * leg[c.RADIUS]
        state[c.TRACK_EAST] = state[c.EAST] + aside * math.cos(state[c.HEADING])
        state[c.TRACK_NORTH] = state[c.NORTH] - aside * math.sin(state[c.HEADING])
    state[c.ORBIT_TURNED] = 0.0
    state[c.ORBIT_BEARING] = math.atan2(
        state[c.EAST] - state[c.TRACK_EAST], state[c.NORTH] - state[c.TRACK_NORTH]
    )
    state[c.OVERFLIES] = 1.0


@compiled
def _plan_corner(state, member, legs, wind_east, wind_north):
    """Freeze how far before the end of this leg the next turn begins; zero if it is overflown.

    `OVERFLIES` still tells of the corner behind; the sign of `LEAD` keeps that of the one ahead.
    """
    index = int(state[c.LEG])
    leg = legs[index]
    state[c.LEAD] = 0.0
    if leg[c.PASSES_OVER] == 1.0 or index + 1 >= legs.shape[0]:
        return
    after = legs[index + 1]
    if after[c.KIND] == c.ORBIT:
        return
    course_out = math.atan2(
        after[c.END_EAST] - leg[c.END_EAST], after[c.END_NORTH] - leg[c.END_NORTH]
    )
    if abs(wrap(course_out - state[c.COURSE])) > _FLY_OVER_TURN_RAD:
        return
    sign = _turn_sign(after[c.SIDE], state[c.COURSE], course_out, wind_east, wind_north)
    airspeed = leg[c.AIRSPEED] * member[c.AIRSPEED_FACTOR] / state[c.ROOT_DENSITY_RATIO]
    lead = corner_lead(
        airspeed, leg[c.BANK], state[c.COURSE], course_out, sign, wind_east, wind_north
    )
    if lead <= state[c.LENGTH]:
        state[c.LEAD] = max(lead, 0.0)


@inlined
def _to_go(state, leg):
    """Return the distance to the end of the leg along its track, in metres."""
    return (leg[c.END_EAST] - state[c.EAST]) * state[c.COURSE_SINE] + (
        leg[c.END_NORTH] - state[c.NORTH]
    ) * state[c.COURSE_COSINE]


@inlined
def _has_climbed(state, leg, member):
    """Return whether the aircraft has reached the height of its leg, as indicated."""
    return _indicated_height(state, member) >= leg[c.HEIGHT] - 1.0


@inlined
def next_leg_due(state, leg, member):
    """Return whether this leg has ended."""
    if leg[c.KIND] == c.ORBIT:
        if leg[c.ORBIT_SECONDS] > 0.0:
            return state[c.TIME] - state[c.LEG_SINCE] >= leg[c.ORBIT_SECONDS]
        if leg[c.ORBIT_TURNS] > 0.0:
            return state[c.ORBIT_TURNED] >= leg[c.ORBIT_TURNS] * _TWO_PI
        return _has_climbed(state, leg, member)
    if leg[c.KIND] == c.FINAL:
        return False
    if leg[c.KIND] == c.CLIMB_OUT and _has_climbed(state, leg, member):
        return True
    # To the nearest step, neither always late nor always early.
    return _to_go(state, leg) - state[c.LEAD] <= 0.5 * STEP_S * state[c.TRUE_AIRSPEED]


@inlined
def _course_along_track(state, member, closing_m):
    """Return sine and cosine of the course that closes with the track.

    It is the track's own while turning, else less atan(offset / closing): with
    sin(atan x) = x / sqrt(1 + x^2) that takes no sine.
    """
    sine = state[c.COURSE_SINE]
    cosine = state[c.COURSE_COSINE]
    if state[c.TURN] != 0.0 and state[c.OVERFLIES] == 0.0:
        return sine, cosine
    off_track = (
        (state[c.EAST] - state[c.TRACK_EAST]) * cosine
        - (state[c.NORTH] - state[c.TRACK_NORTH]) * sine
        - member[c.CROSS_TRACK_ERROR]
    )
    slope = off_track / closing_m
    along = 1.0 / math.sqrt(1.0 + slope * slope)
    return (sine - cosine * slope) * along, (cosine + sine * slope) * along


@inlined
def _course_round_orbit(state, member, leg, closing_m):
    """Return sine and cosine of the course that closes with the circle of an orbit."""
    east = state[c.EAST] - state[c.TRACK_EAST]
    north = state[c.NORTH] - state[c.TRACK_NORTH]
    from_centre = max(math.sqrt(east * east + north * north), 1e-6)
    outside = from_centre - leg[c.RADIUS] - member[c.CROSS_TRACK_ERROR]
    slope = outside / closing_m
    scale = 1.0 / (from_centre * math.sqrt(1.0 + slope * slope))
    return (
        (leg[c.SIDE] * north - east * slope) * scale,
        (-leg[c.SIDE] * east - north * slope) * scale,
    )


@inlined
def bank_demand(state, member, leg):
    """Return the bank that guidance asks for: committed turn, orbit, or closing with the track.

    Courses and headings are unit vectors: sums of angles are products, and one arctangent gives the
    heading error.
    """
    airspeed = state[c.TRUE_AIRSPEED]
    wind_east = state[c.WIND_EAST]
    wind_north = state[c.WIND_NORTH]
    closing_m = max(_INTERCEPT_S * airspeed, 10.0)
    if leg[c.KIND] == c.ORBIT:
        sine, cosine = _course_round_orbit(state, member, leg, closing_m)
    else:
        sine, cosine = _course_along_track(state, member, closing_m)
    across = wind_east * cosine - wind_north * sine
    crab_sine = -min(1.0, max(-1.0, across / airspeed))
    crab_cosine = math.sqrt(1.0 - crab_sine * crab_sine)
    heading_sine = sine * crab_cosine + cosine * crab_sine
    heading_cosine = cosine * crab_cosine - sine * crab_sine
    error = math.atan2(
        heading_sine * state[c.HEADING_COSINE] - heading_cosine * state[c.HEADING_SINE],
        heading_cosine * state[c.HEADING_COSINE] + heading_sine * state[c.HEADING_SINE],
    )
    if state[c.TURN] != 0.0:
        rate = _G * abs(state[c.BANK_SINE]) / (state[c.BANK_COSINE] * airspeed)
        remaining = state[c.TURN] * error
        if remaining < 0.0:
            remaining += _TWO_PI
        if rate * (ROLL_LAG_S + 0.5 * STEP_S) + 0.02 < remaining < _TWO_PI - 0.5:
            return state[c.TURN] * leg[c.BANK]
        state[c.TURN] = 0.0
        state[c.TURN_SINCE] = state[c.TIME]
        state[c.HELD_AIRSPEED] = leg[c.AIRSPEED]
    turning_m_s2 = airspeed * error * (1.0 / _HEADING_LAG_S)
    if leg[c.KIND] == c.ORBIT:
        ground_speed = airspeed * crab_cosine + (wind_east * sine + wind_north * cosine)
        turning_m_s2 += leg[c.SIDE] * ground_speed * ground_speed / leg[c.RADIUS] * crab_cosine
    demand = math.atan(turning_m_s2 * (1.0 / _G))
    steepest = leg[c.BANK]
    if leg[c.KIND] == c.CLIMB_OUT and state[c.UP] < _WINGS_LEVEL_BELOW_M:
        steepest = min(steepest, _NEARLY_LEVEL_RAD)
    return min(steepest, max(-steepest, demand))


@inlined
def climb_demand(state, member, leg, plan):
    """Return the vertical speed asked for, in m/s."""
    indicated = _indicated_height(state, member)
    planned = 0.0
    if leg[c.KIND] == c.FINAL:
        ground_speed = state[c.TRUE_AIRSPEED] + (
            state[c.WIND_EAST] * state[c.COURSE_SINE] + state[c.WIND_NORTH] * state[c.COURSE_COSINE]
        )
        on_slope = leg[c.SLOPE] * _to_go(state, leg)
        if indicated >= on_slope:
            planned = -leg[c.SLOPE] * max(ground_speed, 0.0)
        state[c.HEIGHT_DEMAND] = min(on_slope, state[c.HEIGHT_DEMAND])
    else:
        before = state[c.HEIGHT_DEMAND]
        change = leg[c.HEIGHT] - before
        change = min(plan[c.CLIMB_RATE] * STEP_S, max(-plan[c.SINK_RATE] * STEP_S, change))
        state[c.HEIGHT_DEMAND] = min(before + change, indicated + 15.0)
        planned = (state[c.HEIGHT_DEMAND] - before) * (1.0 / STEP_S)
    demand = planned + _HEIGHT_GAIN_1_S * (state[c.HEIGHT_DEMAND] - indicated)
    fastest_sink = max(plan[c.SINK_RATE], -_STEEPENED * planned)
    return min(plan[c.CLIMB_RATE], max(-fastest_sink, demand))


@compiled
def count_turns(state, leg):
    """Add to the angle flown around the centre of an orbit."""
    bearing = math.atan2(state[c.EAST] - state[c.TRACK_EAST], state[c.NORTH] - state[c.TRACK_NORTH])
    state[c.ORBIT_TURNED] += leg[c.SIDE] * wrap(bearing - state[c.ORBIT_BEARING])
    state[c.ORBIT_BEARING] = bearing
