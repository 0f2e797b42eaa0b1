"""Two windows on one base: what one saves onto a file that the other has changed is not saved.

Each screen that writes a file of the base is in the table: a new one belongs there too.
"""

import html
import re
from datetime import UTC, datetime
from typing import NamedTuple
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from homeleg.app.office import Office
from homeleg.desk.base import Base
from homeleg.desk.edit import set_in_file
from homeleg.desk.guided_sortie import SIGNS

HERE = "/sortie/tern-point"
NOW = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)
OWN = "aircraft/petrel.toml"
METAR = "METAR XXXX 091650Z 25012KT 8000 FEW030 11/08 Q1009"
CALL = {"item": "walk", "said": "", "later": "", "answer": "NOT GOOD"}
WEIGHED = {"way": "one scale and two fingers", "mass": "2.7 kg", "balance": "75 mm"}


class Save(NamedTuple):
    """A form: on which page, where it goes, what is typed, and what then stands in the file.

    `keys` and `other` are what another window changes of the same.
    """

    page: str
    action: str
    typed: dict[str, str]
    written: str
    keys: list[str]
    other: str
    file: str = "sorties/tern-point/sortie.toml"


SAVES = [
    Save(
        f"{HERE}/numbers",
        f"{HERE}/numbers",
        {"speed": "7.5", "gust": "9", "from": "240", "height": "2", "pack": "21"},
        '"7.5 m/s from 240"',
        ["pack", "temperature"],
        "12 degC",
    ),
    Save(f"{HERE}/numbers", f"{HERE}/wind", {"wind": "8 m/s from 200"}, "8 m/s from 200", [], ""),
    Save(
        f"{HERE}/weather",
        f"{HERE}/weather",
        {"metar": METAR},
        METAR,
        ["weather", "temperature"],
        "12 degC",
    ),
    Save(
        f"{HERE}/weather",
        f"{HERE}/weather",
        {"sign": SIGNS[1], "from": "SW", "gusty": "no"},
        SIGNS[1],
        ["weather", "surface_wind", "gust"],
        "8 m/s",
    ),
    Save(
        f"{HERE}/ground",
        f"{HERE}/ground",
        {"within": "3", "radius": "900", "flat_to": ""},
        "flat within 3 m",
        ["site", "ground", "radius"],
        "800 m",
    ),
    Save(
        f"{HERE}/ground",
        f"{HERE}/ground",
        {"bearing": "90", "distance": "400", "seen": "4", "as": "angle"},
        "400 m",
        [],
        "",
    ),
    Save(
        f"{HERE}/calls?item=walk",
        f"{HERE}/calls",
        CALL,
        'walk = {answer = "bad"',
        ["told", "walk", "seen"],
        "2026-06-09 16:41Z",
    ),
    Save(
        f"{HERE}/calls?item=wing",
        f"{HERE}/unplugged",
        {},
        "[told]\nwing",
        ["told", "sense", "slop"],
        "1 deg",
    ),
    Save(
        f"/aircraft/petrel/weigh?{urlencode(WEIGHED)}",
        "/aircraft/petrel/weigh",
        WEIGHED,
        "2.700 kg",
        ["mass", "total", "value"],
        "2.65 kg",
        OWN,
    ),
]
SAME_KEY = [one for one in SAVES if one.keys]


@pytest.fixture
def window(client: TestClient, office: Office) -> TestClient:
    """Return a client that asks for pages as a browser does."""
    office.now = lambda: NOW
    client.headers["accept"] = "text/html"
    return client


def made_from(window: TestClient, save: Save) -> str:
    """Return what the form of a save was made from; that of the wind is on the verdict."""
    page = window.get(save.page).text
    return made_from_page(page) if save.action.endswith("/wind") else state_in(page, save.action)


def made_from_page(page: str) -> str:
    found = re.search(r'name="made-from" value="([0-9a-f-]+)"', page)
    assert found, "no form says what it was made from"
    return found[1]


def state_in(page: str, action: str) -> str:
    """Return what the form of an address was made from."""
    form = re.search(rf'<form[^>]*action="{re.escape(action)}"[^>]*>(.*?)</form>', page, re.S)
    assert form, f"no form to {action}"
    return made_from_page(form[1])


def row_of(page: str, key: str) -> str:
    rows = re.findall(r"<tr[^>]*>.*?</tr>", html.unescape(page), re.S)
    return next(" ".join(re.sub(r"<[^>]*>", " ", row).split()) for row in rows if key in row)


@pytest.mark.parametrize("save", SAVES, ids=lambda one: one.action)
def test_a_save_onto_the_file_as_it_was_is_made(window: TestClient, base: Base, save: Save) -> None:
    path = base.folder / save.file
    state = made_from(window, save)
    assert window.post(save.action, data=save.typed | {"made-from": state}).status_code == 200
    assert save.written in path.read_text().replace("{ ", "{")


@pytest.mark.parametrize("save", SAME_KEY, ids=lambda one: one.action)
def test_a_save_onto_the_same_key_is_refused_with_both(
    window: TestClient, base: Base, save: Save
) -> None:
    path = base.folder / save.file
    state = made_from(window, save)
    set_in_file(path, save.keys, save.other)
    changed = path.read_bytes()
    refused = window.post(save.action, data=save.typed | {"made-from": state})
    assert refused.status_code == 409
    assert path.read_bytes() == changed
    assert row_of(refused.text, save.keys[-1]).startswith("Both:")
    assert save.other in row_of(refused.text, save.keys[-1])
    assert "Put mine on top" not in refused.text
    # What was typed is kept, and can be written over the other's in full sight.
    fresh = state_in(refused.text, save.action)
    fields = html.unescape(refused.text)
    assert all(f'name="{name}" value="{text}"' in fields for name, text in save.typed.items())
    assert window.post(save.action, data=save.typed | {"made-from": fresh}).status_code == 200
    assert save.written in path.read_text().replace("{ ", "{")


@pytest.mark.parametrize("save", SAVES, ids=lambda one: one.action)
def test_a_save_of_another_key_is_put_on_top(window: TestClient, base: Base, save: Save) -> None:
    path = base.folder / save.file
    keys, value = (["site", "elevation"], "36 m AMSL")
    if save.file == OWN:
        keys, value = (["guidance", "bank"], "28 deg")
    state = made_from(window, save)
    set_in_file(path, keys, value)
    refused = window.post(save.action, data=save.typed | {"made-from": state})
    assert refused.status_code == 409
    assert value in row_of(refused.text, keys[-1])
    assert "Both:" not in refused.text
    assert "Put mine on top" in refused.text
    fresh = state_in(refused.text, save.action)
    window.post(save.action, data=save.typed | {"made-from": fresh})
    assert value in path.read_text()
    assert save.written in path.read_text().replace("{ ", "{")


def test_what_touches_another_file_stands_in_nobodys_way(window: TestClient, base: Base) -> None:
    save = SAVES[0]
    state = made_from(window, save)
    set_in_file(base.folder / OWN, ["guidance", "bank"], "28 deg")
    assert window.post(save.action, data=save.typed | {"made-from": state}).status_code == 200
    assert save.written in (base.folder / save.file).read_text()


def test_the_same_saved_twice_is_no_conflict(window: TestClient, base: Base) -> None:
    state = made_from(window, SAVES[0])
    for _ in range(2):
        answer = window.post(SAVES[0].action, data=SAVES[0].typed | {"made-from": state})
        assert answer.status_code == 200
    assert SAVES[0].written in (base.folder / SAVES[0].file).read_text()


def test_after_a_new_start_it_is_said_that_nobody_knows(
    window: TestClient, base: Base, office: Office
) -> None:
    state = made_from(window, SAVES[0])
    set_in_file(base.folder / SAVES[0].file, ["site", "elevation"], "36 m AMSL")
    office.shown.clear()
    refused = window.post(SAVES[0].action, data=SAVES[0].typed | {"made-from": state})
    assert refused.status_code == 409
    assert "older than the last start" in refused.text
    assert "Put mine on top" not in refused.text


def test_what_cannot_be_saved_is_refused_as_ever(window: TestClient, base: Base) -> None:
    state = made_from(window, SAVES[0])
    set_in_file(base.folder / SAVES[0].file, ["site", "elevation"], "36 m AMSL")
    typed = SAVES[0].typed | {"speed": "lots", "made-from": state}
    refused = window.post(SAVES[0].action, data=typed)
    assert refused.status_code == 422
    assert "lots is no number" in refused.text
    # What was typed there is from before, and still is when the slip is mended.
    assert made_from_page(refused.text) == state
    mended = window.post(SAVES[0].action, data=SAVES[0].typed | {"made-from": state})
    assert mended.status_code == 409


def test_a_script_hears_of_it_in_its_own_way(client: TestClient, base: Base) -> None:
    address = f"{HERE}/route"
    found = re.search(r'<html data-made-from="([0-9a-f-]+)"', client.get(address).text)
    assert found
    state = found[1]
    route = base.sorties / "tern-point" / "route.csv"
    route.write_text(route.read_text().replace("E,point,690", "E,point,680"))
    changed = route.read_bytes()
    fields = {"name": "D", "east": "700", "north": "100"}
    refused = client.post(address, data=fields, headers={"Made-From": state})
    assert refused.status_code == 409
    assert "changed elsewhere" in refused.json()["errors"][0]["problem"]
    assert route.read_bytes() == changed
    again = client.post(address, data=fields, headers={"Made-From": refused.headers["Made-From"]})
    assert again.json()["ok"]
    assert "D,point,700" in route.read_text()


def test_unread_files_outside_the_base_have_no_state(client: TestClient) -> None:
    assert "made-from" not in client.get("/face").text
    assert "made-from" not in client.get("/").text
