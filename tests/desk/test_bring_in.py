"""Importing: what is written, what is added, what is asked, what is left behind."""

from itertools import pairwise
from pathlib import Path

import pytest

from homeleg.cli.main import run
from homeleg.desk.bring_in import Purpose, bring_in
from homeleg.formats.outside_file import read_outside
from homeleg.formats.outside_shapes import points_from
from homeleg.formats.plane import Plane
from homeleg.formats.route_file import read_route
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.route.items import ItemKind

GPX = (
    '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x"><rte>'
    '<rtept lat="55.001" lon="-5"><ele>90</ele><name>A</name></rtept>'
    '<rtept lat="55.002" lon="-5"><ele>95</ele><name>A</name></rtept></rte></gpx>'
)
LAUNCH = Plane(0.959931, -0.0872665)


@pytest.fixture
def gpx(tmp_path: Path) -> Path:
    path = tmp_path / "way.gpx"
    path.write_text(GPX, "utf-8")
    return path


def test_a_route_of_elevations_is_asked_about(gpx: Path) -> None:
    out = gpx.with_name("route.csv")
    with pytest.raises(
        InputFileError, match="2 of 2 items without a height: GPX does not"
    ) as caught:
        bring_in(gpx, out, Purpose.ROUTE)
    assert '--heights "AMSL"' in str(caught.value)
    assert not out.exists()


def test_a_route_with_its_datum_said(gpx: Path) -> None:
    out = gpx.with_name("route.csv")
    result = bring_in(gpx, out, Purpose.ROUTE, heights="AMSL")
    items = read_route(out, LAUNCH).items
    assert [item.kind for item in items] == [
        ItemKind.TAKEOFF,
        ItemKind.POINT,
        ItemKind.POINT,
        ItemKind.LAND,
    ]
    assert [item.name for item in items[1:3]] == ["A", "A 2"]
    assert items[2].height == StatedHeight(95.0, Datum.AMSL)
    assert items[2].north_m == pytest.approx(0.002 * 111_340, rel=1e-2)
    assert len(result.changed) == 3


def test_one_height_for_all(gpx: Path) -> None:
    out = gpx.with_name("route.csv")
    bring_in(gpx, out, Purpose.ROUTE, heights="80 m above launch")
    heights = [item.height for item in read_route(out, LAUNCH).items[1:3]]
    assert heights == [StatedHeight(80.0, Datum.ABOVE_LAUNCH)] * 2


def test_columns_of_another_program(tmp_path: Path) -> None:
    path = tmp_path / "plan.csv"
    path.write_text("WP;Lat;Lon;Alt ft;Note\nA;55.001;-5;300;x\nB;55.002;-5;300;y\n", "utf-8")
    out = tmp_path / "route.csv"
    columns = "name=WP, latitude_deg=Lat, longitude_deg=Lon, height_ft=Alt ft"
    result = bring_in(path, out, Purpose.ROUTE, heights="AGL", columns=columns)
    assert read_route(out, LAUNCH).items[1].height == StatedHeight(
        pytest.approx(91.44),  # type: ignore[arg-type]
        Datum.AGL,
    )
    assert result.lost == ("columns Note",)


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        ("Lat", "does not say which column is which"),
        ("lattitude_deg=Lat", "the nearest is latitude_deg"),
        ("latitude_deg=Breite,longitude_deg=Lon", 'has no column "Breite"'),
    ],
)
def test_columns_that_are_wrong(tmp_path: Path, columns: str, words: str) -> None:
    path = tmp_path / "plan.csv"
    path.write_text("Lat,Lon\n55,-5\n", "utf-8")
    with pytest.raises(InputFileError, match=words):
        bring_in(path, tmp_path / "route.csv", Purpose.ROUTE, columns=columns)


def test_obstacles_need_a_height_above_the_ground(tmp_path: Path) -> None:
    path = tmp_path / "mast.csv"
    path.write_text("name,latitude_deg,longitude_deg,height_m,above\nM,55,-5,90,AMSL\n", "utf-8")
    with pytest.raises(InputFileError, match="above the ground is not known"):
        bring_in(path, tmp_path / "mast.geojson", Purpose.OBSTACLES)


def test_obstacles_come_through(tmp_path: Path) -> None:
    path, out = tmp_path / "mast.csv", tmp_path / "mast.geojson"
    path.write_text("name,latitude_deg,longitude_deg,height_m\nM,55,-5,30\n", "utf-8")
    bring_in(path, out, Purpose.OBSTACLES, heights="AGL")
    (mast,) = points_from(read_outside(out).found).shapes
    assert (mast.name, mast.height) == ("M", StatedHeight(30.0, Datum.AGL))


def test_no_height_is_no_question_of_a_datum(tmp_path: Path) -> None:
    path = tmp_path / "flat.csv"
    path.write_text("latitude_deg,longitude_deg\n55.001,-5\n", "utf-8")
    with pytest.raises(InputFileError, match="1 of 1 item without a height") as caught:
        bring_in(path, tmp_path / "route.csv", Purpose.ROUTE, heights="AMSL")
    assert caught.value.problems[0].remedy.startswith("Give all one height")


RING = "[[5, 55], [5.01, 55], [5.01, 55.01], [5, 55.01], [5, 55]]"
ISLAND = "[[5.002, 55.002], [5.004, 55.002], [5.004, 55.004], [5.002, 55.002]]"


def area(tmp_path: Path, *rings: str, kind: str = "Polygon") -> Path:
    path = tmp_path / "area.geojson"
    path.write_text(f'{{"type": "{kind}", "coordinates": [{", ".join(rings)}]}}', "utf-8")
    return path


@pytest.mark.parametrize(
    ("purpose", "words"),
    [
        (Purpose.BOUNDARY, "holds an island, and a boundary is one area"),
        (Purpose.COME_DOWN, "holds 1 island where it must not come down"),
    ],
)
def test_an_island_is_never_lost(tmp_path: Path, purpose: Purpose, words: str) -> None:
    out = tmp_path / "ours.geojson"
    with pytest.raises(InputFileError, match=words):
        bring_in(area(tmp_path, RING, ISLAND), out, purpose)
    assert not out.exists()


def test_an_island_in_ground_to_keep_out_of_is_part_of_it(tmp_path: Path) -> None:
    result = bring_in(area(tmp_path, RING, ISLAND), tmp_path / "ours.geojson", Purpose.KEEP_OUT)
    assert result.changed == ("islands in the ground (1) count as part of it",)
    assert "people, road" in result.next_step


def test_two_areas_are_no_boundary(tmp_path: Path) -> None:
    path = area(tmp_path, f"[{RING}]", f"[{RING}]", kind="MultiPolygon")
    with pytest.raises(InputFileError, match="holds 2 areas, and a boundary is one area") as caught:
        bring_in(path, tmp_path / "ours.geojson", Purpose.BOUNDARY)
    assert '--only "its name"' in str(caught.value)


def test_heights_that_no_area_keeps_are_listed(tmp_path: Path) -> None:
    path = area(tmp_path, "[[5, 55, 30], [5.01, 55, 30], [5.01, 55.01, 30], [5, 55, 30]]")
    result = bring_in(path, tmp_path / "ours.geojson", Purpose.BOUNDARY)
    assert result.count == "1 shape"
    assert result.lost[0].startswith("heights of the corners (3): by RFC 7946 a third number")


TREES = (
    '<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="x"><trk>'
    "<name>poplars</name><trkseg>{}</trkseg></trk></gpx>"
)


def trees(tmp_path: Path, *latitudes: float) -> Path:
    path = tmp_path / "trees.gpx"
    points = "".join(f'<trkpt lat="{lat:.6f}" lon="-5"><ele>34</ele></trkpt>' for lat in latitudes)
    path.write_text(TREES.format(points), "utf-8")
    return path


def test_a_walked_row_of_trees_stands_all_along(tmp_path: Path) -> None:
    # 0.0005 degrees of latitude are 55.67 m at 55 N (111,340 m a degree): six steps, seven points.
    # Of the eleven places walked, all in one line, none but the ends turns it.
    path = trees(tmp_path, *(55.0 + 0.00005 * k for k in range(11)))
    out = tmp_path / "ours.geojson"
    result = bring_in(path, out, Purpose.OBSTACLES, heights="12 m AGL")
    assert result.changed == ("poplars stands as 7 points, no more than 10 m apart",)
    stands = points_from(read_outside(out).found).shapes
    assert [shape.name for shape in stands] == [f"poplars {k}" for k in range(1, 8)]
    assert {shape.height for shape in stands} == {StatedHeight(12.0, Datum.AGL)}
    steps_m = [
        (second.corners_deg[0][0] - first.corners_deg[0][0]) * 111_340
        for first, second in pairwise(stands)
    ]
    assert steps_m == pytest.approx([55.67 / 6.0] * 6, rel=1e-3)


@pytest.mark.parametrize("heights", [None, "AGL"])
def test_an_elevation_walked_is_no_height_of_trees(tmp_path: Path, heights: str | None) -> None:
    path = trees(tmp_path, 55.0, 55.0005)
    with pytest.raises(InputFileError, match="above the ground is not known") as caught:
        bring_in(path, tmp_path / "ours.geojson", Purpose.OBSTACLES, heights=heights)
    assert "12 m AGL" in str(caught.value)


def test_a_row_of_trees_too_long_to_be_flown_past(tmp_path: Path) -> None:
    # 0.03 degrees are 3.3 km.
    path = trees(tmp_path, 55.0, 55.03)
    with pytest.raises(InputFileError, match=r"is a line of 3\.3 km"):
        bring_in(path, tmp_path / "ours.geojson", Purpose.OBSTACLES, heights="12 m AGL")


def test_command_line(gpx: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = gpx.with_name("edge.geojson")
    arguments = ["import", str(gpx), "--as", "route", "--out", str(out)]
    assert run(arguments) == 2
    assert "--heights" in capsys.readouterr().err
    assert run([*arguments, "--heights", "AMSL"]) == 0
    assert "Changed: it lands at the launch point." in capsys.readouterr().out
    assert run([*arguments, "--heights", "AMSL"]) == 2
    assert "there is such a file already" in capsys.readouterr().err
