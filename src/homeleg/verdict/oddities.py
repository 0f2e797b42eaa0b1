"""What is odd in a sortie without being impossible: said with the answer, never counted."""

import math

import numpy as np

from homeleg.aircraft.performance import level_electrical_power
from homeleg.foundation.heights import Datum
from homeleg.physics.battery import watt_hours
from homeleg.route.geometry import Leg, LegKind
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.world.ground import is_inside
from homeleg.world.site import GROUND_OF_PEOPLE

__all__ = ["looks_amsl", "oddities"]

# Heights above launch that small aircraft seldom fly, and do fly when the elevation is taken off.
# Ours.
_SELDOM_FLOWN_M = 120.0
_OFTEN_FLOWN_M = (20.0, 150.0)


def oddities(resolved: ResolvedSortie, legs: tuple[Leg, ...]) -> tuple[str, ...]:
    """Return a sentence on each thing that looks like a slip of the pen."""
    return (*_heights(resolved), *_long_legs(resolved, legs), *_field_kept_out(resolved))


def looks_amsl(resolved: ResolvedSortie) -> bool:
    """Return whether all heights said to be above launch would be usual ones if they were AMSL."""
    heights_m = _heights_above_launch_m(resolved)
    elevation_m = resolved.sortie.site.elevation_amsl_m
    least_m, most_m = _OFTEN_FLOWN_M
    return bool(heights_m) and all(
        height_m > _SELDOM_FLOWN_M and least_m <= height_m - elevation_m <= most_m
        for height_m in heights_m
    )


def _heights_above_launch_m(resolved: ResolvedSortie) -> list[float]:
    """Return the heights of the route that are stated above launch; none if some are not."""
    heights = [item.height for item in resolved.sortie.route.items if item.height is not None]
    if any(height.above is not Datum.ABOVE_LAUNCH for height in heights):
        return []
    return [height.value_m for height in heights]


def _heights(resolved: ResolvedSortie) -> list[str]:
    if not looks_amsl(resolved):
        return []
    heights_m = _heights_above_launch_m(resolved)
    elevation_m = resolved.sortie.site.elevation_amsl_m
    over_m = [height_m - elevation_m for height_m in heights_m]
    return [
        f"The heights of the route, {_span(heights_m)} above launch, are {_span(over_m)} more than "
        f"the elevation of {elevation_m:.0f} m AMSL: are they meant AMSL?"
    ]


def _span(values_m: list[float]) -> str:
    least, most = f"{min(values_m):.0f}", f"{max(values_m):.0f}"
    return f"{least} m" if least == most else f"{least} to {most} m"


def _long_legs(resolved: ResolvedSortie, legs: tuple[Leg, ...]) -> list[str]:
    """Return a sentence on each leg that takes longer in still air than the pack lasts."""
    aircraft, density = resolved.aircraft, resolved.density_kg_m3
    usable_ah = resolved.inputs["usable_charge"].value
    usable_wh = watt_hours(resolved.sortie.aircraft.battery.cells, usable_ah)
    sentences = []
    for leg in legs:
        if leg.kind is LegKind.CLIMB_OUT:  # as long as it needs to be
            continue
        power_w = float(level_electrical_power(aircraft, leg.airspeed_eas_m_s, density))
        lasts_min = 60.0 * usable_wh / power_w
        takes_min = leg.length_m / (leg.airspeed_eas_m_s * resolved.tas_per_eas) / 60.0
        if takes_min > lasts_min:
            sentences.append(
                f"The leg from {leg.start} to {leg.end} is {leg.length_m / 1000.0:.1f} km, "
                f"{math.ceil(takes_min)} min in still air, and the pack lasts about "
                f"{math.floor(lasts_min)} min at that airspeed: is a figure of it wrong?"
            )
    return sentences


def _field_kept_out(resolved: ResolvedSortie) -> list[str]:
    """Return a sentence on a launch or landing point inside keep-out ground for people."""
    points = {"launch point": (0.0, 0.0), "landing point": resolved.pattern.landing_m}
    return [
        f"The {point} lies inside the keep-out ground {one.name} ({one.kind.value}): is a corner "
        f"of it wrong?"
        for one in resolved.sortie.site.keep_out
        if one.kind in GROUND_OF_PEOPLE
        for point, (east_m, north_m) in points.items()
        if is_inside(one.vertices_m, np.float64(east_m), np.float64(north_m))
    ]
