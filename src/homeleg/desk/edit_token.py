"""What a page was made from, so that a later change cannot undo another window's unseen."""

import hashlib
from pathlib import Path

from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ChangedElsewhereError", "refuse_stale", "token_of", "token_of_sources"]


class ChangedElsewhereError(InputFileError):
    """A file was changed after the page that asks for a change was made."""


def token_of(path: Path) -> str:
    """Return what stands for all files of a sortie as they are now; raises InputFileError."""
    return token_of_sources(read_sortie(path).sources)


def refuse_stale(path: Path, token: str) -> None:
    """Raise ChangedElsewhereError where the files are no longer those of that token."""
    if token != token_of(path):
        problem = "this sortie was changed in another window, or by hand."
        remedy = "Nothing of yours was kept: look at both, and say which stands."
        raise ChangedElsewhereError([Problem(where=path.name, problem=problem, remedy=remedy)])


def token_of_sources(sources: tuple[tuple[str, str], ...]) -> str:
    """Return what stands for files (name, SHA-256)."""
    return hashlib.sha256(repr(sources).encode()).hexdigest()[:16]
