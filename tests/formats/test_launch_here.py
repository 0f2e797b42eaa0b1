"""Launching from another point: what stays on the earth, what moves along, what is refused."""

import math
from pathlib import Path

import pytest

from homeleg.formats.field_answers import FieldAnswers
from homeleg.formats.launch_here import launch_here_of
from homeleg.formats.plane import Plane
from homeleg.formats.sortie_file import sortie_from_text
from homeleg.formats.toml_text import TextFile
from homeleg.foundation.errors import InputFileError
from homeleg.route.items import ItemKind
from homeleg.sortie.sortie import Sortie
from homeleg.world.ground import TerrainGround, ground_height

EXAMPLES = Path(__file__).parents[2] / "examples"
SHORE, SPUR = EXAMPLES / "tern-point", EXAMPLES / "corrie-spur"
# 0.001 deg of latitude at 55 N on WGS 84, by hand: a (1 - e2) / (1 - e2 sin^2)^1.5 = 6 335 439 m /
# (1 - 0.006 694 38 x 0.671 010)^1.5 = 6 378 369 m, times 1.745 33e-5 rad.
NORTH_M = 111.32


def launched(
    folder: Path, latitude: str, longitude: str, elevation: str | None = None, *more: str
) -> Sortie:
    text = (folder / "sortie.toml").read_text("utf-8")
    for old, new in zip(more[::2], more[1::2], strict=True):
        assert old in text
        text = text.replace(old, new)
    answers = FieldAnswers(launch_here=(latitude, longitude), elevation=elevation)
    file = TextFile("sortie.toml", text, "0" * 64)
    return sortie_from_text(file, folder, here=launch_here_of(answers)).sortie


@pytest.fixture(scope="module")
def north() -> Sortie:
    return launched(SHORE, "55.0010 N", "5.0000 W", "36 m AMSL")


def test_the_launch_point_moves(north: Sortie) -> None:
    assert math.degrees(north.site.latitude_rad) == pytest.approx(55.001)
    assert north.site.elevation_amsl_m == 36.0


def test_the_route_stays_on_the_earth(north: Sortie) -> None:
    # A at (-200, -190) from a launch point now 111.3 m farther north.
    item = next(one for one in north.route.items if one.name == "A")
    assert item.east_m == pytest.approx(-200.0, abs=0.02)
    assert item.north_m == pytest.approx(-190.0 - NORTH_M, abs=0.05)
    assert item.height is not None
    assert (item.height.value_m, item.height.above.value) == (60.0, "above launch")


def test_take_off_return_and_landing_move_along(north: Sortie) -> None:
    moved = [
        one
        for one in north.route.items
        if one.kind in (ItemKind.TAKEOFF, ItemKind.RETURN, ItemKind.LAND)
    ]
    assert len(moved) == 3
    assert all((one.east_m, one.north_m) == (0.0, 0.0) for one in moved)


def test_places_stay_and_the_ground_by_eye_shrinks(north: Sortie) -> None:
    bar = next(one for one in north.site.come_down if one.name == "bar")
    assert bar.north_m == pytest.approx(420.0 - NORTH_M, abs=0.05)
    assert north.site.ground.radius_m == pytest.approx(1200.0 - NORTH_M, abs=0.05)  # type: ignore[union-attr]


def test_what_is_told_by_bearing_and_corners_stays() -> None:
    told = (
        'ground = { by_eye = "flat within 5 m", radius = "1200 m" }',
        'ground = { by_eye = "flat within 5 m", radius = "1200 m", flat_to = "500 m", '
        'skyline = [{ bearing = "0 deg", distance = "600 m", angle = "5 deg" }] }\n'
        'obstacle = [{ name = "mast", bearing = "90 deg", distance = "111.32 m", height = "9 m" }]',
        "keep_out = []",
        'keep_out = [{ name = "hide", kind = "people", vertices_m = [[0.0, 300.0], [50.0, 300.0], '
        "[50.0, 350.0]] }]",
    )
    site = launched(SHORE, "55.0010 N", "5.0000 W", "38 m AMSL", *told).site
    [mast] = site.obstacles
    # 111.32 m to the east was, and now is to the south-east.
    assert mast.east_m == pytest.approx(111.32, abs=0.05)
    assert mast.north_m == pytest.approx(-NORTH_M, abs=0.05)
    assert site.keep_out[0].vertices_m[0][1] == pytest.approx(300.0 - NORTH_M, abs=0.05)
    [point] = site.ground.skyline  # type: ignore[union-attr]
    assert point.distance_m == pytest.approx(600.0 - NORTH_M, abs=0.05)
    # 600 tan 5 deg above a launch point that lay 3 m lower.
    assert point.height_m.value == pytest.approx(600.0 * math.tan(math.radians(5.0)) - 3.0)


def test_terrain_tells_the_elevation() -> None:
    # The valley rises from 310 m at the launch point by 28 m in 1,400 m to the east: 200 m along it
    # lies 4.0 m higher. Half a metre for the cells of the file.
    here = Plane(math.radians(57.0), math.radians(-4.0)).to_geographic(200.0, 0.0)
    latitude, longitude = (f"{math.degrees(angle):.6f}" for angle in here)
    site = launched(SPUR, latitude, longitude).site
    assert site.elevation_amsl_m == pytest.approx(314.0, abs=0.5)
    assert isinstance(site.ground, TerrainGround)
    # The spur's top stays where it is: 62 m above 310 m, 620 m east of the old launch point.
    top_m = float(ground_height(site.ground.surface, 420.0, 0.0)) + site.elevation_amsl_m
    assert top_m == pytest.approx(372.0, abs=3.0)


@pytest.mark.parametrize(
    ("place", "elevation", "words"),
    [
        (("55.001 N", "5.0 W"), None, "--launch-here: how high is that point?"),
        (("55.02 N", "5.0 W"), "35 m AMSL", "known out to 1200 m"),
        (("55.001 N", "5.0 W"), "45 m AMSL", "lies 10 m above the launch point"),
        (("55.001 N", "5.0 W"), "45 m AGL", "--elevation: .* is AGL"),
        (("55.001 N", "5.0 W"), "45", "--elevation"),
        (("5.0 W", "55.001 N"), "35 m AMSL", "are the two swapped?"),
    ],
)
def test_refused(place: tuple[str, str], elevation: str | None, words: str) -> None:
    with pytest.raises(InputFileError, match=words.replace("?", r"\?")):
        launched(SHORE, *place, elevation)


def test_an_elevation_needs_its_place() -> None:
    with pytest.raises(InputFileError, match="none is told"):
        launch_here_of(FieldAnswers(elevation="35 m AMSL"))
