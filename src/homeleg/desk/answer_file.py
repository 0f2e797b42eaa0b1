"""The file for an answer, looked at before the work: can it be written, and may it be replaced."""

import hashlib
from collections.abc import Iterable
from pathlib import Path

from homeleg.formats.text_file import refuse_unwritable
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["refuse_answer_file"]


def refuse_answer_file(path: Path, sources: Iterable[tuple[str, str]]) -> None:
    """Raise InputFileError where the answer would replace a file that it was read from.

    `sources` are names and SHA-256 of what was read: known by its content, whatever link or other
    name leads to it. Raises also where nothing can be written.
    """
    refuse_unwritable(path)
    if not path.is_file():
        return
    with path.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    for name, of_source in sources:
        if digest == of_source:
            problem = f"this is {name}, which was read for this check (or a copy of it)"
            remedy = "Choose another name for the answer."
            raise InputFileError([Problem(where=str(path), problem=problem, remedy=remedy)])
