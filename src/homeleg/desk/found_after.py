"""What is told after landing beside the two numbers: defects, and what is due next."""

from datetime import datetime
from pathlib import Path

from homeleg.desk.base import Base
from homeleg.desk.logbook import enter, logbook_of
from homeleg.desk.logbook_laptop import laptop_of
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.readiness.due import (
    MaintenanceDue,
    PaperHeld,
    maintenance_due,
    open_defects,
    papers_held,
)
from homeleg.readiness.entries import Defect

__all__ = ["defects_of", "next_due", "tell_defect"]

_SHORTEST, _LONGEST = 4, 300
_MOST = 3
_SOON_DAYS = 30


def tell_defect(
    base: Base, user_folder: Path, aircraft: Path, words: str, by: str, now: datetime
) -> None:
    """Write a defect of an aircraft into the logbook of a base; raises InputFileError."""
    said = " ".join(words.split())
    if not _SHORTEST <= len(said) <= _LONGEST or not said.isprintable():
        problem = f"it holds {len(said)} letters"
        remedy = f"Write what was found, in {_SHORTEST} to {_LONGEST} letters."
        raise InputFileError([Problem(where="Defect", problem=problem, remedy=remedy)])
    thing = Defect(aircraft=aircraft.stem, words=said, by=by)
    enter(base, laptop_of(user_folder), now, thing)


def defects_of(base: Base, aircraft: Path, now: datetime) -> tuple[str, ...]:
    """Return the defects of an aircraft that nobody has put right; raises InputFileError."""
    book = logbook_of(base)
    if book is None:
        return ()
    return tuple(
        f"{one.defect.words} ({one.entry.code}, {one.entry.at:%-d %B})"
        for one in open_defects(book.held, now)
        if one.defect.aircraft == aircraft.stem
    )


def next_due(base: Base, aircraft: Path, now: datetime) -> tuple[str, ...] | None:
    """Return what is due next on an aircraft, and papers that end soon; None without a logbook."""
    book = logbook_of(base)
    if book is None:
        return None
    work = [
        _work(one)
        for one in maintenance_due(book.held, now)
        if one.maintenance.aircraft == aircraft.stem
    ]
    papers = [
        _paper(one)
        for one in papers_held(book.held, now)
        if one.days_left is not None and one.days_left <= _SOON_DAYS
    ]
    return tuple([*work, *papers][:_MOST])


def _work(one: MaintenanceDue) -> str:
    task = one.maintenance.task
    if one.is_due:
        return f"{task}: due now"
    left = []
    if one.flights_left is not None:
        left.append(f"in {one.flights_left} flights")
    if one.left_s is not None:
        left.append(f"in {one.left_s / 3600.0:.1f} h of flying")
    if one.day is not None:
        left.append(f"by {one.day:%-d %B %Y}")
    return f"{task}: {' or '.join(left)}"


def _paper(one: PaperHeld) -> str:
    ended = "has ended" if one.has_ended else f"ends in {one.days_left} days"
    return f"{one.paper.kind.value} of {one.paper.holder} {ended}"
