"""What stands in the way has its name, and no act asks for more height than there is."""

import math
import re
import shutil
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import pytest

from homeleg.desk.check import check_sortie
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.result import Place, Row, Status, Verdict
from homeleg.verdict.standing import ceilings_m, naming_what_stands_there
from homeleg.world.ground import CanopyArea, Obstacle
from homeleg.world.site import Boundary

EXAMPLE = Path(__file__).parents[2] / "examples" / "tern-point"
HIGH = Estimate(value=30.0, sd=0.0, basis=Basis.DECLARED)
MAST = Obstacle(name="mast", east_m=100.0, north_m=0.0, height_m=HIGH)
WOOD = CanopyArea(height_m=HIGH, vertices_m=((0.0, 200.0), (50.0, 200.0), (50.0, 250.0)))


def evidence(boundary: Boundary | None = None, hard: float | None = 120.0) -> Evidence:
    site = SimpleNamespace(
        obstacles=(MAST,), canopy=(WOOD,), boundary=boundary, elevation_amsl_m=35.0
    )
    resolved = SimpleNamespace(sortie=SimpleNamespace(site=site))
    limits = {"inside.ceiling": SimpleNamespace(hard=hard)}
    return cast("Evidence", SimpleNamespace(resolved=resolved, limits=limits))


def named(verdict: Verdict, east_m: float, north_m: float, note: str = "") -> str:
    place = Place(
        leg="A to B", time_s=1.0, east_m=east_m, north_m=north_m, height_above_launch_m=40.0
    )
    row = replace(verdict.rows[1], where=place, note=note)
    return naming_what_stands_there(evidence(), row).note


def test_a_row_names_what_it_fails_over(make_verdict: Any) -> None:
    verdict = make_verdict()
    # Wide as it is high: 30 m, and not a metre more.
    assert named(verdict, 130.0, 0.0) == "over mast, 30 m high"
    assert named(verdict, 131.0, 0.0) == ""
    assert named(verdict, 40.0, 210.0, "3 flights") == "3 flights; over trees of 30 m"
    assert named(make_verdict(Status.GO), 130.0, 0.0) == ""


@pytest.mark.parametrize(
    ("top", "hard", "expected"),
    [
        (None, 120.0, (120.0, math.inf)),
        (None, None, (math.inf, math.inf)),
        (StatedHeight(80.0, Datum.AGL), 120.0, (80.0, math.inf)),
        (StatedHeight(80.0, Datum.ABOVE_LAUNCH), 120.0, (120.0, 80.0)),
        # 35 m is the launch point's own height.
        (StatedHeight(80.0, Datum.AMSL), 120.0, (120.0, 45.0)),
    ],
)
def test_ceilings(
    top: StatedHeight | None, hard: float | None, expected: tuple[float, float]
) -> None:
    boundary = None if top is None else Boundary(vertices_m=(), top=top)
    assert ceilings_m(evidence(boundary, hard)) == expected


def checked(
    folder: Path, *changes: tuple[str, str], highest_m: int | None = None
) -> dict[str, Row]:
    path = Path(shutil.copytree(EXAMPLE, folder / "sortie")) / "sortie.toml"
    text = path.read_text("utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, "utf-8")
    if highest_m is not None:
        route = path.with_name("route.csv")
        low = re.sub(r",(70|85),launch", f",{highest_m},launch", route.read_text("utf-8"))
        route.write_text(low, "utf-8")
    verdict = check_sortie(path, members=64, quick=True).verdict
    # A quick answer does not say until when: a longer one may know better.
    assert verdict.valid_until is None
    return {row.limit.slug: row for row in verdict.rows}


@pytest.mark.slow
def test_a_mast_too_high_to_be_flown_over(tmp_path: Path) -> None:
    mast = 'obstacle = [{ name = "mast", bearing = "75 deg", distance = "730 m", height = "70 m" }]'
    rows = checked(tmp_path, ("come_down = [", f"{mast}\ncome_down = ["))
    # 70 m and two spreads of it, 30 m of clearance and the aircraft's own: more than the 118 m
    # that one may fly.
    home, route = rows["ground.way_home"], rows["ground.route"]
    assert "over mast, 70 m high" in home.note
    assert "over mast, 70 m high" in route.note
    assert "return another way" in str(home.act)
    assert "over the ceiling" in str(home.act)
    assert "lead the route around it" in str(route.act)


@pytest.mark.slow
def test_a_ceiling_that_leaves_no_way_under_it(tmp_path: Path) -> None:
    trees = "vertices_m = [[250, 100], [350, 100], [350, 200], [250, 200]]"
    wood = f'canopy = [{{ height = {{ value = "40 m", sd = "0 m" }}, {trees} }}]'
    rows = checked(
        tmp_path,
        ("come_down = [", f"{wood}\ncome_down = ["),
        ("118 m above launch", "80 m above launch"),
        highest_m=60,
    )
    # Comes home at 85 m, 15 m too high for comfort, and 37 m over trees of which 30 m are wanted.
    assert "would not clear the ground" in str(rows["inside.ceiling"].act)
