"""Make terrain.tif: the ground of this example, from its formulas.

Run it in this folder: python make_terrain.py. Needs numpy and rasterio. Heights are metres above
mean sea level at the centres of 5 m cells (pixel is area) of the UTM zone of the place.
"""

from pathlib import Path

import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.crs import CRS
from rasterio.transform import from_origin, xy
from rasterio.warp import transform

HOME = "+proj=aeqd +lat_0=57 +lon_0=-4 +datum=WGS84 +units=m"
MAP = CRS.from_epsg(32630)
CELL_M = 5.0
# What is covered, metres from home: the route, the lines home and a kilometre around them.
WEST_M, EAST_M, SOUTH_M, NORTH_M = -1300.0, 2500.0, -1650.0, 1100.0

Array = NDArray[np.float64]


def ground_amsl_m(east_m: Array, north_m: Array) -> Array:
    """Return the higher of the valley floor and the spur, without its trees."""
    valley_m = 310.0 + 28.0 * np.clip(east_m / 1400.0, 0.0, 1.0)
    spur_m = 372.0 - 0.25 * np.abs(east_m - 620.0) - 0.25 * np.maximum(0.0, -100.0 - north_m)
    return np.maximum(valley_m, spur_m)


def main() -> None:
    """Write the file."""
    home = CRS.from_proj4(HOME)
    x, y = transform(home, MAP, [WEST_M, WEST_M, EAST_M, EAST_M], [NORTH_M, SOUTH_M] * 2)
    place = from_origin(
        np.floor(min(x) / CELL_M) * CELL_M, np.ceil(max(y) / CELL_M) * CELL_M, CELL_M, CELL_M
    )
    columns, rows = int((max(x) - min(x)) / CELL_M), int((max(y) - min(y)) / CELL_M)
    centres = xy(place, *np.mgrid[0:rows, 0:columns].reshape(2, -1))
    east_m, north_m = (
        np.array(axis).reshape(rows, columns) for axis in transform(MAP, home, *centres)
    )
    with rasterio.open(
        Path(__file__).parent / "terrain.tif",
        "w",
        driver="GTiff",
        width=columns,
        height=rows,
        count=1,
        dtype="float32",
        crs=MAP,
        transform=place,
        nodata=-9999.0,
        tiled=True,
        compress="deflate",
        predictor=3,
        zlevel=9,
    ) as file:
        file.write(np.round(ground_amsl_m(east_m, north_m), 1).astype(np.float32), 1)
        file.update_tags(AREA_OR_POINT="Area")
        file.set_band_unit(1, "m")


if __name__ == "__main__":
    main()
