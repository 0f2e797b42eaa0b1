"""After a command that wrote into a base: its logbook hears of it."""

import os
import sys
from datetime import UTC, datetime
from pathlib import Path

from homeleg.cli.streams import complain

__all__ = ["tell_the_logbook"]


def tell_the_logbook(path: Path) -> None:
    """Have the logbook of the base that a file lies in, if any, enter what was written.

    What the command did is done: trouble with the logbook is said, and changes nothing.
    """
    from homeleg.desk.logbook import notice_around
    from homeleg.desk.logbook_laptop import this_laptop
    from homeleg.foundation.errors import InputFileError

    try:
        notice_around(path, this_laptop(os.environ, sys.platform), datetime.now(UTC))
    except InputFileError as error:
        complain(f"The logbook was not written.\n{error}")
