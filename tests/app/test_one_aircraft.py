import html

import pytest
from starlette.testclient import TestClient

from homeleg.desk.base import Base
from homeleg.formats.aircraft_file import read_aircraft

SCALES = {
    "way": "two scales",
    "front-mass": "900 g",
    "rear-mass": "1700 g",
    "ahead": "160 mm",
    "behind": "200 mm",
}


def test_the_start_page_leads_to_it(client: TestClient) -> None:
    assert 'href="/aircraft/petrel"' in client.get("/base").text
    page = html.unescape(client.get("/aircraft/petrel").text)
    assert "What is known" in page
    assert "as you told it" in page
    assert "Power in cruise" in page
    assert 'href="/sortie/new?aircraft=petrel"' in page


def test_a_broken_one_shows_what_is_wrong(client: TestClient, base: Base) -> None:
    path = base.aircraft / "petrel.toml"
    path.write_text(path.read_text(encoding="utf-8").replace("kg", "furlong", 1), encoding="utf-8")
    page = client.get("/aircraft/petrel").text
    assert "cannot be read yet" in page
    assert "furlong" in page


def test_weighing_asks_by_the_way_that_was_taken(client: TestClient) -> None:
    address = "/aircraft/petrel/weigh"
    first = client.get(address).text
    assert first.count("Seen from the side, nose to the left.") == 3
    assert "Propeller off, pack not connected." in first
    fingers = client.get(address, params={"way": "two fingers"}).text
    assert "Question 2 of 2" in fingers
    assert "this far" in fingers


def test_it_is_written_after_showing_before_and_now(client: TestClient, base: Base) -> None:
    path = base.aircraft / "petrel.toml"
    before = path.read_text(encoding="utf-8")
    shown = client.get("/aircraft/petrel/weigh", params=SCALES).text
    assert "Mass weighed now" in shown
    assert path.read_text(encoding="utf-8") == before
    answer = client.post("/aircraft/petrel/weigh", data=SCALES, follow_redirects=False)
    assert answer.headers["location"] == "/aircraft/petrel"
    assert read_aircraft(path).mass.total_kg.value == 2.6  # 900 g and 1700 g


def test_no_such_aircraft(client: TestClient) -> None:
    assert client.get("/aircraft/no-such").status_code == 404
    assert client.post("/aircraft/no-such/weigh", data=SCALES).status_code == 404


def test_a_wing_whose_sweep_is_not_known_is_asked_it(client: TestClient, base: Base) -> None:
    path = base.aircraft / "petrel.toml"
    text = path.read_text(encoding="utf-8").replace("tail-boom pusher", "flying wing")
    path.write_text(text, encoding="utf-8")
    answers = {"way": "two fingers", "balance": "100 mm"}
    assert "sweep back" in client.get("/aircraft/petrel/weigh", params=answers).text
    client.post("/aircraft/petrel/weigh", data={**answers, "sweep": "40 mm"})
    record = read_aircraft(path)
    # Hand: (100 - 40) mm of the mean chord.
    balance = record.mass.centre_of_gravity_fraction.value
    assert balance * record.wing.mean_chord_m == pytest.approx(0.060)
    assert "sweep back" not in client.get("/aircraft/petrel/weigh", params=answers).text
