"""The landing pattern: join, downwind, base and final, laid out for the wind expected."""

import math
from dataclasses import dataclass, replace

from homeleg.foundation.side import Side
from homeleg.physics.turning import fly_by_distances
from homeleg.route.geometry import Leg, LegKind

__all__ = ["PatternPlan", "hand_over_legs", "pattern_legs"]

# Straight flight wanted on base before the turn to final. [s] Common practice, no source.
_STRAIGHT_ON_BASE_S = 3.0
_STRAIGHT_BEFORE_SLOPE_M = 20.0
# A pilot taking over is given one minute overhead, and takes 1.3 times as long for the pattern.
_TAKE_OVER_S = 60.0
_PILOT_TIME_FACTOR = 1.3


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternPlan:
    """How the pattern is flown: landing direction, heights above launch, equivalent airspeeds.

    `slope` is height lost over ground covered on final. The wind is the middle one at pattern
    height, as motion of the air; `tas_per_eas` is true over equivalent airspeed.
    """

    landing_m: tuple[float, float]
    direction_rad: float
    height_m: float
    side: Side
    bank_rad: float
    join_eas_m_s: float
    base_eas_m_s: float
    final_eas_m_s: float
    slope: float
    wind_east_m_s: float
    wind_north_m_s: float
    tas_per_eas: float


def pattern_legs(plan: PatternPlan, start: str, start_m: tuple[float, float]) -> list[Leg]:
    """Return the legs from the last item to touchdown, on the side and in the wind of `plan`."""
    sign = plan.side.sign
    final = plan.direction_rad
    base = final - sign * 0.5 * math.pi
    downwind = final + math.pi
    _, roll_out_base_m = _corner(plan, plan.base_eas_m_s, downwind, base)
    lead_final_m, roll_out_final_m = _corner(plan, plan.base_eas_m_s, base, final)
    across_m = roll_out_base_m + lead_final_m + _STRAIGHT_ON_BASE_S * plan.base_eas_m_s
    back_m = plan.height_m / plan.slope + roll_out_final_m + _STRAIGHT_BEFORE_SLOPE_M
    corners = {
        "downwind": _place(plan, across_m, 0.0),
        "base": _place(plan, across_m, -back_m),
        "final": _place(plan, 0.0, -back_m),
        "touchdown": plan.landing_m,
    }
    names = [start, *corners]
    points = [start_m, *corners.values()]
    # Slowed down on downwind, so that both turns towards the strip are flown at the base airspeed.
    speeds = [plan.join_eas_m_s, plan.base_eas_m_s, plan.base_eas_m_s, plan.final_eas_m_s]
    return [
        Leg(
            start=names[k],
            end=names[k + 1],
            kind=LegKind.FINAL if k == len(speeds) - 1 else LegKind.TRACK,
            start_m=points[k],
            end_m=points[k + 1],
            height_m=plan.height_m,
            airspeed_eas_m_s=speeds[k],
            bank_rad=plan.bank_rad,
            slope=plan.slope,
            direct=k == 0 and start_m == points[1],
        )
        for k in range(len(speeds))
    ]


def hand_over_legs(
    plan: PatternPlan, start: str, start_m: tuple[float, float], radius_m: float
) -> list[Leg]:
    """Return an orbit over the landing point for the pilot to get ready, then the pattern."""
    by_hand = pattern_legs(plan, "hand-over", plan.landing_m)
    pattern_s = sum(leg.length_m / (leg.airspeed_eas_m_s * plan.tas_per_eas) for leg in by_hand)
    join = Leg(
        start=start,
        end="hand-over",
        kind=LegKind.TRACK,
        start_m=start_m,
        end_m=plan.landing_m,
        height_m=plan.height_m,
        airspeed_eas_m_s=plan.join_eas_m_s,
        bank_rad=plan.bank_rad,
        passes_over=True,
        direct=math.dist(start_m, plan.landing_m) < 1.0,
    )
    orbit = Leg(
        start="hand-over",
        end="hand-over",
        kind=LegKind.ORBIT,
        start_m=plan.landing_m,
        end_m=plan.landing_m,
        height_m=plan.height_m,
        airspeed_eas_m_s=plan.join_eas_m_s,
        bank_rad=2.0 * plan.bank_rad,
        radius_m=radius_m,
        side_sign=plan.side.sign,
        duration_s=_TAKE_OVER_S + (_PILOT_TIME_FACTOR - 1.0) * pattern_s,
    )
    return [
        join,
        orbit,
        *(replace(leg, direct=k == 0, by_pilot=True) for k, leg in enumerate(by_hand)),
    ]


def _corner(
    plan: PatternPlan, eas_m_s: float, course_in_rad: float, course_out_rad: float
) -> tuple[float, float]:
    true_m_s = eas_m_s * plan.tas_per_eas
    # A wind across the corner that is stronger than the airspeed has no wind triangle; the flown
    # pattern will show what happens, the drawn one is laid out for the strongest it can meet.
    wind_m_s = math.hypot(plan.wind_east_m_s, plan.wind_north_m_s)
    weakened = min(1.0, 0.8 * true_m_s / wind_m_s) if wind_m_s > 0.0 else 1.0
    lead_m, roll_out_m = fly_by_distances(
        true_m_s,
        plan.bank_rad,
        course_in_rad,
        course_out_rad,
        plan.side.sign,
        weakened * plan.wind_east_m_s,
        weakened * plan.wind_north_m_s,
    )
    return float(lead_m), float(roll_out_m)


def _place(plan: PatternPlan, across_m: float, along_m: float) -> tuple[float, float]:
    """Return a point `across_m` to the pattern's side and `along_m` in the landing direction."""
    final = plan.direction_rad
    side = final + plan.side.sign * 0.5 * math.pi
    return (
        plan.landing_m[0] + across_m * math.sin(side) + along_m * math.sin(final),
        plan.landing_m[1] + across_m * math.cos(side) + along_m * math.cos(final),
    )
