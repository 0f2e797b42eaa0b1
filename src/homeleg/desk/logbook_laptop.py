"""Which laptop this is: a name for people, and an id of which there is no other."""

import json
import platform as machine
import secrets
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path

from homeleg.desk.user_folder import user_folder
from homeleg.formats.text_file import write_text
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.logbook.store import Laptop

__all__ = ["Laptop", "laptop_of", "this_laptop"]

_FILE = "laptop.json"
_ID_BYTES = 8


def this_laptop(environment: Mapping[str, str], platform: str) -> Laptop:
    """Return the laptop that this is; the first time, it gets its id."""
    return laptop_of(user_folder(environment, platform))


def laptop_of(folder: Path) -> Laptop:
    """Return the laptop that a user's folder belongs to; raises InputFileError.

    The id stays in that folder: a base copied to another laptop is written there in a book of its
    own, and the two can be put together again.
    """
    path = folder / _FILE
    try:
        if path.exists():
            return Laptop(**json.loads(path.read_text("utf-8")))
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError, TypeError) as error:
        problem = f"it does not tell which laptop this is ({' '.join(str(error).split())})"
        remedy = "Move this file away; a new one is made, and a new book begun."
        raise InputFileError([Problem(where=str(path), problem=problem, remedy=remedy)]) from error
    laptop = Laptop(id=secrets.token_hex(_ID_BYTES), name=machine.node() or "laptop")
    write_text(path, json.dumps(asdict(laptop)) + "\n")
    return laptop
