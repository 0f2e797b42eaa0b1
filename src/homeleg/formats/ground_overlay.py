"""The picture that a KML file lays on the ground, and where its corners lie.

References: OGC 07-147r2 (KML 2.2), 11.2 GroundOverlay, 11.3 LatLonBox: `rotation` turns the box
about its middle, counterclockwise, in degrees; `gx:LatLonQuad` (an extension) gives the corners
counterclockwise from the lower left. From MEMORY.
"""

import io
import math
import zipfile
import zlib
from dataclasses import dataclass

from homeleg.formats.picture_file import LARGEST_PICTURE_BYTES
from homeleg.formats.plane import Plane
from homeleg.formats.toml_text import TextFile
from homeleg.formats.xml_text import Element, child, local_name, parse_xml, text_of
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import TextError, parse_number

__all__ = ["GroundOverlay", "overlay_of", "picture_in"]

Point = tuple[float, float]

_SIDES = ("north", "south", "east", "west")
_CORNERS = 4
_NEAR_M = 30_000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundOverlay:
    """A picture laid on the ground: its file, and corners on the plane [m].

    Outer corners of the first pixel, of the end of its row, of its column, and the one opposite.
    """

    picture: str
    corners_m: tuple[Point, Point, Point, Point]


def overlay_of(file: TextFile, launch: Plane) -> GroundOverlay:
    """Return the first picture laid on the ground by a KML file; raises InputFileError."""
    root = parse_xml(file, "kml")
    found = next((one for one in root.iter() if local_name(one) == "GroundOverlay"), None)
    if found is None:
        problem = "lays no picture on the ground"
        raise _refusal(file.name, problem, "Drop one that does, or tie the picture by two points.")
    quad = child(found, "LatLonQuad")
    corners_m = _box(file.name, found, launch) if quad is None else _quad(file.name, quad, launch)
    if max(math.hypot(*corner) for corner in corners_m) > _NEAR_M:
        far_km = max(math.hypot(*corner) for corner in corners_m) / 1000.0
        problem = f"lays its picture {far_km:,.0f} km from the launch point"
        raise _refusal(file.name, problem, "Is it of this place?")
    href = text_of(child(child(found, "Icon"), "href"))
    return GroundOverlay(picture=href, corners_m=corners_m)


def picture_in(name: str, archive: bytes, picture: str) -> bytes:
    """Return a picture out of a KMZ archive, within limits; raises InputFileError."""
    try:
        with zipfile.ZipFile(io.BytesIO(archive)) as opened, opened.open(picture) as stream:
            content = stream.read(LARGEST_PICTURE_BYTES + 1)
    except KeyError as error:
        problem = f"does not hold its picture {picture[:60]}"
        raise _refusal(name, problem, "Drop the picture as well.") from error
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, EOFError, OSError) as error:
        raise _refusal(name, "is not a whole KMZ file", "Copy it again.") from error
    except (RuntimeError, ValueError) as error:  # a password; a name that cannot be
        raise _refusal(name, "cannot be opened", "Save it without a password.") from error
    return content


def _box(name: str, overlay: Element, launch: Plane) -> tuple[Point, Point, Point, Point]:
    box = child(overlay, "LatLonBox")
    if box is None:
        problem = "does not say where its picture lies: it has no LatLonBox"
        raise _refusal(name, problem, "Save it with one, or tie the picture by two points.")
    north, south, east, west = (_number(name, box, side) for side in _SIDES)
    if not (south < north and abs(north) <= 90.0 and abs(south) <= 90.0):
        problem = "gives its picture no box with north above south"
        raise _refusal(name, problem, "Is the file whole?")
    turned = _number(name, box, "rotation", "0")
    if east < west:
        east += 360.0  # over the antimeridian
    middle = launch.to_plane(math.radians(0.5 * (north + south)), math.radians(0.5 * (east + west)))
    sine, cosine = math.sin(math.radians(turned)), math.cos(math.radians(turned))
    corners = []
    for latitude, longitude in ((north, west), (north, east), (south, west), (south, east)):
        at = launch.to_plane(math.radians(latitude), math.radians(longitude))
        off = at[0] - middle[0], at[1] - middle[1]
        corners.append(
            (
                middle[0] + off[0] * cosine - off[1] * sine,
                middle[1] + off[0] * sine + off[1] * cosine,
            )
        )
    first, second, third, fourth = corners
    return first, second, third, fourth


def _quad(name: str, quad: Element, launch: Plane) -> tuple[Point, Point, Point, Point]:
    triples = text_of(child(quad, "coordinates")).split()
    if len(triples) != _CORNERS:
        raise _refusal(name, f"gives its picture {len(triples)} corners", "It needs four.")
    places = []
    for triple in triples:
        try:
            longitude, latitude = (parse_number(part) for part in triple.split(",")[:2])
        except (TextError, ValueError) as error:
            raise _refusal(name, f'"{triple[:40]}" is not a place', "longitude,latitude") from error
        places.append(launch.to_plane(math.radians(latitude), math.radians(longitude)))
    lower_left, lower_right, upper_right, upper_left = places
    return upper_left, upper_right, lower_left, lower_right


def _number(name: str, box: Element, side: str, otherwise: str = "") -> float:
    text = text_of(child(box, side)) or otherwise
    try:
        return parse_number(text)
    except TextError as error:
        problem = f"{side} of its picture: {error.problem}"
        raise _refusal(name, problem, error.remedy) from error


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
