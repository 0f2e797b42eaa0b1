"""The evening before and between flights, as pages, without a browser."""

import html
from datetime import UTC, datetime

import pytest
from starlette.testclient import TestClient

from homeleg.app.office import Office
from homeleg.desk.base import Base

TURNAROUND, EVENING = "/sortie/tern-point/turnaround", "/sortie/tern-point/evening"


@pytest.fixture(autouse=True)
def clock(office: Office) -> None:
    office.now = lambda: datetime(2026, 6, 8, 20, 0, tzinfo=UTC)


def words(client: TestClient, path: str) -> str:
    answer = client.get(path)
    assert answer.status_code == 200
    return " ".join(html.unescape(answer.text).split())


def test_the_evening_counts_what_is_to_do(client: TestClient) -> None:
    page = words(client, EVENING)
    assert "Tern Point: go through the list." in page
    assert "148 Wh a pack" in page
    assert "592 Wh" in words(client, f"{EVENING}?packs=4")
    for odd in ("-1", "9999", "many", ""):
        assert "in one case" in words(client, f"{EVENING}?packs={odd}")


def test_a_sortie_that_cannot_be_read_says_so(client: TestClient, base: Base) -> None:
    (base.sorties / "tern-point" / "sortie.toml").write_text("[site\n")
    assert "cannot be read yet" in words(client, EVENING)
    assert client.get("/sortie/nothing/evening").status_code == 404
    assert client.get("/sortie/nothing/turnaround").status_code == 404


def test_the_rule_is_set_on_the_page(client: TestClient, base: Base) -> None:
    assert "No rule ends this day yet" in words(client, TURNAROUND)
    client.post(TURNAROUND, data={"flights": "4", "flying": "90 min", "until": "18:00Z"})
    assert (base.folder / "stop.toml").read_text("utf-8").splitlines()[1:] == [
        "flights = 4",
        'flying = "90 min"',
        'until = "18:00Z"',
    ]
    page = words(client, TURNAROUND)
    assert "Stop for today: it is 20:00Z, and you set 18:00Z." in page
    assert 'value="90 min"' in page
    assert "Stop for today" in words(client, "/")


def test_a_slip_in_the_rule_is_told_beside_it(client: TestClient, base: Base) -> None:
    answer = client.post(TURNAROUND, data={"flights": "a few", "until": "18:00"})
    assert answer.status_code == 422
    page = html.unescape(answer.text)
    assert "is no number of flights" in page
    assert 'Write it as "18:00Z"' in page
    assert 'value="a few"' in page
    assert not (base.folder / "stop.toml").exists()
