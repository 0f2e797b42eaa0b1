"""The calls at the aircraft: one a screen, each kept in the sortie's file with its time, voided."""

import tomllib
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from homeleg.app.office import Office
from homeleg.desk.base import Base
from homeleg.desk.calls import field_calls

NOON = datetime(2026, 7, 1, 12, 0, tzinfo=UTC)
NUMBERS = {"speed": "6", "gust": "8", "from": "230", "height": "2", "pack": "19", "then": "calls"}
PAGE = "/sortie/tern-point/calls"


@pytest.fixture
def path(base: Base) -> Path:
    return base.sorties / "tern-point" / "sortie.toml"


def told(path: Path) -> dict[str, Any]:
    table: dict[str, Any] = tomllib.loads(path.read_text("utf-8"))["told"]
    return table


def say(client: TestClient, item: str, answer: str, said: str = "", later: str = "") -> Any:
    fields = {"item": item, "answer": answer, "said": said, "later": later}
    return client.post(PAGE, data=fields, follow_redirects=False)


@pytest.fixture(autouse=True)
def at_noon(office: Office, client: TestClient) -> None:
    """Put the clock long after all answers of the example, and measure the wind again."""
    office.now = lambda: NOON
    client.post("/sortie/tern-point/numbers", data=NUMBERS)


def test_an_old_wind_is_measured_first(client: TestClient, office: Office, path: Path) -> None:
    office.now = lambda: NOON + timedelta(days=1)
    assert "What does the wind do now?" in client.get(PAGE).text
    before = path.read_text("utf-8")
    for wrong in ({"speed": "six"}, {"gust": "3"}, {"from": ""}, {"pack": "900"}):
        answer = client.post("/sortie/tern-point/numbers", data={**NUMBERS, **wrong})
        assert answer.status_code == 422
        assert path.read_text("utf-8") == before
    client.post("/sortie/tern-point/numbers", data=NUMBERS)
    kept = tomllib.loads(path.read_text("utf-8"))
    assert kept["weather"]["surface_wind"]["value"] == "6 m/s from 230"
    assert kept["weather"]["surface_wind"]["seen"] == "2026-07-02 12:00Z"
    assert kept["pack"]["temperature"] == "19 degC"
    assert kept["time"]["launch"] == "2026-07-02 12:10Z"
    assert "Call 1 of" in client.get(PAGE).text


def test_the_first_open_call_comes_first_and_counts(client: TestClient) -> None:
    page = client.get(PAGE).text
    # Twelve told items can be done before a route is aboard; wing and surfaces take four calls.
    assert "Call 1 of 18" in page
    assert "Count what holds the wing" in page


def test_an_answer_goes_into_the_file_and_leads_on(client: TestClient, path: Path) -> None:
    comments = [line for line in path.read_text("utf-8").splitlines() if line.startswith("#")]
    answer = say(client, "walk", "GOOD")
    assert answer.status_code == 303
    assert told(path)["walk"]["answer"] == "good"
    assert told(path)["walk"]["seen"] == "2026-07-01 12:00Z"
    assert set(comments) <= set(path.read_text("utf-8").splitlines())
    # The wing's four calls are still open, and come first.
    assert "Call 1 of 18" in client.get(answer.headers["location"]).text


RIGGED = "ALL|NONE OF IT|NOTHING"


def test_the_wing_is_good_when_count_wear_and_both_pulls_are(
    client: TestClient, path: Path
) -> None:
    before = told(path).get("wing")
    address = say(client, "wing", "ALL").headers["location"]
    assert "cracked, worn, soft or too old" in client.get(address).text
    address = say(client, "wing", "NONE OF IT", said="ALL").headers["location"]
    assert "Pull the LEFT tip" in client.get(address).text
    assert told(path).get("wing") == before
    answer = say(client, "wing", "NOTHING", said=RIGGED)
    assert told(path)["wing"]["answer"] == "good"
    assert "Call 5 of 18" in client.get(answer.headers["location"]).text


@pytest.mark.parametrize(
    ("answer", "said"),
    [
        ("NOT ALL", ""),
        ("SOME OF IT", "ALL"),
        ("THE JOINT", "ALL|NONE OF IT"),
        ("THE JOINT", RIGGED),
    ],
)
def test_one_thing_wrong_with_the_wing_is_bad_at_once(
    client: TestClient, path: Path, answer: str, said: str
) -> None:
    say(client, "wing", answer, said=said)
    assert told(path)["wing"]["answer"] == "bad"


def test_surfaces_are_good_when_all_four_are(client: TestClient, path: Path) -> None:
    before = told(path).get("sense")
    address = say(client, "sense", "RIGHT").headers["location"]
    assert "Stick pulled" in client.get(address).text
    assert told(path).get("sense") == before
    say(client, "sense", "GOOD", said="RIGHT|UP|NO RUDDER")
    assert told(path)["sense"]["answer"] == "good"
    assert told(path)["sense"]["seen"] == "2026-07-01 12:00Z"


def test_one_wrong_surface_is_bad_at_once(client: TestClient, path: Path) -> None:
    say(client, "sense", "LEFT")
    assert told(path)["sense"]["answer"] == "bad"


def test_the_drawing_does_not_hint_at_the_answer(client: TestClient) -> None:
    page = client.get(PAGE, params={"item": "sense"}).text
    drawing = page[page.index("<svg") : page.index("</svg>")]
    left, right = drawing.count("left wing"), drawing.count("right wing")
    assert (left, right) == (1, 1)
    assert page.index('value="LEFT"') < page.index('value="RIGHT"')


def test_a_call_that_cannot_be_made_yet_is_left_open(client: TestClient, path: Path) -> None:
    before = path.read_text("utf-8")
    answer = say(client, "wing", "CAN'T SAY YET")
    assert path.read_text("utf-8") == before
    assert "Call 5 of 18" in client.get(answer.headers["location"]).text


@pytest.mark.parametrize(
    ("item", "number", "keys", "kept"),
    [
        ("heading", "4.5", ("told", "heading", "error"), "4.5 deg"),
        ("position", "3", ("told", "position", "distance"), "3 m"),
        ("pack.temperature", "-2", ("pack", "temperature"), "-2 degC"),
        ("pack.health", "96", ("pack", "health", "capacity"), "96 %"),
    ],
)
def test_a_figure_is_typed(
    client: TestClient, path: Path, item: str, number: str, keys: tuple[str, ...], kept: str
) -> None:
    assert 'inputmode="decimal"' in client.get(PAGE, params={"item": item}).text
    assert say(client, item, number).status_code == 303
    found: Any = tomllib.loads(path.read_text("utf-8"))
    for key in keys:
        found = found[key]
    assert found == kept


@pytest.mark.parametrize("number", ["", "much", "4 5", "999", "1e3", "²"])
def test_a_figure_that_cannot_be_is_refused(client: TestClient, path: Path, number: str) -> None:
    before = path.read_text("utf-8")
    answer = say(client, "heading", number)
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.text
    assert path.read_text("utf-8") == before


def test_an_answer_of_nobody_is_refused(client: TestClient, path: Path) -> None:
    before = path.read_text("utf-8")
    assert say(client, "wing", "MAYBE").status_code == 422
    assert say(client, "sense", "GOOD", said="RIGHT|UP|RIGHT|GOOD").status_code == 422
    assert say(client, "../wing", "GOOD").status_code == 404
    assert path.read_text("utf-8") == before


def test_unplugging_voids_what_rests_on_it(client: TestClient, path: Path) -> None:
    say(client, "wing", "NOTHING", said=RIGGED)
    say(client, "heading", "3")
    page = client.get(PAGE).text
    assert "Plugged in since 12:00Z or before. Unplug the pack and call 10 is void." in page
    say(client, "sense", "GOOD", said="RIGHT|UP|NO RUDDER")
    page = client.get(PAGE).text
    assert "Unplug the pack and calls 5 to 8 and 10 are void." in page
    client.post("/sortie/tern-point/unplugged")
    kept = told(path)
    assert kept["wing"]["answer"] == "good"
    assert not {"sense", "heading", "position", "route_aboard"} & set(kept)
    assert "and call" not in client.get(PAGE).text


def test_after_the_last_call_they_can_be_made_again(client: TestClient, path: Path) -> None:
    for call in field_calls(path, (), NOON):
        if call.calls[0].unit:
            say(client, call.item, "20")
        elif call.item == "sense":
            say(client, "sense", "GOOD", said="RIGHT|UP|RIGHT")
        elif call.item == "wing":
            say(client, "wing", "NOTHING", said=RIGGED)
        else:
            say(client, call.item, "GOOD")
    page = client.get(PAGE).text
    assert "All calls made, all good." in page
    assert 'href="/sortie/tern-point/numbers?then=release"' in page
    assert "pack.health" in page
    # Twelve hours after noon; a pack's temperature stands for one.
    assert page.count("good until 00:00Z") >= 8
    assert "good until 13:00Z" in page
    assert "good until 00:00Z, or unplugged" in page
    say(client, "walk", "NOT GOOD")
    assert "1 call is not good." in client.get(PAGE).text


def test_no_other_sortie_has_calls(client: TestClient) -> None:
    for name in ("nothing", "..%2F..%2Fetc"):
        assert client.get(f"/sortie/{name}/calls").status_code == 404
