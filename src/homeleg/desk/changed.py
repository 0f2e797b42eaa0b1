"""What changed on an aircraft since it last flew: asked, entered, and what it voids taken out."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from homeleg.desk.base import AircraftEntry, Base, sorties_in
from homeleg.desk.edit import set_in_file
from homeleg.desk.logbook import enter, open_logbook
from homeleg.logbook.store import Laptop
from homeleg.readiness.asked import NOTHING_CHANGED, is_asked
from homeleg.readiness.changes import Change, Void, may_be, void_by
from homeleg.readiness.entries import Entry, Event, Flight, Note, things
from homeleg.readiness.since import Changed, last_landing, since_last_flight

__all__ = ["Asked", "ChangeLine", "asked_of", "enter_changes", "still_asked"]

# Where the answers to told items stand that are not in the told table of their own name.
_KEPT_AT = {
    "speed.pitot": ["told", "pitot"],
    "pack.temperature": ["pack", "temperature"],
    "pack.health": ["pack", "health"],
}
_MADE = tuple(change for change in Change if change is not Change.WRITTEN_ANEW)


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeLine:
    """A change that may have been made, what it voids in words, and why it is supposed."""

    change: Change
    voids: str
    supposed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The question: every change there is, when it last flew, and who flew it."""

    lines: tuple[ChangeLine, ...]
    landed: datetime | None
    by: str
    told_since: tuple[Changed, ...]


def asked_of(base: Base, laptop: Laptop, aircraft: str, now: datetime) -> Asked:
    """Return what to ask of an aircraft; raises InputFileError where the logbook is damaged."""
    held = open_logbook(base, laptop, now).held
    since = since_last_flight(held, aircraft)
    supposed = {one.change: one.words for one in since if one.supposed}
    flights = [one for _, one in things(held, Flight) if one.aircraft == aircraft]
    return Asked(
        lines=tuple(
            ChangeLine(
                change=change, voids=_words(void_by(change)), supposed=supposed.get(change, "")
            )
            for change in _MADE
        ),
        landed=last_landing(held, aircraft),
        by=flights[-1].pilot if flights else "",
        told_since=tuple(one for one in since if not one.supposed),
    )


def still_asked(base: Base, laptop: Laptop, aircraft: str, now: datetime) -> Asked | None:
    """Return the question where it is still to be answered, else None."""
    held = open_logbook(base, laptop, now).held
    return asked_of(base, laptop, aircraft, now) if is_asked(held, aircraft) else None


def enter_changes(
    base: Base,
    laptop: Laptop,
    now: datetime,
    aircraft: AircraftEntry,
    changes: Sequence[Change],
    *,
    by: str,
) -> tuple[str, ...]:
    """Enter what changed on an aircraft, or that nothing did; return the told items it voids.

    What its record let suppose, and nobody names, was only written down better. The answers it
    voids are taken out of every sortie of the base that is flown with it. Raises InputFileError.
    """
    name = aircraft.name
    since = since_last_flight(open_logbook(base, laptop, now).held, name)
    supposed = [one for one in since if one.supposed]
    left = list(changes)
    for entry in dict.fromkeys(one.entry for one in supposed):
        about = [one.change for one in supposed if one.entry == entry]
        made = [change for change in left if change in about or change in _other(entry)]
        for change in made or [Change.WRITTEN_ANEW]:
            _enter(base, laptop, now, Event(aircraft=name, change=change, words="", by=by), entry)
        left = [change for change in left if change not in made]
    for change in left:
        _enter(base, laptop, now, Event(aircraft=name, change=change, words="", by=by), None)
    if not changes and not supposed:
        enter(base, laptop, now, Note(aircraft=name, words=NOTHING_CHANGED, by=by))
    void = tuple(dict.fromkeys(item for change in changes for item in void_by(change).told))
    _take_out(base, name, void)
    return void


def _other(entry: Entry) -> tuple[Change, ...]:
    """Return what else than supposed the values of a record may stand for."""
    keys = getattr(entry.thing, "changed", ())
    return tuple(change for key in keys for change in may_be(key.partition(":")[0]))


def _enter(base: Base, laptop: Laptop, now: datetime, event: Event, about: Entry | None) -> None:
    enter(base, laptop, now, event, about=about)


def _take_out(base: Base, aircraft: str, items: Sequence[str]) -> None:
    """Take the answers to told items out of the sorties flown with an aircraft."""
    for sortie in sorties_in(base):
        if sortie.record == aircraft:
            for item in items:
                set_in_file(sortie.path, _KEPT_AT.get(item, ["told", item]), None)


def _words(void: Void) -> str:
    """Return what a change voids, as a person reads it beside its box."""
    parts = []
    if void.told:
        parts.append(f"voids {_listed([_spoken(one) for one in void.told])}")
    if void.cards:
        parts.append(f"fly again: {_listed(void.cards)}")
    if void.reach_step is not None:
        until = "flown once" if void.until_flown else "those cards are flown"
        parts.append(f"reach back to step {void.reach_step} until {until}")
    if void.words:
        parts.append(void.words)
    words = "; ".join(parts)
    return f"{words[:1].upper()}{words[1:]}."


def _spoken(item: str) -> str:
    words = {"speed.pitot": "the tube's calls", "sense": "the surfaces", "wing": "the wing's calls"}
    return words.get(item, item.replace(".", " ").replace("_", " "))


def _listed(words: Sequence[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} and {last}" if first else last
