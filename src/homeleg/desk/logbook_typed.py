"""An entry as a person types it, at the terminal or on a page: read, checked, written."""

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from enum import Enum
from typing import TypeVar

from homeleg.desk.base import Base, aircraft_in
from homeleg.desk.logbook import Logbook, enter, open_logbook
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import parse_time
from homeleg.foundation.units import Dimension, TextError, parse_number, parse_quantity, shown
from homeleg.logbook.store import Laptop
from homeleg.readiness.changes import Change
from homeleg.readiness.entries import (
    CardFlown,
    Configuration,
    Defect,
    Deferral,
    Done,
    Entry,
    Event,
    Flight,
    Maintenance,
    Note,
    PackSeen,
    Paper,
    PaperKind,
    Person,
    Thing,
    Withdrawal,
    things,
)
from homeleg.readiness.packs import packs_of

__all__ = ["KINDS_TYPED", "Choices", "choices_of", "enter_typed"]

_LONGEST = 500
Choice = TypeVar("Choice", bound=Enum)


@dataclass(slots=True, kw_only=True)
class _Typed:
    """The fields of a form, read one by one; every problem is kept until all were read."""

    fields: Mapping[str, str]
    aircraft: Collection[str]
    packs: Collection[str]
    problems: list[Problem] = field(default_factory=list)

    def words(self, name: str, *, ask: str = "") -> str:
        """Return a text; `ask` makes it one that must be there, and says what it is."""
        text = " ".join(self.fields.get(name, "").split())
        if ask and not text:
            self._wrong(name, "is missing", ask)
        if len(text) > _LONGEST:
            self._wrong(name, f"has {len(text)} letters", f"Write at most {_LONGEST}.")
        return text

    def number(
        self, name: str, low: float, high: float, *, whole: bool = False, ask: str = ""
    ) -> float | None:
        """Return a plain number between two limits, None where none was given."""
        remedy = f"Write {low:g} to {high:g}{', a whole number' if whole else ''}."
        value = self._read(name, parse_number, ask)
        if value is None:
            return None
        if not low <= value <= high or (whole and value != int(value)):
            self._wrong(name, f"{self.words(name)} cannot be", remedy)
            return None
        return value

    def count(self, name: str, low: int, high: int) -> int | None:
        """Return a whole number between two limits, None where none was given."""
        value = self.number(name, low, high, whole=True)
        return None if value is None else int(value)

    def quantity(self, name: str, dimension: Dimension, low: str, high: str) -> float | None:
        """Return a quantity between two limits, None where none was given."""
        value = self._read(name, lambda text: parse_quantity(text, dimension))
        ends = (parse_quantity(low, dimension), parse_quantity(high, dimension))
        if value is not None and not ends[0] <= value <= ends[1]:
            self._wrong(name, f"{shown(self.words(name))} cannot be", f"Write {low} to {high}.")
            return None
        return value

    def day(self, name: str) -> date | None:
        """Return a day, None where none was given."""
        return self._read(name, _day)

    def time(self, name: str) -> datetime | None:
        """Return a time, None where none was given."""
        return self._read(name, parse_time)

    def one_of(self, name: str, kind: type[Choice]) -> Choice | None:
        """Return one of the words there are."""
        text = self.words(name).lower()
        for choice in kind:
            if choice.value == text:
                return choice
        there = ", ".join(str(choice.value) for choice in kind)
        self._wrong(name, f"{shown(text)} is not among them" if text else "is missing",
                    f"There are: {there}.")  # fmt: skip
        return None

    def plane(self, name: str = "aircraft") -> str:
        """Return the name of an aircraft that this base knows."""
        text = self.words(name).removesuffix(".toml")
        if text not in self.aircraft:
            problem = f"no aircraft {shown(text)} in this base" if text else "is missing"
            self._wrong(name, problem, f"There are: {', '.join(sorted(self.aircraft)) or 'none'}.")
        return text

    def known_pack(self, name: str) -> str | None:
        """Return the name of a pack that was entered before, None where none was given."""
        text = self.words(name)
        if text and text not in self.packs:
            there = f"There are: {', '.join(sorted(self.packs))}." if self.packs else ""
            self._wrong(name, f"no pack {shown(text)} was entered", f"Enter it first. {there}")
        return text or None

    def _read(self, name: str, parse: Callable[[str], "Value"], ask: str = "") -> "Value | None":
        text = self.words(name, ask=ask)
        if not text:
            return None
        try:
            return parse(text)
        except TextError as error:
            self._wrong(name, error.problem, error.remedy)
            return None

    def _wrong(self, name: str, problem: str, remedy: str) -> None:
        self.problems.append(Problem(where=name, problem=problem, remedy=remedy))


Value = TypeVar("Value")


@dataclass(frozen=True, slots=True, kw_only=True)
class Choices:
    """What a form can offer to choose from, so that nobody types it twice."""

    aircraft: tuple[str, ...]
    packs: tuple[str, ...]
    people: tuple[str, ...]
    last_person: str
    holders: tuple[str, ...]
    papers: tuple[str, ...] = tuple(kind.value for kind in PaperKind)
    cards: tuple[str, ...] = ("trim", "stall", "commanded return", "link loss")
    swollen: tuple[str, ...] = ("no", "yes")


def choices_of(base: Base, book: Logbook) -> Choices:
    """Return what the forms on a base can offer; people by name, who wrote last first."""
    aircraft = sorted(_aircraft(base, book))
    named = [person.name for _, person in things(book.held, Person)]
    wrote = [getattr(one.thing, "by", "") or getattr(one.thing, "pilot", "") for one in book.held]
    people = list(dict.fromkeys(name for name in (*reversed(wrote), *named) if name))
    return Choices(
        aircraft=tuple(aircraft),
        packs=tuple(pack.name for pack in packs_of(book.held)),
        people=tuple(people),
        last_person=people[0] if people else "",
        holders=(*aircraft, *people),
    )


def enter_typed(
    base: Base,
    laptop: Laptop,
    now: datetime,
    kind: str,
    typed: Mapping[str, str],
) -> Entry:
    """Write an entry from the fields of a form, and return it.

    `about` is the code of the entry it speaks of, `at` when it was, else now; a flight without it
    has just landed. Raises InputFileError with everything that is wrong.
    """
    book = open_logbook(base, laptop, now)
    about = book.entry(typed["about"]) if typed.get("about") else None
    of = getattr(about and about.thing, "aircraft", "")
    reader = _Typed(
        fields=typed if typed.get("aircraft") else {**typed, "aircraft": of},
        aircraft=_aircraft(base, book),
        packs={pack.name for pack in packs_of(book.held)},
    )
    thing = KINDS_TYPED[kind](reader)
    at = reader.time("at")
    if reader.problems:
        raise InputFileError(reader.problems)
    if at is None and isinstance(thing, Flight):
        at = now - timedelta(seconds=thing.duration_s)
    return enter(base, laptop, now, thing, at=at, about=about)


def _flight(typed: _Typed) -> Thing:
    minutes = typed.number("minutes", 0.1, 6000.0, ask="Write how long it flew, in minutes.")
    return Flight(
        aircraft=typed.plane(),
        duration_s=round(60.0 * (minutes or 0.0), 1),
        charge_ah=typed.quantity("charged", Dimension.CHARGE, "10 mAh", "60 Ah"),
        place=typed.words("place"),
        pilot=typed.words("pilot", ask="Write who flew."),
        release=typed.words("release").replace(" ", "").upper() or None,
        pack=typed.known_pack("pack"),
    )


def _event(typed: _Typed) -> Thing:
    change = typed.one_of("what", Change)
    return Event(
        aircraft=typed.plane(),
        change=change or Change.WRITTEN_ANEW,
        words=typed.words("words"),
        by=typed.words("by"),
    )


def _card(typed: _Typed) -> Thing:
    card = typed.words("card", ask="Write which card, such as stall.")
    return CardFlown(aircraft=typed.plane(), card=card.lower(), by=typed.words("by"))


def _pack(typed: _Typed) -> Thing:
    swollen = typed.words("swollen").lower()
    return PackSeen(
        pack=typed.words("pack", ask="Write the name that stands on the pack."),
        aircraft=typed.plane() if typed.words("aircraft") else None,
        cycles=typed.count("cycles", 0, 5000),
        capacity_ah=typed.quantity("capacity", Dimension.CHARGE, "100 mAh", "60 Ah"),
        resistance_ohm=typed.quantity("resistance", Dimension.RESISTANCE, "0.1 mohm", "2 ohm"),
        temperature_k=typed.quantity("temperature", Dimension.TEMPERATURE, "-40 degC", "90 degC"),
        swollen={"yes": True, "no": False}.get(swollen),
    )


def _defect(typed: _Typed) -> Thing:
    words = typed.words("words", ask="Write what is wrong.")
    by = typed.words("by", ask="Write who found it.")
    return Defect(aircraft=typed.plane(), words=words, by=by)


def _deferral(typed: _Typed) -> Thing:
    return Deferral(
        by=typed.words("by", ask="Write who decides to fly on with it."),
        until=typed.day("until"),
        flights=typed.count("flights", 1, 1000),
        limitation=typed.words("limitation"),
    )


def _done(typed: _Typed) -> Thing:
    return Done(by=typed.words("by", ask="Write who did it."), words=typed.words("words"))


def _maintenance(typed: _Typed) -> Thing:
    hours = typed.number("hours", 0.1, 10_000.0)
    work = Maintenance(
        aircraft=typed.plane(),
        task=typed.words("task", ask="Write what has to be done."),
        every_flights=typed.count("flights", 1, 10_000),
        every_s=None if hours is None else 3600.0 * hours,
        every_months=typed.count("months", 1, 240),
    )
    if (work.every_flights, work.every_s, work.every_months) == (None, None, None):
        asked = ("flights", "hours", "months")
        if not any(typed.words(name) for name in asked):
            typed.problems.append(
                Problem(
                    where="flights, hours, months",
                    problem="one of them has to say how often",
                    remedy="Give the first that comes, or more than one.",
                )
            )
    return work


def _paper(typed: _Typed) -> Thing:
    return Paper(
        kind=typed.one_of("kind", PaperKind) or PaperKind.REGISTRATION,
        holder=typed.words("holder", ask="Write whose it is: an aircraft, or a person."),
        number=typed.words("number"),
        until=typed.day("until"),
        conditions=tuple(
            one.strip() for one in typed.fields.get("conditions", "").splitlines() if one.strip()
        ),
    )


def _person(typed: _Typed) -> Thing:
    roles = typed.words("roles", ask="Write what they do: pilot, observer, mechanic.")
    return Person(
        name=typed.words("name", ask="Write the name."),
        roles=tuple(one.strip() for one in roles.split(",") if one.strip()),
    )


def _note(typed: _Typed) -> Thing:
    return Note(
        aircraft=typed.plane() if typed.words("aircraft") else None,
        words=typed.words("words", ask="Write the words to remember."),
        by=typed.words("by"),
    )


def _withdrawal(typed: _Typed) -> Thing:
    return Withdrawal(
        by=typed.words("by", ask="Write who takes it back."),
        reason=typed.words("reason", ask="Write why it does not hold."),
    )


KINDS_TYPED: Mapping[str, Callable[[_Typed], Thing]] = {
    "flight": _flight,
    "event": _event,
    "card": _card,
    "pack": _pack,
    "defect": _defect,
    "deferral": _deferral,
    "done": _done,
    "maintenance": _maintenance,
    "paper": _paper,
    "person": _person,
    "note": _note,
    "withdrawal": _withdrawal,
}


def _aircraft(base: Base, book: Logbook) -> set[str]:
    """Return the aircraft of the base, and those that its logbook still knows."""
    there = {entry.name for entry in aircraft_in(base)}
    return there | {record.aircraft for _, record in things(book.held, Configuration)}


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise TextError(f"{shown(text)} is not a day", 'Write it as "2026-06-09".') from None
