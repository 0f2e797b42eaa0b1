"""Standard input, output and error, as they may be: closed, full, or in another encoding."""

import os
import sys
from contextlib import suppress
from pathlib import Path

import click

from homeleg.foundation.errors import HomelegError


class NotWrittenError(HomelegError):
    """Standard output did not take the answer."""


def open_closed_streams() -> None:
    """Give each standard stream that was closed at the start a place that takes everything."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            sink = Path(os.devnull).open(mode, encoding="utf-8")  # noqa: SIM115 (open to the end)
            setattr(sys, name, sink)


def settle_streams() -> None:
    """Write out what is left, or drop it: a full stream must not change the exit status."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except OSError:
            os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def answer(text: str) -> None:
    """Put the text on standard output; raises NotWrittenError where that takes no more."""
    try:
        click.echo(text, nl=False)
    except BrokenPipeError:  # the reader has gone: no error of anybody
        raise
    except OSError as error:
        raise NotWrittenError(f"Cannot write the answer: {reason(error)}.") from error


def complain(text: str) -> None:
    """Put a line on standard error; where that takes none, the exit status has to do."""
    with suppress(OSError):
        click.echo(text, err=True)


def reason(error: OSError) -> str:
    """Return the system's words for an error, as the end of a sentence."""
    words = error.strerror or type(error).__name__
    return f"{words[0].lower()}{words[1:]}"
