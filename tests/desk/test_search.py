"""Where to look for an example's aircraft: the page, the map, and sightings that cannot be."""

import math
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from defusedxml.ElementTree import fromstring

from homeleg.briefing.search_sheet import SEARCH_CAUTIONS
from homeleg.cli.main import run
from homeleg.desk import search as desk
from homeleg.desk.release import write_release
from homeleg.desk.search import Searched, Sighting, search
from homeleg.foundation.errors import InputFileError, RefusedError
from homeleg.release.release import Release

TERN_POINT = Path(__file__).parents[2] / "examples" / "tern-point"
PLACE = "55.0036 N, 4.9892 W, 85 m above launch"
KML = "{http://www.opengis.net/kml/2.2}"


@pytest.fixture
def released(
    tmp_path: Path, make_release: Callable[..., Release], monkeypatch: pytest.MonkeyPatch
) -> Path:
    shutil.copytree(TERN_POINT, tmp_path, dirs_exist_ok=True)
    monkeypatch.setattr(desk, "_MEMBERS", 16)
    path = tmp_path / "r.json"
    write_release(make_release(), path)
    return path


def found(path: Path, place: str = PLACE, at: str = "17:02Z", **more: object) -> Searched:
    return search(path, Sighting(place=place, at=at, **more))  # type: ignore[arg-type]


def test_page_and_map_say_the_same(released: Path) -> None:
    told = found(released)
    sheet = told.sheet
    # By hand on the sphere of 6371 km: 400 m north, 691 m east of 55.0000 N 5.0000 W.
    assert "799 m from the launch point on 060° true" in sheet.seen
    assert "2:00 after launch" in sheet.seen
    shares = [spot.share for spot in sheet.spots]
    assert shares == sorted(shares, reverse=True)
    for spot in sheet.spots:
        north_m = math.radians(spot.latitude_deg - 55.0) * 6.371e6
        east_m = math.radians(spot.longitude_deg + 5.0) * 6.371e6 * math.cos(math.radians(55.0))
        assert math.hypot(east_m, north_m) == pytest.approx(spot.distance_m, rel=0.01)
        off_deg = math.degrees(math.atan2(east_m, north_m)) - spot.bearing_deg
        assert abs((off_deg + 180.0) % 360.0 - 180.0) < 1.5
    root = fromstring(told.kml)
    marks = root.findall(f"{KML}Document/{KML}Placemark")
    names = [mark.findtext(f"{KML}name") for mark in marks]
    assert names == [
        *("nine in ten", "five in ten"),
        *(str(spot.number) for spot in sheet.spots),
        *("last seen", "launch point"),
    ]
    for ring in root.iter(f"{KML}LinearRing"):
        corners = (ring.findtext(f"{KML}coordinates") or "").split()
        assert corners[0] == corners[-1]
        assert len(corners) >= 5


def test_the_same_sighting_gives_the_same_map(released: Path) -> None:
    assert found(released).kml == found(released).kml


@pytest.mark.slow
def test_a_height_may_be_told_in_each_way(released: Path) -> None:
    # The launch point lies at 35 m AMSL, on flat ground.
    pages = [
        found(released, f"55.0036 N, 4.9892 W, {height}") for height in ("120 m AMSL", "85 m AGL")
    ]
    assert pages[0].sheet.spots == pages[1].sheet.spots == found(released).sheet.spots
    assert "as planned then: 8" in found(released, "55.0036 N, 4.9892 W").sheet.seen


@pytest.mark.slow
def test_a_later_launch_moves_the_clock_alone(released: Path) -> None:
    later = found(released, at="17:22Z", launched="17:20Z")
    assert later.sheet.spots == found(released).sheet.spots
    assert "launched 17:20:00Z" in later.sheet.notes[0]


@pytest.mark.slow
def test_one_way_of_coming_down_alone(released: Path) -> None:
    assert found(released, only=["circling"]).sheet.kept[0].startswith("100 %: circling down")
    with pytest.raises(RefusedError, match="all 16 computed flights home land"):
        found(released, only=["home"])


@pytest.mark.parametrize(
    ("place", "at", "launched", "words"),
    [
        ("here", "17:02Z", None, "--last-seen: 'here' is not latitude, longitude"),
        ("5.0 W, 55.0 N", "17:02Z", None, "are the two swapped?"),
        ("55.0 N, 5.0 W, 85 m", "17:02Z", None, "85 m above what?"),
        (
            "55.0 N, 5.0 W, -20 m AMSL",
            "17:02Z",
            None,
            "-55 m above launch is below the ground there",
        ),
        ("55.0 N, 5.0 W, 4 km above launch", "17:02Z", None, "4000 m above launch is above 3000 m"),
        ("55.0 N, 5.0 W, 90 m ellipsoid", "17:02Z", None, "above the ellipsoid"),
        ("55.0 N, 5.0 E", "17:02Z", None, "km from the launch point, 2:00 after launch"),
        (PLACE, "17:02", None, "--at: '17:02' does not say in which time zone"),
        (PLACE, "25:02Z", None, "'25:02Z' is no time of day"),
        (PLACE, "soon", None, "--at: 'soon' is not a date and time"),
        (PLACE, "2026-06-09 16:59Z", None, "is before the launch at 2026-06-09 17:00:00Z"),
        (PLACE, "2026-06-10 16:59Z", None, "is more than six hours after the launch"),
        (PLACE, "17:02Z", "noon", "--launched: 'noon' is not a date and time"),
    ],
)
def test_a_sighting_that_cannot_be_is_told(
    released: Path,
    capsys: pytest.CaptureFixture[str],
    place: str,
    at: str,
    launched: str | None,
    words: str,
) -> None:
    late = [] if launched is None else ["--launched", launched]
    assert run(["search", str(released), "--last-seen", place, "--at", at, *late]) == 2
    said = capsys.readouterr().err
    assert re.sub(r'"([^"]*)"', r"'\1'", " ".join(said.split())).find(words) >= 0, said


def test_all_slips_are_told_at_once(released: Path) -> None:
    with pytest.raises(InputFileError) as refused:
        found(released, "here", "soon", launched="noon")
    assert [problem.where for problem in refused.value.problems] == [
        "--launched",
        "--at",
        "--last-seen",
    ]


def test_the_command_says_and_writes_it(
    released: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kml, pdf = tmp_path / "area.kml", tmp_path / "page.pdf"
    files = ["--out", str(kml), "--paper", str(pdf)]
    arguments = ["search", str(released), "--last-seen", PLACE, "--at", "17:02Z", *files]
    assert run(arguments) == 0
    said = " ".join(capsys.readouterr().out.split())
    for words in ("Look in this order", "50 %: circling down", *SEARCH_CAUTIONS):
        assert words in said
    assert kml.read_text("utf-8").startswith("<?xml")
    assert pdf.read_bytes().startswith(b"%PDF")
    assert run(arguments) == 2
    assert "there is such a file already" in capsys.readouterr().err
