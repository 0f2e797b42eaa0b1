"""The glide edge: out to where, at route height, a stopped motor still leaves the landing point."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import gliding as g
from homeleg.flight.ensemble import Flown
from homeleg.way_home.gliders import Gliders
from homeleg.world.ground import top_height

Array = NDArray[np.float64]

__all__ = ["ROUND_OUT_M", "GlideEdge", "glide_edge"]

# Height wanted over the landing point, beside that of the turn into the landing direction: a
# straight-in ends with a flare. Ours.
ROUND_OUT_M = 3.0
_STEP_M = 10.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GlideEdge:
    """Distances from the landing point (bearings, members) at `bearings` from north, and height.

    The aircraft may be heading away: half a turn is paid for first. Metres and radians.
    """

    height_m: float
    landing_m: tuple[float, float]
    bearings_rad: Array
    distances_m: Array


def glide_edge(flown: Flown, gliders: Gliders) -> GlideEdge:
    """Return the glide edge at the middle height of the route's items; obstacles are left out."""
    resolved = flown.resolved
    height_m = float(np.median([item.height_m for item in resolved.items[1:-1]]))
    landing_m = resolved.pattern.landing_m
    bearings = gliders.courses
    half = bearings.size // 2
    home = (bearings + math.pi) % (2.0 * math.pi)
    into_landing = np.arccos(np.cos(home - resolved.pattern.direction_rad))
    loss_m = gliders.rows[:, g.TURN_LOSS]
    # (bearings, members): a course home is the row of the table half a circle on.
    table = np.roll(gliders.table, -half, axis=1).swapaxes(0, 1)
    whole_m = _distance(gliders, table, (height_m - math.pi * loss_m)[np.newaxis, :, np.newaxis])
    away_m = np.arange(0.0, max(float(np.max(whole_m)), 0.0) + 2.0 * _STEP_M, _STEP_M)
    top_m = top_height(
        resolved.surface,
        landing_m[0] + np.outer(np.sin(bearings), away_m),
        landing_m[1] + np.outer(np.cos(bearings), away_m),
    )[:, np.newaxis, :]
    top_m = top_m + np.outer(gliders.rows[:, g.GROUND_ERROR], np.minimum(away_m / 100.0, 1.0))
    top_m[:, :, 0] += ROUND_OUT_M + into_landing[:, np.newaxis] * loss_m
    # A glide from distance d comes over the ground at s with room when d <= s + R(height) - R(top).
    room_m = np.minimum.accumulate(away_m + whole_m - _distance(gliders, table, top_m), axis=2)
    kept = np.nan_to_num(room_m, nan=-np.inf) >= away_m
    first_lost = np.argmin(kept, axis=2)
    return GlideEdge(
        height_m=height_m,
        landing_m=landing_m,
        bearings_rad=bearings,
        distances_m=np.maximum(away_m[first_lost] - _STEP_M, 0.0),
    )


def _distance(gliders: Gliders, table: Array, heights_m: Array) -> Array:
    """Return how far glides get from heights (bearings, members, points) to the lowest level."""
    levels = gliders.levels
    place = (heights_m - levels[0]) / (levels[1] - levels[0])
    k = np.clip(np.nan_to_num(place).astype(np.intp), 0, levels.size - 2)
    k = np.broadcast_to(k, (*table.shape[:2], k.shape[2]))
    low = np.take_along_axis(table, k, axis=2)
    high = np.take_along_axis(table, k + 1, axis=2)
    return np.asarray(low + (place - k) * (high - low))
