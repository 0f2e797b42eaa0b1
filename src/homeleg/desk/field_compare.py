"""A route given to a page as text, against a release: the file it came from is not kept."""

import re
from pathlib import Path
from tempfile import TemporaryDirectory

from homeleg.desk.check import Progress
from homeleg.desk.compare import Compared, compare_release
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["compare_text"]

_LONGEST_NAME = 60


def compare_text(
    path: Path, name: str, text: str, heights: str, *, progress: Progress | None = None
) -> Compared:
    """Return how the route in a text compares with that of a release.

    `name` is that of the file it came from, empty where it was typed: then its kind is told from
    how it begins. Raises InputFileError.
    """
    if not text.strip():
        remedy = "Choose the file, paste its text, or choose another release."
        raise InputFileError(
            [Problem(where="the route fetched", problem="nothing was given", remedy=remedy)]
        )
    with TemporaryDirectory() as folder:
        file = Path(folder) / _named(name, text)
        file.write_text(text.replace("\r\n", "\n"), "utf-8")
        return compare_release(path, file, heights=heights or None, progress=progress)


def _named(name: str, text: str) -> str:
    """Return a name of our own for the text, with the ending that says what it is."""
    plain = re.sub(r"[^\w.-]", "_", name.replace("\\", "/").rpartition("/")[2]).lstrip(".")
    if plain:
        return plain[-_LONGEST_NAME:]
    begins = text.lstrip("\ufeff \t\r\n")[:2000]
    if begins.startswith("{"):
        return "typed.json"
    if begins.startswith("<"):
        return "typed.gpx" if "<gpx" in begins else "typed.kml"
    return "typed.csv"
