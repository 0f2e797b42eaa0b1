"""A route that was fetched back, against a release: how it ends is kept beside the release."""

import re
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from homeleg.desk.check import Progress
from homeleg.desk.compare import Compared, compare_release
from homeleg.desk.route_aboard import Fetched, keep_comparison, no_proof_from
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import printable
from homeleg.release.route_aboard import Means

__all__ = ["FetchedBack", "compare_fetched", "compare_text"]

_LONGEST_NAME = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class FetchedBack:
    """A comparison, and why it says nothing of the route aboard; "" where it was kept."""

    compared: Compared
    not_kept: str


def compare_fetched(
    path: Path,
    found_at: Path,
    now: datetime,
    *,
    heights: str | None = None,
    members: int | None = None,
    progress: Progress | None = None,
) -> FetchedBack:
    """Return how the route in a file compares with that of a release, and keep it beside that.

    Raises InputFileError.
    """
    compared = compare_release(path, found_at, heights=heights, members=members, progress=progress)
    release, comparison = compared.release, compared.comparison
    not_kept = no_proof_from(release, path, found_at)
    if not not_kept:
        name = printable(found_at.name)[-_LONGEST_NAME:]
        fetched = Fetched(at=now, means=Means.FILE, source=name, content=found_at.read_bytes())
        keep_comparison(release, path, comparison.end, comparison, fetched)
    return FetchedBack(compared=compared, not_kept=not_kept)


def compare_text(
    path: Path,
    name: str,
    text: str,
    heights: str,
    now: datetime,
    *,
    progress: Progress | None = None,
) -> FetchedBack:
    """Return how the route in a text compares with that of a release; the text is not kept.

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
        return compare_fetched(path, file, now, heights=heights or None, progress=progress)


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
