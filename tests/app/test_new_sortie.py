import math
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from homeleg.app.questions import DONT_KNOW
from homeleg.desk.base import Base
from homeleg.desk.field_need import field_need
from homeleg.desk.ground_cover import ground_cover
from homeleg.desk.guide import keep_aircraft
from homeleg.desk.guided_sortie import COMPASS, keep_sortie, place_refusal
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import FlownBy

ANSWERS = {
    "place": "55.0012 N, 5.0034 W, 35 m",
    "field": "large",
    "sign": "leaves and small twigs move all the time",
    "from": "SW",
    "gusty": "no",
    "sky": DONT_KNOW,
    "temperature": DONT_KNOW,
    "kept": DONT_KNOW,
    "shape": "circuit",
}
NOW = datetime(2026, 6, 9, 16, 47, tzinfo=UTC)


def test_it_asks_for_an_aircraft_first(client: TestClient) -> None:
    page = client.get("/sortie/new").text
    assert "Which aircraft will fly?" in page
    assert "Petrel" in page


def test_questions_carry_the_aircraft(client: TestClient) -> None:
    page = client.get("/sortie/new", params={"aircraft": "petrel", "place": "nowhere"}).text
    assert "Where do you stand?" in page
    assert '<input type="hidden" name="aircraft" value="petrel">' in page
    assert "with commas between" in page


def test_the_files_can_be_read_and_say_what_was_answered(base: Base) -> None:
    known = {name: text for name, text in ANSWERS.items() if text != DONT_KNOW}
    name = keep_sortie(base, "petrel", known, NOW)
    sortie = read_sortie(base.sorties / name / "sortie.toml").sortie
    assert math.degrees(sortie.site.latitude_rad) == pytest.approx(55.0012)
    assert sortie.site.elevation_amsl_m == 35.0
    # Launched into the wind, wherever the first item lies.
    assert math.degrees(sortie.site.launch_heading_true_rad or 0.0) == pytest.approx(225.0)
    assert sortie.launch_time == datetime(2026, 6, 9, 17, 15, tzinfo=UTC)
    # Hand: the first corner lies 175 m up wind (225 deg) and 85 m to the left of that (135 deg).
    first = sortie.route.items[1]
    root = math.sqrt(0.5)
    assert first.east_m == pytest.approx(-175.0 * root + 85.0 * root, abs=1.0)
    assert first.north_m == pytest.approx(-175.0 * root - 85.0 * root, abs=1.0)


@pytest.mark.parametrize("shape", ["circuit", "loop", "out and back"])
def test_every_shape_stays_inside_a_first_flights_reach(base: Base, shape: str) -> None:
    known = {**{k: t for k, t in ANSWERS.items() if t != DONT_KNOW}, "shape": shape}
    name = keep_sortie(base, "petrel", known, NOW)
    sortie = read_sortie(base.sorties / name / "sortie.toml").sortie
    for item in sortie.route.items:
        assert math.hypot(item.east_m, item.north_m) + (item.radius_m or 0.0) < 200.0


def test_a_loop_about_the_launch_point_is_left_as_released(base: Base) -> None:
    # From inside a first orbit it lies in no direction: towards it is not a way of its own.
    known = {**{k: t for k, t in ANSWERS.items() if t != DONT_KNOW}, "shape": "loop"}
    sortie = read_sortie(base.sorties / keep_sortie(base, "petrel", known, NOW) / "sortie.toml")
    untold = replace(sortie.sortie.aircraft.takeoff, along=None)
    aircraft = replace(sortie.sortie.aircraft, takeoff=untold)
    ways = resolve(replace(sortie.sortie, aircraft=aircraft, flown_by=FlownBy.ROUTE)).departures
    assert [math.degrees(way.legs[0].course_rad) for way in ways] == [pytest.approx(225.0)]


def test_posting_leads_to_the_sortie(client: TestClient, base: Base) -> None:
    answer = client.post(
        "/sortie/new", data={"aircraft": "petrel", **ANSWERS}, follow_redirects=False
    )
    assert answer.status_code == 303
    name = answer.headers["location"].removeprefix("/sortie/new/reach?sortie=")
    assert (base.sorties / name / "route.csv").is_file()
    # Known to 1 km, nothing is missing.
    answer = client.get(answer.headers["location"], follow_redirects=False)
    assert answer.headers["location"] == f"/sortie/{name}"


def test_no_such_aircraft_writes_nothing(base: Base) -> None:
    there = sorted(base.sorties.rglob("*"))
    with pytest.raises(InputFileError, match="petrel"):
        keep_sortie(base, "no-such", {}, NOW)
    assert sorted(base.sorties.rglob("*")) == there


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("55.0, -5.0", "with commas between"),
        ("95.0 N, 5.0 W, 35 m", "latitude"),
        ("55.0 N, 5.0 W, 35", "unit"),
        ("55.0 W, 5.0 N, 35 m", "latitude"),
    ],
)
def test_a_place_that_is_none_is_refused_with_why(text: str, words: str) -> None:
    assert words in (place_refusal(text) or "")


def test_the_compass_has_its_points_in_order() -> None:
    assert [COMPASS.index(point) * 22.5 for point in ("N", "E", "SW", "NNW")] == [
        0.0, 90.0, 225.0, 337.5,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("kept", "temperature", "celsius", "sd_k"),
    [("room", "cold", 20.0, 4.0), ("outside", "cold", 5.0, 3.0), ("outside", None, 12.0, 8.0)],
)
def test_a_pack_is_as_warm_as_where_it_was_kept(
    base: Base, kept: str, temperature: str | None, celsius: float, sd_k: float
) -> None:
    known = {name: text for name, text in ANSWERS.items() if text != DONT_KNOW}
    known |= {"kept": kept} | ({"temperature": temperature} if temperature else {})
    name = keep_sortie(base, "petrel", known, NOW)
    pack = read_sortie(base.sorties / name / "sortie.toml").sortie.pack.temperature_k
    assert pack is not None
    assert pack.value - 273.15 == pytest.approx(celsius)
    assert pack.sd == pytest.approx(sd_k)


GLIDER = {
    "name": "Long Wing", "plan": "long-span glider type", "launch": "hand", "span": "2.60 m",
    "chord": "190 mm", "mass": "1.80 kg", "pack": "3S 4 Ah", "flights": "10",
}  # fmt: skip


@pytest.fixture
def far_gliding(base: Base) -> Path:
    """Return the sortie of a glider in a calm, on a field known to 500 m."""
    aircraft = keep_aircraft(base, GLIDER)
    known = {name: text for name, text in ANSWERS.items() if text != DONT_KNOW}
    known |= {"sign": "smoke drifts, vanes stay still", "field": "small"}
    return base.sorties / keep_sortie(base, aircraft, known, NOW) / "sortie.toml"


def test_a_pattern_beyond_the_known_ground_is_asked_about(
    client: TestClient, far_gliding: Path
) -> None:
    assert not ground_cover(far_gliding).is_covered
    name = far_gliding.parent.name
    page = client.get("/sortie/new/reach", params={"sortie": name}).text
    assert "you know the ground to 500 m" in page
    assert "Lower the pattern to 20 m" in page


@pytest.mark.parametrize("answer", ["farther", "lower"])
def test_either_answer_covers_the_ground_in_one_tap(
    client: TestClient, far_gliding: Path, answer: str
) -> None:
    data = {"sortie": far_gliding.parent.name, "answer": answer}
    given = client.post("/sortie/new/reach", data=data, follow_redirects=False)
    assert given.headers["location"] == f"/sortie/{far_gliding.parent.name}"
    assert ground_cover(far_gliding).is_covered
    assert field_need(far_gliding) is None


def test_no_such_sortie_has_no_reach(client: TestClient) -> None:
    assert client.get("/sortie/new/reach", params={"sortie": "no-such"}).status_code == 404
