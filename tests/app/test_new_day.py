"""Again today on its page: asked once, kept in one save, then the release."""

import html
import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from homeleg.app.office import Office
from homeleg.desk.base import Base
from homeleg.desk.logbook import enter, open_logbook
from homeleg.desk.logbook_laptop import laptop_of
from homeleg.formats.sortie_file import read_sortie
from homeleg.readiness.asked import is_asked
from homeleg.readiness.entries import Flight

PAGE = "/sortie/tern-point/again"
YESTERDAY = datetime(2026, 6, 9, 17, 30, tzinfo=UTC)
NOW = datetime(2026, 6, 10, 10, 2, tzinfo=UTC)
TYPED = {"speed": "6", "from": "240", "gust": "8", "pack": "16", "changed": "NOTHING"}


@pytest.fixture
def path(base: Base, office: Office) -> Path:
    """Return the file of a sortie whose aircraft flew yesterday."""
    laptop = laptop_of(office.user_folder)
    flight = Flight(
        aircraft="petrel",
        duration_s=272.0,
        charge_ah=0.469,
        place="Tern Point",
        pilot="Kim",
        release=None,
        pack=None,
    )
    enter(base, laptop, YESTERDAY, flight)
    office.now = lambda: NOW
    return base.sorties / "tern-point" / "sortie.toml"


def form(page: str) -> dict[str, str]:
    """Return what the page's fields hold."""
    fields = re.findall(r'<input class="line" name="([^"]+)" value="([^"]*)"', html.unescape(page))
    return dict(fields)


def test_today_leads_to_it(client: TestClient, path: Path) -> None:
    page = html.unescape(client.get("/").text)
    assert path.exists()
    assert 'class="act" href="/sortie/tern-point/again"' in page


def test_wind_and_pack_are_empty_and_the_rest_is_in_sight(client: TestClient, path: Path) -> None:
    fields = form(client.get(PAGE).text)
    assert path.exists()
    assert (fields["speed"], fields["from"], fields["gust"], fields["pack"]) == ("", "", "", "")
    assert (fields["charged"], fields["temperature"], fields["cloud"]) == ("100", "14", "900")


def test_it_is_kept_and_nothing_changed_is_entered(
    client: TestClient, base: Base, office: Office, path: Path
) -> None:
    typed = form(client.get(PAGE).text) | TYPED | {"walk-0": "GOOD"}
    answer = client.post(PAGE, data=typed, follow_redirects=False)
    assert answer.headers["location"] == "/sortie/tern-point/release"
    told = {one.item for one in read_sortie(path).sortie.told}
    assert "walk" in told
    assert "wing" not in told
    held = open_logbook(base, laptop_of(office.user_folder), NOW).held
    assert not is_asked(held, "petrel")
    assert "since the last flight" not in client.get(PAGE).text


def test_what_changed_has_to_be_said(client: TestClient, path: Path) -> None:
    before = path.read_bytes()
    typed = form(client.get(PAGE).text) | TYPED
    del typed["changed"]
    refused = client.post(PAGE, data=typed)
    assert refused.status_code == 422
    assert "Say that nothing changed, or what did." in refused.text
    assert form(refused.text)["speed"] == "6"
    assert path.read_bytes() == before


def test_a_slip_keeps_what_was_typed_and_answered(client: TestClient, path: Path) -> None:
    before = path.read_bytes()
    typed = form(client.get(PAGE).text) | TYPED | {"speed": "breeze", "walk-0": "NOT GOOD"}
    refused = client.post(PAGE, data=typed)
    assert refused.status_code == 422
    assert 'aria-describedby="wrong-speed"' in refused.text
    assert 'name="walk-0" value="NOT GOOD" checked' in refused.text
    assert path.read_bytes() == before
