"""The ground around the launch point: judged by eye or from a terrain file, and what stands on it.

Both become one `Surface`, a grid on the plane about the launch point. Unknown ground is NaN and
stays NaN: it is never taken for level ground.
"""

import math
from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from homeleg.foundation.constants import WITHIN_NINE_IN_TEN_Z
from homeleg.foundation.estimate import Basis, Estimate

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

__all__ = [
    "CanopyArea",
    "GroundByEye",
    "Obstacle",
    "SkylinePoint",
    "Surface",
    "TerrainGround",
    "bilinear",
    "ground_height",
    "ground_sd",
    "is_inside",
    "surface_of",
    "tied_to_launch",
    "top_height",
    "with_two_spreads",
]

# Of ground by eye that is not flat all over: cells from the launch point to the radius. Ours.
_CELLS_TO_RADIUS = 200
# The launch point's own height is known; this far away the terrain's is taken in full. Ours.
_TIED_WITHIN_M = 100.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Surface:
    """Heights at the nodes of a square grid, rows going north and columns going east [m].

    `heights_above_launch_m` (rows, columns) is the ground, NaN where unknown; `canopy_m`, of the
    same shape, how high trees reach above it. `east_m`, `north_m` place the south-west node.
    Beyond `radius_m` from the launch point nothing is known. `error_m` is the error that all of it
    shares from flight to flight.
    """

    heights_above_launch_m: Array
    canopy_m: Array
    east_m: float
    north_m: float
    spacing_m: float
    radius_m: float
    error_m: Estimate

    def __post_init__(self) -> None:
        shape = self.heights_above_launch_m.shape
        if len(shape) != 2 or min(shape) < 2 or self.canopy_m.shape != shape:
            raise ValueError(f"a surface needs two by two nodes or more, not {shape}")
        if not (self.spacing_m > 0.0 and self.radius_m > 0.0):
            raise ValueError(f"spacing {self.spacing_m} m, radius {self.radius_m} m: not above 0")

    @property
    def tops_above_launch_m(self) -> Array:
        """Ground with its trees, NaN where unknown."""
        return self.heights_above_launch_m + self.canopy_m


@dataclass(frozen=True, slots=True, kw_only=True)
class SkylinePoint:
    """A point of the skyline: true bearing, distance, and its height above launch [m]."""

    bearing_true_rad: float
    distance_m: float
    height_m: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundByEye:
    """Ground judged by eye: level with the launch point within a spread, out to a radius [m].

    `flat_to_m` is how far it is flat, `highest_m` the height above launch of the highest ground
    that a map shows inside the radius.
    """

    flat_within_m: float
    radius_m: float
    flat_to_m: float
    skyline: tuple[SkylinePoint, ...] = ()
    highest_m: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TerrainGround:
    """Ground from terrain files: its surface, the names of the files."""

    surface: Surface
    files: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CanopyArea:
    """Trees of a height: inside a polygon, or everywhere beyond a clearing about the launch [m]."""

    height_m: Estimate
    vertices_m: tuple[tuple[float, float], ...] = ()
    clearing_m: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """Something that stands up: where, its height above the ground there [m], when it was seen."""

    name: str
    east_m: float
    north_m: float
    height_m: Estimate
    seen: datetime | None = None


def with_two_spreads(height_m: Estimate) -> float:
    """Return the height that what stands on the ground is taken for: its value and two spreads."""
    return height_m.value + 2.0 * height_m.sd


def ground_sd(within_m: float) -> float:
    """Return the standard deviation of a height that is right within this, nine times in ten."""
    return within_m / WITHIN_NINE_IN_TEN_Z


def bilinear(values: Array, column: Array, row: Array) -> Array:
    """Return values between the nodes of a grid, at fractional columns and rows.

    A point is NaN when it lies outside the grid, or when a node that weighs in it is NaN.
    """
    rows, columns = values.shape
    inside = (column >= 0.0) & (row >= 0.0) & (column <= columns - 1) & (row <= rows - 1)
    column, row = np.where(inside, column, 0.0), np.where(inside, row, 0.0)
    i = np.minimum(column.astype(np.intp), columns - 2)
    j = np.minimum(row.astype(np.intp), rows - 2)
    x, y = column - i, row - j
    total = np.zeros(np.shape(column))
    for across, up, weight in (
        (0, 0, (1.0 - x) * (1.0 - y)),
        (1, 0, x * (1.0 - y)),
        (0, 1, (1.0 - x) * y),
        (1, 1, x * y),
    ):
        total += np.where(weight > 0.0, weight * values[j + up, i + across], 0.0)
    return np.where(inside, total, np.nan)


def ground_height(surface: Surface, east_m: Array | float, north_m: Array | float) -> Array:
    """Return the height of the bare ground above launch at points; NaN where unknown. [m]."""
    return _height(surface, surface.heights_above_launch_m, east_m, north_m)


def top_height(surface: Surface, east_m: Array | float, north_m: Array | float) -> Array:
    """Return the height above launch of the ground with its trees; NaN where unknown. [m]."""
    return _height(surface, surface.tops_above_launch_m, east_m, north_m)


def _height(
    surface: Surface, nodes_m: Array, east_m: Array | float, north_m: Array | float
) -> Array:
    column = (np.asarray(east_m) - surface.east_m) / surface.spacing_m
    row = (np.asarray(north_m) - surface.north_m) / surface.spacing_m
    near = np.hypot(east_m, north_m) <= surface.radius_m
    return np.where(near, bilinear(nodes_m, column, row), np.nan)


def surface_of(ground: GroundByEye | TerrainGround, canopy: tuple[CanopyArea, ...]) -> Surface:
    """Return the surface of the ground with its trees."""
    if isinstance(ground, TerrainGround):
        bare = ground.surface
    elif ground.flat_to_m >= ground.radius_m and not canopy:
        bare = _level(ground, cells=1)
    else:
        bare = _rising(ground, _level(ground, cells=2 * _CELLS_TO_RADIUS))
    return replace(bare, canopy_m=_canopy_over(bare, canopy))


def _level(ground: GroundByEye, cells: int) -> Surface:
    nodes_m = np.zeros((cells + 1, cells + 1))
    sd = ground_sd(ground.flat_within_m)
    return Surface(
        heights_above_launch_m=nodes_m,
        canopy_m=nodes_m,
        east_m=-ground.radius_m,
        north_m=-ground.radius_m,
        spacing_m=2.0 * ground.radius_m / cells,
        radius_m=ground.radius_m,
        error_m=Estimate(value=0.0, sd=sd, basis=Basis.DECLARED),
    )


def _rising(ground: GroundByEye, level: Surface) -> Surface:
    """Return a surface that the ground, as stated, is nowhere above.

    Beyond the flat it lies on the line of sight from the launch point over the skyline (two spreads
    on top): ground above that line would be the skyline itself, and ground behind it is hidden only
    as long as it is below. Between two points of the skyline the slope of that line changes evenly
    with bearing. A map's highest ground ends the rise, but never below a point of the skyline;
    without a skyline all ground beyond the flat is as high as that.
    """
    east_m, north_m = _nodes(level)
    distance_m = np.hypot(east_m, north_m)
    highest_m = max(ground.highest_m or 0.0, 0.0)
    heights_m = np.full(distance_m.shape, highest_m)
    if ground.skyline:
        tops_m = [max(with_two_spreads(point.height_m), 0.0) for point in ground.skyline]
        slope = np.interp(
            np.arctan2(east_m, north_m),
            [point.bearing_true_rad for point in ground.skyline],
            [top_m / p.distance_m for top_m, p in zip(tops_m, ground.skyline, strict=True)],
            period=2.0 * math.pi,
        )
        ceiling_m = math.inf if ground.highest_m is None else max(highest_m, *tops_m)
        heights_m = np.minimum(distance_m * slope, ceiling_m)
    # The last nodes on the flat are raised too, so that the rise is never cut short.
    beyond = distance_m > ground.flat_to_m - math.sqrt(2.0) * level.spacing_m
    return replace(level, heights_above_launch_m=np.where(beyond, heights_m, 0.0))


def _nodes(surface: Surface) -> tuple[Array, Array]:
    """Return east and north of every node, (rows, columns)."""
    rows, columns = surface.heights_above_launch_m.shape
    east_m = surface.east_m + surface.spacing_m * np.arange(columns)
    north_m = surface.north_m + surface.spacing_m * np.arange(rows)
    return np.broadcast_to(east_m, (rows, columns)), np.broadcast_to(
        north_m[:, np.newaxis], (rows, columns)
    )


def _canopy_over(surface: Surface, areas: tuple[CanopyArea, ...]) -> Array:
    """Return how high trees reach above the ground at each node, two spreads on top.

    Every node next to an area counts as in it, so that its edge is never cut short.
    """
    canopy_m = np.zeros(surface.heights_above_launch_m.shape)
    east_m, north_m = _nodes(surface)
    for area in areas:
        if area.vertices_m:
            wooded = is_inside(area.vertices_m, east_m, north_m)
        else:
            wooded = np.hypot(east_m, north_m) >= area.clearing_m
        height_m = with_two_spreads(area.height_m)
        canopy_m = np.where(_widened(wooded), np.maximum(canopy_m, height_m), canopy_m)
    return canopy_m


def is_inside(
    vertices_m: tuple[tuple[float, float], ...], east_m: Array | float, north_m: Array | float
) -> Mask:
    """Return which points lie in a polygon, by counting the edges to the west of each."""
    inside = np.zeros(np.shape(east_m), dtype=np.bool_)
    for (east_0, north_0), (east_1, north_1) in zip(
        vertices_m, (*vertices_m[1:], vertices_m[0]), strict=True
    ):
        if north_0 == north_1:
            continue
        crossed = (north_m >= min(north_0, north_1)) & (north_m < max(north_0, north_1))
        at_m = east_0 + (north_m - north_0) * (east_1 - east_0) / (north_1 - north_0)
        inside ^= crossed & (at_m <= east_m)
    return inside


def _widened(mask: Mask) -> Mask:
    """Return a mask with all eight neighbours of what it holds."""
    rows, columns = mask.shape
    padded = np.pad(mask, 1)
    wide = np.zeros_like(mask)
    for j in range(3):
        for i in range(3):
            wide |= padded[j : j + rows, i : i + columns]
    return wide


def tied_to_launch(surface: Surface) -> Surface:
    """Return the surface shifted near the launch point so that it passes through it.

    The launch point is where it is stated to be; the shift fades to nothing a hundred metres away.
    """
    off_m = float(ground_height(surface, 0.0, 0.0))
    if math.isnan(off_m):
        return surface
    share = np.maximum(1.0 - np.hypot(*_nodes(surface)) / _TIED_WITHIN_M, 0.0)
    return replace(surface, heights_above_launch_m=surface.heights_above_launch_m - off_m * share)
