"""What is noted of the risk to people on the ground, where somebody told how many there are."""

import numpy as np

from homeleg.aircraft.performance import best_glide_eas
from homeleg.physics.ground_risk import (
    GLIDING_RAD,
    GLIDING_SPEED_SHARE,
    STEEPLY_RAD,
    contingency_height,
    contingency_width,
    critical_area,
    falling_distance,
    ground_risk_class,
)
from homeleg.physics.turning import turn_radius
from homeleg.verdict.corridor import Corridor
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.result import GroundRisk
from homeleg.world.outline import distance_outside
from homeleg.world.site import GROUND_OF_PEOPLE

__all__ = ["ground_risk"]


def ground_risk(evidence: Evidence, corridor: Corridor) -> GroundRisk | None:
    """Return the ground risk of a flight, None where nobody told how many people there are."""
    resolved = evidence.resolved
    site, aircraft = resolved.sortie.site, resolved.sortie.aircraft
    if site.people is None:
        return None
    legs = evidence.flown.departure.legs
    fastest_eas = max(resolved.speeds.home_eas_m_s, *(leg.airspeed_eas_m_s for leg in legs))
    speed_m_s = fastest_eas * resolved.tas_per_eas
    span_m, mass_kg = aircraft.wing.span_m, resolved.loaded.total_kg.value
    above_m = contingency_height(speed_m_s)
    top_m = max(leg.height_m for leg in legs) + above_m
    turn_m = float(turn_radius(speed_m_s, aircraft.guidance.bank_rad))
    return GroundRisk(
        people_per_km2=site.people.per_km2,
        risk_class=ground_risk_class(span_m, mass_kg, speed_m_s, site.people.per_km2),
        span_m=span_m,
        speed_m_s=speed_m_s,
        steep_area_m2=critical_area(span_m, mass_kg, speed_m_s, STEEPLY_RAD),
        gliding_area_m2=critical_area(
            span_m, mass_kg, GLIDING_SPEED_SHARE * speed_m_s, GLIDING_RAD
        ),
        contingency_beside_m=contingency_width(speed_m_s, turn_m),
        contingency_above_m=above_m,
        boundary_margin_m=None if site.boundary is None else site.boundary.hull_margin_m or None,
        falling_m=falling_distance(speed_m_s, top_m, span_m),
        gliding_m=top_m * float(best_glide_eas(resolved.aircraft)[1]),
        people_m=_nearest_people_m(evidence, corridor),
    )


def _nearest_people_m(evidence: Evidence, corridor: Corridor) -> float | None:
    """Return how far the flown tracks keep from keep-out ground of people; 0 over it."""
    distances_m = [
        float(np.nanmin(distance_outside(one.vertices_m, corridor.east_m, corridor.north_m)))
        for one in evidence.resolved.sortie.site.keep_out
        if one.kind in GROUND_OF_PEOPLE
    ]
    return max(min(distances_m), 0.0) if distances_m else None
