"""What every command that computes needs: a kernel, a line of progress, an answer in signs.

Heavy imports stand inside the functions, so that help comes at once.
"""

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import click

from homeleg.cli.stopping import held_back
from homeleg.cli.streams import answer, complain

__all__ = ["KEEP_IT", "computing", "prepare_kernel", "say", "warn_of_slow_start"]

KEEP_IT = "Set HOMELEG_CACHE to a folder that you can write."
_WIPE = "\r\x1b[K"


def warn_of_slow_start() -> None:
    """Prepare the kernel; tell who waits at a terminal where it is compiled each time."""
    if not prepare_kernel() and sys.stderr.isatty():
        complain(
            "No folder to keep the compiled kernel in: this takes half a minute more each time. "
            f"{KEEP_IT}"
        )


def prepare_kernel() -> bool:
    """Point numba at a folder it can write, and tell whether what is compiled there lasts.

    Must come before numba's first import.
    """
    from homeleg.desk.kernel_cache import refuse_bad_threads, use_kernel_cache

    refuse_bad_threads(os.environ)
    return use_kernel_cache().lasting


@contextmanager
def computing() -> Iterator[Callable[[str, float], None]]:
    """Give what hears of the progress: there Ctrl-C is heeded, and a terminal shows a line."""
    shown = sys.stderr.isatty()
    with held_back() as heed:

        def tell(what: str, fraction: float) -> None:
            heed()
            if shown:
                click.echo(f"{_WIPE}{what} {100.0 * fraction:.0f} %", nl=False, err=True)

        try:
            yield tell
        finally:
            if shown:
                click.echo(_WIPE, nl=False, err=True)


def say(text: str) -> None:
    """Put a text on standard output, in signs that it has."""
    from homeleg.cli.text import for_encoding

    answer(for_encoding(text, sys.stdout.encoding))
