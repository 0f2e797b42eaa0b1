"""Changing a value in a file of the user's own; what a person wrote around it stays."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from homeleg.desk.one_at_a_time import one_at_a_time
from homeleg.formats.sortie_file import sortie_from_text
from homeleg.formats.text_file import write_text
from homeleg.formats.toml_edit import TomlValue, with_value, without_value
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["Edit", "edit_sortie", "putting", "rewrite", "set_in_file"]

Edit = Callable[[str], str]


def set_in_file(path: Path, keys: Sequence[str], value: TomlValue | None) -> None:
    """Put a value under a path of keys of a TOML file, or take it away with None, in one step.

    Raises InputFileError when the file is not TOML or cannot be written; it is then as it was.
    """
    file = read_text_file(path)
    rewrite(path, file, _edited(file, [putting(keys, value)]))


def putting(keys: Sequence[str], value: TomlValue | None) -> Edit:
    """Return the edit that puts a value under a path of keys, or takes it away with None."""
    if value is None:
        return lambda text: without_value(text, keys)
    return lambda text: with_value(text, keys, value)


def edit_sortie(path: Path, edits: Sequence[Edit]) -> None:
    """Make edits to a sortie's file in one step, if it can be read as a sortie afterwards.

    Raises InputFileError with everything that the edited text would be wrong in; the file is then
    as it was.
    """
    file = read_text_file(path)
    text = _edited(file, edits)
    sortie_from_text(replace(file, text=text), path.parent)
    rewrite(path, file, text)


def rewrite(path: Path, read: TextFile, text: str) -> None:
    """Write what a file becomes, if it still is as it was read; in one step.

    Raises InputFileError where another hand was quicker, or the file cannot be written.
    """
    with one_at_a_time(path.parent):
        if read_text_file(path).sha256 != read.sha256:
            problem = "was changed by another hand just now, and was left as that has it"
            remedy = "Look at it, and do this again."
            raise InputFileError([Problem(where=path.name, problem=problem, remedy=remedy)])
        write_text(path, text)


def _edited(file: TextFile, edits: Sequence[Edit]) -> str:
    text = file.text
    try:
        for edit in edits:
            text = edit(text)
    except ValueError as error:
        remedy = "Mend the file by hand first; it was left as it is."
        raise InputFileError(
            [Problem(where=file.name, problem=str(error), remedy=remedy)]
        ) from error
    return text
