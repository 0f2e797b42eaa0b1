"""The ground under one way home: from where the link is lost to the landing point."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.flight.ensemble import SINK_OVER_CLIMB_RATE
from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.way_home.home_plan import HomePlan
from homeleg.world.ground import top_height

Array = NDArray[np.float64]

__all__ = ["WayBack", "way_back"]

_POINTS = 161
# As in the flights: the launch point's own height is known, a hundred metres away it is not. [m]
_KNOWN_WITHIN_M = 100.0
_LEVEL_M = 5.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WayBack:
    """Heights above launch along a way home, from the landing point outward [m].

    `line_m` are its corners, metres east and north, from where the link is lost. `tops_m` is the
    ground with its trees, NaN where unknown; nine in ten times it is no higher than `spread_m`
    above that, and the aircraft no lower than `own_spread_m` below `heights_m`: as planned, with
    the climb or descent to the return height `height_m`, on the way or circling at its begin.
    """

    line_m: tuple[tuple[float, float], ...]
    distances_m: Array
    tops_m: Array
    spread_m: Array
    heights_m: Array
    height_m: float
    own_spread_m: float
    words: str

    @property
    def spare_m(self) -> Array:
        """What is left between the aircraft at its lowest and the ground at its highest."""
        return self.heights_m - self.own_spread_m - self.tops_m - self.spread_m

    @property
    def begins_level(self) -> bool:
        """Whether it does not change height where it begins."""
        return bool(abs(self.heights_m[-1] - self.heights_m[-2]) < _LEVEL_M)


def way_back(
    resolved: ResolvedSortie, plan: HomePlan, leg: int, from_m: tuple[float, float, float]
) -> WayBack:
    """Return what lies under the way home of a plan that begins east, north and up on a leg."""
    place_m, up_m = from_m[:2], from_m[2]
    landing_m = resolved.pattern.landing_m
    line_m = (place_m, *plan.corners_from(leg, place_m))
    if math.dist(line_m[-1], landing_m) > 1.0:
        line_m = (*line_m, landing_m)
    outward = np.array(line_m[::-1])
    along_m = np.append(0.0, np.cumsum(np.hypot(*np.diff(outward, axis=0).T)))
    distances_m = np.linspace(0.0, along_m[-1], _POINTS)
    east_m, north_m = (np.interp(distances_m, along_m, outward[:, axis]) for axis in (0, 1))
    share = np.minimum(np.hypot(east_m, north_m) / _KNOWN_WITHIN_M, 1.0)
    height_m = plan.height_from(leg, place_m)
    heights_m = _heights(resolved, distances_m[-1] - distances_m, up_m, height_m)
    if plan.climbs_at(leg, place_m):
        heights_m = np.append(np.full(_POINTS - 1, height_m), up_m)
    return WayBack(
        line_m=line_m,
        distances_m=distances_m,
        tops_m=top_height(resolved.surface, east_m, north_m),
        spread_m=NINE_IN_TEN_Z * resolved.inputs["ground"].sd * share,
        heights_m=heights_m,
        height_m=height_m,
        own_spread_m=NINE_IN_TEN_Z * resolved.inputs["barometer"].sd,
        words=plan.words,
    )


def _heights(resolved: ResolvedSortie, flown_m: Array, from_m: float, to_m: float) -> Array:
    """Return heights after so much of the way, climbing or coming down as in still air. [m]."""
    true_m_s = resolved.speeds.climb_eas_m_s * resolved.tas_per_eas
    rate_m_s = resolved.speeds.climb_rate_m_s * (1.0 if to_m > from_m else SINK_OVER_CLIMB_RATE)
    left_m = np.maximum(abs(to_m - from_m) - rate_m_s / true_m_s * flown_m, 0.0)
    return to_m - math.copysign(1.0, to_m - from_m) * left_m
