"""Files dropped on the board's page: taken, asked about in place, refused in words."""

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from homeleg.desk.base import Base
from tests.desk.test_bring_in import GPX

DROP = "/drop/tern-point/file"


@pytest.fixture
def sortie(base: Base) -> Path:
    return base.sorties / "tern-point" / "sortie.toml"


def test_heights_are_asked_in_place_then_taken(client: TestClient, sortie: Path) -> None:
    asked = client.post(f"{DROP}?file=way.gpx&purpose=route", content=GPX)
    assert asked.status_code == 422
    assert asked.json()["asks_heights"]
    assert "--heights" not in asked.text
    told = client.post(f"{DROP}?file=way.gpx&purpose=route&heights=AMSL", content=GPX).json()
    assert told["ok"]
    assert told["count"] == "2 items"
    assert 'route = "way.csv"' in sortie.read_text()


def test_one_clear_error(client: TestClient, sortie: Path) -> None:
    before = sortie.read_bytes()
    answer = client.post(f"{DROP}?file=way.kml&purpose=route", content=b"no xml")
    (error,) = answer.json()["errors"]
    assert error["where"].startswith("way.kml")
    assert not answer.json()["asks_heights"]
    assert sortie.read_bytes() == before


def test_what_it_is_has_to_be_said(client: TestClient) -> None:
    answer = client.post(f"{DROP}?file=way.gpx&purpose=plan", content=GPX)
    assert answer.json()["errors"][0]["problem"] == "what is it?"


def test_a_file_too_large_is_refused(client: TestClient, sortie: Path) -> None:
    before = sortie.read_bytes()
    answer = client.post(f"{DROP}?file=way.gpx&purpose=route", content=b" " * 2000)
    assert answer.status_code == 413  # these tests take 1,000 bytes
    assert sortie.read_bytes() == before


def test_no_such_sortie(client: TestClient) -> None:
    answer = client.post("/drop/none/file?file=way.gpx&purpose=route", content=GPX)
    assert answer.status_code == 404
