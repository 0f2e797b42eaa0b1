"""Stopping at the keyboard, held back while compiled code runs: an exception inside would break it.

References: Python documentation, "signal", section "Note on Signal Handlers and Exceptions".
"""

import os
import signal
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

EXIT_STOPPED = 130
STOPPED = "Stopped."
_WORDS_AT_TERMINAL = "\r\x1b[KStopping after this step; Ctrl-C again stops at once.\n"


class _Stop:
    """Ctrl-C as a wish: noted when it comes, heeded between two steps."""

    def __init__(self) -> None:
        self.wished = False

    def wish(self, *_: object) -> None:
        """Note the wish; the second one ends the process, wherever it is."""
        if self.wished:
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
    """Hold Ctrl-C back until the function that is given is called, or the end of the block.

    Where Ctrl-C means something else already, as nothing in a background job, it keeps its meaning.
    """
    stop = _Stop()
    before = signal.getsignal(signal.SIGINT)
    if before is not signal.default_int_handler:
        yield stop.heed
        return
    signal.signal(signal.SIGINT, stop.wish)
    try:
        yield stop.heed
    finally:
        signal.signal(signal.SIGINT, before)
    stop.heed()


def _write_to_stderr(text: str) -> None:
    """Write past Python's buffers, which the interrupted code may be using just now."""
    try:
        os.write(2, text.encode())
    except OSError:
        return  # nobody can be told
