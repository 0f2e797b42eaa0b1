"""The examples that come with the program, copied into a base as plain files."""

import shutil
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from homeleg.desk.base import Base
from homeleg.desk.edit import set_in_file
from homeleg.formats.toml_text import parse_toml, read_text_file
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["add_example", "examples"]

_SORTIE = "sortie.toml"


def examples() -> tuple[str, ...]:
    """Return the names of the examples."""
    return tuple(sorted(one.name for one in _shipped().iterdir() if (one / _SORTIE).is_file()))


def add_example(base: Base, name: str) -> Path:
    """Copy an example into a base and return its sortie file.

    The aircraft goes to the aircraft of the base, unless one of that name is there already: then
    that one is flown. Raises InputFileError where there is no such example, or a sortie of its
    name.
    """
    if name not in examples():
        remedy = f"There are: {', '.join(examples())}."
        raise _refusal(name, "there is no such example", remedy)
    folder = base.sorties / name
    if folder.exists():
        raise _refusal(str(folder), "there is such a sortie already", "It was left as it is.")
    with resources.as_file(_shipped() / name) as source:
        aircraft = str(parse_toml(read_text_file(source / _SORTIE))["aircraft"])
        ignored = shutil.ignore_patterns(aircraft, "*.py", "__pycache__")
        shutil.copytree(source, folder, ignore=ignored)
        if not (base.aircraft / aircraft).exists():
            shutil.copyfile(source / aircraft, base.aircraft / aircraft)
    set_in_file(folder / _SORTIE, ["aircraft"], f"../../aircraft/{aircraft}")
    return folder / _SORTIE


def _shipped() -> Traversable:
    return resources.files("homeleg") / "examples"


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
