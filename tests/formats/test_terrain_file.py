"""Terrain files: where each cell lies, units, voids, seams, and what is refused."""

import math
import struct
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import matplotlib as mpl
import numpy as np
import pytest
import rasterio
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from rasterio.crs import CRS
from rasterio.transform import from_origin
from scipy import ndimage

from homeleg.formats import terrain_file
from homeleg.formats.plane import Plane
from homeleg.formats.terrain_file import TerrainGrid, read_terrain
from homeleg.formats.terrain_name import tile_name
from homeleg.foundation.errors import InputFileError

Array = NDArray[np.float64]
LAUNCH = Plane(math.radians(57.0), math.radians(-4.0))
SQUARE = (-300.0, -200.0, 300.0, 200.0)
CELL_DEG = 0.0005


def write(path: Path, heights: Array, **changes: Any) -> Path:
    """Write a GeoTIFF; north-west corner 57.01 N 4.02 W and cells of 0.0005 deg unless changed."""
    profile = {
        "driver": "GTiff",
        "dtype": "float32",
        "crs": "EPSG:4326",
        "transform": from_origin(-4.02, 57.01, CELL_DEG, CELL_DEG),
        **changes,
    }
    unit = profile.pop("unit", None)
    heights = np.asarray(heights, dtype=profile["dtype"])
    with rasterio.open(
        path, "w", count=1, height=heights.shape[0], width=heights.shape[1], **profile
    ) as file:
        file.write(heights, 1)
        if unit is not None:
            file.set_band_unit(1, unit)
    return path


def slope(latitude_deg: Array | float, longitude_deg: Array | float) -> Array:
    """Return a height that a bilinear rule must give back: it is even in both angles."""
    return np.asarray(
        250.0
        + 4000.0 * (np.asarray(latitude_deg) - 57.0)
        + 2000.0 * (np.asarray(longitude_deg) + 4.0)
    )


def sloping(shape: tuple[int, int] = (40, 80), first: float = 0.5) -> Array:
    """Return `slope` at the cells of `write`'s corner; `first` is where the first one stands."""
    rows, columns = np.mgrid[0 : shape[0], 0 : shape[1]] + first
    return slope(57.01 - CELL_DEG * rows, -4.02 + CELL_DEG * columns)


def nodes(grid: TerrainGrid) -> tuple[Array, Array]:
    rows, columns = grid.heights_amsl_m.shape
    east_m = grid.east_m + grid.spacing_m * np.arange(columns)
    return np.meshgrid(east_m, grid.north_m + grid.spacing_m * np.arange(rows))


def degrees(grid: TerrainGrid, launch: Plane = LAUNCH) -> tuple[Array, Array]:
    """Return latitude and longitude of every node, by the geodesic and not by a projection."""
    places = np.array(
        [
            launch.to_geographic(float(e), float(n))
            for e, n in zip(*map(np.ravel, nodes(grid)), strict=True)
        ]
    )
    latitude, longitude = np.degrees(places).T
    shape = grid.heights_amsl_m.shape
    return latitude.reshape(shape), longitude.reshape(shape)


def at_launch(grid: TerrainGrid) -> float:
    column, row = round(-grid.east_m / grid.spacing_m), round(-grid.north_m / grid.spacing_m)
    return float(grid.heights_amsl_m[row, column])


def refusal(*paths: Path, launch: Plane = LAUNCH) -> str:
    with pytest.raises(InputFileError) as caught:
        read_terrain(paths, launch, SQUARE)
    assert len(caught.value.problems) == 1
    assert caught.value.problems[0].where.startswith(paths[0].name)
    return str(caught.value)


def test_heights_stand_where_the_file_says(tmp_path: Path) -> None:
    grid = read_terrain([write(tmp_path / "t.tif", sloping())], LAUNCH, SQUARE)
    # A cell is 55.7 m by 30.4 m here (57 N): the shorter side, and all of the square.
    assert grid.spacing_m == pytest.approx(30.4, abs=0.05)
    assert grid.east_m <= -300.0
    assert grid.north_m <= -200.0
    # 5 mm of the projection between its points is 0.2 mm of this slope of 1 in 28.
    assert grid.heights_amsl_m == pytest.approx(slope(*degrees(grid)), abs=1e-3)


# Keys and codes of GeoTIFF 1.0: model type, and the geographic or projected system.
LONGITUDE_LATITUDE = [(1024, 2), (2048, 4326)]
UTM_30 = [(1024, 1), (3072, 32630)]


def geotiff(
    heights: Array,
    raster_type: int,
    cell_deg: float = CELL_DEG,
    system: list[tuple[int, int]] = LONGITUDE_LATITUDE,
) -> bytes:
    """Return the bytes of a GeoTIFF, put together by hand from TIFF 6.0 and GeoTIFF 1.0.

    Its tie point is the raster's (0, 0) at 57.01 N 4.02 W; `raster_type` is 1 where a pixel is an
    area, so that the tie is a corner, and 2 where it is a point, so that the tie is its centre.
    """
    rows, columns = heights.shape
    keys = sorted([*system, (1025, raster_type)])
    directory = [1, 1, 0, len(keys)] + [n for key, value in keys for n in (key, 0, 1, value)]
    data = heights.astype("<f4").tobytes()
    scale = struct.pack("<3d", cell_deg, cell_deg, 0.0)
    tie = struct.pack("<6d", 0.0, 0.0, 0.0, -4.02, 57.01, 0.0)
    geo = struct.pack(f"<{len(directory)}H", *directory)
    entries: list[tuple[int, int, int, int | bytes]] = [
        (256, 4, 1, columns),
        (257, 4, 1, rows),
        (258, 3, 1, 32),
        (259, 3, 1, 1),
        (262, 3, 1, 1),
        (273, 4, 1, data),
        (277, 3, 1, 1),
        (278, 4, 1, rows),
        (279, 4, 1, len(data)),
        (339, 3, 1, 3),
        (33550, 12, 3, scale),
        (33922, 12, 6, tie),
        (34735, 3, len(directory), geo),
    ]
    end = 8 + 2 + 12 * len(entries) + 4
    head, tail = struct.pack("<2sHIH", b"II", 42, 8, len(entries)), b""
    offsets = {}
    for tag, _, _, value in sorted(entries, key=lambda entry: entry[0] == 273):  # cells come last
        if isinstance(value, bytes):
            offsets[tag], tail = end + len(tail), tail + value
    for tag, kind, count, value in entries:
        head += struct.pack("<HHII", tag, kind, count, offsets.get(tag, value))
    return head + struct.pack("<I", 0) + tail


@pytest.mark.parametrize(("raster_type", "first"), [(1, 0.5), (2, 0.0)], ids=["area", "point"])
def test_pixel_is_area_or_point(tmp_path: Path, raster_type: int, first: float) -> None:
    path = tmp_path / "t.tif"
    path.write_bytes(geotiff(sloping(first=first), raster_type))
    grid = read_terrain([path], LAUNCH, SQUARE)
    # Half a cell would be 1.0 m of this slope.
    assert grid.heights_amsl_m == pytest.approx(slope(*degrees(grid)), abs=1e-3)


def test_real_elevation_model(tmp_path: Path) -> None:
    # The model's own cells, and an independent bilinear rule (scipy's) at points from the geodesic.
    sample = np.load(Path(mpl.get_data_path()) / "sample_data" / "jacksboro_fault_dem.npz")
    elevation, cell_deg = sample["elevation"], float(sample["dx"])
    west, north = float(sample["xmin"]), float(sample["ymin"])
    path = write(
        tmp_path / "jacksboro.tif",
        elevation,
        dtype="int16",
        transform=from_origin(west, north, cell_deg, cell_deg),
        unit="metre",
    )
    row, column = 170, 200
    launch = Plane(
        math.radians(north - cell_deg * (row + 0.5)), math.radians(west + cell_deg * (column + 0.5))
    )
    grid = read_terrain([path], launch, (-2000.0, -1500.0, 2500.0, 1500.0))
    assert at_launch(grid) == pytest.approx(elevation[row, column], abs=0.01)
    latitude, longitude = degrees(grid, launch)
    rows, columns = (north - latitude) / cell_deg - 0.5, (longitude - west) / cell_deg - 0.5
    expected = ndimage.map_coordinates(elevation.astype(float), [rows, columns], order=1)
    assert np.ptp(expected) > 200.0
    # 5 mm of the projection on the steepest slope of the model (about 1 in 1).
    assert grid.heights_amsl_m == pytest.approx(expected, abs=0.02)


def test_utm_terrain(tmp_path: Path) -> None:
    # 57 N 4 W is 439253.376 E 6317830.530 N in UTM zone 30; grid north lies 0.84 deg to the west
    # of true north there (convergence: difference of longitude times sine of latitude).
    rows, columns = np.mgrid[0:120, 0:120]
    x, y = 438_700.0 + 10.0 * (columns + 0.5), 6_318_400.0 - 10.0 * (rows + 0.5)
    path = write(
        tmp_path / "utm.tif",
        300.0 + 0.1 * (x - 439_253.376) + 0.2 * (y - 6_317_830.530),
        crs="EPSG:32630",
        transform=from_origin(438_700.0, 6_318_400.0, 10.0, 10.0),
    )
    grid = read_terrain([path], LAUNCH, SQUARE)
    turn, scale = math.radians(-1.0 * math.sin(math.radians(57.0))), 0.99964
    east_m, north_m = nodes(grid)
    x_m = scale * (east_m * math.cos(turn) - north_m * math.sin(turn))
    y_m = scale * (east_m * math.sin(turn) + north_m * math.cos(turn))
    # 0.9996 on the central meridian grows to 0.99964 one degree away; 2e-5 is left: 1 cm.
    assert grid.spacing_m == pytest.approx(10.0, abs=0.01)
    assert grid.heights_amsl_m == pytest.approx(300.0 + 0.1 * x_m + 0.2 * y_m, abs=0.02)


def hgt(folder: Path, name: str, value: Callable[[Array, Array], Array]) -> Path:
    """Write a three-arc-second tile whose rows go south from its northern edge."""
    rows, columns = np.mgrid[0:1201, 0:1201]
    path = folder / name
    path.write_bytes(value(rows, columns).astype(">i2").tobytes())
    return path


def test_hgt_tiles_meet_at_their_shared_edge(tmp_path: Path) -> None:
    # N57W005 spans 57..58 N, 5..4 W; its neighbours to the east and south share its edges.
    # Heights count arc-seconds / 3 from 56 N and 5 W, so that all three continue one another.
    west = hgt(tmp_path, "N57W005.hgt", lambda r, c: 2400 - r + c)
    east = hgt(tmp_path, "n57w004.hgt", lambda r, c: 2400 - r + 1200 + c)
    south = hgt(tmp_path, "N56W005.hgt", lambda r, c: 1200 - r + c)
    grid = read_terrain([west, east, south], LAUNCH, SQUARE)
    latitude, longitude = degrees(grid)
    expected = (latitude - 56.0) * 1200.0 + (longitude + 5.0) * 1200.0
    # N56W004 was not given; a node on its very edge may fall on either side by rounding.
    missing = (latitude < 57.0 - 1e-6) & (longitude > -4.0 + 1e-6)
    known = (latitude > 57.0 + 1e-6) | (longitude < -4.0 - 1e-6)
    assert missing.sum() > 20
    assert np.isnan(grid.heights_amsl_m[missing]).all()
    assert grid.heights_amsl_m[known] == pytest.approx(expected[known], abs=0.002)


def test_tiles_without_a_shared_edge_have_no_gap_between_them(tmp_path: Path) -> None:
    whole = sloping()
    west = write(tmp_path / "west.tif", whole[:, :40])
    east = write(
        tmp_path / "east.tif",
        whole[:, 40:],
        transform=from_origin(-4.02 + 40 * CELL_DEG, 57.01, CELL_DEG, CELL_DEG),
    )
    grid = read_terrain([east, west], LAUNCH, SQUARE)
    assert grid.heights_amsl_m == pytest.approx(slope(*degrees(grid)), abs=1e-3)


def test_the_first_file_that_knows_a_place_speaks_for_it(tmp_path: Path) -> None:
    holed = np.full((40, 80), 100.0)
    holed[:, :40] = -9999.0
    first = write(tmp_path / "first.tif", holed, nodata=-9999.0)
    # Another lattice: shifted by a third of a cell.
    second = write(
        tmp_path / "second.tif",
        np.full((50, 90), 200.0),
        transform=from_origin(-4.02 - CELL_DEG / 3, 57.012, CELL_DEG, CELL_DEG),
    )
    grid = read_terrain([first, second], LAUNCH, SQUARE)
    assert set(np.unique(grid.heights_amsl_m.round(9))) == {100.0, 200.0}


@pytest.mark.parametrize("void", [-32768.0, -9999.0, math.nan, 1e30])
def test_voids_are_unknown_and_never_zero(tmp_path: Path, void: float) -> None:
    heights = np.full((40, 80), 100.0)
    heights[20, 40] = void  # the cell to the south-east of the launch point; no void is declared
    grid = read_terrain([write(tmp_path / "t.tif", heights)], LAUNCH, SQUARE)
    latitude, longitude = degrees(grid)
    rows, columns = (57.01 - latitude) / CELL_DEG - 0.5, (longitude + 4.02) / CELL_DEG - 0.5
    beside = (np.abs(rows - 20) < 1.0) & (np.abs(columns - 40) < 1.0)
    assert beside.sum() >= 4
    assert np.array_equal(np.isnan(grid.heights_amsl_m), beside)
    assert set(grid.heights_amsl_m[~beside]) == {100.0}


def test_ground_outside_the_file_is_unknown(tmp_path: Path) -> None:
    path = write(tmp_path / "t.tif", sloping((40, 41)))  # ends just east of the launch point
    grid = read_terrain([path], LAUNCH, SQUARE)
    _, longitude = degrees(grid)
    last = -4.02 + CELL_DEG * 40.5
    assert np.array_equal(np.isnan(grid.heights_amsl_m), longitude > last)


@pytest.mark.parametrize(
    ("unit", "stated_m", "metre"),
    [
        ("ft", None, 0.3048),
        ("US survey foot", None, 1200.0 / 3937.0),
        ("metre", None, 1.0),
        (None, None, 1.0),
        (None, 0.3048, 0.3048),
        ("ft", 0.3048, 0.3048),
    ],
)
def test_units(tmp_path: Path, unit: str | None, stated_m: float | None, metre: float) -> None:
    path = write(tmp_path / "t.tif", np.full((40, 80), 1000.0), unit=unit)
    grid = read_terrain([path], LAUNCH, SQUARE, stated_m)
    assert at_launch(grid) == pytest.approx(1000.0 * metre, abs=1e-3)


def test_a_unit_that_contradicts_the_file_is_asked_about(tmp_path: Path) -> None:
    path = write(tmp_path / "t.tif", sloping(), unit="metre")
    with pytest.raises(InputFileError, match="Which is right"):
        read_terrain([path], LAUNCH, SQUARE, 0.3048)


def test_feet_of_a_vertical_datum(tmp_path: Path) -> None:
    # 6360 is NAVD88 height in US survey feet; written by the file's reference system alone.
    path = write(tmp_path / "t.tif", np.full((40, 80), 1000.0), crs="EPSG:4326+6360")
    assert at_launch(read_terrain([path], LAUNCH, SQUARE)) == pytest.approx(304.8006, abs=1e-3)


def test_scaled_integers(tmp_path: Path) -> None:
    path = write(tmp_path / "t.tif", np.full((40, 80), 1234), dtype="int16")
    with rasterio.open(path, "r+") as file:
        file.scales, file.offsets = (0.1,), (50.0,)
    assert at_launch(read_terrain([path], LAUNCH, SQUARE)) == pytest.approx(173.4, abs=1e-3)


def test_a_fine_model_keeps_its_peaks_on_a_coarse_grid(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # One metre cells, a peak of one cell, and at most 100 nodes over 300 m: 3.06 m apart.
    monkeypatch.setattr(terrain_file, "_MOST_NODES", 100)
    heights = np.zeros((400, 400))
    heights[180, 190] = 90.0
    path = write(
        tmp_path / "fine.tif",
        heights,
        crs="EPSG:32630",
        transform=from_origin(439_053.0, 6_318_030.0, 1.0, 1.0),
    )
    grid = read_terrain([path], LAUNCH, (-150.0, -150.0, 150.0, 150.0))
    assert max(grid.heights_amsl_m.shape) <= 100
    # Of its three by three cells the highest speaks, and some node has a quarter of its weight.
    assert grid.heights_amsl_m.max() > 0.2 * 90.0


def test_a_fine_model_is_thinned_about_the_centre_of_each_block(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # One in ten up to the east: the highest of three cells lies one cell, 0.1 m, above the middle.
    monkeypatch.setattr(terrain_file, "_MOST_NODES", 100)
    _, columns = np.mgrid[0:400, 0:400]
    x = 439_053.0 + columns + 0.5
    path = write(
        tmp_path / "fine.tif",
        300.0 + 0.1 * (x - 439_253.376),
        crs="EPSG:32630",
        transform=from_origin(439_053.0, 6_318_030.0, 1.0, 1.0),
    )
    grid = read_terrain([path], LAUNCH, (-150.0, -150.0, 150.0, 150.0))
    assert at_launch(grid) == pytest.approx(300.1, abs=0.01)


def test_the_first_of_two_files_with_the_same_cells_speaks(tmp_path: Path) -> None:
    paths = [write(tmp_path / f"{h}.tif", np.full((40, 80), float(h))) for h in (100, 200)]
    assert at_launch(read_terrain(paths, LAUNCH, SQUARE)) == 100.0
    assert at_launch(read_terrain(paths[::-1], LAUNCH, SQUARE)) == 200.0


def test_tile_names() -> None:
    def name(latitude: float, longitude: float) -> str:
        return tile_name(math.radians(latitude), math.radians(longitude))

    # N34W119 holds 34..35 N, 118..119 W (the published rule: south-west corner).
    assert name(34.5, -118.5) == "N34W119.hgt"
    assert name(-0.5, 0.5) == "S01E000.hgt"
    assert name(57.5, -0.1) == "N57W001.hgt"


# --- refused, in one clear line each -------------------------------------------------------------


ELLIPSOID = 'VERT_CS["WGS 84 ellipsoid",VERT_DATUM["Ellipsoid",2002],UNIT["metre",1],AXIS["Up",UP]]'
COMPOUND = f'COMPD_CS["both",{CRS.from_epsg(4326).to_wkt()},{ELLIPSOID}]'


@pytest.mark.parametrize("crs", ["EPSG:4979", COMPOUND], ids=["3D", "compound"])
def test_heights_above_the_ellipsoid(tmp_path: Path, crs: str) -> None:
    path = write(tmp_path / "t.tif", sloping(), crs=crs, GEOTIFF_VERSION="1.1")
    assert "above the ellipsoid" in refusal(path)


@pytest.mark.parametrize("crs", ["EPSG:4326+5703", "EPSG:4326+5773"], ids=["NAVD88", "EGM96"])
def test_heights_above_sea_level_are_read(tmp_path: Path, crs: str) -> None:
    path = write(tmp_path / "t.tif", sloping(), crs=crs, GEOTIFF_VERSION="1.1")
    assert at_launch(read_terrain([path], LAUNCH, SQUARE)) == pytest.approx(250.0, abs=1e-3)


@pytest.mark.parametrize("system", [LONGITUDE_LATITUDE, UTM_30])
def test_heights_above_the_ellipsoid_in_an_old_file(
    tmp_path: Path, system: list[tuple[int, int]]
) -> None:
    # GeoTIFF 1.0, section 6.3.4.1: vertical codes 5001 to 5099 are ellipsoid heights (5030 WGS 84).
    path = tmp_path / "t.tif"
    path.write_bytes(geotiff(sloping(), 1, system=[*system, (4096, 5030)]))
    assert "above the ellipsoid" in refusal(path)


@pytest.mark.parametrize(
    ("latitude", "longitude", "words"),
    [
        # 9 degrees of latitude, to the southern edge at 56.99 N: 8.99 x 111.3 km.
        (48.0, -4.0, ("1,00", "is a degree mistyped")),
        # The wrong hemisphere: 2 x 57 degrees and no more.
        (-57.0, -4.0, ("12,6", "with latitude 57.0000 N it would lie 0.0 km away")),
        (57.0, 4.0, ("48", "with longitude 4.0000 W it would lie 0.0 km away")),
        (-4.0, 57.0, ("", "with latitude and longitude exchanged it would lie 0.0 km away")),
    ],
)
def test_terrain_far_away(
    tmp_path: Path, latitude: float, longitude: float, words: tuple[str, str]
) -> None:
    launch = Plane(math.radians(latitude), math.radians(longitude))
    text = refusal(write(tmp_path / "t.tif", sloping()), launch=launch)
    assert f"begins {words[0]}" in text
    assert "km from the launch point" in text
    assert words[1] in text


def test_terrain_without_a_reference_system(tmp_path: Path) -> None:
    assert "does not say where" in refusal(write(tmp_path / "t.tif", sloping(), crs=None))


def test_a_picture(tmp_path: Path) -> None:
    path = tmp_path / "t.tif"
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=4,
        height=4,
        count=3,
        dtype="uint8",
        crs=CRS.from_epsg(4326),
        transform=from_origin(-4.02, 57.01, 0.01, 0.01),
    ) as file:
        file.write(np.ones((3, 4, 4), dtype=np.uint8))
    assert "a picture, not heights" in refusal(path)


def test_an_absurd_size_is_read_only_where_it_is_needed(tmp_path: Path) -> None:
    # 20,000 by 20,000 cells of nothing: 800 MB when unpacked, a few kilobytes as a file.
    path = tmp_path / "t.tif"
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=20_000,
        height=20_000,
        count=1,
        dtype="int16",
        crs="EPSG:4326",
        transform=from_origin(-4.003, 57.003, 3e-7, 3e-7),
        nodata=-32768,
        tiled=True,
        blockxsize=2048,
        blockysize=2048,
        compress="deflate",
        SPARSE_OK=True,
    ):
        pass
    assert "million cells" in refusal(path)


def test_a_file_that_can_only_be_unpacked_whole(tmp_path: Path) -> None:
    path = tmp_path / "t.tif"
    with rasterio.open(
        path,
        "w",
        driver="GTiff",
        width=20_000,
        height=20_000,
        count=1,
        dtype="uint8",
        crs="EPSG:4326",
        transform=from_origin(-4.1, 57.1, 1e-4, 1e-4),
        tiled=True,
        blockxsize=8192,
        blockysize=8192,
        compress="deflate",
        SPARSE_OK=True,
    ):
        pass
    assert "cannot be read in parts" in refusal(path)


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("t.tif", b"These are notes about the terrain.\n" * 20, "cannot be read as terrain"),
        ("t.tif", b"", "cannot be read as terrain"),
        ("N57W005.hgt", b"\0" * 5000, "cannot be read as terrain"),
        ("mine.hgt", b"\0" * (2 * 1201 * 1201), "south-west corner"),
        ("N57W005.hgt.zip", b"PK\3\4", "Unpack a .zip"),
        ("t.png", b"\x89PNG", "not a kind of terrain file"),
    ],
)
def test_other_files(tmp_path: Path, name: str, content: bytes, words: str) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    assert words in refusal(path)


def test_a_missing_file(tmp_path: Path) -> None:
    assert "no such file" in refusal(tmp_path / "N57W005.hgt")


def test_a_folder(tmp_path: Path) -> None:
    assert "is a folder" in refusal(tmp_path)


@pytest.mark.parametrize("lost", [1, 50, 500])
@pytest.mark.parametrize(
    "options",
    [
        {},
        {"BIGTIFF": "YES"},
        {"ENDIANNESS": "BIG"},
        {"tiled": True, "blockxsize": 64, "blockysize": 64, "compress": "deflate"},
    ],
    ids=lambda options: "-".join(options) or "plain",
)
def test_a_geotiff_that_lacks_its_end(tmp_path: Path, options: dict[str, Any], lost: int) -> None:
    path = write(tmp_path / "t.tif", sloping((80, 120)), **options)
    assert at_launch(read_terrain([path], LAUNCH, SQUARE)) == pytest.approx(250.0, abs=1e-3)
    path.write_bytes(path.read_bytes()[:-lost])
    assert f"is cut off or damaged: at least {lost} bytes" in refusal(path)


def test_a_geotiff_that_lacks_its_place(tmp_path: Path) -> None:
    # Scale, tie point and keys moved behind the heights, as some writers do, then cut off.
    whole = geotiff(sloping(), 1)
    cells = sloping().astype("<f4").tobytes()
    at = whole.index(cells)
    place = whole[8 + 2 + 12 * 13 + 4 : at]
    moved = whole[: at - len(place)] + cells + place
    for tag, kind, count in ((273, 4, 1), (33550, 12, 3), (33922, 12, 6), (34735, 3, 16)):
        entry = struct.pack("<HHI", tag, kind, count)
        old = struct.unpack_from("<I", whole, whole.index(entry) + 8)[0]
        new = old - len(place) if tag == 273 else old + len(cells)
        moved = moved.replace(entry + struct.pack("<I", old), entry + struct.pack("<I", new))
    path = tmp_path / "t.tif"
    path.write_bytes(moved)
    assert at_launch(read_terrain([path], LAUNCH, SQUARE)) == pytest.approx(250.0, abs=1e-3)
    path.write_bytes(moved[:-50])
    assert "is cut off or damaged: at least 50 bytes" in refusal(path)


@pytest.mark.parametrize("share", [0.02, 0.3, 0.7, 0.98])
def test_truncated_terrain(tmp_path: Path, share: float) -> None:
    path = tmp_path / "t.tif"
    whole = geotiff(sloping(), 1)
    path.write_bytes(whole[: int(share * len(whole))])
    assert "t.tif" in refusal(path)


def test_problems_of_several_files_come_together(tmp_path: Path) -> None:
    with pytest.raises(InputFileError) as caught:
        read_terrain([tmp_path / "a.tif", tmp_path / "b.zip"], LAUNCH, SQUARE)
    assert [problem.where for problem in caught.value.problems] == ["a.tif", "b.zip"]


# --- whatever a file holds, it gives a grid or a refusal, and nothing else -----------------------

CORPUS = Path(__file__).parents[1] / "fuzz" / "terrain"


@pytest.mark.parametrize("path", sorted(CORPUS.glob("*.*")), ids=lambda path: path.name)
def test_bad_files_kept(path: Path) -> None:
    refusal(path)


def test_there_are_bad_files_to_read() -> None:
    assert len(list(CORPUS.glob("*.*"))) >= 10


@pytest.mark.parametrize("tries", [60, pytest.param(2000, marks=pytest.mark.slow)])
def test_a_good_file_with_a_piece_exchanged(tmp_path: Path, tries: int) -> None:
    whole = geotiff(np.full((6, 9), 300.0), 1, cell_deg=0.006)
    path = tmp_path / "t.tif"
    path.write_bytes(whole)
    assert at_launch(read_terrain([path], LAUNCH, SQUARE)) == pytest.approx(300.0)

    @settings(max_examples=tries)
    @given(st.integers(0, len(whole)), st.integers(0, 12), st.binary(max_size=12))
    def check(start: int, length: int, piece: bytes) -> None:
        path.write_bytes(whole[:start] + piece + whole[start + length :])
        with suppress(InputFileError):
            assert isinstance(read_terrain([path], LAUNCH, SQUARE), TerrainGrid)

    check()
