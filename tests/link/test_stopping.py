"""A load that is stopped from outside: the aircraft is told, and the words are true.

At the keyboard, by a terminal that is closed, by a machine that shuts down; at every message of a
load in virtual time, and in processes of their own.
"""

import signal
import subprocess
import sys
import threading
from contextlib import nullcontext
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from homeleg.cli import link as cli_link
from homeleg.cli.main import run
from homeleg.link import messages as m
from tests.link.fake_vehicle import FakeVehicle
from tests.link.test_command import aircraft
from tests.link.wire import HURRY, in_hand, over_tcp

# The process takes Ctrl-C where a background job ignores it, and its clock hurries as the others.
MAIN = f"""
import signal, time
signal.signal(signal.SIGINT, signal.default_int_handler)
import homeleg.link.steady_clock
homeleg.link.steady_clock.steady_s = lambda: {HURRY} * time.perf_counter()
from homeleg.cli.main import main
main()
"""
CANCELLED = 15  # MAV_MISSION_OPERATION_CANCELLED of the common set


@dataclass
class Mute(FakeVehicle):
    """Goes mute at a message of a kind and number; tells when, and when it is cancelled."""

    ends: type = m.Item
    number: int = 0
    last: m.Message | None = None
    silent: threading.Event = field(default_factory=threading.Event)
    cancelled: threading.Event = field(default_factory=threading.Event)
    heard: list[m.Message] = field(default_factory=list)

    def hear(self, message: m.Message) -> list[m.Message]:
        self.heard.append(message)
        if isinstance(message, m.Ack) and message.result == CANCELLED:
            self.cancelled.set()
        if isinstance(message, self.ends) and getattr(message, "sequence", 0) == self.number:
            self.last = self.last or message
            self.silent.set()
        return [] if self.silent.is_set() else super().hear(message)


def _heed_where_silent(vehicle: Mute) -> Any:
    """Return a block in which the wish to stop comes once the vehicle goes mute."""

    def heed() -> None:
        if vehicle.silent.is_set():
            raise KeyboardInterrupt

    return nullcontext(heed)


HELD = "Once it stands disarmed, load it again; or fetch before flight: homeleg link compare."


@pytest.mark.parametrize(
    ("ends", "number", "held"),
    [
        (m.Count, 0, "route as before, or none"),
        (m.Item, 0, "route as before, or part of the released one"),
        (m.Item, 3, "route as before, or part of the released one"),
        (m.Item, -1, "route as before, as released, or part of it"),
    ],
)
def test_a_load_is_cancelled_wherever_it_is_and_what_it_may_hold_is_told(
    released: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    ends: type,
    number: int,
    held: str,
) -> None:
    items = aircraft(released, loaded=True).vehicle.plans[0]
    vehicle = Mute(ends=ends, number=number % len(items))
    wire = aircraft(released, loaded=False)
    wire.vehicle = vehicle
    monkeypatch.setattr(cli_link, "held_back", lambda: _heed_where_silent(vehicle))
    with in_hand(wire) as port:
        given = ["--port", port, "--confirm-system", "7", "--home-first", "no"]
        assert run(["link", "load", str(released), *given]) == 6
    said = capsys.readouterr().err.strip().splitlines()[-1]
    known = f"Stopped. The load was cancelled. Not read back, it may hold: {held}. {HELD}"
    assert said == known
    assert vehicle.last is not None
    after = vehicle.heard[vehicle.heard.index(vehicle.last) + 1 :]
    cancels = [one for one in after if isinstance(one, m.Ack)]
    assert [(one.plan, one.result) for one in cancels] == [(0, CANCELLED)] * 3
    assert not any(isinstance(one, m.Count | m.Item) for one in after)


def stopped(released: Path, vehicle: Mute, number: int) -> tuple[int, str]:
    """Load into a vehicle until it goes mute, stop it; return the status and what is said."""
    wire = aircraft(released, loaded=False)
    wire.vehicle = vehicle
    given = ["--confirm-system", "7", "--home-first", "no"]
    with over_tcp(wire) as port:
        process = subprocess.Popen(  # noqa: S603 (our own interpreter and text)
            [sys.executable, "-c", MAIN, "link", "load", str(released), "--port", port, *given],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert vehicle.silent.wait(20.0), process.communicate(timeout=5)
        process.send_signal(number)
        out, said = process.communicate(timeout=10)
        vehicle.cancelled.wait(0.5)
    assert out == ""
    return process.returncode, said.strip()  # a terminal shows ^C on a line of its own


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="no signals to send from outside")
@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_while_writing_a_signal_cancels_the_load(released: Path, name: str) -> None:
    vehicle = Mute(ends=m.Item)
    status, said = stopped(released, vehicle, getattr(signal, name))
    assert status == 6
    assert vehicle.cancelled.is_set()
    assert said.splitlines()[-1].startswith("Stopped. The load was cancelled. Not read back, it")


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="no signals to send from outside")
def test_before_a_write_nothing_is_sent_and_nothing_is_said_of_the_aircraft(released: Path) -> None:
    vehicle = Mute(ends=m.Request)
    vehicle.plans[0] = aircraft(released, loaded=True).vehicle.plans[0]
    assert stopped(released, vehicle, signal.SIGINT) == (130, "Stopped.")
    assert not any(isinstance(one, m.Count | m.Item | m.Ack) for one in vehicle.heard)
