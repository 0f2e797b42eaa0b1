"""What no flight can use in a file from outside: one clear error each."""

import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from homeleg.formats.outside_file import read_outside
from homeleg.formats.outside_heights import parse_heights
from homeleg.formats.outside_route import route_from
from homeleg.formats.outside_shapes import areas_from
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.foundation.units import TextError

KML = '<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{}</Document></kml>'
GPX = '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x">{}</gpx>'
AREA = (
    "<Placemark><Polygon><outerBoundaryIs><LinearRing><coordinates>{}</coordinates></LinearRing>"
    "</outerBoundaryIs></Polygon></Placemark>"
)
BOMB = '<!DOCTYPE kml [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>' + KML.format("<name>&b;</name>")
OUTSIDE_ENTITY = '<!DOCTYPE kml [<!ENTITY a SYSTEM "file:///etc/passwd">]>' + KML.format("&a;")


def line(*places: str) -> str:
    coordinates = " ".join(places)
    shape = f"<LineString><coordinates>{coordinates}</coordinates></LineString>"
    return KML.format(f"<Placemark><name>way</name>{shape}</Placemark>")


def route_points(*places: str) -> str:
    return GPX.format(f"<rte>{''.join(f'<rtept {place}/>' for place in places)}</rte>")


REFUSED = [
    ("bomb.kml", BOMB, "entities of its own, and those are not read"),
    ("outside.kml", OUTSIDE_ENTITY, "entities of its own, and those are not read"),
    ("cut.kml", line("1,2", "1,2.001")[:-9], "line 1: is not XML"),
    ("deep.kml", "<kml>" + "<a>" * 5000 + "</a>" * 5000 + "</kml>", "nested too deeply"),
    ("other.kml", GPX.format(""), "is GPX, not KML"),
    ("empty.kml", KML.format(""), "holds no places"),
    ("spaces.kml", line("1, 2, 0"), '"1," is not a place'),
    ("four.kml", line("1,2,3,4"), '"1,2,3,4" is not a place'),
    ("lat.kml", line("5,95,0"), "latitude 95 is beyond 90 degrees"),
    ("nan.kml", line("nan,55"), '"nan,55" is not a place'),
    ("high.kml", line("5,55,90000"), "the height 90000 m is outside"),
    ("far.kml", line("5,55", "5.1,55", "46,55"), "from its place 2 to the next it is 2,"),
    ("lat.gpx", route_points('lat="95" lon="5"'), "rte 1: latitude 95 is beyond 90 degrees"),
    ("lon.gpx", route_points('lat="5" lon="190"'), "longitude 190 is beyond 180 degrees"),
    ("nan.gpx", route_points('lat="NaN" lon="5"'), 'lat, lon or ele of point 1: "NaN"'),
    ("none.gpx", route_points('lat="5"'), "lat, lon or ele of point 1"),
    ("nan.geojson", '{"type": "Point", "coordinates": [NaN, 5]}', "NaN is no number of JSON"),
    ("big.geojson", '{"type": "Point", "coordinates": [1e999, 5]}', "that is not a number"),
    ("digits.geojson", '{"type": "Point", "coordinates": [' + "9" * 5000 + ", 5]}", "is not JSON"),
    ("deep.geojson", "[" * 100_000, "nested too deeply"),
    ("text.geojson", '{"type": "Point", "coordinates": ["5", 5]}', "is not a place"),
    ("crs.geojson", '{"type": "Point", "coordinates": [5, 5], "crs": {}}', "WGS 84 only"),
    ("list.geojson", "[1]", "is not GeoJSON"),
    ("odd.csv", "x,y\n1,2\n", "no column is known as latitude_deg or longitude_deg"),
    ("comma.csv", 'latitude_deg;longitude_deg\n"55,1";-5\n', "line 2, column latitude_deg"),
    ("a.txt", "x", "is no kind of file that is read here"),
    ("track.kml", KML.format("<Placemark><Track/></Placemark>"), "not read: recorded tracks"),
    ("link.kml", KML.format("<NetworkLink/>"), "not read: network links (not followed) (1)"),
    ("zip.kml", "PK\x03\x04", "is a ZIP archive"),
    ("truth.geojson", '{"type": "Point", "coordinates": [true, 5]}', "[true, 5] is not a place"),
    ("null.geojson", '{"type": "Point", "coordinates": null}', "null is not a place"),
    ("twin.geojson", '{"type": "Point", "type": "Point"}', '"type" stands twice'),
    ("wide.csv", "latitude_deg,longitude_deg\n55,5,7\n", "has 3 cells under 2 columns"),
    ("late.csv", "\nlatitude_deg,longitude_deg\n55,5\n", "late.csv, line 1: is empty"),
]


@pytest.mark.parametrize(("name", "text", "words"), REFUSED, ids=[one[0] for one in REFUSED])
def test_refused_in_one_error(tmp_path: Path, name: str, text: str, words: str) -> None:
    path = tmp_path / name
    path.write_text(text, "utf-8")
    with pytest.raises(InputFileError) as caught:
        read_outside(path)
    assert words in str(caught.value)
    assert len(caught.value.problems) == 1
    assert name in caught.value.problems[0].where


# The first bytes of each kind are those of its own standard.
@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.gpx", KML.format("").encode(), "is KML, not GPX\n  Let its name end in .kml, or"),
        ("a.csv", GPX.format("").encode(), "is GPX, not CSV"),
        ("a.kml", b'{"type": "Point"}', "is GeoJSON, not KML"),
        ("a.kmz", KML.format("").encode(), "is KML, not KMZ"),
        ("a.kml", b"%PDF-1.7\n%\xe2\xe3", "is a PDF document, not KML\n  Give a file of KML."),
        ("a.gpx", b"\x89PNG\r\n\x1a\n\x00", "is a picture (PNG), not GPX"),
        (
            "a.png",
            b"\x89PNG\r\n\x1a\n\x00",
            "is a picture (PNG), not KML, KMZ, GPX, GeoJSON or CSV",
        ),
        ("a.kml", b"PK\x03\x04", "is a ZIP archive, not KML\n  Let its name end in .kmz"),
        ("a.kml", b"<!DOCTYPE html><html></html>", "is a web page, not KML"),
        ("a.gpx", b"<osm></osm>", "is XML (<osm>), not GPX"),
        ("a.csv", b'schema = "homeleg/sortie/1"\n', "is a sortie file of this program, not CSV"),
        ("a.json", b'{"schema": "homeleg/release/1"}', "is a release file of this program, not"),
        ("a.kml", b"[site]\nname = 1\n", "is TOML, not KML"),
        ("a.txt", b"hello", "is no kind of file that is read here"),
    ],
)
def test_a_file_of_another_kind_is_named(
    tmp_path: Path, name: str, content: bytes, words: str
) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(InputFileError) as caught:
        read_outside(tmp_path / name)
    assert len(caught.value.problems) == 1
    assert words in str(caught.value)


def test_points_thousands_of_kilometres_apart(tmp_path: Path) -> None:
    """43 degrees of the equator are 43 x 111.32 km (WGS 84, a = 6,378,137 m)."""
    path = tmp_path / "far.csv"
    path.write_text("latitude_deg,longitude_deg\n0,22\n0,-21\n", "utf-8")
    with pytest.raises(InputFileError, match=r"from its place 1 to the next it is 4,787 km"):
        route_from(read_outside(path).found)


MODES = [
    ("", "no altitudeMode is stated, and KML's default, clampToGround, ignores an altitude"),
    ("clampToGround", "KML ignores an altitude written with clampToGround"),
    ("relativeToSeaFloor", "relativeToSeaFloor is not a height above land"),
    ("Absolute", '"Absolute" is no altitudeMode of KML'),
]


@pytest.mark.parametrize(("mode", "words"), MODES)
def test_altitudes_above_nothing_that_is_known(tmp_path: Path, mode: str, words: str) -> None:
    path = tmp_path / "way.kml"
    told = f"<altitudeMode>{mode}</altitudeMode><coord" if mode else "<coord"
    path.write_text(line("5,55,90").replace("<coord", told), "utf-8")
    found = route_from(read_outside(path).found)
    assert (found.route.items[0].height, found.no_heights) == (None, (words,))


AREAS = [
    ("5,55 5.01,55.01 5.01,55 5,55.01", "its edge 1 cuts its edge 3"),
    ("5,55 5.01,55 5,55", "has 2 corners"),
    ("5,55", "has 1 corner\n"),
    ("5,55 5.01,55 5.02,55", "encloses nothing"),
    (" ".join(f"5.{k:05d},55.{k % 2}" for k in range(501)), "has 501 corners"),
]


@pytest.mark.parametrize(("places", "words"), AREAS)
def test_areas_that_are_none(tmp_path: Path, places: str, words: str) -> None:
    path = tmp_path / "area.kml"
    path.write_text(KML.format(AREA.format(places)), "utf-8")
    with pytest.raises(InputFileError, match=words):
        areas_from(read_outside(path).found)


def test_a_walk_that_does_not_come_back(tmp_path: Path) -> None:
    path = tmp_path / "walk.gpx"
    path.write_text(route_points(*(f'lat="55.00{k}" lon="5"' for k in range(4))), "utf-8")
    with pytest.raises(InputFileError, match="whose ends lie 334 m apart, not an area"):
        areas_from(read_outside(path).found)


def test_two_lines_are_no_route_until_one_is_named(tmp_path: Path) -> None:
    path = tmp_path / "two.gpx"
    one = '<rte><rtept lat="55" lon="5"/></rte>'
    path.write_text(GPX.format(one + one), "utf-8")
    with pytest.raises(InputFileError, match="holds 2 lines: which is the route") as caught:
        route_from(read_outside(path).found)
    assert "--only" in str(caught.value)


def test_said_against_the_file(tmp_path: Path) -> None:
    path = tmp_path / "abs.kml"
    told = "<altitudeMode>absolute</altitudeMode><coord"
    path.write_text(line("5,55,90").replace("<coord", told), "utf-8")
    found = read_outside(path).found
    (item,) = route_from(found, Datum.AMSL).route.items
    assert item.height == StatedHeight(90.0, Datum.AMSL)
    with pytest.raises(InputFileError, match="AMSL by the file, and AGL was said"):
        route_from(found, Datum.AGL)


def test_heights_option() -> None:
    assert parse_heights("amsl") is Datum.AMSL
    assert parse_heights("80 m above launch") == StatedHeight(80.0, Datum.ABOVE_LAUNCH)
    with pytest.raises(TextError, match='"QNH" does not say what heights are above'):
        parse_heights("QNH")


def kmz(path: Path, entries: dict[str, str | bytes]) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in entries.items():
            archive.writestr(name, content)


def test_kmz_gives_the_first_kml_in_it(tmp_path: Path) -> None:
    path = tmp_path / "way.kmz"
    kmz(path, {"images/a.png": b"\x89", "doc.kml": line("5,55"), "other.kml": "x"})
    assert len(read_outside(path).found.features) == 1


def _bomb(path: Path) -> None:
    kmz(path, {"doc.kml": b"<kml>" + b" " * 30_000_000})


def _locked(path: Path) -> None:
    kmz(path, {"doc.kml": line("5,55")})
    content = bytearray(path.read_bytes())
    for head, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        content[content.index(head) + flags] |= 1
    path.write_bytes(content)


def _cut(path: Path) -> None:
    kmz(path, {"doc.kml": line("5,55")})
    path.write_bytes(path.read_bytes()[:-30])


def _no_archive(path: Path) -> None:
    path.write_bytes(b"PK\x03\x04" + b"\0" * 99)


KMZ: list[tuple[Callable[[Path], None], str]] = [
    (_bomb, "larger than 1 MB once unpacked"),
    (_locked, "locked with a password"),
    (_cut, "not a whole KMZ file"),
    (lambda path: kmz(path, {"../../doc.kml": line("5,55")}), "leads out of the archive"),
    (lambda path: kmz(path, {"C:\\doc.kml": line("5,55")}), "leads out of the archive"),
    (lambda path: kmz(path, {"a.txt": "x"}), "holds no .kml file"),
    (lambda path: kmz(path, {f"{k}.kml": "x" for k in range(1001)}), "holds 1,001 files"),
    (_no_archive, "not a whole KMZ file"),
]


@pytest.mark.parametrize(("write", "words"), KMZ)
def test_kmz_refused(tmp_path: Path, write: Callable[[Path], None], words: str) -> None:
    path = tmp_path / "a.kmz"
    write(path)
    with pytest.raises(InputFileError, match=words):
        read_outside(path)
    assert [inner.name for inner in tmp_path.iterdir()] == ["a.kmz"]
