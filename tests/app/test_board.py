from pathlib import Path

import pytest
from starlette.testclient import TestClient

from homeleg.desk.base import Base

BOARD = "/sortie/tern-point/route"


@pytest.fixture
def route(base: Base) -> Path:
    return base.sorties / "tern-point" / "route.csv"


def test_the_board_shows_names_and_wind(client: TestClient) -> None:
    page = client.get(BOARD).text
    assert "wind from 225, 5.0 m/s" in page
    assert '"name": "E"' in page


def test_a_move_is_kept_and_told(client: TestClient, route: Path) -> None:
    told = client.post(BOARD, data={"name": "E", "east": "700.2", "north": "450"}).json()
    assert told["ok"]
    assert {"east": 700.0, "north": 450.0}.items() <= told["board"]["items"][5].items()
    assert "E,point,700,450,85,launch" in route.read_text()


def test_what_the_route_must_not_be_is_refused_and_undone(client: TestClient, route: Path) -> None:
    before = route.read_text()
    answer = client.post(BOARD, data={"name": "land", "drop": "yes"})
    assert answer.status_code == 422
    assert "neither lands nor hands over" in answer.json()["errors"][0]["problem"]
    assert route.read_text() == before


@pytest.mark.parametrize("east", ["nan", "inf", "1e9", "far"])
def test_no_distance_is_refused(client: TestClient, route: Path, east: str) -> None:
    before = route.read_text()
    answer = client.post(BOARD, data={"name": "E", "east": east, "north": "0"})
    assert answer.status_code == 422
    assert route.read_text() == before


def test_a_stamp_takes_the_place_of_the_route(client: TestClient) -> None:
    told = client.post(BOARD, data={"stamp": "out and back", "size": "300"}).json()
    assert [one["kind"] for one in told["board"]["items"]] == ["takeoff", "point", "land"]


def test_no_such_stamp_and_no_such_sortie(client: TestClient) -> None:
    assert client.post(BOARD, data={"stamp": "star", "size": "300"}).status_code == 422
    assert client.get("/sortie/../route").status_code == 404
    assert client.get("/sortie/none/route").status_code == 404


def test_a_route_in_the_sorties_own_file_is_not_changed(client: TestClient, base: Base) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    inline = """
[[route]]
name = "up"
kind = "takeoff"
height = "60 m above launch"
[[route]]
name = "down"
kind = "land"
"""
    path.write_text(path.read_text().replace('route = "route.csv"\n', "") + inline)
    answer = client.post(BOARD, data={"name": "up", "height": "70"})
    assert "Change it there." in answer.json()["errors"][0]["remedy"]
