"""What goes wrong with a logbook's file, in words, each with what to do."""

import sqlite3
from pathlib import Path

from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["damaged", "newer", "nothing_here", "trouble_of", "unreadable"]

_RESCUE = (
    "Save what can be read: homeleg logbook rescue NEW-FILE. The damaged file is left as it is."
)
_BY_CODE = {
    sqlite3.SQLITE_BUSY: (
        "another program is writing in it and did not let go",
        "Close the other window or program and try again. Nothing was written.",
    ),
    sqlite3.SQLITE_READONLY: (
        "it may only be read here",
        "Give yourself the right to write the file and its folder. Nothing was written.",
    ),
    sqlite3.SQLITE_FULL: (
        "there is no room left on the disk",
        "Make room and try again. Nothing was written, what was there before is there.",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "it cannot be opened or made",
        "Is the folder there, and may you write in it?",
    ),
    sqlite3.SQLITE_NOTADB: ("this is not a logbook", _RESCUE),
    sqlite3.SQLITE_CORRUPT: ("the file is damaged", _RESCUE),
}
_PRIMARY = 0xFF  # of an extended result code


def trouble_of(path: Path, error: sqlite3.Error) -> InputFileError:
    """Return what SQLite found wrong, in words."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & _PRIMARY
    problem, remedy = _BY_CODE.get(code, (f"it cannot be used ({error})", _RESCUE))
    return _refusal(path, problem, remedy)


def newer(path: Path, version: int, known: int) -> InputFileError:
    """Return the refusal of a file that a later program has written."""
    return _refusal(
        path,
        f"it was written by a newer Homeleg (form {version}; this one knows up to {known})",
        "Use the newer Homeleg on this laptop too. Nothing was changed.",
    )


def nothing_here(path: Path) -> InputFileError:
    """Return the refusal where no logbook is."""
    return _refusal(path, "there is no logbook here", "Name a base that has one: --base FOLDER.")


def unreadable(path: Path, error: OSError) -> InputFileError:
    """Return the refusal of a file that the system does not give."""
    problem = f"it cannot be read ({(error.strerror or 'unknown reason').lower()})"
    return _refusal(path, problem, "Name a file that you may read.")


def damaged(path: Path, found: list[str]) -> InputFileError:
    """Return the refusal of a file in which entries are not as they were written."""
    return InputFileError([Problem(where=str(path), problem=one, remedy=_RESCUE) for one in found])


def _refusal(path: Path, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=str(path), problem=problem, remedy=remedy)])
