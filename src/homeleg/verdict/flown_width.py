"""How wide the flights of an ensemble lie, place by place along the middle one."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown
from homeleg.verdict.corridor import Corridor
from homeleg.verdict.ribbon import own_times

Array = NDArray[np.float64]

__all__ = ["FlownWidth", "flown_width"]

_EVERY_S = 2.0
# Nine in ten flights lie between these two.
_LOW, _HIGH = 5.0, 95.0
_LEAST_THERE = 0.5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FlownWidth:
    """Both edges between which nine in ten flights pass, and the middle (places, 2) [m].

    Metres east and north of the launch point, from release to the final.
    """

    left_m: Array
    middle_m: Array
    right_m: Array


def flown_width(flown: Flown, corridor: Corridor) -> FlownWidth:
    """Return the edges, across the middle of the flights that are at the same place of a leg."""
    members = corridor.east_m.shape[1]
    durations_s = flown.results[:members, c.DURATION]
    middle = int(np.argsort(durations_s)[members // 2])
    clock_s = np.append(0.0, np.cumsum(flown.leg_results[middle, :, c.LEG_TIME]))
    times_s = np.unique(np.append(np.arange(0.0, clock_s[-2], _EVERY_S), clock_s[:-1]))
    own_s = own_times(flown, clock_s, times_s, members)
    east_m, north_m = (_at(corridor, one, own_s) for one in (corridor.east_m, corridor.north_m))
    there = np.isfinite(east_m).mean(axis=1) >= _LEAST_THERE
    east_m, north_m = east_m[there], north_m[there]
    middle_m = np.stack([np.nanmedian(east_m, axis=1), np.nanmedian(north_m, axis=1)], axis=1)
    across = _across(middle_m)
    off_m = (east_m - middle_m[:, :1]) * across[:, :1] + (north_m - middle_m[:, 1:]) * across[:, 1:]
    low_m, high_m = np.nanpercentile(off_m, [_LOW, _HIGH], axis=1)
    return FlownWidth(
        left_m=middle_m + low_m[:, np.newaxis] * across,
        middle_m=middle_m,
        right_m=middle_m + high_m[:, np.newaxis] * across,
    )


def _at(corridor: Corridor, values: Array, own_s: Array) -> Array:
    """Return values (seconds, members) at each member's own times; NaN where it is not there."""
    found = np.empty(own_s.shape)
    for member in range(own_s.shape[1]):
        there = np.isfinite(values[:, member])
        seconds, own = corridor.seconds[there], values[there, member]
        if seconds.size == 0:
            found[:, member] = np.nan
        else:
            found[:, member] = np.interp(own_s[:, member], seconds, own, left=np.nan, right=np.nan)
    return found


def _across(middle_m: Array) -> Array:
    """Return the direction to the right of the way at each place (places, 2)."""
    along = np.gradient(middle_m, axis=0)
    length = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-6)
    return np.stack([along[:, 1] / length, -along[:, 0] / length], axis=1)
