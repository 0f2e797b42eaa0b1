"""Which ways the aircraft may leave, and the pattern it lands by."""

import math

from homeleg.aircraft.performance import FlyingAircraft, best_glide_eas, true_per_equivalent
from homeleg.aircraft.record import TakeoffPath
from homeleg.foundation.errors import OutOfModelError
from homeleg.route.geometry import PlannedItem, climb_out_leg, route_legs
from homeleg.route.items import ItemKind
from homeleg.route.pattern import PatternPlan, hand_over_legs, pattern_legs
from homeleg.sortie.planning import height_above_launch
from homeleg.sortie.resolved import Departure, PlannedSpeeds
from homeleg.sortie.sortie import FlownBy, Sortie
from homeleg.world.wind import WindProfile, profile_speed

__all__ = ["departures", "landing_pattern"]

# The final is laid out flatter than the glide at its airspeed, so that it can be held. Ours.
_SLOPE_OVER_GLIDE = 0.8
_CALM_M_S = 0.5


def _into_wind(wind: WindProfile) -> float | None:
    """Return the heading into the middle wind at 10 m, None in a calm."""
    east, north = profile_speed(wind, 10.0)
    if math.hypot(east, north) < _CALM_M_S:
        return None
    return math.atan2(-east, -north) % (2.0 * math.pi)


def _landing_heading(sortie: Sortie, wind: WindProfile) -> float:
    strip = sortie.site.strip
    upwind = _into_wind(wind)
    if strip.direction_true_rad is None:
        return upwind if upwind is not None else 0.0
    if strip.both_ways and upwind is not None:
        other = strip.direction_true_rad + math.pi
        if math.cos(upwind - strip.direction_true_rad) < 0.0:
            return other % (2.0 * math.pi)
    return strip.direction_true_rad


def departures(
    sortie: Sortie,
    speeds: PlannedSpeeds,
    items: tuple[PlannedItem, ...],
    pattern: PatternPlan,
) -> tuple[Departure, ...]:
    """Return the ways the aircraft may leave: one as stated, both where it is not known."""
    guidance = sortie.aircraft.guidance
    takeoff, middle, last = items[0], items[1:-1], items[-1]
    if not middle:
        raise OutOfModelError("the route has no item between take-off and landing: add a point")
    legs = route_legs(middle)
    start, start_m = middle[-1].name, (middle[-1].east_m, middle[-1].north_m)
    if last.kind is ItemKind.HAND_OVER:
        radius_m = last.radius_m or 4.0 * speeds.base_eas_m_s
        legs += hand_over_legs(pattern, start, start_m, radius_m)
    else:
        legs += pattern_legs(pattern, start, start_m)
    first = middle[0]
    heading = sortie.site.launch_heading_true_rad
    if heading is None:
        heading = pattern.direction_rad
    stated = sortie.aircraft.takeoff.along
    if sortie.flown_by is FlownBy.HAND or _lies_inside(first):
        stated = TakeoffPath.RELEASE_HEADING  # the hands know no first item, nor is one ahead
    ways = []
    for path in (stated,) if stated is not None else tuple(TakeoffPath):
        towards = path is TakeoffPath.TOWARDS_FIRST_ITEM
        climb = climb_out_leg(
            heading_rad=None if towards else heading,
            first=first,
            height_m=takeoff.height_m,
            airspeed_eas_m_s=speeds.climb_eas_m_s,
            bank_rad=guidance.pattern_bank_rad,
        )
        release = climb.course_rad
        if towards and sortie.site.launch_heading_true_rad is not None:
            release = sortie.site.launch_heading_true_rad
        words = (
            f"leaves towards {first.name}, {math.degrees(climb.course_rad):.0f} deg"
            if towards
            else f"leaves along {math.degrees(release):.0f} deg"
        )
        if stated is None:
            words += " (path not told: both ways flown, this is the worse)"
        ways.append(Departure(words=words, heading_rad=release, legs=(climb, *legs)))
    return tuple(ways)


def _lies_inside(first: PlannedItem) -> bool:
    """Tell whether the launch point lies inside the first orbit, which is then in no direction."""
    inside = math.hypot(first.east_m, first.north_m) <= first.radius_m
    return first.kind is ItemKind.ORBIT and inside


def landing_pattern(
    sortie: Sortie,
    aircraft: FlyingAircraft,
    speeds: PlannedSpeeds,
    last: PlannedItem,
    wind: WindProfile,
    density: float,
) -> PatternPlan:
    """Return the landing pattern for the middle wind, its final no steeper than it can glide."""
    landing_heading = _landing_heading(sortie, wind)
    guidance = sortie.aircraft.guidance
    height_m = height_above_launch(
        guidance.pattern_height, sortie.site.elevation_amsl_m, 0.0, "[guidance] pattern_height"
    )
    ratio = true_per_equivalent(density)
    east, north = profile_speed(wind, height_m)
    true_m_s = speeds.final_eas_m_s * ratio
    head_wind = -(east * math.sin(landing_heading) + north * math.cos(landing_heading))
    over_ground = max(true_m_s - head_wind, 0.3 * true_m_s)
    glide = float(aircraft.drag_n(speeds.final_eas_m_s) / aircraft.weight_n)
    _, best = best_glide_eas(aircraft)
    return PatternPlan(
        landing_m=(last.east_m, last.north_m),
        direction_rad=landing_heading,
        height_m=height_m,
        side=guidance.pattern_side,
        bank_rad=guidance.pattern_bank_rad,
        join_eas_m_s=max(speeds.cruise_eas_m_s, speeds.base_eas_m_s),
        base_eas_m_s=speeds.base_eas_m_s,
        final_eas_m_s=speeds.final_eas_m_s,
        slope=_SLOPE_OVER_GLIDE * max(glide, 1.0 / float(best)) * true_m_s / over_ground,
        wind_east_m_s=east,
        wind_north_m_s=north,
        tas_per_eas=ratio,
    )
