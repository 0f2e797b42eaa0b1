"""Files dropped on the board: where they go, what is asked, what is left of a refused one."""

from pathlib import Path

import pytest

from homeleg.desk.base import make_base
from homeleg.desk.bring_in import Purpose
from homeleg.desk.dropped import Dropped, HeightsAskedError, safe_name, take_file
from homeleg.desk.examples import add_example
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.heights import Datum
from tests.desk.test_bring_in import GPX

AREA = (
    '<kml xmlns="http://www.opengis.net/kml/2.2"><Placemark><name>houses</name><Polygon>'
    "<outerBoundaryIs><LinearRing><coordinates>-4.990,55.000 -4.985,55.000 -4.985,55.003 "
    "-4.990,55.000</coordinates></LinearRing></outerBoundaryIs></Polygon></Placemark></kml>"
)
MAST = (
    '{"type": "Feature", "properties": {"name": "mast"}, "geometry": {"type": "Point", '
    '"coordinates": [-5.001, 55.001, 25]}}'
)


@pytest.fixture
def sortie(tmp_path: Path) -> Path:
    base = make_base(tmp_path / "base")
    add_example(base, "tern-point")
    return base.sorties / "tern-point" / "sortie.toml"


def folder(sortie: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sortie.parent.iterdir()}


def test_a_route_whose_heights_are_not_told_is_asked_about(sortie: Path) -> None:
    before = folder(sortie)
    with pytest.raises(HeightsAskedError):
        take_file(sortie, "way.gpx", GPX.encode(), Dropped(purpose=Purpose.ROUTE))
    assert folder(sortie) == before


def test_a_route_with_its_word_stands_beside_the_old_one(sortie: Path) -> None:
    told = Dropped(purpose=Purpose.ROUTE, heights="AMSL")
    take_file(sortie, "route.gpx", GPX.encode(), told)
    read = read_sortie(sortie).sortie.route.items
    assert [item.name for item in read] == ["takeoff", "A", "A 2", "land"]
    assert read[1].height is not None
    assert (read[1].height.value_m, read[1].height.above) == (90.0, Datum.AMSL)
    assert 'route = "route-2.csv"' in sortie.read_text()
    assert (sortie.parent / "route.csv").exists()


def test_keep_out_ground_is_added_with_its_kind(sortie: Path) -> None:
    told = Dropped(purpose=Purpose.KEEP_OUT, kind="building")
    take_file(sortie, "houses.kml", AREA.encode(), told)
    (ground,) = read_sortie(sortie).sortie.site.keep_out
    # 0.010 degrees of longitude east at 55 N: 640 m (111.32 km cos 55 a degree).
    assert (ground.name, ground.kind.value) == ("houses", "building")
    assert ground.vertices_m[0][0] == pytest.approx(640.0, abs=2.0)


def test_keep_out_ground_without_a_kind_is_asked_and_nothing_is_left(sortie: Path) -> None:
    before = folder(sortie)
    with pytest.raises(InputFileError, match="what kind of ground"):
        take_file(sortie, "houses.kml", AREA.encode(), Dropped(purpose=Purpose.KEEP_OUT))
    assert folder(sortie) == before


def test_a_boundary_keeps_the_height_that_was_there(sortie: Path) -> None:
    around = AREA.replace(
        "-4.990,55.000 -4.985,55.000 -4.985,55.003 -4.990,55.000",
        "-5.02,54.99 -4.98,54.99 -4.98,55.01 -5.02,55.01 -5.02,54.99",
    )
    take_file(sortie, "line.kml", around.encode(), Dropped(purpose=Purpose.BOUNDARY))
    boundary = read_sortie(sortie).sortie.site.boundary
    assert boundary is not None
    assert (boundary.top.value_m, boundary.top.above) == (118.0, Datum.ABOVE_LAUNCH)
    assert len(boundary.vertices_m) == 4


def test_places_to_come_down_and_obstacles_are_added(sortie: Path) -> None:
    take_file(sortie, "places.kml", AREA.encode(), Dropped(purpose=Purpose.COME_DOWN))
    told = Dropped(purpose=Purpose.OBSTACLES, heights="AGL")
    take_file(sortie, "mast.geojson", MAST.encode(), told)
    site = read_sortie(sortie).sortie.site
    assert [place.name for place in site.come_down][-1] == "houses"
    assert [(one.name, one.height_m.value) for one in site.obstacles] == [("mast", 25.0)]


@pytest.mark.parametrize("name", ["way.exe", "", "way", "../../way.toml"])
def test_no_kind_of_file(sortie: Path, name: str) -> None:
    before = folder(sortie)
    with pytest.raises(InputFileError, match="no kind of file"):
        take_file(sortie, name, GPX.encode(), Dropped(purpose=Purpose.ROUTE))
    assert folder(sortie) == before


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("../../etc/way.gpx", "way.gpx"),
        ("Rōute 1;rm.KML", "R-ute-1-rm.kml"),
        ("....gpx", "file.gpx"),
        (f"{'a' * 300}.kml", f"{'a' * 60}.kml"),
    ],
)
def test_a_name_from_outside_is_made_ours(name: str, safe: str) -> None:
    assert safe_name(name, (".gpx", ".kml")) == safe


@pytest.mark.parametrize("content", [b"", b"\x00\xff", b"<gpx>", b"{}", b"PK\x03\x04"])
def test_what_is_no_such_file_is_said_in_its_name(sortie: Path, content: bytes) -> None:
    before = folder(sortie)
    for ending in (".gpx", ".kml", ".kmz", ".geojson", ".csv"):
        with pytest.raises(InputFileError) as caught:
            take_file(sortie, f"way{ending}", content, Dropped(purpose=Purpose.ROUTE))
        assert all("way" in problem.where for problem in caught.value.problems)
    assert folder(sortie) == before
