"""Wind, gusts and ground where the aircraft is, compiled."""

# numba finds the types of compiled functions by itself, from arrays that are all float64.
# mypy: allow-untyped-defs, allow-untyped-calls

import math

import numpy as np

from homeleg.flight import layout as c
from homeleg.flight.compiled import compiled, inlined

__all__ = ["ground_at", "gust", "wind_at"]

_LOWEST_WIND_M = 2.0


@compiled
def gust(seed, member, node, channel):
    """Return a nearly normal number of zero mean and unit variance from a 64-bit hash.

    Four 16-bit uniforms of one mixed word (finaliser of splitmix64, Steele et al. 2014).
    """
    x = np.uint64(seed) * np.uint64(0x9E3779B97F4A7C15)
    x ^= np.uint64(member) * np.uint64(0xBF58476D1CE4E5B9)
    x += np.uint64(node * 3 + channel) * np.uint64(0x94D049BB133111EB)
    x ^= x >> np.uint64(30)
    x *= np.uint64(0xBF58476D1CE4E5B9)
    x ^= x >> np.uint64(27)
    x *= np.uint64(0x94D049BB133111EB)
    x ^= x >> np.uint64(31)
    mask = np.uint64(0xFFFF)
    total = (
        np.int64(x & mask)
        + np.int64((x >> np.uint64(16)) & mask)
        + np.int64((x >> np.uint64(32)) & mask)
        + np.int64(x >> np.uint64(48))
    )
    # Sum of four uniforms on 0..65535: mean 131070, variance 4 (65536^2 - 1) / 12.
    return (total - 131070.0) / 37837.22661


@inlined
def wind_at(wind, top_m, height_m):
    """Return wind east and north at a height, linear in the square root of height.

    Down to 2 m: an aircraft that rolls or lies on the ground still stands in that wind.
    """
    place = math.sqrt(max(height_m, _LOWEST_WIND_M) / top_m) * (c.WIND_NODES - 1)
    if place >= c.WIND_NODES - 1:
        return wind[0, c.WIND_NODES - 1], wind[1, c.WIND_NODES - 1]
    node = int(place)
    share = place - node
    return (
        wind[0, node] + share * (wind[0, node + 1] - wind[0, node]),
        wind[1, node] + share * (wind[1, node + 1] - wind[1, node]),
    )


@inlined
def ground_at(ground, plan, east_m, north_m):
    """Return the ground's height above launch, bilinear; NaN where nothing is known."""
    if east_m * east_m + north_m * north_m > plan[c.GROUND_RADIUS] * plan[c.GROUND_RADIUS]:
        return math.nan
    x = (east_m - plan[c.GROUND_EAST]) / plan[c.GROUND_SPACING]
    y = (north_m - plan[c.GROUND_NORTH]) / plan[c.GROUND_SPACING]
    rows, columns = ground.shape
    if x < 0.0 or y < 0.0 or x > columns - 1 or y > rows - 1:
        return math.nan
    i = min(int(x), columns - 2)
    j = min(int(y), rows - 2)
    fx = x - i
    fy = y - j
    return (1.0 - fy) * ((1.0 - fx) * ground[j, i] + fx * ground[j, i + 1]) + fy * (
        (1.0 - fx) * ground[j + 1, i] + fx * ground[j + 1, i + 1]
    )
