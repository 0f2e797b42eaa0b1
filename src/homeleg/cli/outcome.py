"""From a command line to an exit status: each kind of error in its own words, no traceback."""

import errno
import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

import click

from homeleg import __version__
from homeleg.cli.commands import cli
from homeleg.cli.streams import complain, open_closed_streams, reason
from homeleg.foundation.errors import HomelegError, LinkError, RefusedError

EXIT_FAULT = 1
EXIT_BAD_INPUT = 2
EXIT_LINK = 6
EXIT_REFUSED = 7
_EXIT_BY_ERROR = ((LinkError, EXIT_LINK), (RefusedError, EXIT_REFUSED))
_EXIT_PIPE_CLOSED = 141
_NO_SPACE = (errno.ENOSPC, errno.EDQUOT)


def outcome(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit status; raises KeyboardInterrupt when stopped."""
    open_closed_streams()
    try:
        status = cli.main(list(arguments), prog_name="homeleg", standalone_mode=False)
    except click.ClickException as error:
        with suppress(OSError):
            error.show()
        return EXIT_BAD_INPUT
    except HomelegError as error:
        complain(str(error))
        found = (status for kind, status in _EXIT_BY_ERROR if isinstance(error, kind))
        return next(found, EXIT_BAD_INPUT)
    except click.Abort as error:
        raise KeyboardInterrupt from error
    except SystemExit:  # click's own way out when the reader of a pipe has gone
        return _EXIT_PIPE_CLOSED
    except Exception as error:  # noqa: BLE001 (the last line of defence: say so, show no traceback)
        return _other(error)
    return status if isinstance(status, int) else 0


def _other(error: Exception) -> int:
    """Return the status of an error that is nobody's, such as a full disk, or the program's."""
    if isinstance(error, OSError) and error.errno in _NO_SPACE:
        what = f"Cannot write {error.filename}" if error.filename else "Cannot write"
        complain(f"{what}: {reason(error)}.")
        return EXIT_BAD_INPUT
    _report_fault(error)
    return EXIT_FAULT


def _report_fault(error: Exception) -> None:
    import traceback

    if os.environ.get("HOMELEG_DEBUG") == "1":
        complain("".join(traceback.format_exception(error)).rstrip("\n"))
    frames = traceback.extract_tb(error.__traceback__)
    place = f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else "unknown"
    summary = " ".join(str(error).split())
    complain(
        f"A fault of this program, not of your files: {type(error).__name__}: {summary} "
        f"({place}, homeleg {__version__}). Please report this line; with HOMELEG_DEBUG=1 in the "
        "environment it shows where it came from."
    )
