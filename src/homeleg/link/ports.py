"""The ends of a link: serial, UDP and TCP; opened, read, written, closed, errors in plain words."""

import errno
import os
import socket
import sys
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Protocol

from homeleg.foundation.errors import InputFileError, LinkError, Problem

__all__ = ["Port", "open_port", "serial_ports"]

_MOST_BYTES = 65_536
_OPEN_S = 5.0
_MOST_PEERS = 16
_BAUDS, _NUMBERS = range(300, 4_000_001), range(1, 65_536)
_BY_ID = Path("/dev/serial/by-id")
_FORMS = (
    "Write serial:/dev/serial/by-id/NAME@57600, udp-listen:HOST:PORT, udp-connect:HOST:PORT or "
    "tcp:HOST:PORT."
)


class Port(Protocol):
    """An open end of a link; `datagrams` says whether each chunk stands for itself."""

    datagrams: bool

    def read(self, timeout_s: float) -> bytes:
        """Return a chunk, b"" where none came in time; raise LinkError when the link is gone."""

    def write(self, data: bytes) -> None:
        """Send one frame; raise LinkError when the link is gone."""

    def close(self) -> None:
        """Close it; nothing is raised."""


def open_port(text: str) -> Port:
    """Return the port that a text names, open.

    Raises InputFileError for a text that names none, LinkError where it cannot be opened.
    """
    kind, _, rest = text.partition(":")
    if kind == "serial":
        device, _, baud = rest.rpartition("@")
        if device and baud.isdecimal() and int(baud) in _BAUDS:
            return _serial(device, int(baud))
        raise _refused(text, "names no device with its speed in baud")
    host, _, number = rest.rpartition(":")
    if kind not in _NETWORK or not host or not number.isdecimal() or int(number) not in _NUMBERS:
        raise _refused(text, "is not a port of a link")
    try:
        return _NETWORK[kind](host.removeprefix("[").removesuffix("]"), int(number))
    except OSError as error:
        raise LinkError(f"Cannot open {text}: {_words(error)}.{_held(error)}") from error


def serial_ports() -> tuple[str, ...]:
    """Return the serial ports of this machine; by names that stay, where there are such."""
    named = sorted(str(path) for path in _BY_ID.glob("*"))
    if named:
        return tuple(named)
    from serial.tools.list_ports import comports  # noqa: PLC0415 (few links are serial)

    return tuple(sorted(port.device for port in comports() if port.hwid != "n/a"))


@dataclass(slots=True)
class _Udp:
    """Datagrams; one that listens answers to everybody whom it heard, each frame names its goal."""

    socket: socket.socket
    peers: list[Any] = field(default_factory=list)
    datagrams: bool = True

    def read(self, timeout_s: float) -> bytes:
        self.socket.settimeout(max(timeout_s, 0.001))
        try:
            data, peer = self.socket.recvfrom(_MOST_BYTES)
        except (TimeoutError, ConnectionRefusedError):  # the latter: nobody is there yet
            return b""
        except OSError as error:
            raise LinkError(f"the link is gone: {_words(error)}") from error
        if peer not in self.peers:
            self.peers = [*self.peers, peer][-_MOST_PEERS:]
        return data

    def write(self, data: bytes) -> None:
        for peer in self.peers:
            try:
                self.socket.sendto(data, peer)
            except ConnectionRefusedError:
                continue
            except OSError as error:
                raise LinkError(f"the link is gone: {_words(error)}") from error

    def close(self) -> None:
        with suppress(OSError):
            self.socket.close()


@dataclass(slots=True)
class _Tcp:
    socket: socket.socket
    datagrams: bool = False

    def read(self, timeout_s: float) -> bytes:
        self.socket.settimeout(max(timeout_s, 0.001))
        try:
            data = self.socket.recv(_MOST_BYTES)
        except TimeoutError:
            return b""
        except OSError as error:
            raise LinkError(f"the link is gone: {_words(error)}") from error
        if not data:
            raise LinkError("the link was closed at the other end")
        return data

    def write(self, data: bytes) -> None:
        self.socket.settimeout(_OPEN_S)
        try:
            self.socket.sendall(data)
        except OSError as error:
            raise LinkError(f"the link is gone: {_words(error)}") from error

    def close(self) -> None:
        with suppress(OSError):
            self.socket.close()


@dataclass(slots=True)
class _Serial:
    device: Any
    datagrams: bool = False

    def read(self, timeout_s: float) -> bytes:
        self.device.timeout = timeout_s
        try:
            first = self.device.read(1)
            return bytes(first + self.device.read(self.device.in_waiting)) if first else b""
        except (OSError, TypeError) as error:  # TypeError: pulled out while it was read
            raise LinkError(f"the port is gone: {_words(error)}") from error

    def write(self, data: bytes) -> None:
        try:
            self.device.write(data)
        except OSError as error:
            raise LinkError(f"the port is gone: {_words(error)}") from error

    def close(self) -> None:
        with suppress(OSError):
            self.device.close()


def _udp(host: str, number: int) -> tuple[socket.socket, Any]:
    family, kind, _, _, address = socket.getaddrinfo(host, number, type=socket.SOCK_DGRAM)[0]
    return socket.socket(family, kind), address


def _udp_listen(host: str, number: int) -> _Udp:
    opened, address = _udp(host, number)
    try:
        opened.bind(address)
    except OSError:
        opened.close()
        raise
    return _Udp(opened)


def _udp_connect(host: str, number: int) -> _Udp:
    opened, address = _udp(host, number)
    return _Udp(opened, [address])


def _tcp(host: str, number: int) -> _Tcp:
    return _Tcp(socket.create_connection((host, number), timeout=_OPEN_S))


_NETWORK: Mapping[str, Callable[[str, int], Port]] = {
    "udp-listen": _udp_listen,
    "udp-connect": _udp_connect,
    "tcp": _tcp,
}


def _serial(device: str, baud: int) -> _Serial:
    import serial  # noqa: PLC0415 (few links are serial)

    try:
        return _Serial(serial.Serial(device, baud, exclusive=True, write_timeout=_OPEN_S))
    except (OSError, ValueError) as error:
        raise LinkError(_not_opened(device, baud, error)) from error


def _not_opened(device: str, baud: int, error: Exception) -> str:
    """Return in words why a serial port cannot be opened, and what to do about it."""
    if sys.platform == "win32" and "PermissionError" in str(error):
        return f"Cannot open {device}: another program holds it. Close that program."
    number = error.errno if isinstance(error, OSError) else None
    if number == errno.EACCES:
        return (
            f"Cannot open {device}: you may not. Add yourself to the group that owns it (often "
            "dialout) and log in again."
        )
    there = ", ".join(serial_ports()) if number in (errno.ENOENT, None) else ""
    found = f" Serial ports of this machine: {there}." if there else ""
    if number == errno.ENOENT and not there:
        found = " No serial port was found on this machine: is the cable in?"
    return f"Cannot open {device} at {baud} baud: {_words(error)}.{_held(error)}{found}"


def _held(error: Exception) -> str:
    """Return what to do where another program has the port, "" where none has."""
    numbers = (errno.EADDRINUSE, errno.EBUSY, errno.EAGAIN)
    is_held = isinstance(error, OSError) and error.errno in numbers
    return " Another program holds it: close that program." if is_held else ""


def _words(error: Exception) -> str:
    """Return the system's own words for an error, without its numbers."""
    number = error.errno if isinstance(error, OSError) else None
    told = error.strerror if isinstance(error, OSError) else None
    if number is not None and number in errno.errorcode:
        told = os.strerror(number)  # a serial port says more than that, numbers and all
    words = told or str(error) or type(error).__name__
    return f"{words[0].lower()}{words[1:]}"


def _refused(text: str, problem: str) -> InputFileError:
    return InputFileError([Problem(where="--port", problem=f"{text!r} {problem}", remedy=_FORMS)])
