import math
from datetime import UTC, datetime

import pytest
from starlette.testclient import TestClient

from homeleg.app.questions import DONT_KNOW
from homeleg.desk.base import Base
from homeleg.desk.guided_sortie import COMPASS, keep_sortie, place_refusal
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError

ANSWERS = {
    "place": "55.0012 N, 5.0034 W, 35 m",
    "field": "large",
    "sign": "leaves and small twigs move all the time",
    "from": "SW",
    "gusty": "no",
    "sky": DONT_KNOW,
    "temperature": DONT_KNOW,
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


def test_posting_leads_to_the_sortie(client: TestClient, base: Base) -> None:
    answer = client.post(
        "/sortie/new", data={"aircraft": "petrel", **ANSWERS}, follow_redirects=False
    )
    assert answer.status_code == 303
    name = answer.headers["location"].removeprefix("/sortie/")
    assert (base.sorties / name / "route.csv").is_file()


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
