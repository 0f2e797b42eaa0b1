"""Which base is meant where nobody or a file says."""

from collections.abc import Mapping
from pathlib import Path

from homeleg.desk.base import Base, is_base
from homeleg.desk.user_folder import known_base_folder, user_folder
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["base_around", "base_meant"]


def base_meant(
    told: Path | None, stood_in: Path, environment: Mapping[str, str], platform: str
) -> Base:
    """Return the base told, else the one stood in, else the one opened last.

    Raises InputFileError where there is none.
    """
    if told is not None:
        if not is_base(told):
            raise _refused(told, "this folder is no base", "Make one: homeleg app FOLDER.")
        return Base(told.resolve())
    around = base_around(stood_in)
    if around is not None:
        return around
    last = known_base_folder(user_folder(environment, platform))
    if last is None or not is_base(last):
        remedy = "Name its folder: homeleg logbook --base FOLDER."
        raise _refused(stood_in, "no base was opened yet, and this is none", remedy)
    return Base(last.resolve())


def base_around(path: Path) -> Base | None:
    """Return the base that a file or folder lies in, None where it lies in none."""
    whole = path.resolve()
    found = next((one for one in (whole, *whole.parents) if is_base(one)), None)
    return None if found is None else Base(found)


def _refused(path: Path, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=str(path), problem=problem, remedy=remedy)])
