"""Samples from the standards, and our files as other readers read them."""

from pathlib import Path

import gpxpy
import pytest
from fastkml import KML
from fastkml.enums import AltitudeMode
from fastkml.features import Placemark
from fastkml.geometry import Point
from fastkml.utils import find_all
from fastkml.validator import validate

from homeleg.formats.features import Features
from homeleg.formats.geojson import read_geojson, write_geojson
from homeleg.formats.gpx import read_gpx, write_gpx
from homeleg.formats.kml import read_kml, write_kml
from homeleg.formats.outside_file import read_outside
from homeleg.formats.outside_route import route_from
from homeleg.formats.plain_shapes import ShapeKind
from homeleg.formats.toml_text import TextFile
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.release.plain_route import PlainItem, PlainPlace, PlainRoute
from homeleg.route.items import ItemKind
from tests.published import Published

OGC = "OGC 07-147r2 (KML 2.2), 10.7.4, the example of kml:LineString, in a transcription. FOUND"
RFC = "RFC 7946, 1.5, the first example, as quoted by three public pages. FOUND"
SAMPLE = 'The sample of the encyclopedia article "GPS Exchange Format", as quoted. FOUND'
KML_LINES = """<kml xmlns="http://www.opengis.net/kml/2.2"><Document><name>LineString.kml</name>
<Placemark><name>unextruded</name><LineString><extrude>0</extrude><tessellate>1</tessellate>
<coordinates>-122.364383,37.824664,0 -122.364152,37.824322,0</coordinates></LineString></Placemark>
<Placemark><name>extruded</name><LineString><extrude>1</extrude><tessellate>1</tessellate>
<altitudeMode>relativeToGround</altitudeMode>
<coordinates>-122.364167,37.824787,50 -122.363917,37.824423,50</coordinates></LineString>
</Placemark>
</Document></kml>"""
# Without its lone property table.
GEOJSON = """{ "type": "FeatureCollection", "features": [
{ "type": "Feature", "geometry": {"type": "Point", "coordinates": [102.0, 0.5]},
  "properties": {"prop0": "value0"} },
{ "type": "Feature", "geometry": { "type": "LineString",
  "coordinates": [[102.0, 0.0], [103.0, 1.0], [104.0, 0.0], [105.0, 1.0]] },
  "properties": {"prop0": "value0", "prop1": 0.0} },
{ "type": "Feature", "geometry": { "type": "Polygon",
  "coordinates": [[[100.0, 0.0], [101.0, 0.0], [101.0, 1.0], [100.0, 1.0], [100.0, 0.0]]] },
  "properties": {"prop0": "value0", "prop1": {"this": "that"}} } ] }"""
GPX = """<?xml version="1.0" encoding="UTF-8" standalone="no" ?>
<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="Wikipedia">
<metadata><name>Data name</name><desc>Valid GPX example</desc></metadata>
<wpt lat="52.518611" lon="13.376111"><ele>35.0</ele><time>2011-12-31T23:59:59Z</time>
<name>Reichstag (Berlin)</name><sym>City</sym></wpt>
<wpt lat="48.208031" lon="16.358128"><ele>179</ele><time>2011-12-31T23:59:59Z</time>
<name>Parlament (Wien)</name><sym>City</sym></wpt>
<wpt lat="46.9466" lon="7.44412"><time>2011-12-31T23:59:59Z</time><name>Bundeshaus (Bern)</name>
<sym>City</sym></wpt></gpx>"""
ITEMS = (
    PlainItem(
        name="A & <B>",
        kind=ItemKind.POINT,
        latitude_deg=55.00116719,
        longitude_deg=-4.98812357,
        height=StatedHeight(80.0, Datum.ABOVE_LAUNCH),
    ),
    PlainItem(
        name="low",
        kind=ItemKind.POINT,
        latitude_deg=-0.5,
        longitude_deg=0.25,
        height=StatedHeight(40.0, Datum.AGL),
    ),
)
LAUNCH = PlainPlace(
    name="field", latitude_deg=55.0, longitude_deg=-5.0, height=StatedHeight(35.0, Datum.AMSL)
)
ROUTE = PlainRoute(items=ITEMS, launch_point=LAUNCH)


def text_file(text: str) -> TextFile:
    return TextFile(name="sample", text=text, sha256="")


def places(found: Features) -> list[list[tuple[float, float, float | None]]]:
    return [
        [(vertex.latitude_deg, vertex.longitude_deg, vertex.height_m) for vertex in one.vertices]
        for one in found.features
    ]


def test_lines_of_the_kml_standard(published: Published) -> None:
    found = read_kml(text_file(KML_LINES))
    published.exactly(
        "places of two lines",
        places(found),
        [
            [(37.824664, -122.364383, 0.0), (37.824322, -122.364152, 0.0)],
            [(37.824787, -122.364167, 50.0), (37.824423, -122.363917, 50.0)],
        ],
        source=OGC,
    )
    # 9.17 of the standard: relativeToGround is above the ground; the default ignores an altitude.
    assert [one.above for one in found.features] == [None, Datum.AGL]
    assert "clampToGround" in found.features[0].doubt


def test_shapes_of_the_geojson_standard(published: Published) -> None:
    found = read_geojson(text_file(GEOJSON))
    assert [one.shape for one in found.features] == [
        ShapeKind.POINT,
        ShapeKind.LINE,
        ShapeKind.POLYGON,
    ]
    published.exactly("place of the point", places(found)[0], [(0.5, 102.0, None)], source=RFC)
    published.exactly("end of the line", places(found)[1][3], (1.0, 105.0, None), source=RFC)
    published.exactly(
        "corners of the polygon",
        places(found)[2],
        [(0.0, 100.0, None), (0.0, 101.0, None), (1.0, 101.0, None), (1.0, 100.0, None)],
        source=RFC,
    )


def test_waypoints_of_a_gpx_sample(published: Published) -> None:
    found = read_gpx(text_file(GPX))
    published.exactly(
        "three waypoints",
        places(found),
        [
            [(52.518611, 13.376111, 35.0)],
            [(48.208031, 16.358128, 179.0)],
            [(46.9466, 7.44412, None)],
        ],
        source=SAMPLE,
    )
    assert [one.above for one in found.features] == [None, None, None]
    assert found.lost == ("times (3)", "descriptions (1)")


def test_a_leg_over_the_antimeridian_is_short(tmp_path: Path) -> None:
    """13.7 km: 2 x 0.0635 deg x 107.55 km per degree at 15 degrees north, by hand."""
    gpx = (
        '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x"><rte>'
        '<rtept lat="15" lon="179.9365"/><rtept lat="15" lon="-179.9365"/></rte></gpx>'
    )
    path = tmp_path / "far.gpx"
    path.write_text(gpx, "utf-8")
    items = route_from(read_outside(path).found).route.items
    assert [item.longitude_deg for item in items] == [179.9365, -179.9365]


def test_our_kml_is_valid_and_reads_elsewhere(tmp_path: Path) -> None:
    path = tmp_path / "ours.kml"
    path.write_text(write_kml(ROUTE, "Ribbon").text, "utf-8")
    # The schema of OGC 07-147r2, as the library ships it.
    assert validate(file_to_validate=path) is True
    found = find_all(KML.parse(path), of_type=Placemark)
    marks = [one for one in found if isinstance(one, Placemark)]
    assert [mark.name for mark in marks] == ["A & <B>", "low", "field"]
    points = [mark.kml_geometry for mark in marks if isinstance(mark.kml_geometry, Point)]
    coordinates = [point.kml_coordinates for point in points]
    assert [one.coords[0] for one in coordinates if one] == [
        pytest.approx((-4.98812357, 55.00116719, 115.0)),  # 35 m AMSL + 80 m
        pytest.approx((0.25, -0.5, 40.0)),
        pytest.approx((-5.0, 55.0, 35.0)),
    ]
    modes = [point.altitude_mode for point in points]
    assert modes == [
        AltitudeMode.absolute,
        AltitudeMode.relative_to_ground,
        AltitudeMode.absolute,
    ]


def test_our_gpx_reads_elsewhere() -> None:
    written = write_gpx(ROUTE, "Ribbon")
    points = gpxpy.parse(written.text).routes[0].points
    assert [(one.name, one.latitude, one.longitude, one.elevation) for one in points] == [
        ("A & <B>", 55.00116719, -4.98812357, 115.0),
        ("low", -0.5, 0.25, None),
    ]
    assert "1 heights are not written as an elevation: their datum is another" in written.losses


def test_our_geojson_keeps_to_two_numbers() -> None:
    found = read_geojson(text_file(write_geojson(ROUTE, "Ribbon").text))
    assert places(found) == [
        [(55.00116719, -4.98812357, None)],
        [(-0.5, 0.25, None)],
        [(55.0, -5.0, None)],
    ]
