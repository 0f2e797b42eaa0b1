"""Whether the ground covers the route and the way home, as a person asks it."""

import shutil
from pathlib import Path

import pytest
import rasterio

from homeleg.cli.main import run
from homeleg.desk.ground_cover import cover_text, ground_cover

EXAMPLES = Path(__file__).parents[2] / "examples"
WALK = "Wires, masts, cranes and new growth are not in this ground. Walk it."


def sortie(folder: Path, *changes: tuple[str, str], example: str = "tern-point") -> Path:
    shutil.copytree(EXAMPLES / example, folder, dirs_exist_ok=True)
    path = folder / "sortie.toml"
    text = path.read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    path.write_text(text, "utf-8")
    return path


def test_yes(tmp_path: Path) -> None:
    cover = ground_cover(sortie(tmp_path))
    assert cover.is_covered
    assert cover_text(cover) == f"Does this ground cover the route and the way home: yes\n{WALK}\n"


def test_no_names_legs_distances_and_tiles(tmp_path: Path) -> None:
    cover = ground_cover(sortie(tmp_path, ('radius = "1200 m"', 'radius = "700 m"')))
    assert not cover.is_covered
    # C (540, -140) to D (760, 130) leaves the circle of 700 m after 250 m of its 348 m; sampled
    # each 9.95 m, the first point outside is the 26th after C.
    assert cover.route[0].words == "C to D, from 259 to 348 m along it"
    # 55.0 N 5.0 W is a corner of four tiles; all that is missing lies to the north-east of it.
    assert cover.tiles == ("N55W005.hgt",)
    text = cover_text(cover)
    assert "the way home: no" in text
    assert "No ground under C to D, from 259 to 348 m along it" in text
    assert "way home from C to D" in text
    assert "Missing ground lies in: N55W005.hgt" in text


def test_terrain_of_the_example_covers_it(tmp_path: Path) -> None:
    assert ground_cover(sortie(tmp_path, example="corrie-spur")).is_covered


def test_terrain_that_ends_too_early(tmp_path: Path) -> None:
    path = sortie(tmp_path, example="corrie-spur")
    # The western part of it only: 700 m to the east of home.
    with rasterio.open(path.parent / "terrain.tif") as whole:
        columns = int((439_253.0 + 700.0 - whole.transform.c) / whole.transform.a)
        part = whole.read(1, window=((0, whole.height), (0, columns)))
        profile = {**whole.profile, "width": columns}
    with rasterio.open(path.parent / "terrain.tif", "w", **profile) as file:
        file.write(part, 1)
    cover = ground_cover(path)
    # WP2 lies at 620 m, WP3 at 1000 m east, 382 m farther along: 80 m of them are covered.
    assert cover.route[0].leg == "WP2 to WP3"
    assert cover.route[0].from_m == pytest.approx(80.0, abs=15.0)
    assert cover.route[0].to_m == pytest.approx(382.1, abs=0.1)
    # Home lies on the corner of four tiles; the upper valley south-east of it.
    assert cover.tiles == ("N56W004.hgt",)


def pierce(terrain: Path) -> None:
    """Leave 60 m of ground unknown on the spur, between the route's far end and the strip.

    A landing point 119 m west and 43 m south of home, WP6 at (1400, 0): 500 m east of home the line
    runs 25 m south of it. The map's own north leads 7 m off over that.
    """
    with rasterio.open(terrain, "r+") as file:
        heights = file.read(1)
        column, row = ~file.transform @ (439_253.0 + 500.0, 6_317_830.0 + 7.0 - 25.0)
        heights[int(row) - 6 : int(row) + 6, int(column) - 6 : int(column) + 6] = -9999.0
        file.write(heights, 1)


def test_a_hole_between_the_route_and_home(tmp_path: Path) -> None:
    path = sortie(tmp_path, example="corrie-spur")
    pierce(path.parent / "terrain.tif")
    cover = ground_cover(path)
    assert cover.route == ()
    assert not cover.is_covered
    # Only the valley's far end, WP6 at (1400, 0), has it between itself and home.
    assert {stretch.leg for stretch in cover.way_home} == {"WP5 to WP6", "WP6 to WP7"}


OBSTACLE = (
    '[[site.obstacle]]\nname = "mast"\nbearing = "9 deg"\ndistance = "1 km"\nheight = "9 m"\n'
)


@pytest.mark.parametrize(
    ("seen", "words"),
    [
        ("", "Obstacle mast: it is not said when it was seen."),
        ('seen = "2025-06-08 17:00Z"\n', "Obstacle mast: seen 366 days before this flight."),
        ('seen = "2026-06-01 17:00Z"\n', ""),
    ],
)
def test_obstacles_have_a_date(tmp_path: Path, seen: str, words: str) -> None:
    cover = ground_cover(sortie(tmp_path, ("[weather]", f"{OBSTACLE}{seen}\n[weather]")))
    assert cover.remarks == ((words,) if words else ())
    assert words in cover_text(cover)


@pytest.mark.parametrize(("radius", "status"), [("1200 m", 0), ("700 m", 4), ("12 m", 2)])
def test_exit_status(tmp_path: Path, radius: str, status: int) -> None:
    path = sortie(tmp_path, ('radius = "1200 m"', f'radius = "{radius}"'))
    assert run(["check", str(path), "--ground-only"]) == status


def test_the_way_home_looked_at_is_the_declared_one(tmp_path: Path) -> None:
    # Straight, WP6 has the hole between itself and home; by the bend in the valley, at
    # (620, -480), neither of its two lines comes within 100 m of it.
    point = '[site]\ndiversion_points = [{ name = "bend", east = "620 m", north = "-480 m" }]\n'
    path = sortie(tmp_path, ("[site]\n", point), example="corrie-spur")
    ousel = path.parent / "ousel.toml"
    text = ousel.read_text("utf-8")
    pierce(path.parent / "terrain.tif")
    assert not ground_cover(path).is_covered
    ousel.write_text(text.replace('path = "straight"', 'path = ["bend"]'), "utf-8")
    assert ground_cover(path).is_covered
    # Not told: flown straight as well as over the point, so the hole is in the way again.
    ousel.write_text(text.replace('path = "straight"\n', ""), "utf-8")
    assert not ground_cover(path).is_covered
