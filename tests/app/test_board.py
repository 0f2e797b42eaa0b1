from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from httpx2 import Response
from starlette.testclient import TestClient

from homeleg.app.checks import Standing
from homeleg.app.office import Office
from homeleg.app.worker import Checked
from homeleg.desk.base import Base
from homeleg.desk.check import check_read_sortie
from homeleg.desk.examples import add_example
from homeleg.formats.sortie_file import read_sortie
from homeleg.verdict.result import Status

BOARD = "/sortie/tern-point/route"
LAUNCH = datetime(2026, 6, 9, 17, 0, tzinfo=UTC)


def post(client: TestClient, made_from: str = "", **fields: str) -> Response:
    """Ask for a change of the board as it is now, or as it was."""
    now = made_from or client.get(f"{BOARD}/board").headers["Made-From"]
    return client.post(BOARD, data=fields, headers={"Made-From": now})


@pytest.fixture
def route(base: Base) -> Path:
    return base.sorties / "tern-point" / "route.csv"


def test_the_board_shows_names_and_wind(client: TestClient) -> None:
    page = client.get(BOARD).text
    assert "wind from 225, 5.0 m/s" in page
    assert '"name": "E"' in page


def test_a_move_is_kept_and_told(client: TestClient, route: Path) -> None:
    told = post(client, name="E", east="700.2", north="450").json()
    assert told["ok"]
    assert {"east": 700.0, "north": 450.0}.items() <= told["board"]["items"][5].items()
    assert "E,point,700,450,85,launch" in route.read_text()


def test_what_the_route_must_not_be_is_refused_and_undone(client: TestClient, route: Path) -> None:
    before = route.read_text()
    answer = post(client, name="land", drop="yes")
    assert answer.status_code == 422
    assert "neither lands nor hands over" in answer.json()["errors"][0]["problem"]
    assert route.read_text() == before


@pytest.mark.parametrize("east", ["nan", "inf", "1e9", "far"])
def test_no_distance_is_refused(client: TestClient, route: Path, east: str) -> None:
    before = route.read_text()
    answer = post(client, name="E", east=east, north="0")
    assert answer.status_code == 422
    assert route.read_text() == before


def test_a_stamp_takes_the_place_of_the_route(client: TestClient) -> None:
    told = post(client, stamp="out and back", size="300").json()
    assert [one["kind"] for one in told["board"]["items"]] == ["takeoff", "point", "land"]


def test_no_such_stamp_and_no_such_sortie(client: TestClient) -> None:
    assert post(client, stamp="star", size="300").status_code == 422
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
    answer = post(client, name="up", height="70")
    assert "Change it there." in answer.json()["errors"][0]["remedy"]


def test_a_board_made_before_another_change_is_refused(client: TestClient, route: Path) -> None:
    before = client.get(f"{BOARD}/board").headers["Made-From"]
    assert post(client, before, name="E", east="700", north="450").status_code == 200
    second = post(client, before, name="E", east="650", north="300")
    assert second.status_code == 409
    assert "was changed elsewhere" in second.json()["errors"][0]["problem"]
    assert "E,point,700,450,85,launch" in route.read_text()


def test_ground_by_eye_has_no_relief(client: TestClient) -> None:
    assert client.get(f"{BOARD}/board").json()["relief"] is None
    assert client.get(f"{BOARD}/relief").status_code == 404


def test_terrain_is_given_as_shades(client: TestClient, base: Base) -> None:
    add_example(base, "corrie-spur")
    told = client.get("/sortie/corrie-spur/route/board").json()["relief"]
    shades = client.get("/sortie/corrie-spur/route/relief").content
    assert len(shades) == told["columns"] * told["rows"]


def test_before_an_answer_there_is_nothing_computed(client: TestClient) -> None:
    assert client.get(f"{BOARD}/computed").status_code == 204


@pytest.mark.slow
@pytest.mark.usefixtures("errands_here")
def test_an_answer_is_drawn_and_its_changes_are_told(
    client: TestClient, office: Office, base: Base
) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    files = read_sortie(path)
    verdict = check_read_sortie(files, quick=True).verdict
    answer = Checked(verdict=verdict, weather=files.sortie.weather, launch_time=LAUNCH)
    worse = replace(answer, verdict=replace(verdict, word=Status.NO_GO))
    office.checks._standing[path] = Standing((), answer=answer, before=worse)
    shown = client.get(f"{BOARD}/computed").text
    # 1.9 m of span: 961 m of sight, by the scenario's hand-computed limit.
    assert '"sight": 961.0' in shown
    assert "Clear of the ground by" in shown
    assert "Quick answer: no sentence changed: NO-GO before, GO now." in shown
