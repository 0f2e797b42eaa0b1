"""Pictures, world files and overlays from outside, against their definitions.

UTM: the central meridian of a zone has an easting of 500,000 m and a scale of 0.9996 (NIMA TM
8358.2; MEMORY); along it a northing is 0.9996 of the distance from the equator, by geographiclib.
KML's LatLonBox turns counterclockwise (OGC 07-147r2, 11.3; MEMORY).
"""

import contextlib
import io
import math
import struct
import zipfile
import zlib

import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from homeleg.formats.ground_overlay import overlay_of, picture_in
from homeleg.formats.picture_file import picture_of
from homeleg.formats.plane import Plane
from homeleg.formats.toml_text import TextFile
from homeleg.formats.world_file import corners_by_world_file
from homeleg.foundation.errors import InputFileError

LAUNCH = Plane(math.radians(55.0), math.radians(-3.0))
NORTHING = 0.9996 * Geodesic.WGS84.Inverse(0.0, -3.0, 55.0, -3.0)["s12"]


def saved(kind: str, size: tuple[int, int] = (40, 30), **how: object) -> bytes:
    written = io.BytesIO()
    Image.new("RGB", size, "white").save(written, kind, **how)
    return written.getvalue()


def blank(side: int) -> bytes:
    """Return a PNG of few bytes that says it has so many pixels a side: a decompression bomb."""
    chunks = ((b"IHDR", struct.pack(">IIBBBBB", side, side, 1, 0, 0, 0, 0)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in chunks
    )


@pytest.mark.parametrize(
    ("content", "media"),
    [
        (saved("PNG"), "image/png"),
        (saved("JPEG"), "image/jpeg"),
        (saved("JPEG", progressive=True, comment=b"a word" * 50), "image/jpeg"),
    ],
)
def test_kind_and_size(content: bytes, media: str) -> None:
    picture = picture_of("field.png", content)
    assert (picture.media_type, picture.width, picture.height) == (media, 40, 30)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "no whole PNG or JPEG"),
        (b"GIF89a" + b"\0" * 50, "no whole PNG or JPEG"),
        (saved("PNG")[:20], "no whole PNG or JPEG"),
        (saved("JPEG")[:30], "no whole PNG or JPEG"),
        (b"<svg onload='x'/>", "no whole PNG or JPEG"),
        (saved("PNG")[:-12], "no whole PNG or JPEG"),  # without its last chunk
        (saved("PNG")[:45] + b"flip" + saved("PNG")[49:], "no whole PNG or JPEG"),
        (saved("JPEG")[:-2], "no whole PNG or JPEG"),
        (blank(65_535), "65,535 by"),
        (blank(16_384), "16,384 by"),
    ],
)
def test_what_is_no_picture_or_too_large(content: bytes, words: str) -> None:
    with pytest.raises(InputFileError, match=words):
        picture_of("field.png", content)


@given(st.binary(max_size=200))
def test_anything_is_a_picture_or_refused(content: bytes) -> None:
    for whole in (content, b"\xff\xd8" + content, b"\x89PNG\r\n\x1a\n" + content):
        with contextlib.suppress(InputFileError):
            assert picture_of("x", whole).width > 1


def test_a_world_file_in_utm() -> None:
    # 1 m a pixel; the middle of the first pixel 500 m west and 400 m north of the launch point.
    text = f"1\n0\n0\n-1\n{500_000 - 500}\n{NORTHING + 400}\n"
    corners, words = corners_by_world_file(text, (1000, 800), LAUNCH)
    assert words == "UTM zone 30N, WGS 84"
    first, right, down = corners
    assert first == pytest.approx((-500.5 / 0.9996, 400.5 / 0.9996), abs=0.1)
    assert right == pytest.approx((499.5 / 0.9996, 400.5 / 0.9996), abs=0.1)
    assert down == pytest.approx((-500.5 / 0.9996, -399.5 / 0.9996), abs=0.1)


def test_a_world_file_in_degrees() -> None:
    # 0.00001 deg a pixel; a degree of latitude is 111.32 km at 55 N within 0.1 %, by the series in
    # any handbook; here by geographiclib.
    corners, words = corners_by_world_file("1e-5\n0\n0\n-1e-5\n-3.0\n55.0\n", (100, 100), LAUNCH)
    down_m = -Geodesic.WGS84.Inverse(55.0, -3.0, 55.0 - 99.5e-5, -3.0)["s12"]
    assert words == "degrees, WGS 84"
    assert corners[2][1] == pytest.approx(down_m, abs=0.1)


def test_a_world_file_turned_by_a_quarter() -> None:
    # A column takes a metre south, a row a metre west: the top of the picture is towards the east.
    text = f"0\n-1\n-1\n0\n{500_000 + 10}\n{NORTHING + 20}\n"
    first, right, down = corners_by_world_file(text, (100, 50), LAUNCH)[0]
    assert first == pytest.approx((10.5 / 0.9996, 20.5 / 0.9996), abs=0.1)
    assert right == pytest.approx((10.5 / 0.9996, -79.5 / 0.9996), abs=0.1)
    assert down == pytest.approx((-39.5 / 0.9996, 20.5 / 0.9996), abs=0.1)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1\n0\n0\n-1\n0\n", "has 5 lines"),
        ("1\n0\n0\n-1\nwest\n0\n", "west"),
        ("0\n0\n0\n0\n5\n5\n", "no area"),
        ("1\n0\n0\n-1\n400000\n200000\n", "neither in degrees nor in UTM"),
        ("1\n0\n0\n-1\nnan\n0\n", "nan"),
        ("1e300\n0\n0\n-1e300\n0\n0\n", "neither in degrees nor in UTM"),
    ],
)
def test_a_world_file_that_is_none(text: str, words: str) -> None:
    with pytest.raises(InputFileError, match=words):
        corners_by_world_file(text, (100, 100), LAUNCH)


NUMBERS = st.floats(-3e7, 3e7)


@given(st.lists(NUMBERS, min_size=6, max_size=6))
def test_any_six_numbers_are_near_or_refused(numbers: list[float]) -> None:
    text = "\n".join(repr(number) for number in numbers)
    with contextlib.suppress(InputFileError):
        corners, _ = corners_by_world_file(text, (100, 100), LAUNCH)
        assert all(math.isfinite(axis) for corner in corners for axis in corner)


def kml(inside: str) -> TextFile:
    text = (
        '<kml xmlns="http://www.opengis.net/kml/2.2" xmlns:gx="http://www.google.com/kml/ext/2.2">'
        f"<GroundOverlay><Icon><href>files/field.png</href></Icon>{inside}</GroundOverlay></kml>"
    )
    return TextFile("field.kml", text, "")


def box(turned: float = 0.0) -> str:
    rotation = f"<rotation>{turned}</rotation>" if turned else ""
    return (
        "<LatLonBox><north>55.001</north><south>54.999</south><east>-2.998</east>"
        f"<west>-3.002</west>{rotation}</LatLonBox>"
    )


def test_a_box_about_the_launch_point() -> None:
    overlay = overlay_of(kml(box()), LAUNCH)
    east_m = Geodesic.WGS84.Inverse(55.0, -3.0, 55.0, -2.998)["s12"]
    north_m = Geodesic.WGS84.Inverse(55.0, -3.0, 55.001, -3.0)["s12"]
    assert overlay.picture == "files/field.png"
    assert overlay.corners_m[0] == pytest.approx((-east_m, north_m), abs=0.1)
    assert overlay.corners_m[1] == pytest.approx((east_m, north_m), abs=0.1)
    assert overlay.corners_m[2] == pytest.approx((-east_m, -north_m), abs=0.1)


def test_a_box_turned_counterclockwise() -> None:
    straight = overlay_of(kml(box()), LAUNCH).corners_m
    turned = overlay_of(kml(box(90.0)), LAUNCH).corners_m
    # A quarter turn to the left takes the upper left corner (-x, y) to (-y, -x).
    assert turned[0] == pytest.approx((-straight[0][1], straight[0][0]), abs=0.1)


def test_four_corners() -> None:
    quad = (
        "<gx:LatLonQuad><coordinates>-3.002,54.999 -2.998,54.999 -2.998,55.001 -3.002,55.001"
        "</coordinates></gx:LatLonQuad>"
    )
    boxed, cornered = (overlay_of(kml(inside), LAUNCH).corners_m for inside in (box(), quad))
    for one, other in zip(boxed, cornered, strict=True):
        assert other == pytest.approx(one, abs=0.2)


@pytest.mark.parametrize(
    ("inside", "words"),
    [
        ("", "no LatLonBox"),
        (box().replace("<north>55.001</north>", ""), "north"),
        (box().replace("55.001", "54.0"), "north above south"),
        (box().replace("-2.998", "80.0").replace("-3.002", "79.0"), "km from the launch point"),
        (box().replace("55.001", "fifty"), "fifty"),
        ("<LatLonQuad><coordinates>1,2 3,4</coordinates></LatLonQuad>", "2 corners"),
    ],
)
def test_an_overlay_that_is_none(inside: str, words: str) -> None:
    with pytest.raises(InputFileError, match=words):
        overlay_of(kml(inside), LAUNCH)


def test_a_picture_out_of_an_archive() -> None:
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w") as archive:
        archive.writestr("files/field.png", saved("PNG"))
    assert picture_in("field.kmz", written.getvalue(), "files/field.png") == saved("PNG")
    with pytest.raises(InputFileError, match="does not hold its picture"):
        picture_in("field.kmz", written.getvalue(), "other.png")
    with pytest.raises(InputFileError, match="not a whole KMZ"):
        picture_in("field.kmz", b"PK", "files/field.png")
