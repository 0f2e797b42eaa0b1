"""The link on the screens, against a fake vehicle."""

import asyncio
import html
import json
import re
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import count
from typing import Any

import pytest
from starlette.testclient import TestClient

from homeleg.app.links import Link
from homeleg.app.office import Office
from homeleg.app.screens.link import _told
from homeleg.desk import compare as desk_compare
from homeleg.desk import link_extra
from homeleg.desk.answer import check_answer_json
from homeleg.desk.base import Base
from homeleg.desk.check import CheckResult
from homeleg.desk.release import write_release
from homeleg.desk.releases import release_named
from homeleg.formats.sortie_file import SortieFiles
from homeleg.foundation.errors import LoadFailedError
from homeleg.link import messages as m
from homeleg.link.codec import SEEDS, Codec, codec_for, told_fields
from homeleg.link.recording import read_recording
from homeleg.link.splitter import frames_of
from homeleg.release.release import Release
from homeleg.verdict.result import Status
from tests.link.fake_vehicle import FakeVehicle
from tests.link.test_command import aircraft, read_aloud
from tests.link.test_settings_map import TEXT
from tests.link.wire import OnTheWire, in_hand

NOW = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)


@pytest.fixture(autouse=True)
def hurried(office: Office, make_verdict: Any, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    def check(files: Any, **_: Any) -> CheckResult:
        return CheckResult(verdict=make_verdict(), sortie=files.sortie, sources=())

    office.now = lambda: NOW
    monkeypatch.setattr(desk_compare, "check_read_sortie", check)
    yield
    if office.link is not None:
        office.link.close()


@pytest.fixture
def code(
    base: Base, files: SortieFiles, make_verdict: Any, make_release: Callable[..., Release]
) -> str:
    """Return the code of a release in the base."""
    result = CheckResult(verdict=make_verdict(Status.GO), sortie=files.sortie, sources=())
    answer = json.loads(check_answer_json(result, given_at=NOW))
    made = replace(make_release(), answer=answer)
    write_release(made, base.releases / f"{made.code}.release.json")
    return made.code


@pytest.fixture
def address(code: str) -> str:
    return f"/release/{code}/link"


@pytest.fixture
def wire(base: Base, code: str) -> OnTheWire:
    return aircraft(base.releases / f"{code}.release.json", loaded=True)


@pytest.fixture
def port(wire: OnTheWire) -> Iterator[str]:
    with in_hand(wire) as port:
        yield port


def words(page: str) -> str:
    return html.unescape(" ".join(re.sub(r"<[^>]*>", " ", page).split()))


def link_of(office: Office) -> Link:
    assert office.link is not None
    return office.link


def wait(office: Office, until: Callable[[Link], object]) -> None:
    end_s = time.perf_counter() + 20.0
    while not until(link_of(office)):
        assert time.perf_counter() < end_s, link_of(office).stage
        time.sleep(0.01)


def opened(client: TestClient, office: Office, address: str, **fields: str) -> str:
    """Open the link, wait for the aircraft, return the page."""
    client.post(f"{address}/open", data=fields)
    wait(office, lambda link: link.heard)
    return words(client.get(address).text)


def aloud(base: Base, code: str) -> dict[str, str]:
    given = read_aloud(base.releases / f"{code}.release.json")
    return {
        key.removeprefix("--").replace("-", "_"): told
        for key, told in zip(given[::2], given[1::2], strict=True)
    }


def told(client: TestClient, office: Office, address: str) -> str:
    wait(office, lambda link: link.aboard or link.problems or link.left or link.fetched)
    wait(office, lambda link: link.stage.value in ("listening", "ended"))
    return words(client.get(address).text)


def test_the_port_is_chosen_and_the_aircraft_named(
    client: TestClient, office: Office, address: str, port: str
) -> None:
    page = words(client.get(address).text)
    assert "Connect the aircraft." in page
    assert "Take the propeller off" in page
    page = opened(client, office, address, port=port)
    assert "System 7 is heard." in page
    assert "Fetch and compare" in page


def test_same_is_said_with_the_code_for_the_tape(
    client: TestClient, office: Office, base: Base, address: str, code: str, port: str
) -> None:
    opened(client, office, address, port=port)
    client.post(f"{address}/compare", data=aloud(base, code))
    page = told(client, office, address)
    assert "SAME What is aboard is the released one" in page
    assert f"{code[:3]} {code[3:]}" in page
    wait(office, lambda link: link.glance is not None and link.glance.verified)
    assert link_of(office).aboard is not None


def test_settings_that_nobody_read_leave_it_open(
    client: TestClient, office: Office, address: str, port: str
) -> None:
    opened(client, office, address, port=port)
    client.post(f"{address}/compare", data={})
    page = told(client, office, address)
    assert "CANNOT TELL" in page
    assert "Not read: the return height" in page


def test_a_setting_that_is_none_is_refused_in_words(
    client: TestClient, office: Office, address: str, port: str
) -> None:
    opened(client, office, address, port=port)
    answer = client.post(f"{address}/compare", data={"return_height": "high"})
    assert answer.status_code == 422
    assert 'value="high"' in answer.text
    assert link_of(office).aboard is None


def test_a_lower_item_is_not_the_same(
    client: TestClient, office: Office, base: Base, code: str, wire: OnTheWire, address: str,
    port: str,
) -> None:  # fmt: skip
    items = wire.vehicle.plans[0]
    place = next(k for k, item in enumerate(items) if item.command == 16)
    items[place] = replace(items[place], z=items[place].z - 30.0)
    opened(client, office, address, port=port)
    client.post(f"{address}/compare", data=aloud(base, code))
    page = told(client, office, address)
    assert "NOT THE SAME 1 difference. Do not launch." in page
    assert "aboard 30 m above launch The aircraft would pass 30 m lower than you released." in page


def test_a_load_waits_until_the_aircraft_is_named(
    client: TestClient, office: Office, base: Base, code: str, wire: OnTheWire, address: str,
    port: str,
) -> None:  # fmt: skip
    wire.vehicle.plans = {0: [], 1: [], 2: []}
    opened(client, office, address, port=port, home_first="no")
    client.post(f"{address}/load", data=aloud(base, code))
    wait(office, lambda link: link.stage.value == "asking")
    page = words(client.get(address).text)
    assert "Is this the aircraft in front of you?" in page
    assert "fixed wing" in page
    assert wire.vehicle.plans[0] == []
    client.post(f"{address}/answer", data={"answer": "7"})
    assert "SAME What is aboard" in told(client, office, address)
    assert wire.vehicle.plans[0]


@pytest.mark.parametrize("typed", ["8", ""])
def test_another_name_loads_nothing(
    client: TestClient, office: Office, wire: OnTheWire, address: str, port: str, typed: str
) -> None:
    wire.vehicle.plans = {0: [], 1: [], 2: []}
    opened(client, office, address, port=port, home_first="no")
    client.post(f"{address}/load", data={})
    wait(office, lambda link: link.stage.value == "asking")
    client.post(f"{address}/answer", data={"answer": typed})
    page = told(client, office, address)
    assert "the system id was not confirmed" in page
    assert "Nothing was written into the aircraft." in page
    assert wire.vehicle.plans[0] == []


class Mute(FakeVehicle):
    """Says no more once an item comes, and notes a cancelled load.

    The item's second coming is held until the test goes on: no time of the link passes meanwhile.
    """

    cancelled = False

    def __init__(self) -> None:
        super().__init__()
        self.items, self.goes_on = 0, threading.Event()

    def hear(self, message: m.Message) -> list[m.Message]:
        self.cancelled |= isinstance(message, m.Ack) and message.result == 15
        if not isinstance(message, m.Item):
            return super().hear(message)
        self.items += 1
        if self.items == 2:
            self.goes_on.wait(10.0)
        return []


def test_a_load_that_is_stopped_is_cancelled_in_the_aircraft(
    client: TestClient, office: Office, wire: OnTheWire, address: str, port: str
) -> None:
    wire.vehicle = mute = Mute()
    opened(client, office, address, port=port, home_first="no")
    client.post(f"{address}/load", data={})
    wait(office, lambda link: link.stage.value == "asking")
    client.post(f"{address}/answer", data={"answer": "7"})
    wait(office, lambda link: link.doing.startswith("Writing the route: 1 of"))
    assert "Working on the link." in words(client.get(address).text)
    client.post(f"{address}/stop")
    mute.goes_on.set()
    page = told(client, office, address)
    assert "The load did not come to its end. Stopped. The load was cancelled." in page
    assert "It may hold now: Route as before, or part of the released one" in page
    assert "Load again" in page
    end_s = time.perf_counter() + 5.0
    while not wire.vehicle.cancelled and time.perf_counter() < end_s:
        time.sleep(0.01)
    assert wire.vehicle.cancelled


def test_what_was_read_back_as_released_is_compared_not_loaded(
    client: TestClient, office: Office, wire: OnTheWire, address: str, port: str
) -> None:
    wire.vehicle = Mute()
    opened(client, office, address, port=port, home_first="no")
    client.post(f"{address}/load", data={})
    wait(office, lambda link: link.stage.value == "asking")
    client.post(f"{address}/answer", data={"answer": "7"})
    wait(office, lambda link: link.doing.startswith("Writing the route: 1 of"))
    client.post(f"{address}/stop")
    told(client, office, address)
    link_of(office).left = LoadFailedError("Stopped.", ("route as released",), is_read_back=True)
    text = client.get(address).text
    assert "Load again" not in text
    assert text.count("Fetch and compare") == 1


def test_an_armed_aircraft_is_refused_in_words(
    client: TestClient, office: Office, wire: OnTheWire, address: str, port: str
) -> None:
    wire.armed = True
    opened(client, office, address, port=port)
    client.post(f"{address}/load", data={})
    assert "the aircraft is armed" in told(client, office, address)


def test_a_port_that_is_none_ends_in_words(
    client: TestClient, office: Office, address: str
) -> None:
    client.post(f"{address}/open", data={"port": "com3"})
    page = told(client, office, address)
    assert "The link has ended." in page
    assert "is not a port of a link" in page
    client.post(f"{address}/close")
    assert "Connect the aircraft." in words(client.get(address).text)
    answer = client.post(f"{address}/open", data={"port": "tcp:127.0.0.1:1", "system": "999"})
    assert answer.status_code == 422
    assert "1 to 255" in words(answer.text)


def test_what_is_heard_goes_out_as_events(
    client: TestClient, office: Office, base: Base, code: str, address: str, port: str
) -> None:
    assert client.get(f"{address}/events").status_code == 204
    opened(client, office, address, port=port)
    entry = release_named(base, code)
    assert entry is not None

    async def first(count: int) -> list[str]:
        events = _told(office, entry)
        return [await anext(events) for _ in range(count)]

    said = asyncio.run(first(3))
    assert said[0] == f"event: turned\ndata: {link_of(office).turns}\n\n"
    heard = json.loads(said[1].split("data: ")[1])
    assert heard["figures"][0].startswith("aircraft 7, disarmed")
    assert client.get(f"{address}/live").status_code == 200


def test_one_link_at_a_time(
    client: TestClient, office: Office, base: Base, code: str, address: str, port: str
) -> None:
    opened(client, office, address, port=port)
    link_of(office).release = base.releases / "another.release.json"
    page = words(client.get(address).text)
    assert "The link is open for another release." in page
    client.post(f"{address}/close")
    assert office.link is None


def test_without_the_extra_it_says_what_to_install(
    client: TestClient, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(link_extra, "_LIBRARIES", ("no_such_library",))
    answer = client.get(address)
    assert answer.status_code == 422
    assert "pip install 'homeleg[link]'" in words(answer.text)


def test_a_load_that_failed_is_loaded_again(
    client: TestClient, office: Office, base: Base, code: str, wire: OnTheWire, address: str,
    port: str,
) -> None:  # fmt: skip
    seconds = count()
    office.now = lambda: NOW + timedelta(seconds=next(seconds))
    wire.vehicle = Mute()
    opened(client, office, address, port=port, home_first="no")
    client.post(f"{address}/load", data=aloud(base, code))
    wait(office, lambda link: link.stage.value == "asking")
    client.post(f"{address}/answer", data={"answer": "7"})
    page = told(client, office, address)
    assert "nothing more came for 10 s" in page
    assert "Read back just now, it holds: Route as before" in page
    wire.vehicle = FakeVehicle()
    text = client.get(address).text
    assert re.search(r'<button class="act" form="compare" formaction="[^"]*/load"', text)
    assert 'value="85.0 m above launch"' in text
    client.post(f"{address}/load", data=aloud(base, code))
    wait(office, lambda link: link.stage.value == "asking")
    client.post(f"{address}/answer", data={"answer": "7"})
    assert "SAME What is aboard" in told(client, office, address)


def test_an_armed_aircraft_is_not_offered_to_be_loaded_again(
    client: TestClient, office: Office, wire: OnTheWire, address: str, port: str
) -> None:
    wire.vehicle = Mute()
    opened(client, office, address, port=port, home_first="no")
    client.post(f"{address}/load", data={})
    wait(office, lambda link: link.stage.value == "asking")
    client.post(f"{address}/answer", data={"answer": "7"})
    wait(office, lambda link: link.doing.startswith("Writing the route: 1 of"))
    wire.armed = True
    assert "the aircraft was armed" in told(client, office, address)
    wait(office, lambda link: link.armed)
    text = client.get(address).text
    assert "Load again" not in text
    assert "Fetch and compare" in text


def test_who_does_not_tell_of_item_0_is_asked_about(
    client: TestClient, office: Office, base: Base, code: str, wire: OnTheWire, address: str,
    port: str,
) -> None:  # fmt: skip
    wire.vehicle.plans = {0: [], 1: [], 2: []}
    opened(client, office, address, port=port)
    client.post(f"{address}/load", data=aloud(base, code))
    wait(office, lambda link: link.stage.value == "asking")
    assert "Does it keep its launch point as item 0?" in words(client.get(address).text)
    client.post(f"{address}/answer", data={"answer": "no"})
    wait(office, lambda link: link.stage.value == "asking" and not link.asks_home_first)
    client.post(f"{address}/answer", data={"answer": "7"})
    assert "SAME What is aboard" in told(client, office, address)


def test_a_link_loss_action_read_otherwise_is_not_the_same_and_says_who_read_it(
    client: TestClient, office: Office, base: Base, code: str, address: str, port: str
) -> None:
    opened(client, office, address, port=port)
    read = {**aloud(base, code), "link_loss_action": "orbit", "read_by": "Kim"}
    client.post(f"{address}/compare", data=read)
    page = told(client, office, address)
    assert "NOT THE SAME 1 difference." in page
    assert "orbit, then land" in page
    assert "Read aloud by Kim: return height 85 m above launch" in page


def test_a_route_is_read_into_a_file_of_the_base(
    client: TestClient, office: Office, base: Base, code: str, address: str, port: str
) -> None:
    opened(client, office, address, port=port)
    client.post(f"{address}/fetch")
    page = told(client, office, address)
    name = f"{code}.fetched-20260609T165500Z.csv"
    assert f"Read into releases/{name}." in page
    assert (base.releases / name).read_text("utf-8").count("\n") > 3


def test_what_is_heard_is_recorded_while_it_is_compared(
    client: TestClient, office: Office, base: Base, code: str, address: str, port: str
) -> None:
    opened(client, office, address, port=port)
    client.post(f"{address}/record")
    page = words(client.get(address).text)
    name = f"{code}-20260609T165500Z.rec"
    assert f"Recording into recordings/{name}" in page
    client.post(f"{address}/compare", data=aloud(base, code))
    assert "SAME" in told(client, office, address)
    answer = client.post(f"{address}/record", data={"end": "1", "live": "1"})
    page = words(answer.text)
    assert answer.url.path == f"{address}/live"
    kept = read_recording((base.recordings / name).read_bytes())
    assert f"Recorded {len(kept.records)} messages in recordings/{name}." in page
    messages = {name for one in kept.records for frame in frames_of(one.raw, SEEDS)[0]
                for name, _, _ in told_fields(frame)}  # fmt: skip
    assert {"HEARTBEAT", "MISSION_ITEM_INT"} <= messages
    assert kept.lost_bytes == 0


def test_a_recording_ends_whole_where_the_link_is_closed(
    client: TestClient, office: Office, base: Base, address: str, port: str
) -> None:
    opened(client, office, address, port=port)
    client.post(f"{address}/record")
    link = link_of(office)
    wait(office, lambda link: link.recording and link.recording.frames > 5)
    client.post(f"{address}/close")
    assert link.recorded is not None
    (path,) = base.recordings.iterdir()
    assert len(read_recording(path.read_bytes()).records) == link.recorded.frames


def test_who_signs_is_read_with_the_key_that_lies_beside_the_aircraft(
    client: TestClient, office: Office, base: Base, code: str, wire: OnTheWire, address: str,
    port: str,
) -> None:  # fmt: skip
    key = bytes(range(32))
    (base.aircraft / "petrel.key").write_bytes(key)
    (base.aircraft / "short.key").write_bytes(key[1:])
    page = client.get(address).text
    assert '<option value="aircraft/petrel.key">' in page
    assert "short.key" not in page
    signing = codec_for(key, NOW.timestamp()).signing_time
    wire.codec = Codec(system=7, component=1, key=key, signing_time=signing)
    opened(client, office, address, port=port, key_file="aircraft/petrel.key")
    client.post(f"{address}/compare", data=aloud(base, code))
    assert "SAME What is aboard" in told(client, office, address)
    client.post(f"{address}/open", data={"port": port, "key_file": "aircraft/short.key"})
    page = told(client, office, address)
    assert "holds 31 bytes" in page


def test_settings_that_it_tells_are_heard_by_the_names_of_the_map(
    client: TestClient, office: Office, base: Base, code: str, wire: OnTheWire, address: str,
    port: str,
) -> None:  # fmt: skip
    (base.aircraft / "petrel-settings.toml").write_text(TEXT)
    assert '<option value="aircraft/petrel-settings.toml">' in client.get(address).text
    wire.settings = {"GOING_HOME_H": 4000.0, "WAIT_NO_LINK": 100.0}
    opened(client, office, address, port=port, settings_map="aircraft/petrel-settings.toml")
    client.post(f"{address}/compare", data={})
    page = told(client, office, address)
    assert "NOT THE SAME 1 difference." in page
    assert "The return height was heard on the link: 40 m above launch (GOING_HOME_H)." in page
