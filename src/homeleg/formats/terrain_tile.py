"""One terrain file (GeoTIFF or HGT), open, with everything about it that must be known first.

Heights are above mean sea level; a file that declares heights above the ellipsoid is refused.
"""

import math
import re
import warnings
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import numpy as np
import rasterio
from affine import Affine
from numpy.typing import NDArray
from rasterio.crs import CRS
from rasterio.errors import NotGeoreferencedWarning
from rasterio.warp import transform as transform_points
from rasterio.windows import Window

from homeleg.formats.plane import Plane
from homeleg.formats.tiff_whole import missing_bytes
from homeleg.foundation.constants import FOOT_M, US_SURVEY_FOOT_M
from homeleg.foundation.errors import InputFileError, Problem

__all__ = [
    "MOST_CELLS",
    "TerrainTile",
    "cell_m",
    "cells_at",
    "distance_m",
    "heights_in",
    "open_tile",
    "refusal",
]

Array = NDArray[np.float64]
Dataset: TypeAlias = Any  # the library carries no types

_DRIVERS = {".tif": "GTiff", ".tiff": "GTiff", ".hgt": "SRTMHGT"}
_HGT_NAME = re.compile(r"[NS]\d{2}[EW]\d{3}\.hgt", re.IGNORECASE)
_UNITS_M = {
    "m": 1.0,
    "metre": 1.0,
    "meter": 1.0,
    "foot": FOOT_M,
    "ft": FOOT_M,
    "us survey foot": US_SURVEY_FOOT_M,
    "us-ft": US_SURVEY_FOOT_M,
}
# Also what voids are often written as without saying so (-32768, -9999, 1e38). [m AMSL]
_LOWEST_GROUND_M, _HIGHEST_GROUND_M = -500.0, 9000.0
# What is held in memory at once, of a window or of a part that can only be read whole.
MOST_CELLS = 40_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class TerrainTile:
    """An open file. `to_map` takes column and row to the map; cells' centres are whole numbers."""

    name: str
    dataset: Dataset
    horizontal: CRS
    to_map: Affine
    unit_m: float

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return int(self.dataset.height), int(self.dataset.width)


def refusal(name: str, problem: str, remedy: str) -> InputFileError:
    """Return the refusal of a file: its name, what is wrong, what would be right."""
    return InputFileError([Problem(where=name, problem=problem, remedy=remedy)])


def open_tile(stack: ExitStack, path: Path, stated_unit_m: float | None) -> TerrainTile:
    """Return the file opened for as long as the stack lasts.

    Raises InputFileError when it is not terrain, or does not say what must be known of it.
    """
    driver = _driver_of(path)
    if driver == "GTiff" and (lacking := missing_bytes(path)):
        raise refusal(
            path.name,
            f"is cut off or damaged: at least {lacking:,} bytes of it are missing",
            "Copy it again from where it came from.",
        )
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", NotGeoreferencedWarning)
        dataset = stack.enter_context(rasterio.open(path.resolve(), driver=driver))
    if max(math.prod(block) for block in dataset.block_shapes) > MOST_CELLS:
        raise refusal(
            path.name, "cannot be read in parts", "Write it again in tiles of 256 by 256 cells."
        )
    if dataset.count != 1 or np.dtype(dataset.dtypes[0]).kind not in "iuf":
        raise refusal(path.name, "holds a picture, not heights", "Choose the elevation model.")
    if min(dataset.height, dataset.width) < 2:
        raise refusal(path.name, "is less than two cells wide", "Is this the right file?")
    return TerrainTile(
        name=path.name,
        dataset=dataset,
        horizontal=_map_of(path.name, dataset),
        to_map=dataset.transform @ Affine.translation(0.5, 0.5),
        unit_m=_unit_of(path.name, dataset, stated_unit_m),
    )


def _driver_of(path: Path) -> str:
    """Return which of the library's drivers reads a file, by its name."""
    if path.is_dir():
        raise refusal(path.name, "is a folder", "Name the terrain files in it, one by one.")
    driver = _DRIVERS.get(path.suffix.lower())
    if driver is None:
        raise refusal(
            path.name,
            f"is not a kind of terrain file that is read ({', '.join(_DRIVERS)})",
            "Unpack a .zip or .gz first.",
        )
    if not path.is_file():
        raise refusal(path.name, "there is no such file", f"Looked at {path}.")
    if driver == "SRTMHGT" and not _HGT_NAME.fullmatch(path.name):
        raise refusal(
            path.name,
            "is not named after the south-west corner of its degree",
            'Give it its own name back, such as "N57W005.hgt".',
        )
    return driver


def _map_of(name: str, dataset: Dataset) -> CRS:
    """Return the reference system, after refusing a file without one or with ellipsoid heights."""
    crs, place = dataset.crs, dataset.transform
    # A grid of its own, such as a building site's, is a reference system too, and lies nowhere.
    is_on_earth = crs is not None and (crs.is_geographic or crs.is_projected)
    if not is_on_earth or place.is_identity or place.is_degenerate:
        raise refusal(
            name,
            "does not say where on Earth it lies (no coordinate reference system)",
            "Get it as a GeoTIFF with its reference system written in.",
        )
    # The library gives such a file a third axis of this name, whatever key declared it.
    if "ellipsoidal height" in dataset.crs.to_wkt(version="WKT2_2019").lower():
        raise refusal(
            name,
            "declares its heights above the ellipsoid, and terrain is read above mean sea level",
            "Get it with heights above mean sea level (orthometric).",
        )
    return dataset.crs


def _unit_of(name: str, dataset: Dataset, stated_unit_m: float | None) -> float:
    said = (dataset.units[0] or "").strip().lower()
    if not said:
        return 1.0 if stated_unit_m is None else stated_unit_m
    if said not in _UNITS_M:
        raise refusal(
            name, f"gives its heights in {said!r}", "Get it with heights in metres or feet."
        )
    if stated_unit_m is not None and not math.isclose(stated_unit_m, _UNITS_M[said]):
        raise refusal(
            name,
            f"says that its heights are in {said}, and terrain_unit says otherwise",
            "Which is right? Remove terrain_unit if the file is.",
        )
    return _UNITS_M[said]


def cells_at(
    tile: TerrainTile, launch: Plane, east_m: Array, north_m: Array
) -> tuple[Array, Array]:
    """Return the column and row, cell centres whole, of points of the plane; inf where none."""
    plane = CRS.from_proj4(
        f"+proj=aeqd +lat_0={math.degrees(launch.latitude_rad)!r} "
        f"+lon_0={math.degrees(launch.longitude_rad)!r} +datum=WGS84 +units=m"
    )
    x, y = (
        np.array(axis)
        for axis in transform_points(plane, tile.horizontal, east_m.ravel(), north_m.ravel())
    )
    if tile.horizontal.is_geographic:
        # The same meridian may be written 350 or -10.
        middle = (tile.to_map @ (tile.shape[1] / 2.0, 0.0))[0]
        x = middle + (x - middle + 180.0) % 360.0 - 180.0
    column, row = ~tile.to_map @ (x, y)
    return column.reshape(east_m.shape), row.reshape(east_m.shape)


def cell_m(tile: TerrainTile, launch: Plane) -> float:
    """Return the shorter side of a cell at the launch point [m]."""
    column, row = cells_at(tile, launch, np.array([0.0, 100.0, 0.0]), np.array([0.0, 0.0, 100.0]))
    across = math.hypot(column[1] - column[0], column[2] - column[0]) / 100.0
    up = math.hypot(row[1] - row[0], row[2] - row[0]) / 100.0
    finest = max(across, up)
    if not (math.isfinite(finest) and finest > 0.0):
        raise refusal(
            tile.name,
            "lies in a map projection that does not reach the launch point",
            "Check the launch point (a sign?) and the file.",
        )
    return 1.0 / finest


def distance_m(tile: TerrainTile, launch: Plane) -> float:
    """Return how far from the launch point the file begins, near enough to tell a wrong place."""
    column, row = (float(axis[0]) for axis in cells_at(tile, launch, np.zeros(1), np.zeros(1)))
    rows, columns = tile.shape
    if not (math.isfinite(column) and math.isfinite(row)):
        column, row = columns / 2.0, rows / 2.0
    nearest = tile.to_map @ (min(max(column, 0.0), columns), min(max(row, 0.0), rows))
    longitude, latitude = transform_points(
        tile.horizontal, CRS.from_epsg(4326), *([axis] for axis in nearest)
    )[:2]
    return launch.distance_m(math.radians(latitude[0]), math.radians(longitude[0]))


def heights_in(tile: TerrainTile, *, column: int, row: int, columns: int, rows: int) -> Array:
    """Return the heights of a window of cells, NaN where the file knows none. [m AMSL]."""
    window = Window(column, row, columns, rows)
    band = tile.dataset.read(1, window=window, masked=True)
    scale, offset = tile.dataset.scales[0], tile.dataset.offsets[0]
    with np.errstate(invalid="ignore"):  # a signalling NaN in a file is a void like any other
        heights_m = (band.astype(np.float64) * scale + offset).filled(np.nan) * tile.unit_m
    known = (heights_m > _LOWEST_GROUND_M) & (heights_m < _HIGHEST_GROUND_M)
    return np.where(known, heights_m, np.nan)
