"""The program on ports of this machine, in real time: TCP, UDP, a serial line."""

import os
import socket
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from homeleg.cli.main import run
from tests.link.test_command import aircraft, read_aloud
from tests.link.wire import HURRY, OnTheWire, over_tcp, over_udp, serve_bytes

pytestmark = pytest.mark.slow


def free_number() -> int:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def test_the_same_over_tcp(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with over_tcp(aircraft(released, loaded=True)) as port:
        status = run(["link", "compare", str(released), "--port", port, *read_aloud(released)])
    assert (status, capsys.readouterr().out[:15]) == (0, "SAME as release")


def test_a_load_over_udp(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wire = aircraft(released, loaded=False)
    with over_udp(wire, free_number()) as port:
        given = ["--port", port, "--confirm-system", "7", "--home-first", "no"]
        status = run(["link", "load", str(released), *given, *read_aloud(released)])
    assert (status, capsys.readouterr().out[:15]) == (0, "SAME as release")
    assert wire.vehicle.plans[0]


@contextmanager
def over_a_serial_line(wire: OnTheWire) -> Iterator[str]:
    """Serve the vehicle at one end of a line; yield the port at the other."""
    import pty  # noqa: PLC0415 (Linux and macOS alone)

    near, far = pty.openpty()
    os.set_blocking(near, False)
    over = threading.Event()

    def read() -> bytes:
        time.sleep(0.005)
        try:
            return os.read(near, 4096)
        except BlockingIOError:
            return b""

    def write(data: bytes) -> None:
        os.write(near, data)

    def serve() -> None:
        serve_bytes(wire, read, write, over)

    thread = threading.Thread(target=serve)
    thread.start()
    try:
        yield f"serial:{os.ttyname(far)}@57600"
    finally:
        over.set()
        thread.join()
        os.close(near)
        os.close(far)


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminals")
def test_a_load_over_a_serial_line(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wire = aircraft(released, loaded=False)
    with over_a_serial_line(wire) as port:
        given = ["--port", port, "--confirm-system", "7", "--home-first", "no"]
        status = run(["link", "load", str(released), *given, *read_aloud(released)])
    assert (status, capsys.readouterr().out[:15]) == (0, "SAME as release")
    assert wire.vehicle.plans[0]


def test_a_port_in_use_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as held:
        held.bind(("127.0.0.1", 0))
        port = f"udp-listen:127.0.0.1:{held.getsockname()[1]}"
        assert run(["link", "listen", "--port", port]) == 6
    assert "address already in use. Another program holds it" in capsys.readouterr().err


def test_nobody_on_udp(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    port = f"udp-listen:127.0.0.1:{free_number()}"
    assert run(["link", "compare", str(released), "--port", port]) == 6
    assert "nothing was heard for 5 s. Nothing was written." in capsys.readouterr().err


@contextmanager
def half_open() -> Iterator[str]:
    """Accept a link, then neither read, nor speak, nor close."""
    server = socket.create_server(("127.0.0.1", 0))
    kept = []
    thread = threading.Thread(target=lambda: kept.append(server.accept()[0]))
    thread.start()
    yield f"tcp:127.0.0.1:{server.getsockname()[1]}"
    thread.join()
    for link in kept:
        link.close()
    server.close()


def test_tcp_that_is_half_open_ends_by_itself(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with half_open() as port:
        assert run(["link", "compare", str(released), "--port", port]) == 6
    assert "nothing was heard for 5 s" in capsys.readouterr().err


def test_tcp_that_is_closed_at_the_other_end(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=True)
    wire.patience_s = 4.0 / HURRY
    with over_tcp(wire) as port:
        given = ["--port", port, "--watch", *read_aloud(released)]
        assert run(["link", "compare", str(released), *given]) == 6
    assert "the link was closed at the other end" in capsys.readouterr().err
