"""The logbook's page and its forms: what is open first, nothing typed twice, slips told."""

import html
import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from starlette.testclient import TestClient

from homeleg.app.office import Office
from homeleg.app.screens.logbook import _ABOUT, _FORMS
from homeleg.desk.base import Base
from homeleg.desk.logbook import Logbook, logbook_of, logbook_path
from homeleg.desk.logbook_typed import KINDS_TYPED
from homeleg.readiness.entries import Defect, PackSeen, Withdrawal, things

NOW = datetime(2026, 6, 10, 8, tzinfo=UTC)
DEFECT = {"aircraft": "petrel", "words": "crack <in> the tail boom", "by": "Kim"}


@pytest.fixture(autouse=True)
def clock(office: Office) -> None:
    office.now = lambda: NOW


def words(page: str) -> str:
    return html.unescape(" ".join(re.sub(r"<[^>]*>", " ", page).split()))


def book_of(base: Base) -> Logbook:
    book = logbook_of(base)
    assert book is not None
    return book


def enter(client: TestClient, kind: str, **fields: str) -> Any:
    return client.post(f"/logbook/{kind}", data=fields, follow_redirects=False)


def test_the_page_makes_the_logbook_and_says_that_nothing_is_open(
    client: TestClient, base: Base
) -> None:
    assert not logbook_path(base).exists()
    said = words(client.get("/logbook").text)
    assert "Nothing is open." in said
    assert "petrel: its record was entered." in said
    assert logbook_path(base).exists()
    assert 'href="/logbook"' in client.get("/face").text


def test_a_defect_is_entered_put_off_and_put_right(client: TestClient, base: Base) -> None:
    assert enter(client, "defect", **DEFECT).headers["location"] == "/logbook"
    [(entry, defect)] = things(book_of(base).held, Defect)
    assert defect.words == "crack <in> the tail boom"
    page = client.get("/logbook").text
    assert "1 thing to settle before the next flight." in words(page)
    assert "crack &lt;in&gt; the tail boom" in page
    asked = words(client.get(f"/logbook/deferral?about={entry.code}").text)
    assert "Fly on with it?" in asked
    assert f"{entry.code}: petrel: crack <in> the tail boom (Kim)." in asked
    put_off = {"about": entry.code, "by": "Kim", "until": "2026-06-12", "limitation": "no loops"}
    enter(client, "deferral", **put_off)
    assert "Nothing stops you; 1 thing is coming." in words(client.get("/logbook").text)
    enter(client, "done", about=entry.code, by="Lee", words="glued")
    assert "Nothing is open." in words(client.get("/logbook").text)


def test_slips_are_told_at_their_fields_and_what_was_typed_is_kept(client: TestClient) -> None:
    answer = enter(client, "flight", aircraft="petrel", minutes="-3", charged="2290", place="Moor")
    assert answer.status_code == 422
    said = words(answer.text)
    assert "Minutes, launch to landing : -3 cannot be" in said
    assert "Charged back : " in said
    assert "Pilot : is missing" in said
    assert 'name="minutes" value="-3"' in answer.text
    assert 'name="place" value="Moor"' in answer.text
    assert answer.text.count("aria-invalid=true") == 3


def test_the_same_twice_is_told(client: TestClient) -> None:
    enter(client, "defect", **DEFECT)
    again = enter(client, "defect", **DEFECT)
    assert again.status_code == 422
    assert "this stands there already" in words(again.text)


def test_who_and_which_aircraft_are_not_typed_twice(client: TestClient) -> None:
    enter(client, "defect", **DEFECT)
    page = client.get("/logbook/defect").text
    assert 'name="by" value="Kim"' in page
    assert "<option selected>petrel</option>" in page
    enter(client, "pack", pack="B2", aircraft="petrel", temperature="21 degC")
    assert '<option value="B2">' in client.get("/logbook/pack").text


def test_a_pack_swap_counts_in_its_aircraft(client: TestClient, base: Base) -> None:
    enter(client, "pack", pack="B2", aircraft="petrel", temperature="21 degC", cycles="41")
    [(_, seen)] = things(book_of(base).held, PackSeen)
    assert (seen.aircraft, seen.cycles) == ("petrel", 41)
    assert "B2 0 flights in this logbook, 41 cycles, 21 degC on 2026-06-10, in petrel" in words(
        client.get("/logbook").text
    )


def test_a_changed_aircraft_leads_to_its_question(client: TestClient, base: Base) -> None:
    client.get("/logbook")
    file = base.aircraft / "petrel.toml"
    file.write_text(file.read_text("utf-8").replace('"0.28 m"', '"0.30 m"'), "utf-8")
    page = client.get("/logbook").text
    assert "propulsion.propeller_diameter: 0.28 m -> 0.30 m" in words(page)
    assert 'class="small box" href="/aircraft/petrel/changed"' in page


def test_an_entry_is_taken_back(client: TestClient, base: Base) -> None:
    enter(client, "note", words="fog until nine")
    [entry] = [one for one in book_of(base).held if "fog" in str(one.thing)]
    assert f'href="/logbook/withdrawal?about={entry.code}"' in client.get("/logbook").text
    enter(client, "withdrawal", about=entry.code, by="Kim", reason="another day")
    assert "fog until nine" not in client.get("/logbook").text
    assert len(things(book_of(base).entries, Withdrawal)) == 1


def test_the_latest_are_shown_and_all_where_asked(
    client: TestClient, office: Office, monkeypatch: pytest.MonkeyPatch
) -> None:
    for number in range(32):
        clock = NOW + timedelta(hours=number)
        monkeypatch.setattr(office, "now", lambda clock=clock: clock)
        enter(client, "note", words=f"note {number}.")
    page = client.get("/logbook").text
    assert "note 31." in page
    assert "note 1." not in page
    assert "note 1." in client.get("/logbook?all").text


def test_each_form_asks_for_what_its_kind_is_read_from(client: TestClient) -> None:
    assert set(_FORMS) <= set(KINDS_TYPED)
    for kind in set(_FORMS) - set(_ABOUT):
        assert client.get(f"/logbook/{kind}").status_code == 200
    assert client.get("/logbook/voyage").status_code == 404
    assert client.get("/logbook/done?about=333333").status_code == 422


def test_a_damaged_logbook_is_told_and_the_rest_goes_on(client: TestClient, base: Base) -> None:
    client.get("/logbook")
    logbook_path(base).write_bytes(b"nonsense" * 2000)
    answer = client.get("/logbook")
    assert answer.status_code == 422
    assert "homeleg logbook rescue" in answer.text
    assert client.get("/base").status_code == 200
