"""Traps on the ordinary good day and the other ways out of the sharp corner, as worked by hand."""

import csv
import shutil
from pathlib import Path

import pytest

from homeleg.desk.check import check_sortie
from homeleg.verdict.result import Row, Status, Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"
Edit = tuple[str, str, str]
pytestmark = pytest.mark.slow


def turned(folder: Path, name: str, *edits: Edit, reverse: bool = False) -> Path:
    """Copy an example, its loop the other way round if asked, then exchange pieces of its files."""
    here = folder / name
    shutil.copytree(EXAMPLES / name, here)
    if reverse:
        head, takeoff, *points, back, land = (here / "route.csv").read_text("utf-8").splitlines()
        lines = [head, takeoff, *reversed(points), back, land]
        (here / "route.csv").write_text("\n".join(lines) + "\n", "utf-8")
    for file, old, new in edits:
        text = (here / file).read_text("utf-8")
        assert old in text, f"{file} holds no {old!r}"
        (here / file).write_text(text.replace(old, new), "utf-8")
    return here / "sortie.toml"


def at_thirty_degrees(cruise_m_s: str) -> list[Edit]:
    """Return the edits that fly the sharp corner at 30 deg of bank and another airspeed."""
    return [
        ("nighthawk.toml", 'bank = "45 deg"', 'bank = "30 deg"'),
        ("nighthawk.toml", 'cruise = "13.0 m/s EAS"', f'cruise = "{cruise_m_s} m/s EAS"'),
        ("route.csv", ",13.0,", f",{cruise_m_s},"),
    ]


def row(verdict: Verdict, slug: str) -> Row:
    return next(one for one in verdict.rows if one.limit.slug == slug)


def test_loop_reversed_and_launched_along_its_first_leg(tmp_path: Path) -> None:
    # Hand: the first leg is then launch to G, along 032, down-wind: 5.0 cos 13 deg = 4.87 m/s, of
    # which a direction drawn with 10 deg leaves exp(-0.1745^2 / 2) = 0.985.
    path = turned(
        tmp_path,
        "tern-point",
        ("sortie.toml", "[site]\n", '[site]\nlaunch_heading = "32 deg"\n'),
        reverse=True,
    )
    verdict = check_sortie(path, quick=True).verdict
    tail_wind = row(verdict, "away.tail_wind")
    assert tail_wind.status is Status.NO_GO
    assert tail_wind.value is not None
    assert tail_wind.value.p50 == pytest.approx(4.80, abs=0.1)


@pytest.mark.parametrize(
    ("end", "crab_deg", "status"),
    [
        # Crab of the legs by the wind triangle; on picture legs 20 deg at most.
        ("B", 23.2, Status.NO_GO),
        ("E", 23.1, Status.NO_GO),
        ("F", 18.1, Status.MARGINAL),
    ],
)
def test_pictures_on_a_leg_across_the_wind(
    tmp_path: Path, end: str, crab_deg: float, status: Status
) -> None:
    path = turned(tmp_path, "tern-point")
    route = path.with_name("route.csv")
    with route.open(encoding="utf-8", newline="") as file:
        points = list(csv.DictReader(file))
    for point in points:
        if point["name"] == end:
            point["picture"] = "yes"
    with route.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, points[0])
        writer.writeheader()
        writer.writerows(points)
    crab = row(check_sortie(path, quick=True).verdict, "corners.picture_crab")
    assert crab.status is status
    assert crab.value is not None
    assert crab.value.p50 == pytest.approx(crab_deg, abs=2.0)


def other_way(folder: Path, leg_m: int) -> Row:
    """Return the straight flight left of the loop flown Q4, Q3, Q2, Q1 at 13.5 m/s EAS, 30 deg.

    Q1 lies twice as far along the line from Q2: both corners of the short leg stay as they are, and
    the way from Q1 home, 158 m in the example and tighter than the short leg, is 327 m.
    """
    farther_m = leg_m - 120
    path = turned(
        folder,
        "mesa-alta",
        *at_thirty_degrees("13.5"),
        ("route.csv", "Q1,point,-150,-50", f"Q1,point,{75 - farther_m},-318"),
        ("route.csv", "Q2,point,-375", f"Q2,point,{-375 - farther_m}"),
        reverse=True,
    )
    return row(check_sortie(path, members=512).verdict, "corners.capture")


def test_the_short_leg_into_wind(tmp_path: Path) -> None:
    # Hand: 3.3 s after settling, 1.0 s in a lighter head wind; 2 s are wanted.
    capture = other_way(tmp_path, 120)
    assert capture.where is not None
    assert capture.where.leg == "Q3 to Q2"
    assert capture.value is not None
    assert capture.value.p50 == pytest.approx(3.3, abs=0.3)
    assert capture.value.p10 == pytest.approx(1.0, abs=0.3)
    assert capture.status is Status.MARGINAL


def test_the_short_leg_into_wind_made_longer(tmp_path: Path) -> None:
    assert other_way(tmp_path, 135).status is Status.GO


def test_the_way_home_from_the_last_corner_is_the_tighter(tmp_path: Path) -> None:
    # Hand, the loop the other way round with Q1 where it is: 158 m from Q1 home, down-wind at 21.1
    # m/s. Constant-bank turns carried by the wind (30 deg, 68 deg of turn at Q1, 108 overhead home)
    # take 54 and 102 m: 0.1 s, and 2 are for settling.
    path = turned(tmp_path, "mesa-alta", *at_thirty_degrees("13.5"), reverse=True)
    capture = row(check_sortie(path, quick=True).verdict, "corners.capture")
    assert capture.status is Status.NO_GO
    assert capture.where is not None
    assert capture.where.leg == "Q1 to return"
    assert capture.value is not None
    assert capture.value.p50 == pytest.approx(-1.9, abs=0.3)


def test_slightly_faster_at_thirty_degrees_of_bank(tmp_path: Path) -> None:
    # Hand: 13.2 m/s EAS give 1.30 at 30 deg.
    path = turned(
        tmp_path,
        "mesa-alta",
        *at_thirty_degrees("13.2"),
    )
    turn = row(check_sortie(path, quick=True).verdict, "speed.turn")
    assert turn.reading == pytest.approx(1.30, abs=0.01)


@pytest.mark.parametrize(
    ("return_height", "row_slug", "status"),
    [
        # Hand: 103 to 115 m above home clear the spur by 15 to 27 m at nine in ten: MARGINAL. 30 m
        # need 118 m, and that is above 120 m over home with 5 m of spread of its own height.
        ("104", "ground.way_home", Status.MARGINAL),
        ("114", "ground.way_home", Status.MARGINAL),
        ("119", "inside.ceiling", Status.NO_GO),
    ],
)
def test_a_raised_return_never_reaches_go(
    tmp_path: Path, return_height: str, row_slug: str, status: Status
) -> None:
    raised = f'return_height = "{return_height} m above launch"'
    path = turned(
        tmp_path, "corrie-spur", ("ousel.toml", 'return_height = "80 m above launch"', raised)
    )
    assert row(check_sortie(path, quick=True).verdict, row_slug).status is status


def test_a_camera_swap_on_an_aircraft_flown_lighter(tmp_path: Path) -> None:
    # Hand: 2.49 kg over 1.05 is 2.37: flown below that, the mass alone is NO-GO.
    lighter = ("dunlin.toml", 'flown_maximum = "2.45 kg"', 'flown_maximum = "2.36 kg"')
    verdict = check_sortie(turned(tmp_path, "bracken-workshop", lighter), quick=True).verdict
    assert row(verdict, "mass.total").status is Status.NO_GO


def test_a_camera_swap_on_the_route_of_the_shore(tmp_path: Path) -> None:
    # Hand: 798 m out after a moved camera, where step 1 of the reach allows a circuit in glide.
    path = turned(tmp_path, "bracken-workshop")
    shutil.copy(EXAMPLES / "tern-point" / "route.csv", path.with_name("route.csv"))
    verdict = check_sortie(path, quick=True).verdict
    assert row(verdict, "reach.step").status is Status.NO_GO
