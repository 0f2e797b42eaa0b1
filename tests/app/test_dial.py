"""The wind dial's page: it waits, shows where a wind lies, and refuses what is no wind."""

import html

import pytest
from starlette.testclient import TestClient

from homeleg.app.checks import Standing
from homeleg.app.office import Office
from homeleg.app.worker import Looked
from homeleg.desk.base import Base
from tests.desk.test_dial_view import WINDOW

PAGE = "/sortie/tern-point/dial"


@pytest.fixture
def _looked(office: Office, base: Base) -> None:
    """Have other winds looked at."""
    path = base.sorties / "tern-point" / "sortie.toml"
    office.checks._standing[path] = Standing((), looked=Looked(WINDOW, 10.0))


def test_it_waits_for_the_look(client: TestClient) -> None:
    answer = client.get(PAGE)
    assert answer.status_code == 200
    assert "being looked at" in answer.text


def test_no_sortie_no_dial(client: TestClient) -> None:
    assert client.get("/sortie/nowhere/dial").status_code == 404


@pytest.mark.usefixtures("_looked")
def test_a_wind_typed_is_found_in_its_field(client: TestClient) -> None:
    shown = html.unescape(client.get(f"{PAGE}?speed=1,5&from=0").text)
    assert "inside the window, with 2.5 m/s to spare" in shown
    assert 'name="wind" value="1.5 m/s from 000"' in shown


@pytest.mark.usefixtures("_looked")
def test_a_wind_is_typed_in_the_units_of_the_face(client: TestClient) -> None:
    client.post("/face", data={"speed": "kt"})
    shown = html.unescape(client.get(f"{PAGE}?speed=10&from=0").text)
    # 10 kt are 5.14 m/s (1852 m an hour a knot): hatched.
    assert "at the edge of the window" in shown
    assert 'name="wind" value="10.0 kt from 000"' in shown


@pytest.mark.usefixtures("_looked")
@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("speed=strong&from=0", "strong"),
        ("speed=5&from=400", "400 is no direction"),
        ("speed=-5&from=0", "-5 is no wind speed"),
        ("speed=5&from=", "is no"),
        ("speed=nan&from=10", "nan"),
    ],
)
def test_what_is_no_wind_is_refused_in_place(client: TestClient, typed: str, said: str) -> None:
    answer = client.get(f"{PAGE}?{typed}")
    assert answer.status_code == 422
    assert said in html.unescape(answer.text)
    assert "Check in full" not in answer.text
