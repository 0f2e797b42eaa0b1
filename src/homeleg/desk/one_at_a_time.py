"""One writer at a time in a folder: between the threads of this program, and between programs."""

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

if sys.platform != "win32":
    import fcntl

__all__ = ["one_at_a_time"]

_HERE = threading.RLock()


@contextmanager
def one_at_a_time(folder: Path) -> Iterator[None]:
    """Wait until nobody else writes into a folder, and keep others waiting meanwhile.

    Held on the folder itself, so that no file of ours is left in it. Where a system has no such
    lock (Windows), it holds within this program alone.
    """
    with _HERE:
        if sys.platform == "win32":
            yield
            return
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX)
            yield
        finally:
            os.close(descriptor)
