"""World files: six lines that lay a picture on a map; and which map that is, which none says.

Lines: x to a column, y to a column, x to a row, y to a row, x and y of the middle of the first
pixel (common practice; FOUND in no standard). The map may be in degrees or in metres: a picture of
this place lies near the launch point in only one of those that are tried.
"""

import math
from collections.abc import Sequence

from affine import Affine
from rasterio.crs import CRS
from rasterio.errors import RasterioError
from rasterio.warp import transform as transform_points

from homeleg.formats.plane import Plane
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import TextError, parse_number

__all__ = ["corners_by_world_file"]

Point = tuple[float, float]

_LINES = 6
_NEAR_M = 30_000.0
# How far east and north the maps in metres are looked at: a zone of UTM, the web's map. [m]
_MOST_M = ((1.5e6, 1.1e7), (2.1e7, 2.1e7))
_DEGREES, _WEB = "EPSG:4326", "EPSG:3857"


def corners_by_world_file(
    text: str, size: tuple[int, int], launch: Plane
) -> tuple[tuple[Point, Point, Point], str]:
    """Return three corners of a picture (width, height) on the plane, and in which map they lie.

    The outer corners of the first pixel, of the end of its row and of its column. Raises
    InputFileError where the text is no world file, or lies nowhere near the launch point.
    """
    to_map = _affine(text)
    width, height = size
    pixels = ((0.0, 0.0), (float(width), 0.0), (0.0, float(height)))
    on_map = [to_map @ (column - 0.5, row - 0.5) for column, row in pixels]
    middle = to_map @ (0.5 * width, 0.5 * height)
    nearest_m = math.inf
    for name, words in _maps(launch):
        placed = _placed([middle, *on_map], name, launch)
        if placed is None:
            continue
        far_m = math.hypot(*placed[0])
        if far_m < _NEAR_M:
            return (placed[1], placed[2], placed[3]), words
        nearest_m = min(nearest_m, far_m)
    far = f"; the nearest is {nearest_m / 1000.0:,.0f} km away" if nearest_m < math.inf else ""
    raise _refusal(
        f"lies near this launch point neither in degrees nor in UTM{far}",
        "Is it of this place? Else tie the picture by two points.",
    )


def _affine(text: str) -> Affine:
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    if len(lines) != _LINES:
        raise _refusal(f"has {len(lines)} lines", f"A world file has {_LINES}, a number on each.")
    try:
        a, d, b, e, c, f = (parse_number(line) for line in lines)
    except TextError as error:
        raise _refusal(error.problem, error.remedy) from error
    to_map = Affine(a, b, c, d, e, f)
    if to_map.determinant == 0.0:
        raise _refusal("gives a pixel no area", "Is it the right file?")
    return to_map


def _maps(launch: Plane) -> list[tuple[str, str]]:
    """Return the maps to try: degrees, the zones of UTM about the place, the web's map."""
    latitude_deg = math.degrees(launch.latitude_rad)
    own = math.floor((math.degrees(launch.longitude_rad) + 180.0) / 6.0) % 60
    zones = [(own + step) % 60 + 1 for step in (0, -1, 1)]
    side, hundred = ("N", 326) if latitude_deg >= 0.0 else ("S", 327)
    return [
        (_DEGREES, "degrees, WGS 84"),
        *((f"EPSG:{hundred}{zone:02d}", f"UTM zone {zone}{side}, WGS 84") for zone in zones),
        (_WEB, "web map, EPSG:3857"),
    ]


def _placed(points: list[Point], name: str, launch: Plane) -> list[Point] | None:
    """Return points of a map on the plane; None where that map does not hold them."""
    x, y = zip(*points, strict=True)
    if name == _DEGREES:
        longitudes, latitudes = x, y
    elif not _reaches(name, x, y):
        return None  # the library has no answer there
    else:
        try:
            longitudes, latitudes = transform_points(CRS.from_string(name), _DEGREES, x, y)
        except (RasterioError, ValueError):
            return None
    whole = zip(latitudes, longitudes, strict=True)
    places = [(float(latitude), float(longitude)) for latitude, longitude in whole]
    if not all(abs(lat) <= 90.0 and abs(lon) <= 360.0 for lat, lon in places):
        return None  # nor where one is not a number
    return [launch.to_plane(math.radians(lat), math.radians(lon)) for lat, lon in places]


def _reaches(name: str, x: Sequence[float], y: Sequence[float]) -> bool:
    most_x_m, most_y_m = _MOST_M[name == _WEB]
    return all(abs(one) < most_x_m for one in x) and all(abs(one) < most_y_m for one in y)


def _refusal(problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where="World file", problem=problem, remedy=remedy)])
