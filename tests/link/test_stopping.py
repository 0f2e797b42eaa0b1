"""Ctrl-C in a load, in a process of its own: the aircraft is told, and the words are true."""

import signal
import subprocess
import sys
import threading
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from homeleg.link import messages as m
from tests.link.fake_vehicle import FakeVehicle
from tests.link.test_command import aircraft
from tests.link.wire import HURRY, over_tcp

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="no Ctrl-C to send from outside"),
]

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
    """Goes mute at the first message that `ends` is true of; tells when, and when it is told."""

    ends: type = m.Item
    silent: threading.Event = field(default_factory=threading.Event)
    cancelled: threading.Event = field(default_factory=threading.Event)
    heard: list[m.Message] = field(default_factory=list)

    def hear(self, message: m.Message) -> list[m.Message]:
        self.heard.append(message)
        if isinstance(message, m.Ack) and message.result == CANCELLED:
            self.cancelled.set()
        if isinstance(message, self.ends):
            self.silent.set()
        return [] if self.silent.is_set() else super().hear(message)


def stopped(released: Path, vehicle: Mute) -> tuple[int, str]:
    """Load into a vehicle until it goes mute, press Ctrl-C; return the status and what is said."""
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
        process.send_signal(signal.SIGINT)
        out, said = process.communicate(timeout=10)
        vehicle.cancelled.wait(0.5)
    assert out == ""
    return process.returncode, said.strip()  # a terminal shows ^C on a line of its own


def test_while_writing_the_load_is_cancelled_and_what_it_may_hold_is_told(released: Path) -> None:
    vehicle = Mute(ends=m.Item)
    status, said = stopped(released, vehicle)
    assert status == 6
    assert vehicle.cancelled.is_set()
    (count,) = (one.count for one in vehicle.heard if isinstance(one, m.Count))
    (plan,) = {one.plan for one in vehicle.heard if isinstance(one, m.Count)}
    assert (plan, count > 1) == (m.PlanType.ROUTE, True)
    assert said.splitlines()[-1] == (
        "Stopped. The load was cancelled. Not read back, the aircraft may hold: route as before, "
        "or part of the released one. Fetch before flight: homeleg link compare."
    )


def test_before_a_write_nothing_is_sent_and_nothing_is_said_of_the_aircraft(released: Path) -> None:
    vehicle = Mute(ends=m.Request)
    vehicle.plans[0] = aircraft(released, loaded=True).vehicle.plans[0]
    assert stopped(released, vehicle) == (130, "Stopped.")
    assert not any(isinstance(one, m.Count | m.Item | m.Ack) for one in vehicle.heard)
