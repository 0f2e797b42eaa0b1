"""Rows of *Gets in*: landing distance, final airspeed, tail wind, wake of trees."""

import math

import numpy as np
from numpy.typing import NDArray

from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.route.items import ItemKind
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.result import Row

__all__ = ["landing_distance_m", "landing_rows"]

Array = NDArray[np.float64] | np.float64

_CLEARANCE_OVER_LOW_M = 3.0
_CLEARANCE_OVER_HIGH_M = 5.0
_HIGH_OBSTACLE_M = 5.0
_FLOAT_ENDS_OVER_STALL = 1.1
_FLOAT_DERATING = 0.8
_SLIDING_FRICTION = 0.5
_DISTANCE_FACTOR = 1.25
_HAND_TOUCHDOWN_SD_M = 15.0
_WIND_HEIGHT_M = 10.0
_SURFACE_WIND_HEIGHT_M = 2.0
_WAKE_COUNTS_ABOVE_M_S = 4.0
_DOWNWIND_OF_TREES_RAD = math.radians(60.0)


def landing_rows(evidence: Evidence) -> list[Row]:
    """Return the four rows of the question *Gets in*."""
    return [_distance(evidence), _speed(evidence), _tail_wind(evidence), _wake(evidence)]


def landing_distance_m(
    *,
    obstacle_m: float,
    slope: Array | float,
    approach_m_s: Array,
    stall_m_s: Array,
    head_wind_m_s: Array,
    glide_ratio: Array,
) -> NDArray[np.float64]:
    """Return obstacle to standstill: air, float and slide, without the factor [m].

    All speeds true; `slope` over the ground. Formulas as in the method page of the verdict.
    """
    over_m = _CLEARANCE_OVER_HIGH_M if obstacle_m >= _HIGH_OBSTACLE_M else _CLEARANCE_OVER_LOW_M
    air_m = (obstacle_m + over_m) / slope
    slow_m_s = _FLOAT_ENDS_OVER_STALL * stall_m_s
    deceleration = STANDARD_GRAVITY_M_S2 / (_FLOAT_DERATING * glide_ratio)
    float_s = np.maximum(approach_m_s - slow_m_s, 0.0) / deceleration
    mean_ground_m_s = np.maximum(0.5 * (approach_m_s + slow_m_s) - head_wind_m_s, 0.0)
    touch_m_s = np.maximum(slow_m_s - head_wind_m_s, 0.0)
    slide_m = touch_m_s**2 / (2.0 * _SLIDING_FRICTION * STANDARD_GRAVITY_M_S2)
    return np.asarray(air_m + float_s * mean_ground_m_s + slide_m)


def _distance(evidence: Evidence) -> Row:
    resolved = evidence.resolved
    strip = resolved.sortie.site.strip
    heading = resolved.landing_heading_rad
    ratio = resolved.tas_per_eas
    approach_eas = resolved.speeds.final_eas_m_s * evidence.flown.draws.value["airspeed_factor"]
    by_hand = resolved.items[-1].kind is ItemKind.HAND_OVER
    if by_hand:
        approach_eas = approach_eas + evidence.flown.draws.value["pilot_airspeed"]
    head_wind = -evidence.wind_along(heading, _SURFACE_WIND_HEIGHT_M)
    head_wind_final = -evidence.wind_along(heading, _WIND_HEIGHT_M)
    weight = evidence.aircraft.weight_n
    glide_ratio = weight / evidence.aircraft.drag_n(approach_eas)
    true_m_s = approach_eas * ratio
    over_ground = np.maximum(true_m_s - head_wind_final, 1.0)
    planned = evidence.flown.departure.legs[-1].slope
    slope = np.minimum(planned, true_m_s / glide_ratio / over_ground)
    needed = landing_distance_m(
        obstacle_m=strip.approach_obstacle_m,
        slope=slope,
        approach_m_s=true_m_s,
        stall_m_s=evidence.aircraft.stall_eas_m_s * ratio,
        head_wind_m_s=head_wind,
        glide_ratio=glide_ratio,
    )
    if by_hand:
        # The pilot's own scatter of the touchdown point, in the draw that scatters the path.
        needed = needed + _HAND_TOUCHDOWN_SD_M * evidence.flown.draws.normal["tracking"]
    share = needed / strip.length_m
    metres = float(np.median(needed))
    tail = float(np.median(head_wind_final)) < 0.0
    return evidence.row(
        "in.distance",
        _DISTANCE_FACTOR * share,
        physical_si=share,
        cause="launch direction" if tail and metres < strip.length_m else "strip",
        act=f"land where {math.ceil(_DISTANCE_FACTOR * metres / 5.0) * 5} m are free",
        note=f"{_DISTANCE_FACTOR * metres:.0f} of {strip.length_m:.0f} m, factor 1.25 included",
    )


def _speed(evidence: Evidence) -> Row:
    resolved = evidence.resolved
    stall = float(resolved.aircraft.stall_eas_m_s)
    limit = evidence.limits["in.speed"]
    half_gust = 0.5 * resolved.wind.gust_spread_m_s.value
    want = (limit.want or 0.0) + half_gust / stall
    return evidence.row(
        "in.speed",
        resolved.speeds.final_eas_m_s / stall,
        want=want,
        cause="airspeed",
        act=f"fly the final at {want * stall:.1f} m/s EAS",
        note=f"{resolved.speeds.final_eas_m_s:.1f} m/s EAS on final",
    )


def _tail_wind(evidence: Evidence) -> Row:
    heading = evidence.resolved.landing_heading_rad
    from_deg = math.degrees(float(evidence.resolved.wind.from_true_rad[0])) % 360.0
    return evidence.row(
        "in.tail_wind",
        evidence.wind_along(heading, _WIND_HEIGHT_M),
        cause="surface wind",
        act=f"land into the wind, along {from_deg:.0f} deg",
        note=f"landing along {math.degrees(heading):.0f} deg",
    )


def _wake(evidence: Evidence) -> Row:
    limit = evidence.limits["in.wake"]
    trees = evidence.resolved.sortie.site.tree_line
    if trees is None:
        return does_not_apply(limit, "no tree line declared")
    east, north = evidence.wind_at(_WIND_HEIGHT_M)
    speed = np.hypot(east, north)
    away = math.hypot(trees.east_m, trees.north_m)
    # The wind carries the wake from the trees to the touchdown point at the origin.
    towards = -(east * trees.east_m + north * trees.north_m) / np.maximum(speed * away, 1e-9)
    downwind = float(np.median(towards)) > math.cos(_DOWNWIND_OF_TREES_RAD)
    if float(np.median(speed)) <= _WAKE_COUNTS_ABOVE_M_S or not downwind:
        return does_not_apply(limit, "wind 4 m/s or less, or not from the trees")
    return evidence.row(
        "in.wake",
        away / trees.height_m,
        cause="surface wind",
        act=f"touch down {(limit.want or 0.0) * trees.height_m:.0f} m or more from the trees",
        note=f"{away:.0f} m downwind of trees of {trees.height_m:.0f} m",
    )
