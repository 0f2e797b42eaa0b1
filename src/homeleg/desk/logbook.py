"""The logbook of a base: opened, read, written.

What the other rooms of the desk need of it:

- `logbook_of(base)`: the `Logbook` as it stands, None where the base has none. Its `held` are the
  entries that hold, for the pure functions of `homeleg.readiness`: `since.since_last_flight`,
  `since.void_before` (told items whose earlier answers count no more), `since.held_back_by`,
  `since.flights_of`, `packs.packs_of`, `packs.pack_in`, `due.maintenance_due`, `due.papers_held`,
  `due.open_defects`. An aircraft goes by its name in the base: the file's, without its ending.
- `open_logbook(base, laptop, now)`: the same, made where there is none, after writing down what
  the base's files tell and the logbook does not yet: changed aircraft, releases, comparisons,
  flights noted.
- `notice_around(path, laptop, now)`: the same for the base a file lies in, if that has a logbook;
  for whoever has just written such a file.
- `enter(base, laptop, now, thing, ...)`: one more entry. `homeleg.readiness.entries` has the kinds.
- `logbook_laptop.this_laptop(environment, platform)`: whose book is written.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from homeleg.desk.base import Base
from homeleg.desk.logbook_base import base_around
from homeleg.desk.logbook_notice import noticed
from homeleg.desk.logbook_refusals import refuse_entry
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import shown
from homeleg.logbook.record import Draft
from homeleg.logbook.store import Laptop, append_after, begin, may_write, read_entries
from homeleg.readiness.entries import Entry, Thing, standing
from homeleg.release.code import typed_code

__all__ = ["Logbook", "enter", "logbook_of", "logbook_path", "notice_around", "open_logbook"]

_FILE = "logbook.db"


@dataclass(frozen=True, slots=True, kw_only=True)
class Logbook:
    """All entries of a logbook, and those that hold, in the order in which they happened."""

    entries: tuple[Entry, ...]
    held: tuple[Entry, ...]

    def entry(self, code: str) -> Entry:
        """Return the entry that holds of a code as typed; raises InputFileError."""
        typed = typed_code(code)
        found = [one for one in self.held if one.code == typed]
        if len(found) == 1:
            return found[0]
        withdrawn = any(one.code == typed for one in self.entries)
        problem = "this entry was withdrawn" if withdrawn else "no entry has this code"
        remedy = "Each entry is shown with its code: homeleg logbook show."
        raise InputFileError([Problem(where=shown(code), problem=problem, remedy=remedy)])


def logbook_path(base: Base) -> Path:
    """Return where the logbook of a base lies."""
    return base.folder / _FILE


def logbook_of(base: Base) -> Logbook | None:
    """Return the logbook of a base, None where it has none; raises InputFileError if damaged."""
    path = logbook_path(base)
    return _read(path) if path.exists() else None


def open_logbook(base: Base, laptop: Laptop, now: datetime) -> Logbook:
    """Return the logbook of a base, with what its files tell written down.

    Made where there is none; where it may only be read, as it stands. Raises InputFileError where
    it cannot be read or written.
    """
    path = logbook_path(base)
    if path.exists() and not may_write(path):
        return _read(path)
    begin(path)
    book = _read(path)
    if not noticed(base, book.entries, now):
        return book
    append_after(path, lambda entries: noticed(base, entries, now), laptop, written_at=now)
    return _read(path)


def notice_around(path: Path, laptop: Laptop, now: datetime) -> None:
    """Write down what the files of the base tell in which a file lies, if it has a logbook.

    Raises InputFileError where that cannot be done.
    """
    base = base_around(path)
    if base is not None and logbook_path(base).exists():
        open_logbook(base, laptop, now)


def enter(
    base: Base,
    laptop: Laptop,
    now: datetime,
    thing: Thing,
    *,
    at: datetime | None = None,
    about: Entry | None = None,
) -> Entry:
    """Write one entry, of now unless told, and return it.

    Raises InputFileError for a time that cannot be, for what stands there already, and where the
    logbook cannot be written.
    """
    draft = Draft(
        thing=thing,
        at=(at or now).replace(microsecond=0),
        about=None if about is None else about.digest,
    )
    open_logbook(base, laptop, now)

    def checked(entries: Sequence[Entry]) -> Sequence[Draft]:
        refuse_entry(draft, about, standing(entries), now)
        return [draft]

    [entry] = append_after(logbook_path(base), checked, laptop, written_at=now)
    return entry


def _read(path: Path) -> Logbook:
    entries = read_entries(path)
    return Logbook(entries=entries, held=standing(entries))
