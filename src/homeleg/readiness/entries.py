"""What a logbook holds: plain records of what was flown, found, done and shown.

Every record is written once. What no longer holds is withdrawn by another one.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum
from typing import TypeAlias, TypeVar

from homeleg.readiness.changes import Change

__all__ = [
    "BookBegun",
    "CardFlown",
    "Compared",
    "Configuration",
    "Defect",
    "Deferral",
    "Done",
    "Entry",
    "Event",
    "Flight",
    "Maintenance",
    "Note",
    "PackSeen",
    "Paper",
    "PaperKind",
    "Person",
    "Released",
    "Thing",
    "Withdrawal",
    "standing",
    "things",
]


class PaperKind(Enum):
    """A paper that somebody may ask for."""

    REGISTRATION = "registration"
    CERTIFICATE = "certificate"
    INSURANCE = "insurance"
    PERMISSION = "permission"


@dataclass(frozen=True, slots=True, kw_only=True)
class BookBegun:
    """The first entry of every book: the laptop it is written on, and how that is called."""

    laptop: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Configuration:
    """An aircraft's record as it stood: its whole text, what changed, and what that may be.

    `supposed` are the changes of the aircraft itself that its new values may stand for. They count
    as made until an `Event` about this entry says which were.
    """

    aircraft: str
    text: str
    changed: tuple[str, ...]
    supposed: tuple[Change, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """What was done to an aircraft, or befell it."""

    aircraft: str
    change: Change
    words: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Released:
    """A release: its code and digest, its file within the base, and what it said."""

    aircraft: str
    code: str
    sha256: str
    file: str
    word: str
    launch: datetime
    signed_by: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """The end of a comparison of what the aircraft holds with a release, and by what means."""

    aircraft: str
    release: str
    end: str
    means: str
    differences: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Flight:
    """A flight, from launch to landing, in s and Ah.

    `charge_ah` is what the charger put back, `release` the code flown on; None where not told.
    """

    aircraft: str
    duration_s: float
    charge_ah: float | None
    place: str
    pilot: str
    release: str | None
    pack: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFlown:
    """A test card that was flown."""

    aircraft: str
    card: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackSeen:
    """A pack as it was seen: what was measured of it, and the aircraft it was put into, in SI.

    `cycles` is its whole count where somebody knows it; later flights are counted on.
    """

    pack: str
    aircraft: str | None
    cycles: int | None
    capacity_ah: float | None
    resistance_ohm: float | None
    temperature_k: float | None
    swollen: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Defect:
    """Something found wrong on an aircraft."""

    aircraft: str
    words: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Deferral:
    """The decision to fly on with a defect: by whom, until when, and with what limitation."""

    by: str
    until: date | None
    flights: int | None
    limitation: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Maintenance:
    """Work that comes back after so many flights, so much flying, or so many months."""

    aircraft: str
    task: str
    every_flights: int | None
    every_s: float | None
    every_months: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """A defect put right, or maintenance carried out."""

    by: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A paper: whose it is, its number, its last day (None: no end), and its conditions."""

    kind: PaperKind
    holder: str
    number: str
    until: date | None
    conditions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who flies, observes or mends, and in which roles."""

    name: str
    roles: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Words to remember, of an aircraft or of none."""

    aircraft: str | None
    words: str
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Withdrawal:
    """An entry that does not hold: by whom it is taken back, and why."""

    by: str
    reason: str


Thing: TypeAlias = (
    BookBegun
    | Configuration
    | Event
    | Released
    | Compared
    | Flight
    | CardFlown
    | PackSeen
    | Defect
    | Deferral
    | Maintenance
    | Done
    | Paper
    | Person
    | Note
    | Withdrawal
)
Of = TypeVar("Of", bound=Thing)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """An entry as it stands in a book.

    `at` is when it happened, `written_at` what the clock showed when it was written; `number`
    counts within its book, which is named by the digest of its first entry; `previous` and `about`
    are the digests of the entry before and of the one it speaks of.
    """

    digest: str
    code: str
    book: str
    number: int
    previous: str | None
    at: datetime
    written_at: datetime
    about: str | None
    thing: Thing


def standing(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """Return the entries that hold, in the order in which they happened.

    What was withdrawn is left out, with the withdrawals and what spoke about it.
    """
    gone = {one.about for one in entries if isinstance(one.thing, Withdrawal)}
    kept = [
        one
        for one in entries
        if one.digest not in gone
        and one.about not in gone
        and not isinstance(one.thing, BookBegun | Withdrawal)
    ]
    return tuple(sorted(kept, key=lambda one: (one.at, one.written_at, one.number, one.digest)))


def things(entries: Sequence[Entry], kind: type[Of]) -> list[tuple[Entry, Of]]:
    """Return the entries that hold a record of one kind, each with its record."""
    return [(one, one.thing) for one in entries if isinstance(one.thing, kind)]
