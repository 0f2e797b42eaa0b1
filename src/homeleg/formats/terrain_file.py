"""Terrain files (GeoTIFF, HGT) to a grid of heights on the plane about the launch point.

Only the window that is needed is read. What a file does not know stays unknown: NaN. Points
between cells are bilinear, and unknown as soon as one cell that weighs in them is.
"""

import math
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.errors import RasterioError

from homeleg.formats.mistaken_place import slip_in
from homeleg.formats.plane import Plane
from homeleg.formats.terrain_name import tile_name
from homeleg.formats.terrain_tile import (
    MOST_CELLS,
    TerrainTile,
    cell_m,
    cells_at,
    distance_m,
    heights_in,
    open_tile,
    refusal,
)
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.world.ground import bilinear

__all__ = ["TerrainGrid", "read_terrain"]

Array = NDArray[np.float64]
# Nodes along one side of the plane grid.
_MOST_NODES = 1500
_ROWS_AT_ONCE = 512
# Cells of two files continue each other when they differ by no more than this.
_SAME_STRETCH, _SAME_PLACE_CELLS = 1e-6, 0.01
# The map projection is computed at points this far apart and is even between them to 5 mm. [m]
_PROJECTED_EVERY_M = 500.0
_LIBRARY_SETTINGS = {
    "GDAL_DISABLE_READDIR_ON_OPEN": "EMPTY_DIR",  # a file means the same wherever it lies
    "PROJ_NETWORK": "OFF",
}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TerrainGrid:
    """Heights AMSL (rows to the north, columns to the east) from a south-west node on [m]."""

    heights_amsl_m: Array
    east_m: float
    north_m: float
    spacing_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Placed:
    """A tile on the lattice of another: the column and row of its first cell there."""

    tile: TerrainTile
    column: int
    row: int


def read_terrain(
    paths: Sequence[Path],
    launch: Plane,
    extent_m: tuple[float, float, float, float],
    stated_unit_m: float | None = None,
) -> TerrainGrid:
    """Return the terrain of files, the first that knows a place speaking for it.

    `extent_m` is west, south, east and north of the ground that is needed, on the plane.
    `stated_unit_m` is the unit of the heights in metres, where the files do not say it themselves.
    Raises InputFileError with what is wrong with the files, also when none reaches the extent.
    """
    problems: list[Problem] = []
    with ExitStack() as stack:
        stack.enter_context(rasterio.Env(**_LIBRARY_SETTINGS))
        tiles = []
        for path in paths:
            with _gathering(path.name, problems):
                tiles.append(open_tile(stack, path, stated_unit_m))
        if problems:
            raise InputFileError(problems)
        with _gathering(", ".join(path.name for path in paths), problems):
            return _on_plane(tiles, launch, extent_m)
    raise InputFileError(problems)


@contextmanager
def _gathering(name: str, problems: list[Problem]) -> Iterator[None]:
    """Add what goes wrong inside to the problems: refusals, and what the library cannot read."""
    try:
        yield
    except InputFileError as error:
        problems.extend(error.problems)
    except (RasterioError, OSError, ValueError, OverflowError, MemoryError) as error:
        reason = " ".join(str(error.__cause__ or error).split())[:160]
        problems.append(
            Problem(
                where=name,
                problem=f"cannot be read as terrain: {reason}",
                remedy="Is the file whole? Copy it again from where it came from.",
            )
        )


def _on_plane(
    tiles: Sequence[TerrainTile], launch: Plane, extent_m: tuple[float, float, float, float]
) -> TerrainGrid:
    lattices = _lattices(tiles)
    west_m, south_m, most_east_m, most_north_m = extent_m
    side_m = max(most_east_m - west_m, most_north_m - south_m)
    spacing_m = max(
        min(cell_m(lattice[0].tile, launch) for lattice in lattices), side_m / (_MOST_NODES - 2)
    )
    # The launch point is a node: its height is what everything else hangs on.
    east_m = _whole_steps(west_m, most_east_m, spacing_m)
    north_m = _whole_steps(south_m, most_north_m, spacing_m)
    heights_m = np.full((north_m.size, east_m.size), np.nan)
    reached = False
    for lattice in lattices:
        columns, rows = _cells_under(lattice[0].tile, launch, east_m, north_m)
        found = _heights_at(lattice, columns, rows, spacing_m / cell_m(lattice[0].tile, launch))
        if found is not None:
            reached = True
            heights_m = np.where(np.isnan(heights_m), found, heights_m)
    if not reached:
        raise _too_far(tiles, launch)
    return TerrainGrid(
        heights_amsl_m=heights_m,
        east_m=float(east_m[0]),
        north_m=float(north_m[0]),
        spacing_m=spacing_m,
    )


def _whole_steps(least_m: float, most_m: float, spacing_m: float) -> Array:
    """Return the multiples of a spacing that reach from one distance to another."""
    first, last = math.floor(least_m / spacing_m), math.ceil(most_m / spacing_m)
    return spacing_m * np.arange(first, last + 1, dtype=np.float64)


def _lattices(tiles: Sequence[TerrainTile]) -> list[list[_Placed]]:
    """Return the tiles in groups whose cells continue one another across their seams."""
    lattices: list[list[_Placed]] = []
    for tile in tiles:
        for lattice in lattices:
            placed = _placed_on(lattice[0].tile, tile)
            if placed is not None:
                lattice.append(placed)
                break
        else:
            lattices.append([_Placed(tile=tile, column=0, row=0)])
    return lattices


def _placed_on(reference: TerrainTile, tile: TerrainTile) -> _Placed | None:
    """Return where a tile lies on the lattice of another, None when their cells do not match."""
    if tile.horizontal != reference.horizontal:
        return None
    relative = ~reference.to_map @ tile.to_map
    column, row = round(relative.c), round(relative.f)
    stretched = max(abs(relative.a - 1), abs(relative.b), abs(relative.d), abs(relative.e - 1))
    shifted = max(abs(relative.c - column), abs(relative.f - row))
    if stretched > _SAME_STRETCH or shifted > _SAME_PLACE_CELLS:
        return None
    return _Placed(tile=tile, column=column, row=row)


def _cells_under(
    tile: TerrainTile, launch: Plane, east_m: Array, north_m: Array
) -> tuple[Array, Array]:
    """Return the column and row under every node, projected at some and even between them."""
    spacing_m = east_m[1] - east_m[0]
    step = max(int(_PROJECTED_EVERY_M / spacing_m), 1)
    some_east = np.arange(0, east_m.size - 1 + step, step)
    some_north = np.arange(0, north_m.size - 1 + step, step)
    grid = np.meshgrid(east_m[0] + spacing_m * some_east, north_m[0] + spacing_m * some_north)
    column, row = cells_at(tile, launch, *grid)
    across, up = np.meshgrid(np.arange(east_m.size) / step, np.arange(north_m.size) / step)
    return bilinear(column, across, up), bilinear(row, across, up)


def _heights_at(
    lattice: Sequence[_Placed], columns: Array, rows: Array, coarser: float
) -> Array | None:
    """Return heights at columns and rows of a lattice [m]; None when no tile reaches any of them.

    Where nodes stand `coarser` cells apart, the highest of the cells between them speaks.
    """
    if not (np.isfinite(columns).all() and np.isfinite(rows).all()):
        return None
    times = max(int(coarser), 1)
    left, right = _range(columns, times, [(p.column, p.tile.shape[1]) for p in lattice])
    top, bottom = _range(rows, times, [(p.row, p.tile.shape[0]) for p in lattice])
    if min(right - left, bottom - top) < 2 * times:
        return None
    _report_size(lattice[0].tile.name, (right - left) * (bottom - top))
    cells = np.full((bottom - top, right - left), np.nan, dtype=np.float32)
    reached = [_fill(cells, placed, left, top) for placed in lattice]
    if not any(reached):
        return None
    thin = _highest_of(cells, times)
    centre = (times - 1) / 2.0
    return bilinear(thin, (columns - left - centre) / times, (rows - top - centre) / times)


def _range(cells: Array, margin: int, held: Sequence[tuple[int, int]]) -> tuple[int, int]:
    """Return the first cell needed along one axis, of those the tiles hold, and after the last."""
    first, after = math.floor(cells.min()) - margin, math.ceil(cells.max()) + margin + 1
    return (
        max(first, min(start for start, _ in held)),
        min(after, max(start + size for start, size in held)),
    )


def _report_size(name: str, cells: int) -> None:
    if cells > MOST_CELLS:
        raise refusal(
            name,
            f"has {cells / 1e6:,.0f} million cells under this route",
            f"At most {MOST_CELLS / 1e6:.0f} million are read: give coarser terrain.",
        )


def _highest_of(cells: NDArray[np.float32], times: int) -> Array:
    """Return the highest of each `times` by `times` cells, NaN where one of them is unknown."""
    rows, columns = (size // times for size in cells.shape)
    blocks = cells[: rows * times, : columns * times].reshape(rows, times, columns, times)
    return np.asarray(blocks.max(axis=(1, 3)), dtype=np.float64)


def _fill(cells: NDArray[np.float32], placed: _Placed, left: int, top: int) -> bool:
    """Fill the cells that a tile knows and no earlier one did; return whether it reaches any."""
    tile = placed.tile
    column_0, column_1 = max(left, placed.column), placed.column + tile.shape[1]
    row_0, row_1 = max(top, placed.row), placed.row + tile.shape[0]
    column_1, row_1 = min(column_1, left + cells.shape[1]), min(row_1, top + cells.shape[0])
    if column_1 <= column_0 or row_1 <= row_0:
        return False
    for first in range(row_0, row_1, _ROWS_AT_ONCE):
        after = min(first + _ROWS_AT_ONCE, row_1)
        heights_m = heights_in(
            tile,
            column=column_0 - placed.column,
            row=first - placed.row,
            columns=column_1 - column_0,
            rows=after - first,
        )
        part = cells[first - top : after - top, column_0 - left : column_1 - left]
        np.copyto(part, heights_m, where=np.isnan(part), casting="same_kind")
    return True


def _too_far(tiles: Sequence[TerrainTile], launch: Plane) -> InputFileError:
    """Return what to say when no file reaches the route: how far away each begins."""
    place = launch.latitude_rad, launch.longitude_rad
    here = tile_name(*place)

    def slip(tile: TerrainTile) -> str:
        found = slip_in(*place, lambda *other: distance_m(tile, Plane(*other)))
        return found or "is a degree mistyped"

    return InputFileError(
        [
            Problem(
                where=tile.name,
                problem=f"begins {distance_m(tile, launch) / 1000.0:,.0f} km from the launch "
                "point and does not reach the route",
                remedy=f"Check the launch point and the file: {slip(tile)}. The launch point lies "
                f"in the degree of {here}.",
            )
            for tile in tiles
        ]
    )
