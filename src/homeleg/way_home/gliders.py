"""Members as gliders: what their polars and winds let them reach with the motor stopped."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import best_glide_eas
from homeleg.flight import gliding as g
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, member_aircraft
from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.physics.glide import sink_rate

Array = NDArray[np.float64]

__all__ = ["Gliders", "gliders_of"]

_COURSES = 48
# Heights are this far apart, and looked at this deep below the launch point; a glide that goes
# deeper keeps the ratio it has there. Ours. [m]
_SPACING_M = 4.0
_DEEPEST_M = -400.0
# Airspeeds that may be flown: those of the best glide times a power of this, no less than 1.2 times
# the stall speed. 7 % apart they miss the best by 4 % at most, which costs 0.2 % of the distance.
_AIRSPEED_STEP = 1.07
_AIRSPEED_POWERS = np.arange(-3, 13)
_LEAST_OVER_STALL = 1.2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Gliders:
    """The first members with their motors stopped.

    `rows` (members, GLIDER_COLUMNS) and `table` (members, courses, levels) as
    `homeleg.flight.gliding` lays them out; `courses` evenly spaced from north [rad], `levels`
    evenly spaced heights above launch [m].
    """

    rows: Array
    table: Array
    courses: Array
    levels: Array


def gliders_of(flown: Flown, members: int, polar_derating: float) -> Gliders:
    """Return the first `members` as gliders, their glide ratios less `polar_derating` of each.

    Air is as dense as at the launch point.
    """
    aircraft = member_aircraft(flown.resolved, flown.draws)
    ratio = flown.resolved.tas_per_eas
    kept = 1.0 - polar_derating
    best_eas, _ = best_glide_eas(aircraft)
    slowest_eas = _LEAST_OVER_STALL * aircraft.stall_eas_m_s
    eas = np.maximum(np.outer(_AIRSPEED_STEP**_AIRSPEED_POWERS, np.asarray(best_eas)), slowest_eas)
    weight_n = np.asarray(aircraft.weight_n)
    true_m_s = eas * ratio
    sinks = sink_rate(true_m_s, kept * weight_n / aircraft.drag_n(eas))
    horizontal = np.sqrt(true_m_s**2 - sinks**2)
    bank_rad = flown.resolved.sortie.aircraft.guidance.bank_rad
    load = 1.0 / math.cos(bank_rad)
    turn_eas = np.maximum(best_eas, slowest_eas * math.sqrt(load))
    turn_radius_m = (turn_eas * ratio) ** 2 / (STANDARD_GRAVITY_M_S2 * math.tan(bank_rad))
    rows = np.zeros((members, g.GLIDER_COLUMNS))
    rows[:, g.GLIDE_AIRSPEED] = (turn_eas * ratio)[:members]
    rows[:, g.TURN_RADIUS] = turn_radius_m[:members]
    # A radian is one radius of path, on which drag over weight is lost of each metre.
    steepness = aircraft.drag_n(turn_eas, load) / weight_n / kept
    rows[:, g.TURN_LOSS] = (turn_radius_m * steepness)[:members]
    rows[:, g.GROUND_ERROR] = flown.members[:members, c.GROUND_ERROR]
    courses = 2.0 * math.pi * np.arange(_COURSES) / _COURSES
    plan, _, ground_m, _ = flown.surroundings
    lowest_m = max(float(np.min(ground_m, where=ground_m < 0.0, initial=0.0)), _DEEPEST_M)
    count = math.ceil((plan[c.WIND_TOP] - lowest_m) / _SPACING_M) + 1
    levels = np.linspace(lowest_m, plan[c.WIND_TOP], count)
    table = g.glide_table(
        np.ascontiguousarray(horizontal.T[:members]),
        np.ascontiguousarray(sinks.T[:members]),
        flown.winds[:members],
        plan[c.WIND_TOP],
        courses,
        levels,
    )
    return Gliders(rows=rows, table=table, courses=courses, levels=levels)
