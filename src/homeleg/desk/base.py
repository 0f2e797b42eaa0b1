"""A base: the folder that holds aircraft, sites, sorties, releases and recordings as plain files.

A broken file is listed with its problems; the others go on working.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from homeleg.formats.aircraft_file import read_aircraft
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError, Problem

__all__ = [
    "FOLDERS",
    "AircraftEntry",
    "Base",
    "SortieEntry",
    "aircraft_in",
    "aircraft_named",
    "aircraft_path",
    "is_base",
    "make_base",
    "sortie_named",
    "sortie_path",
    "sorties_in",
    "title_of",
]

FOLDERS = ("aircraft", "sites", "sorties", "releases", "recordings")
_SORTIE = "sortie.toml"

Read = TypeVar("Read")


@dataclass(frozen=True, slots=True)
class Base:
    """The folder of a base."""

    folder: Path

    @property
    def aircraft(self) -> Path:
        """Where aircraft files lie."""
        return self.folder / "aircraft"

    @property
    def sorties(self) -> Path:
        """Where each sortie has a folder, or a file, of its own."""
        return self.folder / "sorties"

    @property
    def sites(self) -> Path:
        """Where places to fly from lie."""
        return self.folder / "sites"

    @property
    def releases(self) -> Path:
        """Where releases lie, each with a folder of its pages beside it."""
        return self.folder / "releases"

    @property
    def recordings(self) -> Path:
        """Where what was heard of flights lies."""
        return self.folder / "recordings"

    def holds(self, path: Path) -> bool:
        """Tell whether a path, its links followed, leads to something inside this folder."""
        return path.resolve().is_relative_to(self.folder.resolve())


@dataclass(frozen=True, slots=True, kw_only=True)
class AircraftEntry:
    """An aircraft file: its name in the base, what it says, and what is wrong with it."""

    name: str
    path: Path
    title: str
    plan: str
    flights: int
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SortieEntry:
    """A sortie file: its name in the base, what it says, and what is wrong with it.

    `aircraft` is what its aircraft is called, `record` the name of that one's file.
    """

    name: str
    path: Path
    title: str
    aircraft: str
    record: str
    launch_time: datetime | None
    problems: tuple[Problem, ...]


def is_base(folder: Path) -> bool:
    """Tell whether a folder is a base already."""
    return all((folder / name).is_dir() for name in ("aircraft", "sorties"))


def make_base(folder: Path) -> Base:
    """Return the base in a folder, made where nothing is yet.

    Raises InputFileError where the folder holds other things, or cannot be made.
    """
    try:
        if folder.exists() and not is_base(folder) and any(folder.iterdir()):
            raise _refusal(folder, "this folder holds other things", "Name a new or empty folder.")
        for name in FOLDERS:
            (folder / name).mkdir(parents=True, exist_ok=True)
    except OSError as error:
        problem = f"no base can be made here ({(error.strerror or 'unknown reason').lower()})"
        raise _refusal(folder, problem, "Name a folder that you may write.") from error
    return Base(folder.resolve())


def aircraft_in(base: Base) -> tuple[AircraftEntry, ...]:
    """Return the aircraft of a base by name."""
    return tuple(_aircraft(path) for path in _files(base, base.aircraft.glob("*.toml")))


def aircraft_named(base: Base, name: str) -> AircraftEntry | None:
    """Return the aircraft of that name; nothing outside the base has one."""
    path = aircraft_path(base, name)
    return None if path is None else _aircraft(path)


def aircraft_path(base: Base, name: str) -> Path | None:
    """Return the file of the aircraft of that name, not read."""
    paths = _files(base, base.aircraft.glob("*.toml"))
    return next((path for path in paths if _name_of(path) == name), None)


def sorties_in(base: Base) -> tuple[SortieEntry, ...]:
    """Return the sorties of a base by name: folders with a sortie.toml, and single files."""
    return tuple(_sortie(path) for path in _sortie_files(base))


def sortie_named(base: Base, name: str) -> SortieEntry | None:
    """Return the sortie of that name; nothing outside the base has one."""
    path = sortie_path(base, name)
    return None if path is None else _sortie(path)


def sortie_path(base: Base, name: str) -> Path | None:
    """Return the file of the sortie of that name, not read."""
    return next((path for path in _sortie_files(base) if _name_of(path) == name), None)


def _sortie_files(base: Base) -> list[Path]:
    of_folders = base.sorties.glob(f"*/{_SORTIE}")
    single = base.sorties.glob("*.toml")
    return _files(base, (*of_folders, *single))


def title_of(name: str) -> str:
    """Return a file's name as words: "tern-point" is Tern Point."""
    words = name.replace("_", " ").replace("-", " ").split()
    return " ".join(word[0].upper() + word[1:] for word in words) or name


def _files(base: Base, paths: Iterator[Path] | tuple[Path, ...]) -> list[Path]:
    """Return the paths that lead to something inside the base, by name."""
    inside = (path for path in paths if base.holds(path) and not path.name.startswith("."))
    return sorted(inside, key=_name_of)


def _name_of(path: Path) -> str:
    return path.parent.name if path.name == _SORTIE else path.stem


def _aircraft(path: Path) -> AircraftEntry:
    record, problems = _read(read_aircraft, path)
    return AircraftEntry(
        name=_name_of(path),
        path=path,
        title=title_of(_name_of(path)) if record is None else record.name,
        plan="" if record is None else record.plan.value,
        flights=0 if record is None else record.flights,
        problems=problems,
    )


def _sortie(path: Path) -> SortieEntry:
    files, problems = _read(read_sortie, path)
    return SortieEntry(
        name=_name_of(path),
        path=path,
        title=title_of(_name_of(path)),
        aircraft="" if files is None else files.sortie.aircraft.name,
        record="" if files is None else Path(files.texts[1][0]).stem,
        launch_time=None if files is None else files.sortie.launch_time,
        problems=problems,
    )


def _read(read: Callable[[Path], Read], path: Path) -> tuple[Read | None, tuple[Problem, ...]]:
    try:
        return read(path), ()
    except InputFileError as error:
        return None, error.problems


def _refusal(folder: Path, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=str(folder), problem=problem, remedy=remedy)])
