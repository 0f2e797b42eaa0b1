import re

import pytest
from starlette.testclient import TestClient

from homeleg.app.questions import DONT_KNOW
from homeleg.desk.base import Base
from homeleg.desk.guide import pack_options, pack_refusal
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.foundation.estimate import Basis

WING = {"plan": "flying wing", "span": "1.9", "span-unit": "m", "chord": "245 mm", "mass": "2600 g"}
UNKNOWN = dict.fromkeys(("flights", "balance", "full-power", "cruise"), DONT_KNOW)
ANSWERS = {
    **WING,
    "pack": "4s 5200mah",
    "launch": "hand",
    **UNKNOWN,
    "name": "Whitby 2 (grey)",
}


def test_the_first_question_shows_four_drawings(client: TestClient) -> None:
    page = client.get("/aircraft/new").text
    assert "Which of these is it most like?" in page
    assert page.count("Seen from above, nose up.</desc>") == 4


def test_what_follows_appears_with_the_mass(client: TestClient) -> None:
    before = client.get("/aircraft/new", params={**WING, "mass": ""}).text
    assert "Stall speed" not in before
    after = client.get("/aircraft/new", params=WING).text
    assert "label of its pack" in after
    assert "Stall speed" in after


@pytest.mark.parametrize(
    ("label", "cells", "capacity"),
    [("4S 5200 mAh", "4", "5200 mAh"), ("6s10Ah", "6", "10 Ah"), ("3S, 2.2 Ah", "3", "2.2 Ah")],
)
def test_a_label_is_read(label: str, cells: str, capacity: str) -> None:
    assert pack_options(label) == {"cells": cells, "capacity": capacity}
    assert pack_refusal(label) is None


@pytest.mark.parametrize("label", ["5200 mAh", "4S", "4S 5200", "4S 5200 Ah", "99S 5 Ah", "mAh"])
def test_a_label_that_says_too_little_is_refused(label: str) -> None:
    assert pack_refusal(label)


def test_what_follows_is_told_while_typing(client: TestClient) -> None:
    answer = client.get("/aircraft/new/picture", params=WING)
    assert answer.status_code == 200
    assert "Power in cruise" in answer.text
    assert "<html" not in answer.text


@pytest.mark.parametrize(
    ("answer", "words"),
    [("19 m", "span"), ("1.9", "no unit"), ("-2 m", "span"), ("wide", "wide")],
)
def test_a_refused_answer_says_why_and_stays(client: TestClient, answer: str, words: str) -> None:
    page = client.get("/aircraft/new", params={"plan": "flying wing", "span": answer}).text
    assert "How wide is it" in page
    assert 'aria-invalid="true"' in page
    assert f'value="{answer}"' in page
    assert words in page


def test_it_is_kept_as_a_file_that_can_be_read(client: TestClient, base: Base) -> None:
    answer = client.post("/aircraft/new", data=ANSWERS, follow_redirects=False)
    assert answer.status_code == 303
    assert answer.headers["location"] == "/sortie/new?aircraft=whitby-2-grey"
    record = read_aircraft(base.aircraft / "whitby-2-grey.toml")
    assert record.name == "Whitby 2 (grey)"
    assert record.battery.capacity_ah == pytest.approx(5.2)
    assert record.flights == 0


def test_a_second_of_the_same_name_takes_no_other_file(client: TestClient, base: Base) -> None:
    for _ in range(2):
        client.post("/aircraft/new", data=ANSWERS, follow_redirects=False)
    made = sorted(path.name for path in base.aircraft.glob("whitby*"))
    assert made == ["whitby-2-grey-2.toml", "whitby-2-grey.toml"]


def test_nothing_is_written_while_answers_are_missing(client: TestClient, base: Base) -> None:
    there = sorted(base.aircraft.iterdir())
    answer = client.post("/aircraft/new", data=WING, follow_redirects=False)
    assert answer.status_code == 422
    assert sorted(base.aircraft.iterdir()) == there


def test_every_dont_know_there_is_leads_to_an_aircraft(client: TestClient) -> None:
    answers = {**WING, "pack": "4S 5200 mAh", "launch": "hand", "name": "Doubt"}
    while True:
        page = client.get("/aircraft/new", params=answers).text
        asked = re.search(r'name="([a-z-]+)" value="don.t know"', page)
        if asked is None:
            break
        answers[asked[1]] = DONT_KNOW
    answer = client.post("/aircraft/new", data=answers, follow_redirects=False)
    assert answer.status_code == 303
    assert client.get("/aircraft/new", params={**WING, "chord": DONT_KNOW}).text.count(
        "How deep is the wing?"
    )


AT_THE_BODY = {**ANSWERS, "balance": "75", "balance-unit": "mm"}
TAIL = {"plan": "front motor with tail", "balance-range": DONT_KNOW}


def test_a_swept_wing_that_balances_at_the_body_is_asked_its_sweep(
    client: TestClient, base: Base
) -> None:
    asked = client.get("/aircraft/new", params=AT_THE_BODY).text
    assert "How far does the front edge sweep back?" in asked
    assert "Question 9 of 12" in asked
    client.post("/aircraft/new", data={**AT_THE_BODY, "sweep": "30 mm"}, follow_redirects=False)
    # Hand: (75 - 30) mm of a chord of 245 mm.
    balance = read_aircraft(base.aircraft / "whitby-2-grey.toml").mass.centre_of_gravity_fraction
    assert balance.value == pytest.approx(45.0 / 245.0)


def test_without_its_sweep_the_balance_of_a_wing_is_assumed(client: TestClient, base: Base) -> None:
    answers = {**AT_THE_BODY, "sweep": DONT_KNOW}
    assert client.post("/aircraft/new", data=answers, follow_redirects=False).status_code == 303
    mass = read_aircraft(base.aircraft / "whitby-2-grey.toml").mass
    assert mass.centre_of_gravity_fraction.basis is Basis.ASSUMED


def test_a_straight_wing_is_not_asked_its_sweep(client: TestClient, base: Base) -> None:
    answers = {**AT_THE_BODY, **TAIL}
    assert client.post("/aircraft/new", data=answers, follow_redirects=False).status_code == 303
    balance = read_aircraft(base.aircraft / "whitby-2-grey.toml").mass.centre_of_gravity_fraction
    assert balance.value == pytest.approx(75.0 / 245.0)


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ({**AT_THE_BODY, "sweep": "80 mm"}, "ahead of the wing"),
        ({**AT_THE_BODY, "plan": "front motor with tail", "balance-unit": "cm"}, "behind the wing"),
        ({**ANSWERS, "balance": "far back"}, "far back"),
    ],
)
def test_a_balance_that_cannot_be_is_refused_where_it_is_asked(
    client: TestClient, answers: dict[str, str], words: str
) -> None:
    page = client.get("/aircraft/new", params=answers).text
    assert 'aria-invalid="true"' in page
    assert words in page


def test_limits_of_the_balance_are_asked_of_an_aircraft_with_a_tail(
    client: TestClient, base: Base
) -> None:
    answers = {**AT_THE_BODY, **TAIL, "balance-range": ""}
    assert (
        "Between which two places may it balance?"
        in client.get("/aircraft/new", params=answers).text
    )
    client.post("/aircraft/new", data={**answers, "balance-range": "60 to 80 mm"})
    # Hand: 60 mm and 80 mm of a chord of 245 mm.
    flown = read_aircraft(base.aircraft / "whitby-2-grey.toml").mass.flown_range_fraction
    assert flown == pytest.approx((60.0 / 245.0, 80.0 / 245.0))
    # On two fingers, as in the weighing: 3 mm.
    balance = read_aircraft(base.aircraft / "whitby-2-grey.toml").mass.centre_of_gravity_fraction
    assert balance.basis is Basis.BENCH
    assert balance.sd == pytest.approx(3.0 / 245.0)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ("80 to 60 mm", "foremost"),
        ("60 mm", "does not say two places"),
        ("60 to 80", "does not say two places"),
        ("60 to 400 mm", "ends behind the wing"),
        ("25 to 32 % MAC", ""),
        ("60–80mm", ""),
        ("2,4 - 3.1 in", ""),
    ],
)
def test_limits_that_cannot_be_are_refused_where_they_are_asked(
    client: TestClient, told: str, words: str
) -> None:
    answers = {**AT_THE_BODY, **TAIL, "balance-range": told}
    page = client.get("/aircraft/new", params=answers).text
    assert ('aria-invalid="true"' in page) == bool(words)
    assert words in page
