"""The aircraft moved by one step, compiled: release, thrust, bank, path, airspeed, position."""

# numba finds the types of compiled functions by itself, from arrays that are all float64.
# mypy: allow-untyped-defs, allow-untyped-calls

import math

from homeleg.flight import layout as c
from homeleg.flight.compiled import ROLL_LAG_S, STEP_S, compiled, inlined
from homeleg.flight.guidance import bank_demand, climb_demand
from homeleg.flight.surroundings import wind_at
from homeleg.foundation.constants import ISA_SEA_LEVEL_DENSITY_KG_M3, STANDARD_GRAVITY_M_S2

__all__ = ["fly_step", "move", "release"]

_G = STANDARD_GRAVITY_M_S2
_RHO0 = ISA_SEA_LEVEL_DENSITY_KG_M3
_CLIMB_LAG_S = 0.7
_POWER_LAG_S = 0.4
_SPEED_LAG_S = 1.5
_GREATEST_ACCELERATION_M_S2 = 2.0
_ROLLING_FRICTION = 0.05  # wheels on short grass, MEMORY
_GROUND_ROLL_LIMIT_S = 60.0
_ON_WHEELS_S = 5.0
_WHEELS_M = 0.1


@inlined
def _stall_speed(member):
    """Return the equivalent stall speed in level flight, in m/s."""
    return math.sqrt(
        2.0 * member[c.MASS] * _G / (_RHO0 * member[c.WING_AREA] * member[c.MAXIMUM_LIFT])
    )


@compiled
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


@inlined
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


@inlined
def fly_step(state, member, leg, plan, volts):
    """Advance the aircraft by one step through the air: bank, path angle, thrust, airspeed."""
    weight = member[c.MASS] * _G
    root = state[c.ROOT_DENSITY_RATIO]
    asked_bank = bank_demand(state, member, leg)
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
    path = climb_demand(state, member, leg, plan) / airspeed
    path = max(min(path, max(spare, floor)), steepest)
    path = math.asin(min(0.5, max(-0.5, path)))
    thrust = drag + weight * state[c.PATH_SINE] + member[c.MASS] * wanted
    if state[c.FLYING] == 0.0:
        thrust = most_thrust  # nobody throttles back before it flies
    thrust = min(most_thrust, max(0.0, thrust))
    state[c.THRUST] += (thrust - state[c.THRUST]) * (STEP_S / _POWER_LAG_S)
    state[c.THRUST] = min(state[c.THRUST], most_thrust)
    state[c.POWER] = most_power * state[c.THRUST] / most_thrust if most_thrust > 0.0 else 0.0

    state[c.BANKED] += (asked_bank - state[c.BANKED]) * (STEP_S / ROLL_LAG_S)
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


@inlined
def move(state, wind, plan):
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
    if plan[c.LAUNCH_KIND] == 1.0 and state[c.TIME] < _ON_WHEELS_S:
        # Just lifted off: the wheels carry it where a gust or a late rotation sets it down again.
        state[c.UP] = max(state[c.UP], _WHEELS_M)
    wind_east, wind_north = wind_at(wind, plan[c.WIND_TOP], state[c.UP])
    state[c.TRUE_AIRSPEED] -= (wind_east - state[c.WIND_EAST]) * sine + (
        wind_north - state[c.WIND_NORTH]
    ) * cosine
    state[c.TRUE_AIRSPEED] = max(state[c.TRUE_AIRSPEED], 1.0)
    state[c.WIND_EAST] = wind_east
    state[c.WIND_NORTH] = wind_north
    state[c.TIME] += STEP_S
    return math.sqrt(east * east + north * north)


@compiled
def release(state, member, wind, plan):
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
    state[c.UP] = max(plan[c.RELEASE_HEIGHT], _WHEELS_M)
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


@compiled
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
