"""Each entry of a logbook as a sentence."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from homeleg.foundation.constants import CELSIUS_ZERO_K
from homeleg.foundation.units import printable
from homeleg.readiness.changes import void_by
from homeleg.readiness.entries import (
    BookBegun,
    CardFlown,
    Compared,
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
    Person,
    Released,
    Withdrawal,
)
from homeleg.readiness.packs import PackState
from homeleg.readiness.since import Changed

__all__ = [
    "changed_words",
    "counted",
    "duration_words",
    "entry_words",
    "how_often",
    "pack_words",
    "thing_words",
    "until_words",
]


def entry_words(entry: Entry, entries: Mapping[str, Entry]) -> str:
    """Return an entry as a sentence; `entries` by digest tell what it speaks of."""
    words = thing_words(entry.thing)
    other = None if entry.about is None else entries.get(entry.about)
    return words if other is None else f"{words} About {other.code}: {thing_words(other.thing)}"


def thing_words(thing: Any) -> str:
    """Return what an entry holds as a sentence."""
    return printable(_WORDS[type(thing)](thing))


def duration_words(seconds: float) -> str:
    """Return a time as "9:30 min" or "2:05 h"."""
    whole = round(seconds)
    if whole < 3600:
        return f"{whole // 60}:{whole % 60:02d} min"
    minutes = whole // 60
    return f"{minutes // 60}:{minutes % 60:02d} h"


def counted(number: int, what: str) -> str:
    """Return "1 flight" or "3 flights"."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def until_words(day: date | None) -> str:
    """Return the last day of something."""
    return "without an end" if day is None else f"until {day.isoformat()}"


def how_often(work: Maintenance) -> str:
    """Return how often work comes back."""
    parts = []
    if work.every_flights is not None:
        parts.append(counted(work.every_flights, "flight"))
    if work.every_s is not None:
        parts.append(f"{work.every_s / 3600.0:g} h in the air")
    if work.every_months is not None:
        parts.append(counted(work.every_months, "month"))
    return "every " + " or ".join(parts)


def changed_words(changed: Changed) -> str:
    """Return a change and what it makes worthless."""
    void = void_by(changed.change)
    said = f" ({changed.words})" if changed.words else ""
    follows = [void.words] if void.words else []
    if void.told:
        follows.append(f"asked again: {', '.join(void.told)}")
    if void.cards:
        follows.append(f"cards again: {', '.join(void.cards)}")
    follow = f": {'; '.join(follows)}." if follows else "."
    return f"{_capital(changed.change.value)}{said}{follow}"


def pack_words(pack: PackState) -> str:
    """Return what is known of a pack."""
    known = [f"{counted(pack.flights, 'flight')} in this logbook"]
    if pack.cycles is not None:
        known.append(f"{pack.cycles} cycles")
    known += _trend(pack.capacity_ah, 1000.0, "mAh") + _trend(pack.resistance_ohm, 1000.0, "mohm")
    if pack.temperature_k:
        at, kelvin = pack.temperature_k[-1]
        known.append(f"{kelvin - CELSIUS_ZERO_K:.0f} degC on {at:%Y-%m-%d}")
    if pack.aircraft:
        known.append(f"in {pack.aircraft}")
    if pack.swollen:
        known.append("swollen: do not fly or charge it")
    return ", ".join(known)


def _trend(values: tuple[tuple[Any, float], ...], scale: float, unit: str) -> list[str]:
    if not values:
        return []
    first, last = (f"{scale * values[place][1]:.0f}" for place in (0, -1))
    return [f"{first} to {last} {unit}" if len(values) > 1 else f"{last} {unit}"]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _by(name: str) -> str:
    return f" ({name})" if name else ""


def _sentence(*parts: str) -> str:
    return ", ".join(part for part in parts if part) + "."


def _configuration(one: Configuration) -> str:
    if not one.changed:
        return f"{one.aircraft}: its record was entered."
    return f"{one.aircraft}: its record changed: {'; '.join(one.changed)}."


def _compared(one: Compared) -> str:
    count = one.differences
    return _sentence(
        f"{one.aircraft}: route aboard against release {one.release}, {one.means}: {one.end}",
        counted(count, "difference") if count else "",
    )


def _flight(one: Flight) -> str:
    charge = "" if one.charge_ah is None else f"{1000.0 * one.charge_ah:.0f} mAh put back"
    return _sentence(
        f"{one.aircraft} flew {duration_words(one.duration_s)}",
        one.place and f"at {one.place}",
        charge,
        one.pilot and f"pilot {one.pilot}",
        f"release {one.release}" if one.release else "",
        f"pack {one.pack}" if one.pack else "",
    )


def _pack(one: PackSeen) -> str:
    measured = [
        "" if one.cycles is None else f"{one.cycles} cycles",
        "" if one.capacity_ah is None else f"{1000.0 * one.capacity_ah:.0f} mAh",
        "" if one.resistance_ohm is None else f"{1000.0 * one.resistance_ohm:.1f} mohm",
        "" if one.temperature_k is None else f"{one.temperature_k - CELSIUS_ZERO_K:.0f} degC",
        "swollen" if one.swollen else "",
    ]
    where = f"put into {one.aircraft}" if one.aircraft else "looked at"
    return _sentence(f"Pack {one.pack} {where}", *measured)


def _deferral(one: Deferral) -> str:
    until = "" if one.until is None else until_words(one.until)
    flights = "" if one.flights is None else f"for {counted(one.flights, 'flight')}"
    limit = f": {one.limitation}" if one.limitation else ""
    when = " or ".join(part for part in (until, flights) if part) or "without an end"
    return f"Flown on with, {when}{limit}, {one.by} decides."


def _paper(one: Paper) -> str:
    return _sentence(
        f"{_capital(one.kind.value)} of {one.holder}", one.number, until_words(one.until),
        *one.conditions,
    )  # fmt: skip


_WORDS: Mapping[type, Callable[[Any], str]] = {
    BookBegun: lambda one: f"Book begun on {one.name}.",
    Configuration: _configuration,
    Event: lambda one: _sentence(f"{one.aircraft}: {one.change.value}{_by(one.by)}", one.words),
    Released: lambda one: _sentence(
        f"{one.aircraft}: release {one.code}, {one.word}", " and ".join(one.signed_by)
    ),
    Compared: _compared,
    Flight: _flight,
    CardFlown: lambda one: f"{one.aircraft}: card {one.card} flown{_by(one.by)}.",
    PackSeen: _pack,
    Defect: lambda one: f"{one.aircraft}: {one.words}{_by(one.by)}.",
    Deferral: _deferral,
    Maintenance: lambda one: f"{one.aircraft}: {one.task}, {how_often(one)}.",
    Done: lambda one: _sentence(f"Done{_by(one.by)}", one.words),
    Paper: _paper,
    Person: lambda one: f"{one.name}: {', '.join(one.roles)}.",
    Note: lambda one: f"{one.aircraft + ': ' if one.aircraft else ''}{one.words}{_by(one.by)}",
    Withdrawal: lambda one: f"Withdrawn{_by(one.by)}: {one.reason}.",
}
