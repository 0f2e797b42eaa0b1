"""Where the ground is not known: under the drawn route, and under the ways home from it."""

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from homeleg.route.geometry import Leg, LegKind
from homeleg.world.ground import Surface, ground_height

__all__ = ["UnknownStretch", "unknown_on_ways_home", "unknown_under"]

Array = NDArray[np.float64]
Corners = tuple[tuple[float, float], ...]

_EVERY_M = 10.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class UnknownStretch:
    """A stretch of a leg, metres from its start, and the unknown points met along it.

    `points_m` (points, 2) are east and north: on the leg itself, or on the ways home from it.
    """

    leg: str
    from_m: float
    to_m: float
    points_m: Array

    @property
    def words(self) -> str:
        """The stretch in words: "A to B, from 120 to 480 m along it"."""
        if self.to_m == self.from_m:
            return f"{self.leg}, {self.from_m:.0f} m along it"
        return f"{self.leg}, from {self.from_m:.0f} to {self.to_m:.0f} m along it"


def unknown_under(legs: Iterable[Leg], surface: Surface) -> list[UnknownStretch]:
    """Return the stretches of drawn legs with no known ground under them, sampled each 10 m.

    The climb-out is left out: where it ends is flown, not drawn.
    """
    stretches: list[UnknownStretch] = []
    for leg in legs:
        if leg.kind is LegKind.CLIMB_OUT:
            continue
        points_m = _points_on(leg)
        unknown = _is_unknown(surface, points_m)
        stretches += _stretches(leg, unknown, [points_m[k : k + 1] for k in range(unknown.size)])
    return stretches


def unknown_on_ways_home(
    legs: Iterable[Leg],
    surface: Surface,
    corners_from: Callable[[int, tuple[float, float]], Iterable[Corners]],
) -> list[UnknownStretch]:
    """Return the stretches of drawn legs from which a way home crosses unknown ground.

    `corners_from` gives, by number of the leg and place on it, the corners of each way home.
    """
    stretches: list[UnknownStretch] = []
    for number, leg in enumerate(legs):
        if leg.kind is LegKind.CLIMB_OUT:
            continue
        missing = []
        for point_m in _points_on(leg):
            ways = corners_from(number, (float(point_m[0]), float(point_m[1])))
            way_m = np.concatenate([_along(point_m, corners) for corners in ways])
            missing.append(way_m[_is_unknown(surface, way_m)])
        unknown = np.array([points_m.size > 0 for points_m in missing])
        stretches += _stretches(leg, unknown, missing)
    return stretches


def _points_on(leg: Leg) -> Array:
    """Return points along a leg, 10 m apart or a little less, (points, 2) [m]."""
    end_m = np.array(leg.end_m)
    if leg.kind is not LegKind.ORBIT:
        return _line(np.array(leg.start_m), end_m)
    count = math.ceil(2.0 * math.pi * leg.radius_m / _EVERY_M)
    angle = np.linspace(0.0, 2.0 * math.pi, max(count, 8), endpoint=False)
    circle_m = end_m + leg.radius_m * np.column_stack((np.sin(angle), np.cos(angle)))
    return np.concatenate((_line(np.array(leg.start_m), end_m), circle_m))


def _along(start_m: Array, corners: Corners) -> Array:
    """Return points along the straight lines from a place over corners (points, 2) [m]."""
    places_m = [start_m, *(np.array(corner_m) for corner_m in corners)]
    return np.concatenate([_line(*ends) for ends in pairwise(places_m)])


def _line(start_m: Array, end_m: Array) -> Array:
    count = math.ceil(float(np.hypot(*(end_m - start_m))) / _EVERY_M) + 1
    return np.linspace(start_m, end_m, count)


def _is_unknown(surface: Surface, points_m: Array) -> NDArray[np.bool_]:
    return np.isnan(ground_height(surface, points_m[:, 0], points_m[:, 1]))


def _stretches(
    leg: Leg, unknown: NDArray[np.bool_], missing: list[Array]
) -> Iterable[UnknownStretch]:
    """Return the runs of unknown points of a leg, each with what is missing along it."""
    points_m = _points_on(leg)
    steps_m = np.hypot(*np.diff(points_m, axis=0).T)
    along_m = np.concatenate(([0.0], np.cumsum(steps_m)))
    edges = np.flatnonzero(np.diff(np.concatenate(([False], unknown, [False]))))
    name = f"{leg.start} to {leg.end}" if leg.start != leg.end else leg.end
    for first, after in edges.reshape(-1, 2):
        yield UnknownStretch(
            leg=name,
            from_m=float(along_m[first]),
            to_m=float(along_m[after - 1]),
            points_m=np.concatenate(missing[first:after]),
        )
