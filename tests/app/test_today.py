"""The first page of a base with sorties, and the question what changed, without a browser."""

import html
from datetime import UTC, datetime, timedelta

import pytest
from starlette.testclient import TestClient

from homeleg.app.office import Office
from homeleg.desk.base import Base
from homeleg.desk.examples import add_example
from homeleg.desk.logbook import enter, logbook_of, open_logbook
from homeleg.desk.logbook_laptop import laptop_of
from homeleg.formats.sortie_file import read_sortie
from homeleg.readiness.entries import Event, Flight, Note, things

NOW = datetime(2026, 6, 9, 16, 50, tzinfo=UTC)
CHANGED = "/aircraft/petrel/changed"


@pytest.fixture(autouse=True)
def clock(office: Office) -> None:
    office.now = lambda: NOW


@pytest.fixture
def flown(base: Base, office: Office) -> None:
    laptop = laptop_of(office.user_folder)
    open_logbook(base, laptop, NOW)
    flight = Flight(
        aircraft="petrel",
        duration_s=600.0,
        charge_ah=0.8,
        place="Tern Point",
        pilot="Kim",
        release=None,
        pack=None,
    )
    enter(base, laptop, NOW, flight, at=NOW - timedelta(days=4))


def words(client: TestClient, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return " ".join(html.unescape(answer.text).split())


def test_the_first_page_is_the_day_of_the_next_sortie(client: TestClient, base: Base) -> None:
    add_example(base, "mesa-alta")
    page = words(client, "/")
    assert "When can you fly Tern Point?" in page
    assert "Mesa Alta" in page
    assert 'href="/base"' in page
    assert "When can you fly Mesa Alta?" in words(client, "/?sortie=mesa-alta")
    assert "When can you fly Tern Point?" in words(client, "/?sortie=../../etc")


def test_a_base_whose_sorties_cannot_be_read_shows_what_there_is(
    client: TestClient, base: Base
) -> None:
    (base.sorties / "tern-point" / "sortie.toml").write_text("[site\n")
    assert "Tern Point" in words(client, "/")
    assert str(client.get("/").url).endswith("/base")


@pytest.mark.usefixtures("flown")
def test_what_changed_is_asked_answered_and_gone(client: TestClient, base: Base) -> None:
    page = words(client, "/")
    assert "landed 5 June, 4 days ago" in page
    assert f'href="{CHANGED}"' in page
    asked = words(client, CHANGED)
    assert "Voids the wing's calls and the surfaces; see every surface move" in asked
    assert 'value="Kim"' in asked
    client.post(CHANGED, data={"WING_REFITTED": "on", "by": "Lee  Two"})
    book = logbook_of(base)
    assert book is not None
    [(_, event)] = things(book.held, Event)
    assert (event.change.value, event.by) == ("wing refitted", "Lee Two")
    told = {
        answer.item
        for answer in read_sortie(base.sorties / "tern-point" / "sortie.toml").sortie.told
    }
    assert not {"wing", "sense"} & told
    page = words(client, "/")
    assert "What changed since the last flight?" not in page
    assert "The wing: count what holds it" in page


@pytest.mark.usefixtures("flown")
def test_nothing_changed_is_an_answer_too(client: TestClient, base: Base) -> None:
    client.post(CHANGED, data={"by": "Kim"})
    book = logbook_of(base)
    assert book is not None
    [(_, note)] = things(book.held, Note)
    assert note.words == "Nothing changed since the last flight."
    assert "What changed since" not in words(client, "/")


def test_no_aircraft_no_question(client: TestClient) -> None:
    assert client.get("/aircraft/heron/changed").status_code == 404
    assert client.post("/aircraft/heron/changed", data={}).status_code == 404
