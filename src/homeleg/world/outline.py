"""Outlines on the plane: the hull of points and circles, and how far from an outline points lie."""

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from homeleg.world.ground import is_inside

Array = NDArray[np.float64]
Points = tuple[tuple[float, float], ...]

__all__ = ["distance_outside", "hull_of_circles"]

# Corners that stand for a circle, which they lie around: 0.1 % of its radius at most.
_CORNERS = 72


def hull_of_circles(circles: Iterable[tuple[float, float, float]]) -> Points:
    """Return the convex hull of circles (east, north, radius), a radius of 0 being a point. [m]."""
    corners: set[tuple[float, float]] = set()
    turns = [2.0 * math.pi * k / _CORNERS for k in range(_CORNERS)]
    for east_m, north_m, radius_m in circles:
        around_m = radius_m / math.cos(math.pi / _CORNERS)
        corners |= {
            (east_m + around_m * math.sin(turn), north_m + around_m * math.cos(turn))
            for turn in turns
        }
    ordered = sorted(corners)
    return (*_half_hull(ordered), *_half_hull(ordered[::-1]))


def _half_hull(ordered: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return one side of the hull of sorted points, without its last corner.

    A. M. Andrew, Inf. Process. Lett. 9, 216 (1979). MEMORY of the reference.
    """
    side: list[tuple[float, float]] = []
    for point in ordered:
        while len(side) >= 2 and _turns_right(side[-2], side[-1], point):
            side.pop()
        side.append(point)
    return side[:-1] if len(side) > 1 else side


def _turns_right(a: tuple[float, float], b: tuple[float, float], then: tuple[float, float]) -> bool:
    return (b[0] - a[0]) * (then[1] - a[1]) <= (b[1] - a[1]) * (then[0] - a[0])


def distance_outside(outline_m: Points, east_m: Array, north_m: Array) -> Array:
    """Return how far outside an outline points lie, negative inside it. [m]."""
    nearest_m = np.full(np.shape(east_m), np.inf)
    for (east_0, north_0), (east_1, north_1) in zip(
        outline_m, (*outline_m[1:], outline_m[0]), strict=True
    ):
        along_east, along_north = east_1 - east_0, north_1 - north_0
        length_2 = along_east**2 + along_north**2
        off_east, off_north = east_m - east_0, north_m - north_0
        share = np.clip((off_east * along_east + off_north * along_north) / (length_2 or 1.0), 0, 1)
        to_edge_m = np.hypot(off_east - share * along_east, off_north - share * along_north)
        nearest_m = np.minimum(nearest_m, to_edge_m)
    return np.where(is_inside(outline_m, east_m, north_m), -nearest_m, nearest_m)
