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
from numba import njit, prange

from homeleg.flight import layout as c
from homeleg.foundation.constants import (
    CELSIUS_ZERO_K,
    ISA_SEA_LEVEL_DENSITY_KG_M3,
    STANDARD_GRAVITY_M_S2,
)
from homeleg.physics.battery import (
    COOLING_TIME_S,
    RELAXATION_RESISTANCE_SHARE,
    RELAXATION_TIME_S,
    RESISTANCE_FIT_B_K,
    RESISTANCE_FIT_ZERO_K,
    RESISTANCE_REFERENCE_C,
    SPECIFIC_HEAT_J_KG_K,
)

# Division by zero gives infinity, as in C: the check that Python makes costs a sixth of the time.
# Pieces of a step are inlined: called, their arrays cost a third of the time.
_compiled = njit(cache=True, error_model="numpy")
_inlined = njit(cache=True, error_model="numpy", inline="always")

_G = STANDARD_GRAVITY_M_S2
_RHO0 = ISA_SEA_LEVEL_DENSITY_KG_M3
_TWO_PI = 2.0 * math.pi

STEP_S = 0.1
_NODE_STEPS = 5  # a gust node every half second

# Lags and gains of the flown aircraft. MEMORY: usual for small autopilots. Halved or doubled, each
# moves headway by up to 0.2 m/s and turn margins by up to 0.02: more than the sampling error, at
# most a fifth of the room between the limits (docs/decisions/0002-step-and-lags.md).
_ROLL_LAG_S = 0.4
_CLIMB_LAG_S = 0.7
_POWER_LAG_S = 0.4
_HEADING_LAG_S = 1.2
_INTERCEPT_S = 2.5
_SPEED_LAG_S = 1.5
_HEIGHT_GAIN_1_S = 0.5
_STEEPENED = 1.5  # a final above its slope is flown down this much faster
_GREATEST_ACCELERATION_M_S2 = 2.0
_FLY_OVER_TURN_RAD = math.radians(150.0)
_LEAST_TURN_RAD = math.radians(8.0)
_ROLLING_FRICTION = 0.05  # wheels on short grass, MEMORY
_GROUND_ROLL_LIMIT_S = 60.0
_LAUNCH_WATCH_S = 5.0
_STALL_TIME_S = 1.0
_LOWEST_WIND_M = 2.0
_FLARE_M = 3.0
# Just after release nobody banks: wings nearly level until clear of the ground.
_WINGS_LEVEL_BELOW_M = 10.0
_NEARLY_LEVEL_RAD = math.radians(5.0)
_TOUCHDOWN_M = 0.5
_SETTLED_AIRSPEED_M_S = 0.5
_REACHED_AIRSPEED_M_S = 0.1
_SETTLING_TIME_S = 10.0
_SETTLED_AFTER_TURN_S = 4.0


@_inlined
def _wrap(angle_rad):
    return angle_rad - _TWO_PI * math.floor((angle_rad + math.pi) / _TWO_PI)


@_compiled
def _gust(seed, member, node, channel):
    """Return a nearly normal number of zero mean and unit variance from a 64-bit hash.

    Four 16-bit uniforms of one mixed word (finaliser of splitmix64, Steele et al. 2014).
    """
    x = np.uint64(seed) * np.uint64(0x9E3779B97F4A7C15)
    x ^= np.uint64(member) * np.uint64(0xBF58476D1CE4E5B9)
    x += np.uint64(node * 3 + channel) * np.uint64(0x94D049BB133111EB)
    x ^= x >> np.uint64(30)
    x *= np.uint64(0xBF58476D1CE4E5B9)
    x ^= x >> np.uint64(27)
    x *= np.uint64(0x94D049BB133111EB)
    x ^= x >> np.uint64(31)
    mask = np.uint64(0xFFFF)
    total = (
        np.int64(x & mask)
        + np.int64((x >> np.uint64(16)) & mask)
        + np.int64((x >> np.uint64(32)) & mask)
        + np.int64(x >> np.uint64(48))
    )
    # Sum of four uniforms on 0..65535: mean 131070, variance 4 (65536^2 - 1) / 12.
    return (total - 131070.0) / 37837.22661


@_inlined
def wind_at(wind, top_m, height_m):
    """Return wind east and north at a height, linear in the square root of height.

    Down to 2 m: an aircraft that rolls or lies on the ground still stands in that wind.
    """
    place = math.sqrt(max(height_m, _LOWEST_WIND_M) / top_m) * (c.WIND_NODES - 1)
    if place >= c.WIND_NODES - 1:
        return wind[0, c.WIND_NODES - 1], wind[1, c.WIND_NODES - 1]
    node = int(place)
    share = place - node
    return (
        wind[0, node] + share * (wind[0, node + 1] - wind[0, node]),
        wind[1, node] + share * (wind[1, node + 1] - wind[1, node]),
    )


@_inlined
def _ground_at(ground, plan, east_m, north_m):
    """Return the ground's height above launch, bilinear; NaN where nothing is known."""
    if east_m * east_m + north_m * north_m > plan[c.GROUND_RADIUS] * plan[c.GROUND_RADIUS]:
        return math.nan
    x = (east_m - plan[c.GROUND_EAST]) / plan[c.GROUND_SPACING]
    y = (north_m - plan[c.GROUND_NORTH]) / plan[c.GROUND_SPACING]
    rows, columns = ground.shape
    if x < 0.0 or y < 0.0 or x > columns - 1 or y > rows - 1:
        return math.nan
    i = min(int(x), columns - 2)
    j = min(int(y), rows - 2)
    fx = x - i
    fy = y - j
    return (1.0 - fy) * ((1.0 - fx) * ground[j, i] + fx * ground[j, i + 1]) + fy * (
        (1.0 - fx) * ground[j + 1, i] + fx * ground[j + 1, i + 1]
    )


@_compiled
def _disk_thrust(power_w, density, area_m2, airspeed):
    """Return the thrust T that solves T (V + v) = P with the momentum theory's v, by Newton."""
    if power_w <= 0.0:
        return 0.0
    thrust = (2.0 * density * area_m2 * power_w * power_w) ** (1.0 / 3.0)
    if airspeed > 0.0:
        thrust = min(thrust, power_w / airspeed)
    for _ in range(12):
        root = math.sqrt(0.25 * airspeed * airspeed + thrust / (2.0 * density * area_m2))
        error = thrust * (0.5 * airspeed + root) - power_w
        slope = 0.5 * airspeed + root + thrust / (4.0 * density * area_m2 * root)
        change = error / slope
        thrust -= change
        if abs(change) < 1e-9 * thrust:
            break
    return thrust


@_compiled
def _heading_for_course(course, airspeed, wind_east, wind_north):
    """Return the heading that makes good a course; across the wind as far as airspeed allows."""
    across = wind_east * math.cos(course) - wind_north * math.sin(course)
    return course - math.asin(min(1.0, max(-1.0, across / airspeed)))


@_compiled
def _turn_sign(leg_side, course_in, course_out, wind_east, wind_north):
    """Return the committed sense of a turn: as stated, else the shorter way, else into the wind."""
    if leg_side != 0.0:
        return leg_side
    change = _wrap(course_out - course_in)
    if abs(change) < math.radians(175.0):
        return 1.0 if change > 0.0 else -1.0
    across = wind_east * math.cos(course_in) - wind_north * math.sin(course_in)
    return -1.0 if across > 0.0 else 1.0


@_compiled
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
    return lead + ground_speed * _ROLL_LAG_S


@_inlined
def _note(result, place, value, state):
    """Keep a value with where and when it was read."""
    result[place] = value
    result[place + 1] = state[c.LEG]
    result[place + 2] = state[c.TIME]
    result[place + 3] = state[c.EAST]
    result[place + 4] = state[c.NORTH]
    result[place + 5] = state[c.UP]


@_compiled
def _release(state, member, wind, plan):
    """Put the aircraft at its release: thrown, catapulted, or at lift-off after its ground roll."""
    heading = plan[c.RELEASE_HEADING]
    wind_east, wind_north = wind_at(wind, plan[c.WIND_TOP], max(plan[c.RELEASE_HEIGHT], 2.0))
    ground_speed = member[c.RELEASE_SPEED]
    rolled_m = 0.0
    if plan[c.LAUNCH_KIND] == 1.0:
        ground_speed, rolled_m = _ground_roll(state, member, plan, wind_east, wind_north)
    east = ground_speed * math.sin(heading) - wind_east
    north = ground_speed * math.cos(heading) - wind_north
    state[c.EAST] = rolled_m * math.sin(heading)
    state[c.NORTH] = rolled_m * math.cos(heading)
    state[c.UP] = plan[c.RELEASE_HEIGHT]
    state[c.TRUE_AIRSPEED] = max(math.hypot(east, north), 1.0)
    state[c.HEADING] = math.atan2(east, north)
    state[c.HEIGHT_DEMAND] = plan[c.RELEASE_HEIGHT]
    state[c.WIND_EAST] = wind_east
    state[c.WIND_NORTH] = wind_north
    state[c.LOAD] = 1.0
    # At full power, unless the motor is declared to wait: the thrust limit cuts this down.
    state[c.THRUST] = member[c.MASS] * _G
    state[c.STALL_EAS] = _stall_speed(member)
    state[c.HEADING_SINE] = math.sin(state[c.HEADING])
    state[c.HEADING_COSINE] = math.cos(state[c.HEADING])
    state[c.PATH_COSINE] = state[c.BANK_COSINE] = 1.0
    return rolled_m


@_compiled
def _ground_roll(state, member, plan, wind_east, wind_north):
    """Roll on wheels at full power to 1.2 times the stall speed; return ground speed and distance.

    Rolls at the lift coefficient of least drag, with rolling friction on what the wheels carry.
    """
    heading = plan[c.RELEASE_HEADING]
    head_wind = -(wind_east * math.sin(heading) + wind_north * math.cos(heading))
    density = member[c.DENSITY]
    lift_off = 1.2 * _stall_speed(member) * math.sqrt(_RHO0 / density)
    ground_speed = 0.0
    rolled_m = 0.0
    seconds = 0.0
    while ground_speed + head_wind < lift_off and seconds < _GROUND_ROLL_LIMIT_S:
        airspeed = max(ground_speed + head_wind, 0.1)
        pull = 0.5 * density * airspeed * airspeed * member[c.WING_AREA]
        lift = pull * 0.5 * member[c.MAXIMUM_LIFT]
        drag = pull * (
            member[c.ZERO_LIFT_DRAG]
            + member[c.INDUCED_FACTOR]
            * (0.5 * member[c.MAXIMUM_LIFT] - member[c.LIFT_AT_LEAST_DRAG]) ** 2
        )
        thrust = _disk_thrust(
            member[c.DISK_EFFICIENCY] * member[c.FULL_POWER],
            density,
            member[c.DISK_AREA],
            airspeed,
        )
        friction = _ROLLING_FRICTION * max(member[c.MASS] * _G - lift, 0.0)
        ground_speed += (thrust - drag - friction) / member[c.MASS] * STEP_S
        ground_speed = max(ground_speed, 0.0)
        rolled_m += ground_speed * STEP_S
        seconds += STEP_S
    state[c.CHARGE] += member[c.FULL_POWER] * seconds / 3600.0 / (3.7 * plan[c.CELLS])
    return ground_speed, rolled_m


@_inlined
def _stall_speed(member):
    """Return the equivalent stall speed in level flight, in m/s."""
    return math.sqrt(
        2.0 * member[c.MASS] * _G / (_RHO0 * member[c.WING_AREA] * member[c.MAXIMUM_LIFT])
    )


@_compiled
def _enter_leg(state, member, legs, plan, wind):
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
        state[c.ORBIT_TURNED] = 0.0
        state[c.ORBIT_BEARING] = math.atan2(
            state[c.EAST] - leg[c.END_EAST], state[c.NORTH] - leg[c.END_NORTH]
        )
        state[c.OVERFLIES] = 1.0
        return
    wind_east, wind_north = wind_at(wind, plan[c.WIND_TOP], leg[c.HEIGHT])
    if index > 0:
        heading = _heading_for_course(
            state[c.COURSE], state[c.TRUE_AIRSPEED], wind_east, wind_north
        )
        if abs(_wrap(heading - state[c.HEADING])) > _LEAST_TURN_RAD:
            state[c.TURN] = _turn_sign(
                leg[c.SIDE], course_in, state[c.COURSE], wind_east, wind_north
            )
        else:
            state[c.HELD_AIRSPEED] = leg[c.AIRSPEED]
    _plan_corner(state, member, legs, wind_east, wind_north)


@_compiled
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
    if abs(_wrap(course_out - state[c.COURSE])) > _FLY_OVER_TURN_RAD:
        return
    sign = _turn_sign(after[c.SIDE], state[c.COURSE], course_out, wind_east, wind_north)
    airspeed = leg[c.AIRSPEED] * member[c.AIRSPEED_FACTOR] / state[c.ROOT_DENSITY_RATIO]
    lead = corner_lead(
        airspeed, leg[c.BANK], state[c.COURSE], course_out, sign, wind_east, wind_north
    )
    if lead <= state[c.LENGTH]:
        state[c.LEAD] = max(lead, 0.0)


@_inlined
def _to_go(state, leg):
    """Return the distance to the end of the leg along its track, in metres."""
    return (leg[c.END_EAST] - state[c.EAST]) * state[c.COURSE_SINE] + (
        leg[c.END_NORTH] - state[c.NORTH]
    ) * state[c.COURSE_COSINE]


@_inlined
def _next_leg_due(state, leg, member):
    """Return whether this leg has ended."""
    if leg[c.KIND] == c.ORBIT:
        if leg[c.ORBIT_SECONDS] > 0.0:
            return state[c.TIME] - state[c.LEG_SINCE] >= leg[c.ORBIT_SECONDS]
        return state[c.ORBIT_TURNED] >= leg[c.ORBIT_TURNS] * _TWO_PI
    if leg[c.KIND] == c.FINAL:
        return False
    if leg[c.KIND] == c.CLIMB_OUT and (
        state[c.UP] - member[c.BAROMETER_ERROR] >= leg[c.HEIGHT] - 1.0
    ):
        return True
    # To the nearest step, neither always late nor always early.
    return _to_go(state, leg) - state[c.LEAD] <= 0.5 * STEP_S * state[c.TRUE_AIRSPEED]


@_inlined
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


@_inlined
def _course_round_orbit(state, member, leg, closing_m):
    """Return sine and cosine of the course that closes with the circle of an orbit."""
    east = state[c.EAST] - leg[c.END_EAST]
    north = state[c.NORTH] - leg[c.END_NORTH]
    from_centre = max(math.sqrt(east * east + north * north), 1e-6)
    outside = from_centre - leg[c.RADIUS] - member[c.CROSS_TRACK_ERROR]
    slope = outside / closing_m
    scale = 1.0 / (from_centre * math.sqrt(1.0 + slope * slope))
    return (
        (leg[c.SIDE] * north - east * slope) * scale,
        (-leg[c.SIDE] * east - north * slope) * scale,
    )


@_inlined
def _bank_demand(state, member, leg):
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
        if rate * (_ROLL_LAG_S + 0.5 * STEP_S) + 0.02 < remaining < _TWO_PI - 0.5:
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


@_inlined
def _climb_demand(state, member, leg, plan):
    """Return the vertical speed asked for, in m/s."""
    indicated = state[c.UP] - member[c.BAROMETER_ERROR]
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


@_inlined
def _thrust_limit(state, member, leg, plan, volts):
    """Return the most thrust and the electrical power it takes: motor, pack and disk allowing."""
    if state[c.TIME] < member[c.MOTOR_DELAY]:
        return 0.0, 0.0
    sag_limited = plan[c.CUT_OFF] * (volts - plan[c.CUT_OFF]) / state[c.RESISTANCE]
    power = min(member[c.FULL_POWER], max(sag_limited - member[c.AVIONICS_POWER], 0.0))
    climbing = state[c.TRUE_AIRSPEED] * state[c.PATH_SINE] / plan[c.CLIMB_RATE]
    climbing = min(1.0, max(0.0, climbing))
    efficiency = member[c.EFFICIENCY] + climbing * (
        member[c.CLIMB_EFFICIENCY] - member[c.EFFICIENCY]
    )
    thrust = efficiency * power / state[c.TRUE_AIRSPEED]
    if leg[c.KIND] == c.CLIMB_OUT:
        density = _RHO0 * state[c.ROOT_DENSITY_RATIO] * state[c.ROOT_DENSITY_RATIO]
        disk = _disk_thrust(
            member[c.DISK_EFFICIENCY] * power, density, member[c.DISK_AREA], state[c.TRUE_AIRSPEED]
        )
        thrust = min(thrust, disk)
    return thrust, power


@_inlined
def _fly_step(state, member, leg, plan, volts):
    """Advance the aircraft by one step through the air: bank, path angle, thrust, airspeed."""
    weight = member[c.MASS] * _G
    root = state[c.ROOT_DENSITY_RATIO]
    bank_demand = _bank_demand(state, member, leg)
    demanded_eas = state[c.HELD_AIRSPEED] * member[c.AIRSPEED_FACTOR]
    if leg[c.BY_PILOT] == 1.0:
        demanded_eas += member[c.PILOT_AIRSPEED_ERROR]
    airspeed = state[c.TRUE_AIRSPEED]
    in_gust = max(airspeed + state[c.GUST_U], 1.0)
    pull = 0.5 * _RHO0 * root * root * in_gust * in_gust * member[c.WING_AREA]
    lift_coefficient = min(state[c.LOAD] * weight / pull, member[c.MAXIMUM_LIFT])
    from_least = lift_coefficient - member[c.LIFT_AT_LEAST_DRAG]
    drag = pull * (member[c.ZERO_LIFT_DRAG] + member[c.INDUCED_FACTOR] * from_least * from_least)
    most_thrust, most_power = _thrust_limit(state, member, leg, plan, volts)
    wanted = min(
        _GREATEST_ACCELERATION_M_S2,
        max(-_GREATEST_ACCELERATION_M_S2, (demanded_eas / root - airspeed) * (1.0 / _SPEED_LAG_S)),
    )
    # Airspeed first: climb with what is left over; never dive for speed while well above the stall.
    stall = state[c.STALL_EAS] / root
    floor = 0.0 if airspeed > 1.1 * stall * math.sqrt(state[c.LOAD]) else -0.15
    spare = (most_thrust - drag - member[c.MASS] * min(max(wanted, 0.0), 0.5)) / weight
    steepest = -(drag + member[c.MASS] * min(wanted, 0.0)) / weight
    path = _climb_demand(state, member, leg, plan) / airspeed
    path = max(min(path, max(spare, floor)), steepest)
    path = math.asin(min(0.5, max(-0.5, path)))
    thrust = drag + weight * state[c.PATH_SINE] + member[c.MASS] * wanted
    thrust = min(most_thrust, max(0.0, thrust))
    state[c.THRUST] += (thrust - state[c.THRUST]) * (STEP_S / _POWER_LAG_S)
    state[c.THRUST] = min(state[c.THRUST], most_thrust)
    state[c.POWER] = most_power * state[c.THRUST] / most_thrust if most_thrust > 0.0 else 0.0

    state[c.BANKED] += (bank_demand - state[c.BANKED]) * (STEP_S / _ROLL_LAG_S)
    state[c.BANK_SINE] = math.sin(state[c.BANKED])
    state[c.BANK_COSINE] = cos_bank = math.cos(state[c.BANKED])
    cos_path = state[c.PATH_COSINE]
    pitch_rate = (path - state[c.PATH_ANGLE]) * (1.0 / _CLIMB_LAG_S)
    load = (cos_path + airspeed * pitch_rate * (1.0 / _G)) / cos_bank
    load = max(0.0, min(load, pull * member[c.MAXIMUM_LIFT] / weight))
    state[c.LOAD] = load
    state[c.PATH_ANGLE] += _G * (load * cos_bank - cos_path) / airspeed * STEP_S
    state[c.PATH_SINE] = math.sin(state[c.PATH_ANGLE])
    state[c.PATH_COSINE] = math.cos(state[c.PATH_ANGLE])
    state[c.HEADING] += _G * load * state[c.BANK_SINE] / (airspeed * cos_path) * STEP_S
    along = (state[c.THRUST] - drag) / member[c.MASS] - _G * state[c.PATH_SINE]
    state[c.TRUE_AIRSPEED] = max(airspeed + along * STEP_S, 1.0)


@_inlined
def _move(state, wind, plan):
    """Advance the position by one step; wind that changes with height changes the airspeed."""
    # The heading's mean over the step, or a turn would run half a step ahead of its time.
    sine = 0.5 * state[c.HEADING_SINE]
    cosine = 0.5 * state[c.HEADING_COSINE]
    state[c.HEADING_SINE] = math.sin(state[c.HEADING])
    state[c.HEADING_COSINE] = math.cos(state[c.HEADING])
    sine += 0.5 * state[c.HEADING_SINE]
    cosine += 0.5 * state[c.HEADING_COSINE]
    level = state[c.TRUE_AIRSPEED] * state[c.PATH_COSINE]
    east = level * sine + state[c.WIND_EAST]
    north = level * cosine + state[c.WIND_NORTH]
    # A gust from ahead holds the aircraft back; one from the side carries it along.
    carried_east = -state[c.GUST_U] * sine + state[c.GUST_V] * cosine
    carried_north = -state[c.GUST_U] * cosine - state[c.GUST_V] * sine
    state[c.EAST] += (east + carried_east) * STEP_S
    state[c.NORTH] += (north + carried_north) * STEP_S
    state[c.UP] += (state[c.TRUE_AIRSPEED] * state[c.PATH_SINE] + state[c.GUST_W]) * STEP_S
    wind_east, wind_north = wind_at(wind, plan[c.WIND_TOP], state[c.UP])
    state[c.TRUE_AIRSPEED] -= (wind_east - state[c.WIND_EAST]) * sine + (
        wind_north - state[c.WIND_NORTH]
    ) * cosine
    state[c.TRUE_AIRSPEED] = max(state[c.TRUE_AIRSPEED], 1.0)
    state[c.WIND_EAST] = wind_east
    state[c.WIND_NORTH] = wind_north
    state[c.TIME] += STEP_S
    return math.sqrt(east * east + north * north)


@_inlined
def _open_circuit_volts(state, member, plan, cell_volts):
    """Return the pack's volts without current, slow polarisation taken off."""
    full = min(1.0, max(0.0, 1.0 - state[c.CHARGE] / member[c.CAPACITY]))
    place = full * (cell_volts.shape[0] - 1)
    node = min(int(place), cell_volts.shape[0] - 2)
    cell = cell_volts[node] + (place - node) * (cell_volts[node + 1] - cell_volts[node])
    return plan[c.CELLS] * cell - state[c.RELAXATION]


@_inlined
def _drain(state, member, volts):
    """Take one step's charge from the pack; return volts under load and joules taken."""
    power = state[c.POWER] + member[c.AVIONICS_POWER]
    resistance = state[c.RESISTANCE]
    inside = max(volts * volts - 4.0 * power * resistance, 0.0)
    current = (volts - math.sqrt(inside)) / (2.0 * resistance)
    state[c.CHARGE] += current * (STEP_S / 3600.0)
    slow_volts = current * resistance * RELAXATION_RESISTANCE_SHARE
    state[c.RELAXATION] += (slow_volts - state[c.RELAXATION]) * (STEP_S / RELAXATION_TIME_S)
    return volts - current * resistance, power * STEP_S


@_inlined
def _warm(state, plan, sag):
    """Heat the pack by the current through its resistance; cool it towards the air outside."""
    heat_w = sag * sag / state[c.RESISTANCE]
    capacity_j_k = plan[c.PACK_MASS] * SPECIFIC_HEAT_J_KG_K
    cooling = (state[c.TEMPERATURE] - plan[c.OUTSIDE_AIR]) * (1.0 / COOLING_TIME_S)
    state[c.TEMPERATURE] += (heat_w / capacity_j_k - cooling) * STEP_S


@_compiled
def _count_turns(state, leg):
    """Add to the angle flown around the centre of an orbit."""
    bearing = math.atan2(state[c.EAST] - leg[c.END_EAST], state[c.NORTH] - leg[c.END_NORTH])
    state[c.ORBIT_TURNED] += leg[c.SIDE] * _wrap(bearing - state[c.ORBIT_BEARING])
    state[c.ORBIT_BEARING] = bearing


@_compiled
def _at_node(state, member, seed, number, node):
    """Renew gusts (first-order Dryden) and the pack's resistance, every half second."""
    interval = _NODE_STEPS * STEP_S
    airspeed = state[c.TRUE_AIRSPEED]
    kept = math.exp(-airspeed * interval / member[c.GUST_LENGTH_U])
    fresh = member[c.GUST_SIGMA_U] * math.sqrt(1.0 - kept * kept)
    state[c.GUST_U] = kept * state[c.GUST_U] + fresh * _gust(seed, number, node, 0)
    state[c.GUST_V] = kept * state[c.GUST_V] + fresh * _gust(seed, number, node, 1)
    kept = math.exp(-airspeed * interval / member[c.GUST_LENGTH_W])
    fresh = member[c.GUST_SIGMA_W] * math.sqrt(1.0 - kept * kept)
    state[c.GUST_W] = kept * state[c.GUST_W] + fresh * _gust(seed, number, node, 2)
    fitted_k = state[c.TEMPERATURE] - CELSIUS_ZERO_K + RESISTANCE_FIT_ZERO_K
    reference_k = RESISTANCE_REFERENCE_C + RESISTANCE_FIT_ZERO_K
    ratio = math.exp(RESISTANCE_FIT_B_K * (1.0 / fitted_k - 1.0 / reference_k))
    state[c.RESISTANCE] = member[c.RESISTANCE_25] * ratio


@_inlined
def _read_speeds(state, member, leg, result, ground_speed):
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
            _note(result, c.HEADWAY_PLACE, ground_speed, state)
    if state[c.FLYING] == 0.0 and eas >= 1.2 * stall:
        state[c.FLYING] = 1.0
    if state[c.GUST_READ] == 0.0 and (index > 0.0 or eas >= demanded - _REACHED_AIRSPEED_M_S):
        state[c.GUST_READ] = 1.0
    turn_stall = stall / math.sqrt(state[c.BANK_COSINE])
    if state[c.FLYING] == 1.0 and (state[c.TURN] != 0.0 or leg[c.KIND] == c.ORBIT):
        margin = eas / turn_stall
        if margin < result[c.TURN_PLACE]:
            _note(result, c.TURN_PLACE, margin, state)
    if state[c.GUST_READ] == 1.0 and leg[c.KIND] != c.FINAL:
        margin = (eas - 0.5 * member[c.GUST_SPREAD]) / turn_stall
        if margin < result[c.GUST_PLACE]:
            _note(result, c.GUST_PLACE, margin, state)
    gusty = eas + state[c.GUST_U] * state[c.ROOT_DENSITY_RATIO]
    if state[c.FLYING] == 1.0 and gusty < turn_stall:
        state[c.STALL_SECONDS] += STEP_S
    else:
        state[c.STALL_SECONDS] = 0.0


@_inlined
def _read_heights(state, member, leg, plan, ground, obstacles, result, leg_result):
    """Keep the least clearance and greatest height; return metres above what is below."""
    below = _ground_at(ground, plan, state[c.EAST], state[c.NORTH])
    distance = math.sqrt(state[c.EAST] ** 2 + state[c.NORTH] ** 2)
    result[c.GREATEST_DISTANCE] = max(result[c.GREATEST_DISTANCE], distance)
    if math.isnan(below):
        result[c.UNKNOWN_GROUND] += STEP_S
        return math.nan
    # At the launch point the ground is known; a hundred metres away its spread is in full.
    below += member[c.GROUND_ERROR] * min(1.0, distance / 100.0)
    height = state[c.UP] - below
    if height > result[c.CEILING_PLACE]:
        _note(result, c.CEILING_PLACE, height, state)
    clear = height
    for k in range(obstacles.shape[0]):
        east = state[c.EAST] - obstacles[k, 0]
        north = state[c.NORTH] - obstacles[k, 1]
        if east * east + north * north < obstacles[k, 3] * obstacles[k, 3]:
            clear = min(clear, height - obstacles[k, 2])
    index = int(state[c.LEG])
    leg_result[index, c.LEG_CLEARANCE] = min(leg_result[index, c.LEG_CLEARANCE], clear)
    if leg[c.CLEARS_GROUND] == 1.0 and clear < result[c.GROUND_PLACE]:
        _note(result, c.GROUND_PLACE, clear, state)
    return clear


@_inlined
def _read_leg(state, leg, leg_result, ground_speed, energy):
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
        leg_result[index, c.LEG_CRAB] += abs(_wrap(state[c.HEADING] - state[c.COURSE])) * STEP_S


@_inlined
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
            _note(result, c.EVENT_PLACE, c.TOUCHED_GROUND, state)
        state[c.TOUCHED] = 1.0
    flaring = leg[c.KIND] == c.FINAL and clear < _FLARE_M
    if state[c.STALL_SECONDS] > _STALL_TIME_S and not flaring:
        return c.STALLED
    if state[c.CHARGE] >= member[c.USABLE]:
        return c.TOUCHED_GROUND if state[c.TOUCHED] == 1.0 else c.PACK_EMPTY
    if state[c.TIME] >= plan[c.TIME_LIMIT]:
        return c.TOUCHED_GROUND if state[c.TOUCHED] == 1.0 else c.NOT_ARRIVED
    return -1.0


@_compiled
def _clear_results(result, leg_result, plan):
    """Put every running extreme where the first reading replaces it."""
    for place in (c.HEADWAY_PLACE, c.TURN_PLACE, c.GUST_PLACE, c.GROUND_PLACE):
        result[place] = math.inf
    result[c.CEILING_PLACE] = -math.inf
    result[c.LEAST_VOLTS] = math.inf
    result[c.LAUNCH_LEAST_HEIGHT] = plan[c.RELEASE_HEIGHT]
    leg_result[:, c.LEG_CLEARANCE] = math.inf


@_compiled
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
    """Fly one member from release to its first event; keep its states at `times`."""
    state = np.zeros(c.STATE_COLUMNS)
    state[c.CHARGE] = member[c.CHARGE_AT_START]
    state[c.TEMPERATURE] = member[c.PACK_TEMPERATURE]
    state[c.OVERFLIES] = 1.0
    result[c.LIFT_OFF_DISTANCE] = _release(state, member, wind, plan)
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


@_compiled
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
    """Fly one member on from a state, at the start of its leg, to its first event."""
    _clear_results(result, leg_result, plan)
    _enter_leg(state, member, legs, plan, wind)
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
        if _next_leg_due(state, leg, member):
            if state[c.LEG] + 1.0 >= legs.shape[0]:
                event = c.TOUCHED_GROUND if state[c.TOUCHED] == 1.0 else c.NOT_ARRIVED
                break
            state[c.OVERFLIES] = 1.0 if state[c.LEAD] == 0.0 else 0.0
            state[c.LEG] += 1.0
            leg = legs[int(state[c.LEG])]
            _enter_leg(state, member, legs, plan, wind)
        volts = _open_circuit_volts(state, member, plan, cell_volts)
        _fly_step(state, member, leg, plan, volts)
        ground_speed = _move(state, wind, plan)
        loaded_volts, energy = _drain(state, member, volts)
        result[c.ENERGY] += energy
        result[c.LEAST_VOLTS] = min(result[c.LEAST_VOLTS], loaded_volts)
        _warm(state, plan, volts - loaded_volts)
        if leg[c.KIND] == c.ORBIT:
            _count_turns(state, leg)
        _read_launch(state, leg, result)
        _read_speeds(state, member, leg, result, ground_speed)
        clear = _read_heights(state, member, leg, plan, ground, obstacles, result, leg_result)
        _read_leg(state, leg, leg_result, ground_speed, energy)
        if kept < times.shape[0] and state[c.TIME] >= times[kept] - 0.5 * STEP_S:
            states[kept, :] = state
            kept += 1
        event = _event(state, leg, member, plan, clear, result)
        step += 1
    _read_end(state, member, event, result, leg_result)


@_inlined
def _read_launch(state, leg, result):
    """Keep the least height of the first seconds, until the aircraft flies and climbs."""
    if leg[c.KIND] != c.CLIMB_OUT or state[c.TIME] > _LAUNCH_WATCH_S:
        return
    if state[c.FLYING] == 0.0 or state[c.PATH_ANGLE] <= 0.0:
        result[c.LAUNCH_LEAST_HEIGHT] = min(result[c.LAUNCH_LEAST_HEIGHT], state[c.UP])


@_compiled
def _read_end(state, member, event, result, leg_result):
    """Write down how and when the flight ended, and the means of its legs."""
    result[c.EVENT] = event
    if state[c.TOUCHED] == 0.0:
        _note(result, c.EVENT_PLACE, event, state)
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


@njit(cache=True, parallel=True, error_model="numpy")
def fly_members(  # noqa: PLR0913
    seed, numbers, members, winds, legs, plan, cell_volts, ground, obstacles, times
):
    """Fly every member; return results, leg results and the states at `times`.

    Parameters are float64 arrays laid out as `homeleg.flight.layout` says; `numbers` (int64) are
    the members' own numbers, which alone with `seed` decide their gusts. `legs` is (legs,
    LEG_COLUMNS) for all, `obstacles` (obstacles, 4): east, north, top above ground, radius [m];
    `times` rise. Returns (members, RESULT_COLUMNS), (members, legs, LEG_RESULT_COLUMNS) and
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


@njit(cache=True, parallel=True, error_model="numpy")
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
