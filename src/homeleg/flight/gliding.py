"""Glides with the motor stopped, compiled: how far on every course, over which ground, onto what.

A glide turns onto its course with the wind carrying it along, then flies straight at the airspeed
that makes most distance over the ground of each metre of height. Every point nearer than its end
counts as reached: height that is left over is circled away.
"""

# numba finds the types of compiled functions by itself, from arrays that are all float64.
# mypy: allow-untyped-defs, allow-untyped-calls

import math

import numpy as np
from numba import prange

from homeleg.flight import layout as c
from homeleg.flight.compiled import compiled, in_parallel
from homeleg.flight.guidance import wrap
from homeleg.flight.surroundings import ground_at, wind_at
from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2

__all__ = ["fan_out", "glide_table", "spare_heights"]

# Gliders: one row each, of a member with its polar.
GLIDE_AIRSPEED = 0  # true, of the best glide
TURN_LOSS = 1  # metres of height a radian of turn
TURN_RADIUS = 2
GROUND_ERROR = 3
GLIDER_COLUMNS = 4

# Targets: one row each.
TARGET_EAST = 0
TARGET_NORTH = 1
TARGET_INSIDE = 2  # as near as this to its middle is there
TARGET_ROUND_OUT = 3  # height wanted over it
TARGET_HEADING = 4  # to be landed on in this direction; NaN: in any
TARGET_COLUMNS = 5

# Kinds of ground, the better the lower.
OPEN, LOST, OF_PEOPLE, UNKNOWN = 0, 1, 2, 3

_TWO_PI = 2.0 * math.pi
# How far apart the ground under a glide is looked at. Ours.
_STEP_M = 10.0
# A height that no glide comes to.
_NOWHERE_M = -1.0e6


@compiled
def _best_ratio(horizontal, sink, along, across):
    """Return the most distance over the ground per metre of height; 0 where the wind is faster."""
    best = 0.0
    for k in range(horizontal.shape[0]):
        forward = horizontal[k] * horizontal[k] - across * across
        if forward > 0.0:
            best = max(best, (math.sqrt(forward) + along) / sink[k])
    return best


@in_parallel
def glide_table(horizontal, sinks, winds, wind_top, courses, levels):
    """Return distances made good from each level down to the lowest.

    `horizontal` and `sinks` (members, airspeeds) are the parts of each airspeed that may be flown
    [m/s], `winds` (members, 2, WIND_NODES), `courses` evenly spaced from 0 [rad], `levels` evenly
    spaced heights, rising [m]. Returns (members, courses, levels) [m].
    """
    count = horizontal.shape[0]
    table = np.zeros((count, courses.shape[0], levels.shape[0]))
    for i in prange(count):
        for j in range(courses.shape[0]):
            sine = math.sin(courses[j])
            cosine = math.cos(courses[j])
            below = 0.0
            for k in range(levels.shape[0]):
                east, north = wind_at(winds[i], wind_top, levels[k])
                ratio = _best_ratio(
                    horizontal[i],
                    sinks[i],
                    east * sine + north * cosine,
                    east * cosine - north * sine,
                )
                if k > 0:
                    mean = 0.5 * (below + ratio)
                    table[i, j, k] = table[i, j, k - 1] + mean * (levels[k] - levels[k - 1])
                below = ratio
    return table


@compiled
def _distance_from(reach, levels, height):
    """Return how far a glide gets from a height down to the lowest level."""
    spacing = levels[1] - levels[0]
    place = (height - levels[0]) / spacing
    k = min(max(int(place), 0), levels.shape[0] - 2)
    return reach[k] + (place - k) * (reach[k + 1] - reach[k])


@compiled
def _height_at(reach, levels, left, k):
    """Return the height from which a glide gets `left` far, and its level at or below `k`."""
    while k > 0 and reach[k] > left:
        k -= 1
    gained = reach[k + 1] - reach[k]
    if gained <= 0.0:
        return (levels[k] if left >= reach[k] else _NOWHERE_M), k
    return levels[k] + (left - reach[k]) / gained * (levels[1] - levels[0]), k


@compiled
def _top(east, north, error, plan, ground, obstacles):
    """Return the height of ground, trees and obstacles at a point; NaN where unknown."""
    top = ground_at(ground, plan, east, north)
    unsure = (math.sqrt(east * east + north * north) - plan[c.KNOWN_GROUND]) / 100.0
    top += error * min(1.0, max(0.0, unsure))
    raised = 0.0
    for k in range(obstacles.shape[0]):
        off_east = east - obstacles[k, 0]
        off_north = north - obstacles[k, 1]
        if off_east * off_east + off_north * off_north < obstacles[k, 3] * obstacles[k, 3]:
            raised = max(raised, obstacles[k, 2])
    return top + raised


@compiled
def _turned(state, glider, course):
    """Return east, north and height after the turn onto a course over the ground.

    Speed above that of the glide is gone before anyone notices; speed below it costs height.
    """
    airspeed = glider[GLIDE_AIRSPEED]
    across = state[c.WIND_EAST] * math.cos(course) - state[c.WIND_NORTH] * math.sin(course)
    heading = course - math.asin(min(1.0, max(-1.0, across / airspeed)))
    turn = wrap(heading - state[c.HEADING])
    radius = math.copysign(glider[TURN_RADIUS], turn)
    seconds = abs(turn) * glider[TURN_RADIUS] / airspeed
    heading = state[c.HEADING] + turn
    east = state[c.EAST] + state[c.WIND_EAST] * seconds
    north = state[c.NORTH] + state[c.WIND_NORTH] * seconds
    east += radius * (math.cos(state[c.HEADING]) - math.cos(heading))
    north += radius * (math.sin(heading) - math.sin(state[c.HEADING]))
    missing = airspeed * airspeed - state[c.TRUE_AIRSPEED] * state[c.TRUE_AIRSPEED]
    height = state[c.UP] - max(missing, 0.0) / (2.0 * STANDARD_GRAVITY_M_S2)
    return east, north, height - abs(turn) * glider[TURN_LOSS]


@compiled
def _kind_at(east, north, kinds, kinds_place):
    """Return the kind of ground at a point; open where nobody marked it."""
    column = math.floor((east - kinds_place[0]) / kinds_place[2] + 0.5)
    row = math.floor((north - kinds_place[1]) / kinds_place[2] + 0.5)
    if row < 0 or column < 0 or row >= kinds.shape[0] or column >= kinds.shape[1]:
        return OPEN
    return int(kinds[row, column])


@compiled
def _fan(  # noqa: PLR0913
    state, glider, reaches, courses, levels, plan, ground, obstacles, kinds, kinds_place, found
):
    """Glide on every course; keep the best ground met, and the nearest place of that kind."""
    error = glider[GROUND_ERROR]
    below = _top(state[c.EAST], state[c.NORTH], error, plan, ground, obstacles)
    found[0] = UNKNOWN
    if math.isnan(below):
        return
    found[0] = _kind_at(state[c.EAST], state[c.NORTH], kinds, kinds_place)
    found[1], found[2] = state[c.EAST], state[c.NORTH]
    nearest = 0.0
    for j in range(courses.shape[0]):
        east, north, height = _turned(state, glider, courses[j])
        whole = _distance_from(reaches[j], levels, height)
        sine, cosine = math.sin(courses[j]), math.cos(courses[j])
        k = levels.shape[0] - 2
        flown = 0.0
        while found[0] != OPEN or nearest > 0.0:
            at_east = east + flown * sine
            at_north = north + flown * cosine
            now, k = _height_at(reaches[j], levels, whole - flown, k)
            top = _top(at_east, at_north, error, plan, ground, obstacles)
            if math.isnan(top) or (flown == 0.0 and now <= top):
                break
            kind = _kind_at(at_east, at_north, kinds, kinds_place)
            off = math.hypot(at_east - state[c.EAST], at_north - state[c.NORTH])
            if kind < found[0] or (kind == found[0] and off < nearest):
                found[0], found[1], found[2] = kind, at_east, at_north
                nearest = off
            if now <= top or kind == OPEN:
                break
            flown += _STEP_M


@in_parallel
def fan_out(  # noqa: PLR0913
    starts, who, gliders, table, courses, levels, plan, ground, obstacles, kinds, kinds_place
):
    """Return the best kind of ground that a stopped motor leaves, and the nearest place of it.

    `who` (starts,) says which of `gliders` (members, GLIDER_COLUMNS) each of `starts` (starts,
    STATE_COLUMNS) is; `table` is that of `glide_table`. `kinds` (rows, columns) is the ground as
    marked, `kinds_place` east and north of its first node and its spacing [m]. Returns (starts, 3):
    kind, east, north.
    """
    found = np.zeros((starts.shape[0], 3))
    for i in prange(starts.shape[0]):
        _fan(
            starts[i],
            gliders[who[i]],
            table[who[i]],
            courses,
            levels,
            plan,
            ground,
            obstacles,
            kinds,
            kinds_place,
            found[i],
        )
    return found


@compiled
def _spare(state, glider, reaches, courses, levels, plan, ground, obstacles, target):  # noqa: PLR0913
    """Return the height to spare over the ground on the way to a target, or over the target."""
    error = glider[GROUND_ERROR]
    off_east = target[TARGET_EAST] - state[c.EAST]
    off_north = target[TARGET_NORTH] - state[c.NORTH]
    inside = target[TARGET_INSIDE]
    if math.hypot(off_east, off_north) <= inside:
        below = _top(state[c.EAST], state[c.NORTH], error, plan, ground, obstacles)
        return _NOWHERE_M if math.isnan(below) else state[c.UP] - below
    first = math.atan2(off_east, off_north)
    east, north, height = _turned(state, glider, first)
    off_east = target[TARGET_EAST] - east
    off_north = target[TARGET_NORTH] - north
    course = math.atan2(off_east, off_north)
    # Near its target the turn itself changes the way to it: the rest of the turn costs height too.
    height -= abs(wrap(course - first)) * glider[TURN_LOSS]
    wanted = target[TARGET_ROUND_OUT]
    if not math.isnan(target[TARGET_HEADING]):
        wanted += abs(wrap(target[TARGET_HEADING] - course)) * glider[TURN_LOSS]
    place = (course % _TWO_PI) / (courses[1] - courses[0])
    j = int(place) % courses.shape[0]
    beside = (j + 1) % courses.shape[0]
    share = place - int(place)
    reach = (1.0 - share) * reaches[j] + share * reaches[beside]
    whole = _distance_from(reach, levels, height)
    distance = max(math.hypot(off_east, off_north) - inside, 0.0)
    sine, cosine = math.sin(course), math.cos(course)
    spare = math.inf
    k = levels.shape[0] - 2
    flown = 0.0
    while True:
        now, k = _height_at(reach, levels, whole - flown, k)
        top = _top(east + flown * sine, north + flown * cosine, error, plan, ground, obstacles)
        if math.isnan(top):
            return _NOWHERE_M
        if flown >= distance:
            return min(spare, now - top - wanted)
        spare = min(spare, now - top)
        flown = min(flown + _STEP_M, distance)


@in_parallel
def spare_heights(  # noqa: PLR0913
    starts, who, gliders, table, courses, levels, plan, ground, obstacles, targets
):
    """Return the height to spare for each of `targets` (targets, TARGET_COLUMNS) from each start.

    Below zero it is not reached. Other parameters as in `fan_out`. Returns (starts, targets) [m].
    """
    spare = np.zeros((starts.shape[0], targets.shape[0]))
    for i in prange(starts.shape[0]):
        for j in range(targets.shape[0]):
            spare[i, j] = _spare(
                starts[i],
                gliders[who[i]],
                table[who[i]],
                courses,
                levels,
                plan,
                ground,
                obstacles,
                targets[j],
            )
    return spare
