"""When the sun would stand in the pilot's eyes, were the same route flown at another hour.

The plan alone is looked at, nothing is flown: a glance, where the row of the verdict flies.
"""

import math
from collections.abc import Mapping, Sequence
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from homeleg.physics.sun import days_since_2000, sun_position
from homeleg.route.geometry import LegKind
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.verdict.limits import Limit

Array = NDArray[np.float64]

__all__ = ["nearest_to_sun", "sun_in_eyes"]

_EVERY_S = 2.0
_ORBIT_POINTS = 48


def sun_in_eyes(
    resolved: ResolvedSortie, limits: Mapping[str, Limit], times: Sequence[datetime]
) -> NDArray[np.bool_]:
    """Return at which of `times` the aircraft would stay near the sun for longer than wanted."""
    limit = limits["sight.sun"]
    angle = _angles(resolved, times)
    near = angle < math.radians(limit.extra["want_within_deg"])
    longest = np.zeros(near.shape[0])
    run = np.zeros(near.shape[0])
    for place in near.T:
        run = np.where(place, run + _EVERY_S, 0.0)
        longest = np.maximum(longest, run)
    return np.asarray(longest > (limit.want or 0.0))


def nearest_to_sun(resolved: ResolvedSortie, at: datetime) -> float:
    """Return the least angle between the route and the sun as the pilot sees them. [rad].

    NaN where the sun is down.
    """
    return float(np.min(_angles(resolved, [at])))


def _angles(resolved: ResolvedSortie, times: Sequence[datetime]) -> Array:
    """Return the angle between sun and each place of the route (times, places); NaN by night."""
    site = resolved.sortie.site
    days = np.array([days_since_2000(at) for at in times])
    azimuth, elevation = sun_position(site.latitude_rad, site.longitude_rad, days)
    towards = np.stack(
        [
            np.cos(elevation) * np.sin(azimuth),
            np.cos(elevation) * np.cos(azimuth),
            np.sin(elevation),
        ]
    )
    seen = _places(resolved) - np.array([[*site.pilot_m, 0.0]])
    seen /= np.maximum(np.linalg.norm(seen, axis=1, keepdims=True), 1e-3)
    angle = np.arccos(np.clip(towards.T @ seen.T, -1.0, 1.0))
    return np.where(elevation[:, np.newaxis] > 0.0, angle, np.nan)


def _places(resolved: ResolvedSortie) -> Array:
    """Return places along the planned legs, in still air so many seconds apart (n, 3) [m]."""
    places: list[Array] = []
    for leg in resolved.departures[0].legs:
        if not leg.on_route:
            continue
        speed_m_s = leg.airspeed_eas_m_s * resolved.tas_per_eas
        if leg.kind is LegKind.ORBIT:
            turned = np.linspace(0.0, 2.0 * np.pi, _ORBIT_POINTS, endpoint=False)
            ring = np.stack([np.sin(turned), np.cos(turned)], axis=1)
            plan = np.array(leg.end_m) + leg.radius_m * ring
        else:
            length_m = math.dist(leg.start_m, leg.end_m)
            count = max(int(length_m / (speed_m_s * _EVERY_S)), 1)
            share = np.linspace(0.0, 1.0, count + 1)[:, np.newaxis]
            plan = (1.0 - share) * np.array(leg.start_m) + share * np.array(leg.end_m)
        places.append(np.column_stack([plan, np.full(len(plan), leg.height_m)]))
    return np.concatenate(places)
