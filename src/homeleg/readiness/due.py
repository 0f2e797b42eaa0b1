"""What is due: maintenance by flights, hours and months, papers by their last day, defects.

`held` are entries as `standing` returns them.
"""

from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from homeleg.readiness.entries import (
    Defect,
    Deferral,
    Done,
    Entry,
    Maintenance,
    Paper,
    things,
)
from homeleg.readiness.since import flights_of

__all__ = [
    "MaintenanceDue",
    "OpenDefect",
    "PaperHeld",
    "day_after_months",
    "maintenance_due",
    "open_defects",
    "papers_held",
]

_MONTHS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class MaintenanceDue:
    """A work that comes back, and what is left until then; None where it does not go by that."""

    entry: Entry
    maintenance: Maintenance
    last_done: date
    flights_left: int | None
    left_s: float | None
    day: date | None
    is_due: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenDefect:
    """A defect that nobody has put right, and the decision to fly on with it, if it still holds."""

    entry: Entry
    defect: Defect
    deferral: Deferral | None
    deferral_ended: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperHeld:
    """A paper with the days it still holds, below zero where it has ended; None without an end."""

    entry: Entry
    paper: Paper
    days_left: int | None

    @property
    def has_ended(self) -> bool:
        """Whether its last day has passed."""
        return self.days_left is not None and self.days_left < 0


def maintenance_due(held: Sequence[Entry], now: datetime) -> tuple[MaintenanceDue, ...]:
    """Return the work that comes back, what is due first.

    It counts from when it was last done, before that from when it was entered.
    """
    found = [_due(held, entry, work, now) for entry, work in things(held, Maintenance)]
    return tuple(sorted(found, key=lambda one: not one.is_due))


def open_defects(held: Sequence[Entry], now: datetime) -> tuple[OpenDefect, ...]:
    """Return the defects that nobody has put right, the earliest first."""
    done = {entry.about for entry, _ in things(held, Done)}
    return tuple(
        _open(held, entry, defect, now)
        for entry, defect in things(held, Defect)
        if entry.digest not in done
    )


def papers_held(held: Sequence[Entry], now: datetime) -> tuple[PaperHeld, ...]:
    """Return the papers, what ends first at the front.

    Of the same kind, holder and number the last entered counts. One that has ended is left out
    where its holder has another of that kind that has not.
    """
    last = {
        (paper.kind, paper.holder, paper.number): (entry, paper)
        for entry, paper in things(held, Paper)
    }
    found = [
        PaperHeld(
            entry=entry,
            paper=paper,
            days_left=None if paper.until is None else (paper.until - now.date()).days,
        )
        for entry, paper in last.values()
    ]
    holds = {(one.paper.kind, one.paper.holder) for one in found if not one.has_ended}
    kept = [one for one in found if not one.has_ended or _of(one) not in holds]
    return tuple(sorted(kept, key=lambda one: one.paper.until or date.max))


def day_after_months(day: date, months: int) -> date:
    """Return the same day so many months later, or the last of that month where it has none."""
    year, month = divmod(day.year * _MONTHS + day.month - 1 + months, _MONTHS)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _of(held: PaperHeld) -> tuple[object, str]:
    return held.paper.kind, held.paper.holder


def _due(held: Sequence[Entry], entry: Entry, work: Maintenance, now: datetime) -> MaintenanceDue:
    done = [one.at for one, _ in things(held, Done) if one.about == entry.digest]
    since = max(done, default=entry.at)
    flown = [flight for one, flight in flights_of(held, work.aircraft) if one.at > since]
    flights_left = None if work.every_flights is None else work.every_flights - len(flown)
    flown_s = sum(flight.duration_s for flight in flown)
    left_s = None if work.every_s is None else work.every_s - flown_s
    months = work.every_months
    day = None if months is None else day_after_months(since.date(), months)
    is_due = (
        (flights_left is not None and flights_left <= 0)
        or (left_s is not None and left_s <= 0.0)
        or (day is not None and day <= now.date())
    )
    return MaintenanceDue(
        entry=entry,
        maintenance=work,
        last_done=since.date(),
        flights_left=flights_left,
        left_s=left_s,
        day=day,
        is_due=is_due,
    )


def _open(held: Sequence[Entry], entry: Entry, defect: Defect, now: datetime) -> OpenDefect:
    decided = [(one, of) for one, of in things(held, Deferral) if one.about == entry.digest]
    if not decided:
        return OpenDefect(entry=entry, defect=defect, deferral=None, deferral_ended=False)
    told, deferral = decided[-1]
    flown = sum(one.at > told.at for one, _ in flights_of(held, defect.aircraft))
    ended = (deferral.until is not None and deferral.until < now.date()) or (
        deferral.flights is not None and flown >= deferral.flights
    )
    return OpenDefect(entry=entry, defect=defect, deferral=deferral, deferral_ended=ended)
