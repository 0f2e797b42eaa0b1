"""What stands below a place, and how high one may fly over it."""

import math
from dataclasses import replace

import numpy as np

from homeleg.foundation.heights import Datum
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.result import Row, Status
from homeleg.world.ground import is_inside

__all__ = ["ceilings_m", "naming_what_stands_there"]

# An obstacle is as wide as it is high, and no narrower than this, as it is flown past. [m]
_NARROWEST_M = 10.0


def ceilings_m(evidence: Evidence) -> tuple[float, float]:
    """Return the hard limits of height over the ground and above launch; infinite for none. [m]."""
    over_ground_m = evidence.limits["inside.ceiling"].hard or math.inf
    boundary = evidence.resolved.sortie.site.boundary
    if boundary is None:
        return over_ground_m, math.inf
    top_m = boundary.top.value_m
    if boundary.top.above is Datum.AGL:
        return min(over_ground_m, top_m), math.inf
    amsl = boundary.top.above is Datum.AMSL
    return over_ground_m, top_m - amsl * evidence.resolved.sortie.site.elevation_amsl_m


def naming_what_stands_there(evidence: Evidence, row: Row) -> Row:
    """Return a row that fails over an obstacle or over trees, with their name in its note."""
    if row.status is Status.GO or row.where is None:
        return row
    what = _what_stands_at(evidence, row.where.east_m, row.where.north_m)
    words = [part for part in (row.note, f"over {what}" if what else "") if part]
    return replace(row, note="; ".join(words))


def _what_stands_at(evidence: Evidence, east_m: float, north_m: float) -> str:
    site = evidence.resolved.sortie.site
    for obstacle in site.obstacles:
        off_m = math.hypot(east_m - obstacle.east_m, north_m - obstacle.north_m)
        if off_m <= max(obstacle.height_m.value, _NARROWEST_M):
            return f"{obstacle.name}, {obstacle.height_m.value:.0f} m high"
    for trees in site.canopy:
        inside = is_inside(trees.vertices_m, np.array(east_m), np.array(north_m))
        if trees.vertices_m and bool(inside):
            return f"trees of {trees.height_m.value:.0f} m"
    return ""
