"""The verdict screen: what it says, that each number opens its row, in which units, kept on faults.

The verdict is made by hand (tests/conftest.py); the ribbon is its own.
"""

import html
import re
from datetime import datetime, timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from homeleg.amend.change import Change
from homeleg.amend.proposal import Proposal as Found
from homeleg.app.checks import Standing
from homeleg.app.office import Office
from homeleg.app.worker import Checked, Refused, Sought
from homeleg.desk.amend import Proposal
from homeleg.desk.base import Base
from homeleg.desk.verdict_view import change_view
from homeleg.formats.amend_edit import edited_files
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.verdict.result import Status
from homeleg.world.weather import Weather
from tests.conftest import MakeVerdict

PAGE = "/sortie/tern-point"


@pytest.fixture
def standing(
    office: Office, base: Base, make_verdict: MakeVerdict, weather: Weather, launch_time: datetime
) -> Standing:
    """Return a full answer that stands."""
    answer = Checked(verdict=make_verdict(), weather=weather, launch_time=launch_time)
    path = base.sorties / "tern-point" / "sortie.toml"
    standing = office.checks._standing[path] = Standing((), answer=answer, full=True)
    return standing


def shown(client: TestClient) -> str:
    answer = client.get(PAGE)
    assert answer.status_code == 200
    return html.unescape(answer.text)


def words(page: str) -> str:
    return " ".join(re.sub(r"<[^>]*>", " ", page).split())


def test_before_an_answer_it_is_being_flown(client: TestClient) -> None:
    assert "being flown in computation" in shown(client)


@pytest.mark.usefixtures("standing")
def test_word_sentence_act_and_what_is_to_do(client: TestClient) -> None:
    page = shown(client)
    said = words(page)
    assert 'class="plate no-go"' in page
    assert "1 to do at the field" in said
    assert "while one that reaches GO is looked for Come home at 20.5 m/s." in said
    assert "At least one limit fails. Change something, or do not fly." in said
    assert "Wind 5.0 m/s, 15 min old at launch" in said


@pytest.fixture
def proposed(standing: Standing, base: Base, make_verdict: MakeVerdict) -> Proposal:
    """Return the proposal to wait for an hour, put on the page."""
    path = base.sorties / "tern-point" / "sortie.toml"
    path.write_text(f"# As the owner of the field wants it.\n{path.read_text()}")
    files = read_sortie(path)
    later = files.sortie.launch_time + timedelta(hours=1)
    change = Change(words=f"wait until {later:%H:%MZ}", cost=1.0, launch_time=later)
    proposal = Proposal(
        found=Found(
            change=change, sortie=files.sortie, before=make_verdict(), after=make_verdict(Status.GO)
        ),
        files=edited_files(files, change),
        sources=files.sources,
    )
    standing.change = Sought(proposal)
    return proposal


@pytest.mark.usefixtures("proposed")
def test_the_proposed_change_is_the_act_and_is_written(client: TestClient, base: Base) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    before = path.read_text()
    page = shown(client)
    said = words(page)
    # By hand: the verdicts of these tests take the same time and charge, before and after.
    assert "The one change that reaches GO Wait until 18:00Z." in said
    assert "Comes home with 91 % left, even on a bad day. Costs neither time nor charge." in said
    assert page.count('class="act"') == 1
    key = re.findall(r'name="key" value="(\w+)"', page)[0]
    answer = client.post(f"{PAGE}/change", data={"key": "another"})
    assert answer.status_code == 422
    assert "no longer proposed" in answer.text
    assert path.read_text() == before
    client.post(f"{PAGE}/change", data={"key": key})
    changed = path.read_text()
    assert "18:00" in changed
    assert changed.startswith("# As the owner of the field wants it.\n")


@pytest.mark.usefixtures("proposed")
def test_a_change_made_is_taken_back_in_one_press(client: TestClient, base: Base) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    before = path.read_bytes()
    page = shown(client)
    assert "Take it back" not in page
    key = re.findall(r'name="key" value="(\w+)"', page)[0]
    client.post(f"{PAGE}/change", data={"key": key})
    assert path.read_bytes() != before
    assert "Changed: Wait until 18:00Z. Take it back" in words(shown(client))
    client.post(f"{PAGE}/undo")
    assert path.read_bytes() == before
    assert "Take it back" not in shown(client)
    assert client.post(f"{PAGE}/undo").status_code == 422


def test_another_hand_is_not_taken_back(
    client: TestClient, base: Base, office: Office, proposed: Proposal
) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    client.post(f"{PAGE}/change", data={"key": change_view(proposed).key})
    path.write_text(path.read_text() + "# another hand\n")
    after = path.read_bytes()
    assert "Take it back" not in shown(client)
    assert client.post(f"{PAGE}/undo").status_code == 422
    with pytest.raises(InputFileError, match="was changed since"):
        office.made[path][-1].take_back()
    assert path.read_bytes() == after


def test_a_change_is_not_written_over_another_hand(
    client: TestClient, base: Base, proposed: Any
) -> None:
    key = re.findall(r'name="key" value="(\w+)"', shown(client))[0]
    path = base.sorties / "tern-point" / "sortie.toml"
    path.write_text(path.read_text() + "# another hand\n")
    before = path.read_bytes()
    answer = client.post(f"{PAGE}/change", data={"key": key})
    assert answer.status_code == 422
    assert "was changed after the proposal was made" in answer.text
    assert path.read_bytes() == before
    assert proposed.act == "Wait until 18:00Z."


def test_where_none_was_found_it_says_so(client: TestClient, standing: Standing) -> None:
    standing.change = Sought(None)
    assert "No change found that reaches GO. Try first Come home" in words(shown(client))


@pytest.mark.usefixtures("standing")
def test_each_number_opens_its_row(client: TestClient) -> None:
    page = shown(client)
    targets = set(re.findall(r'href="#(row-[^"]+)"', page))
    rows = set(re.findall(r'<details class="q[^"]*" id="(row-[^"]+)"', page))
    assert targets != set()
    assert targets <= rows
    assert {"row-headway.ground_speed", "row-reserve.charge"} <= rows
    said = words(page)
    for fact in ("Want ≥ 5.0 m/s", "Hard ≥ 3.0 m/s", "Cause Wind aloft", "Limit from Our own"):
        assert fact in said
    assert "8 in 10 flights 2.1 m/s to 5.9 m/s, middle 4.0 m/s" in said
    assert "Beyond hard 22.0 % of flights (21.0 to 23.0)" in said


@pytest.mark.usefixtures("standing")
def test_other_units_change_every_figure(client: TestClient) -> None:
    client.post("/face", data={"speed": "kt"})
    said = words(shown(client))
    # 1 kt is 1852/3600 m/s: 2.1 m/s is 4.08 kt, 5.0 m/s is 9.72 kt.
    assert "4 kt" in said
    assert "Want ≥ 10 kt" in said
    assert not re.search(r"\d m/s", said)


def test_a_broken_file_keeps_the_last_answer(client: TestClient, standing: Standing) -> None:
    standing.refused = Refused((Problem(where="route.csv", problem="torn", remedy="Mend it."),))
    said = words(shown(client))
    assert "The files have changed and cannot be read. This is the last answer." in said
    assert "route.csv : torn" in said
    assert "NO-GO" in said


def test_a_quick_answer_says_so(
    client: TestClient, standing: Standing, make_verdict: MakeVerdict
) -> None:
    assert "Quick answer." not in words(shown(client))
    verdict = make_verdict(Status.GO)
    object.__setattr__(verdict, "provisional", True)
    assert standing.answer is not None
    object.__setattr__(standing.answer, "verdict", verdict)
    assert "Quick answer." in words(shown(client))


@pytest.mark.usefixtures("standing")
def test_a_wind_typed_in_goes_into_the_file(client: TestClient, base: Base) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    client.post(f"{PAGE}/wind", data={"wind": "12 kt from 230"})
    assert 'value = "12 kt from 230"' in path.read_text()
    before = path.read_text()
    answer = client.post(f"{PAGE}/wind", data={"wind": "12 from 230"})
    assert answer.status_code == 422
    assert 'class="wrong"' in answer.text
    assert path.read_text() == before


@pytest.mark.usefixtures("standing")
def test_no_inline_style_or_handler(client: TestClient) -> None:
    page = client.get(PAGE).text
    assert not re.search(r"<[^>]* (style|on\w+)=", page)
    assert "<style" not in page
