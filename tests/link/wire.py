"""The fake vehicle behind a port of its own: in virtual time, or on a socket in real time."""

import socket
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from typing import Any

import pytest
from pymavlink.dialects.v20 import common as library

from homeleg.desk import link_line
from homeleg.foundation.errors import LinkError
from homeleg.link import messages as m
from homeleg.link import steady_clock
from homeleg.link.codec import SEEDS, Codec
from homeleg.link.splitter import Splitter, frames_of
from tests.link.fake_vehicle import VEHICLE, FakeVehicle

# On a socket the clock of the program goes this much faster, and so does the vehicle.
HURRY = 8.0


@dataclass
class OnTheWire:
    """Turns what a vehicle says into frames, and frames into what it hears."""

    vehicle: FakeVehicle
    home: m.HomePosition
    total: int | None = None
    armed: bool = False
    echoes: bool = False
    patience_s: float = float("inf")  # with who asked, and asks no more
    version: int = 2
    settings: dict[str, float] = field(default_factory=dict)  # told each second
    silent_after_s: float = float("inf")  # in hand; it says no word on its own from then on
    deaf_after: int | None = None  # messages; then it says no word, and the link stays open
    others: list[tuple[int, int]] = field(default_factory=list)  # stations heard on the link
    askers: set[tuple[int, int]] = field(default_factory=set)
    told_s: list[float] = field(default_factory=list)
    codec: Codec = field(default_factory=lambda: Codec(system=VEHICLE[0], component=VEHICLE[1]))

    @property
    def is_deaf(self) -> bool:
        return self.deaf_after is not None and self.deaf_after <= 0

    def status(self) -> bytes:
        """Return what it tells of itself each second."""
        lat, lon = self.home.latitude_e7, self.home.longitude_e7
        alt = self.home.height_amsl_mm
        base_mode = 128 if self.armed else 0
        said: list[Any] = [
            library.MAVLink_heartbeat_message(1, 3, base_mode, 0, 3, 3),
            library.MAVLink_extended_sys_state_message(0, 1),
            library.MAVLink_home_position_message(lat, lon, alt, 0, 0, 0, [1, 0, 0, 0], 0, 0, 0),
            library.MAVLink_global_position_int_message(5000, lat, lon, alt, 0, 0, 0, 0, 0),
        ]
        if self.total is not None:
            said.append(library.MAVLink_mission_current_message(0, self.total))
        said += [
            library.MAVLink_param_value_message(name.encode(), value, 9, len(self.settings), 0)
            for name, value in self.settings.items()
        ]
        mav = library.MAVLink(None, *VEHICLE)
        if self.codec.key is not None:
            mav.signing = self.codec._library.signing
        frames, old = [], self.version == 1
        for one in said:
            mav.seq = self.codec._sequence
            self.codec._sequence = (mav.seq + 1) % 256
            frames.append(bytes(one.pack(mav, force_mavlink1=old)))
        station = library.MAVLink_heartbeat_message(6, 8, 0, 0, 4, 3)
        frames += [bytes(station.pack(library.MAVLink(None, *who))) for who in self.others]
        return b"".join(frames)

    def answers(self, frames: Any) -> bytes:
        """Return what it says to frames; one of version 1 knows no others."""
        said = b""
        for frame in frames if self.version == 2 else ():
            if self.is_deaf:
                break
            if self.deaf_after is not None:
                self.deaf_after -= 1
            heard = self.codec.read(frame)
            if heard is not None and heard.message is not None:
                self.askers.add((heard.system, heard.component))
                told = self.vehicle.hear(heard.message)
                asker: Any = {"to_system": heard.system, "to_component": heard.component}
                said += b"".join(self.codec.write(replace(one, **asker)) for one in told)
        return said


@dataclass
class InHand:
    """A port without a socket: time passes where it is read, and nowhere else."""

    wire: OnTheWire
    now_s: float = 0.0
    datagrams: bool = False
    _told_s: float = -1.0
    _asked_s: float | None = None
    _coming: bytes = b""
    _splitter: Splitter = field(default_factory=lambda: Splitter(seeds=SEEDS))

    def read(self, timeout_s: float) -> bytes:
        if self._asked_s is not None and self.now_s > self._asked_s + self.wire.patience_s:
            raise LinkError("the link was closed at the other end")
        if not self._coming:
            time.sleep(0.0003)  # another thread may have its turn
            due_s = max(self._told_s + 1.0 - self.now_s, 0.0)
            silent = self.wire.is_deaf or self.now_s > self.wire.silent_after_s
            if due_s > timeout_s or silent:
                self.now_s += timeout_s
                return b""
            self.now_s += due_s
            self._told_s, self._coming = self.now_s, self.wire.status()
        self.now_s += 0.005
        told, self._coming = self._coming, b""
        return told

    def write(self, data: bytes) -> None:
        self._asked_s = self.now_s
        said = self.wire.answers(self._splitter.feed(data))
        self._coming += (data if self.wire.echoes else b"") + said

    def close(self) -> None:
        """Nothing is held; it may be opened again."""


@contextmanager
def in_hand(wire: OnTheWire) -> Iterator[str]:
    """Put the vehicle behind a port that any name opens; the clock is that of the port."""
    port = InHand(wire)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(link_line, "open_port", lambda _: port)
        patch.setattr(steady_clock, "steady_s", lambda: port.now_s)
        yield "tcp:127.0.0.1:1"


@contextmanager
def over_tcp(wire: OnTheWire) -> Iterator[str]:
    """Serve one link after another; yield the text of its port."""
    server = socket.create_server(("127.0.0.1", 0))
    server.settimeout(0.1)
    over = threading.Event()

    def serve() -> None:
        while not over.is_set():
            try:
                link, _ = server.accept()
            except TimeoutError:
                continue
            with link:
                _serve_link(link, wire, over)

    with _thread(serve, over):
        yield f"tcp:127.0.0.1:{server.getsockname()[1]}"
    server.close()


def _serve_link(link: socket.socket, wire: OnTheWire, over: threading.Event) -> None:
    link.settimeout(0.005)

    def read() -> bytes:
        try:
            data = link.recv(4096)
        except TimeoutError:
            return b""
        if not data:
            raise ConnectionResetError
        return data

    with suppress(OSError):
        serve_bytes(wire, read, link.sendall, over)


def serve_bytes(
    wire: OnTheWire,
    read: Callable[[], bytes],
    write: Callable[[bytes], None],
    over: threading.Event,
) -> None:
    """Tell of the vehicle and answer until it is over, or with one who asks no more."""
    splitter, told_s, ends_s = Splitter(seeds=SEEDS), 0.0, float("inf")
    while not over.is_set() and time.perf_counter() < ends_s:
        if wire.is_deaf:
            over.wait()
            return
        if time.perf_counter() - told_s > 0.5 / HURRY:
            write(wire.status())
            told_s = time.perf_counter()
            wire.told_s.append(told_s)
        data = read()
        if data:
            ends_s = time.perf_counter() + wire.patience_s
            write((data if wire.echoes else b"") + wire.answers(splitter.feed(data)))


@contextmanager
def over_udp(wire: OnTheWire, number: int) -> Iterator[str]:
    """Send to a port on which the program listens; yield the text of that port."""
    own = socket.socket(socket.AF_INET, socket.SOCK_DGRAM)
    own.bind(("127.0.0.1", 0))
    own.settimeout(0.005)
    over = threading.Event()
    goal = ("127.0.0.1", number)

    def serve() -> None:
        told_s = 0.0
        while not over.is_set():
            if time.perf_counter() - told_s > 0.5 / HURRY:
                own.sendto(wire.status(), goal)
                told_s = time.perf_counter()
            try:
                own.sendto(wire.answers(frames_of(own.recv(4096), SEEDS)[0]), goal)
            except (TimeoutError, ConnectionRefusedError):
                continue

    with _thread(serve, over):
        yield f"udp-listen:127.0.0.1:{number}"
    own.close()


@contextmanager
def _thread(serve: Any, over: threading.Event) -> Iterator[None]:
    thread = threading.Thread(target=serve)
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()
