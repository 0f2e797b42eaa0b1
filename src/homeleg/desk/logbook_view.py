"""A logbook as it is shown: what is open, each aircraft and pack, entries newest first."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from homeleg.desk.logbook import Logbook
from homeleg.desk.logbook_words import (
    changed_words,
    counted,
    duration_words,
    entry_words,
    how_often,
    pack_words,
    thing_words,
    until_words,
)
from homeleg.readiness.changes import void_by
from homeleg.readiness.due import (
    MaintenanceDue,
    OpenDefect,
    PaperHeld,
    maintenance_due,
    open_defects,
    papers_held,
)
from homeleg.readiness.entries import Configuration, Entry, Flight, things
from homeleg.readiness.packs import PackState, packs_of
from homeleg.readiness.since import Changed, since_last_flight

__all__ = ["AircraftLine", "LogbookView", "OpenItem", "logbook_view"]

# From here on a paper's end, and work that comes back, are told beforehand. Ours.
_DAYS_BEFORE = 30
_FLIGHTS_BEFORE = 2
_BEFORE_S = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenItem:
    """Something to do, by the entry it rests on; `stops` where it is not only coming.

    `kind` says what would settle it: defect, maintenance, paper, change, pack.
    """

    entry: Entry
    kind: str
    words: str
    stops: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AircraftLine:
    """An aircraft in one line, and what changed on it since it last flew."""

    name: str
    words: str
    changed: tuple[tuple[Changed, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogbookView:
    """What the logbook's page and command show; `rows` are entries with their sentences."""

    open: tuple[OpenItem, ...]
    aircraft: tuple[AircraftLine, ...]
    packs: tuple[tuple[PackState, str], ...]
    papers: tuple[tuple[PaperHeld, str], ...]
    maintenance: tuple[tuple[MaintenanceDue, str], ...]
    rows: tuple[tuple[Entry, str], ...]
    books: int


def logbook_view(book: Logbook, now: datetime) -> LogbookView:
    """Return what a logbook shows at a time."""
    held = book.held
    by_digest = {one.digest: one for one in book.entries}
    names = sorted({one.aircraft for _, one in things(held, Configuration)})
    papers, work = papers_held(held, now), maintenance_due(held, now)
    packs = packs_of(held)
    return LogbookView(
        open=tuple(
            sorted(
                [
                    *(_open_defect(one) for one in open_defects(held, now)),
                    *(item for name in names for item in _questions(held, name)),
                    *(_open_work(one) for one in work if _is_near(one, now)),
                    *(_open_paper(one) for one in papers if _ends_soon(one)),
                ],
                key=lambda item: not item.stops,
            )
        ),
        aircraft=tuple(_aircraft(held, name) for name in names),
        packs=tuple((pack, pack_words(pack)) for pack in packs),
        papers=tuple((one, thing_words(one.paper)) for one in papers),
        maintenance=tuple((one, _left_words(one)) for one in work),
        rows=tuple((one, entry_words(one, by_digest)) for one in reversed(held)),
        books=len({one.book for one in book.entries}),
    )


def _aircraft(held: Sequence[Entry], name: str) -> AircraftLine:
    flown = [flight for _, flight in things(held, Flight) if flight.aircraft == name]
    words = "no flight here yet"
    if flown:
        flown_s = sum(one.duration_s for one in flown)
        words = f"{counted(len(flown), 'flight')}, {duration_words(flown_s)}"
    changed = since_last_flight(held, name)
    return AircraftLine(
        name=name, words=words, changed=tuple((one, changed_words(one)) for one in changed)
    )


def _open_defect(one: OpenDefect) -> OpenItem:
    words = f"{one.defect.aircraft}: {one.defect.words}"
    if one.deferral is None:
        return OpenItem(entry=one.entry, kind="defect", words=f"{words}.", stops=True)
    ended = "That has ended. " if one.deferral_ended else ""
    words = f"{words}. {ended}{thing_words(one.deferral)}"
    return OpenItem(entry=one.entry, kind="defect", words=words, stops=one.deferral_ended)


def _questions(held: Sequence[Entry], aircraft: str) -> list[OpenItem]:
    """Return what the record of an aircraft says was changed, and nobody has said how."""
    return [
        OpenItem(
            entry=one.entry,
            kind="change",
            words=f"{aircraft}: {one.words}. Was it {one.change.value}, or is it only written down "
            "better?",
            stops=bool(void_by(one.change).told or void_by(one.change).cards),
        )
        for one in since_last_flight(held, aircraft)
        if one.supposed
    ]


def _open_work(one: MaintenanceDue) -> OpenItem:
    words = f"{one.maintenance.aircraft}: {one.maintenance.task}, {_left_words(one)}."
    return OpenItem(entry=one.entry, kind="maintenance", words=words, stops=one.is_due)


def _is_near(one: MaintenanceDue, now: datetime) -> bool:
    return (
        one.is_due
        or (one.flights_left is not None and one.flights_left <= _FLIGHTS_BEFORE)
        or (one.left_s is not None and one.left_s <= _BEFORE_S)
        or (one.day is not None and (one.day - now.date()).days <= _DAYS_BEFORE)
    )


def _left_words(one: MaintenanceDue) -> str:
    """Return how often work comes back, and what is left until then."""
    left = []
    if one.flights_left is not None:
        left.append(_over(one.flights_left, counted(abs(one.flights_left), "flight")))
    if one.left_s is not None:
        left.append(_over(one.left_s, duration_words(abs(one.left_s))))
    if one.day is not None:
        left.append(f"due on {one.day.isoformat()}")
    return f"{how_often(one.maintenance)}: {', '.join(left)}"


def _over(left: float, words: str) -> str:
    if left == 0:
        return "due now"
    return f"{words} left" if left > 0 else f"{words} over"


def _ends_soon(one: PaperHeld) -> bool:
    return one.days_left is not None and one.days_left <= _DAYS_BEFORE


def _open_paper(one: PaperHeld) -> OpenItem:
    days = one.days_left or 0
    when = f"ended on {one.paper.until}" if one.has_ended else until_words(one.paper.until)
    left = "" if one.has_ended else f", {counted(days, 'day')} left"
    kind = one.paper.kind.value
    words = f"{kind[:1].upper()}{kind[1:]} of {one.paper.holder} {when}{left}."
    return OpenItem(entry=one.entry, kind="paper", words=words, stops=one.has_ended)
