"""Boundaries, grounds and obstacles of a sortie from files of other programs."""

import math
from pathlib import Path
from typing import Protocol

import pytest

from homeleg.formats.sortie_file import SortieFiles, read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.world.site import KeepOutKind

# Tern Point is flown from 55 N 5 W. A degree of latitude there is 111,340 m, one of longitude
# 63,995 m (WGS 84; reference/flight_wgs84_degree_lengths.csv by interpolation, within 0.1 %).
SQUARE = "-5.02,54.99 -4.98,54.99 -4.98,55.01 -5.02,55.01 -5.02,54.99"
OLD = 'boundary = { hull_margin = "250 m", top = "118 m above launch" }'
TOP = 'top = "118 m above launch"'


class EditExample(Protocol):
    def __call__(self, file: str, *changes: tuple[str, str]) -> Path: ...


def area(coordinates: str, mode: str = "", inner: str = "", name: str = "field") -> str:
    ring = "<LinearRing><coordinates>{}</coordinates></LinearRing>"
    told = f"<altitudeMode>{mode}</altitudeMode>" if mode else ""
    hole = f"<innerBoundaryIs>{ring.format(inner)}</innerBoundaryIs>" if inner else ""
    outer = f"<outerBoundaryIs>{ring.format(coordinates)}</outerBoundaryIs>"
    shape = f"<Polygon>{told}{outer}{hole}</Polygon>"
    return f"<Placemark><name>{name}</name>{shape}</Placemark>"


def kml(*marks: str) -> str:
    text = "".join(marks)
    return f'<kml xmlns="http://www.opengis.net/kml/2.2"><Document>{text}</Document></kml>'


def with_file(
    edit_example: EditExample, tmp_path: Path, text: str, old: str, new: str
) -> SortieFiles:
    ending = "geojson" if text.startswith("{") else "kml"
    (tmp_path / f"field.{ending}").write_text(text, "utf-8")
    return read_sortie(edit_example("sortie.toml", (old, new)))


def refusal(edit_example: EditExample, tmp_path: Path, text: str, old: str, new: str) -> str:
    with pytest.raises(InputFileError) as caught:
        with_file(edit_example, tmp_path, text, old, new)
    return str(caught.value)


def test_a_boundary_that_says_its_top(edit_example: EditExample, tmp_path: Path) -> None:
    square = SQUARE.replace(" ", ",100 ") + ",100"
    text = kml(area(square, "relativeToGround"))
    files = with_file(edit_example, tmp_path, text, OLD, 'boundary = "field.kml"')
    boundary = files.sortie.site.boundary
    assert boundary is not None
    assert boundary.top == StatedHeight(100.0, Datum.AGL)
    expected_m = (0.02 * 63_995, 0.01 * 111_340)
    assert boundary.vertices_m[2] == pytest.approx(expected_m, rel=1e-3)
    assert len(boundary.vertices_m) == 4
    assert "field.kml" in [name for name, _ in files.sources]


@pytest.mark.parametrize(
    ("text", "new", "words"),
    [
        (kml(area(SQUARE)), '"field.kml"', "does not say how high one may fly"),
        (kml(area(SQUARE)), f'{{ file = "no.kml", {TOP} }}', "no.kml: cannot be opened"),
        (
            kml(area("55.01,-5.02 54.99,-5.02 55,-4.98")),
            f'{{ file = "field.kml", {TOP} }}',
            "km from the launch point",
        ),
        (
            kml(area("-5.02,54.99 -5.02,55.01 -5.01,55.01")),
            f'{{ file = "field.kml", {TOP} }}',
            "the launch point lies outside this boundary",
        ),
        (
            kml(area(SQUARE, inner="-5.001,55.001 -5,55.001 -5,55.002")),
            f'{{ file = "field.kml", {TOP} }}',
            "holds an island, and a boundary is one area",
        ),
        (
            kml(area(SQUARE), area(SQUARE)),
            f'{{ file = "field.kml", {TOP} }}',
            "holds 2 areas, and a boundary is one area",
        ),
        (
            kml(area(SQUARE)),
            f'{{ file = "field.kml", {TOP}, only = "meadow" }}',
            'nothing in it is called "meadow"',
        ),
    ],
)
def test_boundaries_refused(
    edit_example: EditExample, tmp_path: Path, text: str, new: str, words: str
) -> None:
    assert words in refusal(edit_example, tmp_path, text, OLD, f"boundary = {new}")


def test_one_area_of_two_by_its_name(edit_example: EditExample, tmp_path: Path) -> None:
    text = kml(area(SQUARE), area(SQUARE.replace("-5.02", "-5.03"), name="meadow"))
    new = f'boundary = {{ file = "field.kml", {TOP}, only = "meadow" }}'
    boundary = with_file(edit_example, tmp_path, text, OLD, new).sortie.site.boundary
    assert boundary is not None
    assert boundary.vertices_m[0][0] == pytest.approx(-0.03 * 63_995, rel=1e-3)


def test_keep_out_ground_by_its_kind(edit_example: EditExample, tmp_path: Path) -> None:
    ring = "[[-5.02, 54.99], [-5.019, 54.99], [-5.019, 54.991]]"
    one = (
        '{{"type": "Feature", "geometry": {{"type": "Polygon", "coordinates": [{}]}},'
        ' "properties": {}}}'
    )
    features = [
        one.format(ring, '{"name": "yard", "kind": "people"}'),
        one.format(ring, '{"kind": "road"}'),
    ]
    text = f'{{"type": "FeatureCollection", "features": [{", ".join(features)}]}}'
    new = 'keep_out = ["field.geojson"]'
    site = with_file(edit_example, tmp_path, text, "keep_out = []", new).sortie.site
    assert [(one.name, one.kind) for one in site.keep_out] == [
        ("yard", KeepOutKind.PEOPLE),
        ("field.geojson 2", KeepOutKind.ROAD),
    ]


def test_keep_out_ground_of_no_kind(edit_example: EditExample, tmp_path: Path) -> None:
    new = 'keep_out = ["field.kml"]'
    words = refusal(edit_example, tmp_path, kml(area(SQUARE)), "keep_out = []", new)
    assert "does not say what kind of ground it is" in words


def test_come_down_circle_inside_an_area(edit_example: EditExample, tmp_path: Path) -> None:
    """In a rectangle of 1,280 by 2,227 m the circle about the middle has half the shorter side."""
    text = kml(area("-5.01,54.99 -4.99,54.99 -4.99,55.01 -5.01,55.01"))
    new = 'come_down = [\n "field.kml",'
    place = with_file(edit_example, tmp_path, text, "come_down = [", new).sortie.site.come_down[0]
    assert math.hypot(place.east_m, place.north_m) == pytest.approx(0.0, abs=1.0)
    assert place.radius_m == pytest.approx(0.01 * 63_995, rel=1e-3)


MAST = '{"type": "Point", "coordinates": [-5.01, 55.0, 30]}'


def test_obstacle_above_the_ground(edit_example: EditExample, tmp_path: Path) -> None:
    new = 'keep_out = []\nobstacle = [{ file = "field.geojson", heights = "AGL" }]'
    (mast,) = with_file(edit_example, tmp_path, MAST, "keep_out = []", new).sortie.site.obstacles
    assert mast.height_m.value == 30.0
    assert mast.east_m == pytest.approx(-0.01 * 63_995, rel=1e-3)


def test_obstacle_of_unknown_datum(edit_example: EditExample, tmp_path: Path) -> None:
    new = 'keep_out = []\nobstacle = ["field.geojson"]'
    words = refusal(edit_example, tmp_path, MAST, "keep_out = []", new)
    assert "above the ground there is not known" in words
    assert 'heights = "AGL"' in words
