"""The process around the command line: its streams, how it is stopped, its exit status.

Everything else is imported inside `run`, so that a Ctrl-C finds it ready almost from the start.
"""

import os
import signal
import sys
import warnings
from collections.abc import Sequence

from homeleg.cli.stopping import EXIT_STOPPED, STOPPED


def run(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit status; never a traceback unless asked for."""
    try:
        from homeleg.cli.outcome import outcome

        return outcome(arguments)
    except KeyboardInterrupt:
        from homeleg.cli.streams import complain

        complain(STOPPED)
        return EXIT_STOPPED


def main() -> None:
    """Run the command line of this process."""
    if os.environ.get("HOMELEG_DEBUG") != "1":
        warnings.simplefilter("ignore")  # they speak to whoever writes code
    status = run(sys.argv[1:])
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # what is to be said has been said
    from homeleg.cli.streams import settle_streams

    settle_streams()
    sys.exit(status)
