"""The program as a server on the loopback: a port, a key, a window, until it is stopped."""

import asyncio
import signal
import socket
import sys
import webbrowser
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from pathlib import Path

import uvicorn

from homeleg.app.application import application
from homeleg.app.guard import Guard
from homeleg.app.office import Office
from homeleg.app.session import Session, keep_session, resume_session
from homeleg.desk.base import is_base, make_base
from homeleg.desk.user_folder import (
    default_base_folder,
    known_base_folder,
    remember_base_folder,
    user_folder,
)
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["LARGEST_BYTES", "serve"]

_LOOPBACK = "127.0.0.1"
LARGEST_BYTES = {"/drop/": 64 * 1024 * 1024, "/compare/": 8 * 1024 * 1024}
_PATIENCE_S = 1


def serve(
    base: Path | None,
    *,
    port: int | None,
    browser: bool,
    environment: Mapping[str, str],
    say: Callable[[str], None],
) -> None:
    """Serve a base until stopped; without one, that opened last, or the first start.

    `say` hears the address. Raises InputFileError where the folder can be no base, or the port is
    taken.
    """
    notes = user_folder(environment, sys.platform)
    offered = default_base_folder(environment, sys.platform)
    office = _office(base, notes, offered)
    where = offered if office.base is None else office.base.folder
    session = resume_session(notes, where, now=datetime.now(UTC))
    listening = _listen(session.port if port is None else port, insist=port is not None)
    session = Session(port=listening.getsockname()[1], key=session.key, since=session.since)
    keep_session(notes, where, session)
    address = f"http://{_LOOPBACK}:{session.port}/?key={session.key}"
    say(f"Homeleg is open at {address}\nCtrl-C ends it.")
    if browser:
        webbrowser.open(address)
    _end_where_the_terminal_closes()
    asyncio.run(_run(office, session, listening))


def _end_where_the_terminal_closes() -> None:
    """Take a closed terminal for the wish to end that a shutdown is: a load is cancelled then."""
    closed = getattr(signal, "SIGHUP", None)
    if closed is not None and signal.getsignal(closed) is signal.SIG_DFL:
        signal.signal(closed, lambda *_: signal.raise_signal(signal.SIGTERM))


def _office(base: Path | None, notes: Path, offered: Path) -> Office:
    known = known_base_folder(notes) if base is None else base
    if base is None and (known is None or not is_base(known)):
        return Office(user_folder=notes, offered_folder=offered, base=None)
    opened = make_base(known or offered)
    remember_base_folder(notes, opened.folder)
    office = Office(user_folder=notes, offered_folder=offered, base=opened)
    office.tell_the_logbook()
    return office


def _listen(port: int, *, insist: bool) -> socket.socket:
    """Return a socket on a port of the loopback; on any where that one is taken, unless told."""
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if sys.platform != "win32":  # there it would share the port with whoever has it
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((_LOOPBACK, port))
        listening.listen()  # before the address is told: a browser may be quicker than the pages
    except OSError as error:
        listening.close()
        if insist:
            problem = f"this port cannot be used ({(error.strerror or 'unknown reason').lower()})"
            remedy = "Name another, or leave --port out."
            raise InputFileError(
                [Problem(where=f"--port {port}", problem=problem, remedy=remedy)]
            ) from error
        return _listen(0, insist=True)
    return listening


async def _run(office: Office, session: Session, listening: socket.socket) -> None:
    guarded = Guard(
        app=application(office), port=session.port, key=session.key, largest_bytes=LARGEST_BYTES
    )
    config = uvicorn.Config(
        guarded,
        log_level="warning",
        access_log=False,
        server_header=False,
        ws="none",
        timeout_graceful_shutdown=_PATIENCE_S,
    )
    await uvicorn.Server(config).serve(sockets=[listening])
