"""What a release is asked for later: where its aircraft lies, and all of it in one zip.

The verdict is made by hand (tests/conftest.py); sightings are searched with sixteen flights.
"""

import hashlib
import html
import io
import re
import zipfile
from datetime import UTC, datetime

import pytest
from starlette.testclient import TestClient

from homeleg.app.errands import Errand
from homeleg.app.office import Office
from homeleg.briefing.search_sheet import SEARCH_CAUTIONS
from homeleg.desk import field_release
from homeleg.desk import search as desk

SORTIE = "/sortie/tern-point/release"
NOW = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)
SEEN = {"place": "55.0036 N, 4.9892 W, 85 m above launch", "at": "17:02Z"}


@pytest.fixture(autouse=True)
def few_flights(
    office: Office, hand_made_check: None, errands_here: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    office.now = lambda: NOW
    monkeypatch.setattr(field_release, "with_wind_window", lambda result, _progress: result)
    monkeypatch.setattr(desk, "_MEMBERS", 16)


@pytest.fixture
def address(client: TestClient) -> str:
    client.get(SORTIE)
    people = {"name-0": "Kim", "role-0": "pilot", "name-1": "Lee", "role-1": "observer"}
    answer = client.post(SORTIE, data=people, follow_redirects=False)
    return str(answer.headers["location"])


def words(page: str) -> str:
    return html.unescape(" ".join(re.sub(r"<[^>]*>", " ", page).split()))


def test_both_are_led_to_from_the_release_and_from_after(client: TestClient, address: str) -> None:
    for page in (address, f"{address}/after"):
        text = client.get(page).text
        assert f'href="{address}/lost"' in text
        assert f'href="{address}/evidence"' in text


def test_where_it_was_seen_says_where_to_look(client: TestClient, address: str) -> None:
    asked = words(client.get(f"{address}/lost").text)
    assert "Where was it last, and when?" in asked
    assert SEARCH_CAUTIONS[0] in asked
    said = words(client.post(f"{address}/lost", data=SEEN).text)
    # By hand on the sphere of 6371 km: 400 m north, 691 m east of 55.0000 N 5.0000 W.
    assert "799 m from the launch point on 060° true" in said
    assert "2:00 after launch" in said
    for caution in SEARCH_CAUTIONS:
        assert caution in said
    for paper in ("A4", "Letter"):
        assert client.get(f"{address}/lost/file/{paper}.pdf").content.startswith(b"%PDF")
    kml = client.get(f"{address}/lost/file/kml")
    assert "nine in ten" in kml.text
    assert kml.headers["content-disposition"].endswith('-search.kml"')
    assert client.get(f"{address}/lost/file/else").status_code == 404


def test_a_sighting_that_cannot_be_is_told_in_the_words_of_the_page(
    client: TestClient, address: str
) -> None:
    text = client.post(f"{address}/lost", data={**SEEN, "at": "16:00Z", "home": "yes"}).text
    said = words(text)
    assert "When that was" in said
    assert "before the launch" in said or "more than six hours after" in said
    assert "--" not in said
    assert html.unescape(text).count(SEEN["place"]) == 2  # what was typed, and the example
    assert re.search(r'name="home" value="yes" checked', text)
    assert client.get(f"{address}/lost/file/kml").status_code == 404


def test_what_takes_long_says_how_far_it_is_and_can_be_stopped(
    client: TestClient, office: Office, address: str
) -> None:
    for room in ("lost", "evidence"):
        here = f"{address}/{room}"
        office.errands._begun[here] = Errand(what="flying", share=0.25)
        assert "flying, 25 %" in words(client.get(here).text)
        told = client.get(f"{here}/progress").json()
        assert told == {"done": False, "what": "flying", "share": 0.25}
        client.post(f"{here}/stop")
        assert client.get(f"{here}/progress").json() == {"done": True}
        assert "flying, 25 %" not in words(client.get(here).text)


def test_the_zip_is_the_one_whose_digest_is_shown(client: TestClient, address: str) -> None:
    assert client.get(f"{address}/evidence/zip").status_code == 404
    page = client.post(f"{address}/evidence", data={}).text
    assert "no comparison of the route aboard with this release was kept" in words(page)
    answer = client.get(f"{address}/evidence/zip")
    shown = re.search(r"[0-9a-f]{32} [0-9a-f]{32}", words(page))
    assert shown is not None
    assert shown[0].replace(" ", "") == hashlib.sha256(answer.content).hexdigest()
    code = address.removeprefix("/release/")
    names = zipfile.ZipFile(io.BytesIO(answer.content)).namelist()
    assert f"{code}/{code}.release.json" in names
