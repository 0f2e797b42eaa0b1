"""Stopping from outside, held back while compiled code runs: an exception inside would break it.

Ctrl-C, a terminal that is closed and a machine that shuts down are the same wish. References:
Python documentation, "signal", section "Note on Signal Handlers and Exceptions".
"""

import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

EXIT_STOPPED = 130
STOPPED = "Stopped."
_WORDS_AT_TERMINAL = "\r\x1b[KStopping after this step; Ctrl-C again stops at once.\n"


# Whichever of them the system has: Windows knows a closed window as SIGBREAK.
_STOPS = tuple(
    getattr(signal, name)
    for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")
    if hasattr(signal, name)
)


class _Stop:
    """A wish to stop: noted when it comes, heeded between two steps."""

    def __init__(self) -> None:
        self.wished = False

    def wish(self, number: int, _frame: object) -> None:
        """Note the wish; a Ctrl-C after it ends the process, wherever it is.

        Only a person's key does: a terminal that is closed may say so twice.
        """
        if self.wished and number == signal.SIGINT:
            _write_to_stderr(f"{STOPPED}\n")
            os._exit(EXIT_STOPPED)
        self.wished = True
        if sys.stderr.isatty():
            _write_to_stderr(_WORDS_AT_TERMINAL)

    def heed(self) -> None:
        """Raise KeyboardInterrupt if there was a wish."""
        if self.wished:
            raise KeyboardInterrupt


@contextmanager
def held_back() -> Iterator[Callable[[], None]]:
    """Hold a wish to stop back until the function that is given is called, or the block ends.

    What means something else already, as Ctrl-C does nothing in a background job, keeps its
    meaning.
    """
    stop, ordinary = _Stop(), (signal.default_int_handler, signal.SIG_DFL)
    before = {number: signal.getsignal(number) for number in _STOPS}
    taken = {number: handler for number, handler in before.items() if handler in ordinary}
    for number in taken:
        signal.signal(number, stop.wish)
    try:
        yield stop.heed
    finally:
        for number, handler in taken.items():
            signal.signal(number, handler)
    stop.heed()


@contextmanager
def at_once() -> Iterator[None]:
    """Let a wish to stop end the waiting for a person's answer: no compiled code runs there."""

    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    ignored = signal.SIG_IGN
    before = {n: signal.signal(n, stop) for n in _STOPS if signal.getsignal(n) is not ignored}
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _write_to_stderr(text: str) -> None:
    """Write past Python's buffers, which the interrupted code may be using just now."""
    try:
        os.write(2, text.encode())
    except OSError:
        return  # nobody can be told
