"""Faults of a link and of who is on it, and where each is tested; what is not elsewhere is here.

| fault | test |
| --- | --- |
| request, item, count, acknowledgement lost, doubled, late | test_transfers, any fate |
| overtaken | test_session, any delay |
| wrong sequence | here; test_transfers: asked for an item that is not there |
| count 0, absurd | test_transfers |
| acknowledged with errors 1 to 15 | test_transfers |
| acknowledged for another plan or station | test_transfers |
| last acknowledgement never sent | test_transfers, test_aftermath |
| acknowledged, and the store cut or changed | test_session |
| positions that are none | test_transfers; told in words: here |
| home as item 0 | test_session |
| started again while it is read, while it is loaded | test_session, here; test_watch |
| two vehicles | test_session |
| another station reads, writes | test_watch, test_session |
| our own frames come back | test_splitter, test_command |
| a plan edited while or after it is read | test_transfers, test_session, test_verified |
| signing with the key, without, with another | here; test_splitter, test_session |
| noise between bytes | test_splitter |
| TCP half open | test_real_ports; silent in mid reading: here |
| port vanishes | test_session |
| 57,600 baud with one message in twenty lost: load, fetch, compare | test_session, here |
| armed before, while loading | test_session, test_command |
| landed or home unknown | test_session |
| version 1 alone | here |
| old requests alone | test_transfers, test_session |
| silent until it hears a heartbeat | here |
| disk full, process killed while recording | test_recording, test_killed_recording |
| Ctrl-C in a load, in a recording | test_stopping, test_recording |
"""

import math
import random
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from homeleg.cli.main import run
from homeleg.link import messages as m
from homeleg.link.codec import Codec, codec_for
from homeleg.link.fetch import Failed, Fetch
from homeleg.link.items import plans_of
from homeleg.link.messages import PlanType
from homeleg.link.proof import prove
from homeleg.link.session import Reading, Session, read_script
from homeleg.release.comparison import End
from homeleg.release.plain_route import PlainRoute
from tests.link.fake_vehicle import PARTIES, FakeVehicle, heard, item
from tests.link.test_command import aircraft, read_aloud
from tests.link.test_session import broken_off, empty, holding, load
from tests.link.wire import in_hand
from tests.link.world import LAUNCH, SETTINGS, World, point, standing, watch

KEY = bytes(range(32))


def test_an_item_of_another_number_is_not_taken() -> None:
    fetch = Fetch(parties=PARTIES, plan=PlanType.ROUTE)
    fetch.begin(0.0)
    fetch.on(heard(m.Count(to_system=245, to_component=190, plan=0, count=3)), 0.1)
    step = fetch.on(heard(item(1, to_system=245, to_component=190)), 0.2)
    assert (step.send, step.outcome) == ((), None)


def test_a_start_in_mid_load_breaks_it_off() -> None:
    def told(now_s: float) -> list[m.Message]:
        since_s = 90.0 + now_s if now_s < 4.0 else now_s - 3.5
        return [*standing(), m.SystemTime(since_boot_ms=round(1000.0 * since_s))]

    world = World(empty(), told=told, up=lambda: (0.3,))
    assert broken_off(world) == "the aircraft was started again"


def test_a_start_that_empties_the_aircraft_in_mid_load_is_read_back_empty() -> None:
    vehicle = empty()

    def told(now_s: float) -> list[m.Message]:
        if 4.0 <= now_s < 5.0:
            vehicle.plans, vehicle._expected = {0: [], 1: [], 2: []}, None
        since_s = 90.0 + now_s if now_s < 4.0 else now_s - 3.5
        return [*standing(), m.SystemTime(since_boot_ms=round(1000.0 * since_s))]

    loaded = load(World(vehicle, told=told, up=lambda: (0.3,)))
    assert loaded.failed is not None
    assert isinstance(loaded.after, Reading)
    assert loaded.after.plans[PlanType.ROUTE].items == ()


def test_a_slow_radio_that_loses_one_in_twenty_is_read_and_compared() -> None:
    # As for loading: 50 bytes at 5760 a second, and a radio that turns round in 60 ms.
    rng = random.Random(7)  # noqa: S311 - loss, not a secret

    def fate() -> Sequence[float]:
        return () if rng.random() < 0.05 else (0.06 + 50.0 / 5760.0,)

    route = PlainRoute(
        launch_point=LAUNCH, items=tuple(point(f"item {k}", k) for k in range(60)), boundary=None
    )
    plans = plans_of(route, SETTINGS)
    vehicle = FakeVehicle(plans={int(plan): list(items) for plan, items in plans.items()})
    looked = watch()
    world = World(vehicle, up=fate, down=fate)
    reading, took_s = world.run(Session(looked, read_script(looked, None)))
    assert isinstance(reading, Reading)
    assert prove(route, SETTINGS, reading, home_first=False).end is End.SAME
    assert took_s < 120.0  # twice 60 items


def test_who_is_silent_until_it_hears_a_heartbeat_is_read_by_who_presents_himself() -> None:
    class Shy(FakeVehicle):
        met = False

        def hear(self, message: m.Message) -> list[m.Message]:
            self.met = self.met or isinstance(message, m.Heartbeat)
            return super().hear(message) if self.met else []

    def outcome(*, present: bool) -> object:
        vehicle, looked = Shy(plans=holding().plans), watch()
        beat = standing()[:1]
        world = World(vehicle, told=lambda _: standing() if vehicle.met else beat)
        return world.run(Session(looked, read_script(looked, None), present=present))[0]

    assert isinstance(outcome(present=True), Reading)
    failed = outcome(present=False)
    assert isinstance(failed, Failed)
    assert failed.reason == "no answer"


def test_who_speaks_version_1_alone_is_not_loaded_and_gives_no_answer(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=True)
    wire.version = 1
    with in_hand(wire) as port:
        given = ["--port", port, "--confirm-system", "7"]
        assert run(["link", "load", str(released), *given]) == 7
        assert "speaks version 1 of the protocol alone" in capsys.readouterr().err
        assert run(["link", "compare", str(released), "--port", port]) == 6
        assert "no answer. Nothing was written." in capsys.readouterr().err


def test_who_signs_is_read_with_its_key_alone(
    released: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=True)
    right, wrong = tmp_path / "right.key", tmp_path / "wrong.key"
    right.write_bytes(KEY)
    wrong.write_bytes(KEY[::-1])
    signing = codec_for(KEY, wrong.stat().st_mtime).signing_time
    wire.codec = Codec(system=7, component=1, key=KEY, signing_time=signing)
    command = ["link", "compare", str(released)]
    with in_hand(wire) as port:
        given = ["--port", port, *read_aloud(released)]
        assert run([*command, *given, "--signing-key-file", str(right)]) == 0
        assert capsys.readouterr().out.startswith("SAME as release")
        assert run([*command, *given]) == 6
        assert "no answer" in capsys.readouterr().err
        assert run([*command, *given, "--signing-key-file", str(wrong)]) == 6
        said = capsys.readouterr().err
        assert "nothing was heard" in said
        assert "was signed with another key, or not at all" in said
        load_it = ["link", "load", str(released), "--confirm-system", "7"]
        assert run([*load_it, "--port", port]) == 7
        assert "the aircraft signs what it sends" in capsys.readouterr().err
        right_key = ["--signing-key-file", str(right), "--home-first", "no"]
        assert run([*load_it, *right_key, *given]) == 0
    assert wire.vehicle.plans[0]


def test_a_vehicle_that_falls_silent_in_mid_reading_is_no_answer(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=True)
    wire.deaf_after = 4
    with in_hand(wire) as port:
        assert run(["link", "compare", str(released), "--port", port]) == 6
    assert "no answer. Nothing was written." in capsys.readouterr().err


@pytest.mark.parametrize(
    "strange",
    [
        {"z": math.nan},
        {"z": math.inf},
        {"x": 2_147_483_647, "y": 2_147_483_647},  # INT32_MAX: no position
        {"params": (math.nan, math.nan, math.nan, math.nan)},
        {"command": 65_535},
        {"frame": 255},
    ],
)
def test_numbers_that_are_none_are_a_difference_in_words(
    released: Path, capsys: pytest.CaptureFixture[str], strange: dict[str, Any]
) -> None:
    wire = aircraft(released, loaded=True)
    wire.vehicle.plans[0][2] = replace(wire.vehicle.plans[0][2], **strange)
    with in_hand(wire) as port:
        given = ["--port", port, *read_aloud(released)]
        assert run(["link", "compare", str(released), *given]) == 5
    said = capsys.readouterr()
    assert said.out.startswith("NOT THE SAME")
    assert said.err == ""
