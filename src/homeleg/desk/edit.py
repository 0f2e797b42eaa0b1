"""Changing a value in a file of the user's own; what a person wrote around it stays."""

from collections.abc import Sequence
from pathlib import Path

from homeleg.formats.text_file import write_text
from homeleg.formats.toml_edit import TomlValue, with_value, without_value
from homeleg.formats.toml_text import read_text_file
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["set_in_file"]


def set_in_file(path: Path, keys: Sequence[str], value: TomlValue | None) -> None:
    """Put a value under a path of keys of a TOML file, or take it away with None, in one step.

    Raises InputFileError when the file is not TOML or cannot be written; it is then as it was.
    """
    text = read_text_file(path).text
    try:
        changed = without_value(text, keys) if value is None else with_value(text, keys, value)
    except ValueError as error:
        remedy = "Mend the file by hand first; it was left as it is."
        raise InputFileError(
            [Problem(where=path.name, problem=str(error), remedy=remedy)]
        ) from error
    write_text(path, changed)
