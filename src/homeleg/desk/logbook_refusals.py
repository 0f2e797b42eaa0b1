"""What the logbook does not take: times that cannot be, and what stands in it already."""

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import shown_time
from homeleg.logbook.record import Draft
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
    Thing,
    Withdrawal,
    things,
)

__all__ = ["refuse_entry"]

# How far the clock by which a time was read may be ahead of this one, and how soon the same words
# again are a slip of the hand. Ours.
_MINUTES = timedelta(minutes=10)
_FIRST_DAY = datetime(2000, 1, 1, tzinfo=UTC)
# What may well happen again in the same words.
_HAPPENS_AGAIN = (CardFlown, Done, Event, Flight, Note, PackSeen)


def refuse_entry(draft: Draft, about: Entry | None, held: Sequence[Entry], now: datetime) -> None:
    """Raise InputFileError for an entry that cannot be, or stands there already."""
    thing, at = draft.thing, draft.at
    _refuse_time(at, now)
    if isinstance(thing, Flight):
        _refuse_time(at + timedelta(seconds=thing.duration_s), now)
        _refuse_overlap(thing, at, held)
    if isinstance(thing, Deferral) and thing.until is not None and thing.until < now.date():
        raise _refused(f"{thing.until} has passed", "Write a day to come, or put it right.")
    if about is not None:
        _refuse_about(thing, about, held)
    for one in held:
        same = one.thing == thing and one.about == draft.about
        if same and (not isinstance(thing, _HAPPENS_AGAIN) or abs(one.at - at) < _MINUTES):
            raise _refused(f"this stands there already, as {one.code}", "Nothing was written.")


def _refuse_time(at: datetime, now: datetime) -> None:
    if at > now + _MINUTES:
        problem = f"{shown_time(at)} is yet to come: this laptop's clock shows {shown_time(now)}"
        raise _refused(problem, "Set the clock right, or the date of the entry.")
    if at < _FIRST_DAY:
        problem = f"{shown_time(at)} is too long ago"
        raise _refused(problem, f"Write a time after {_FIRST_DAY.year}.")


def _refuse_overlap(flight: Flight, at: datetime, held: Sequence[Entry]) -> None:
    """Refuse a second flight on a release, and one while the same aircraft was in the air."""
    landed = at + timedelta(seconds=flight.duration_s)
    for entry, other in things(held, Flight):
        if flight.release is not None and other.release == flight.release:
            problem = f"release {flight.release} has its flight already, as {entry.code}"
            raise _refused(problem, "A second flight has a release of its own.")
        over = entry.at + timedelta(seconds=other.duration_s)
        if other.aircraft == flight.aircraft and entry.at < landed and at < over:
            problem = (
                f"{flight.aircraft} was in the air then: {entry.code}, "
                f"{shown_time(entry.at)} to {shown_time(over)}"
            )
            raise _refused(problem, "Is it the same flight, or another time?")


def _refuse_about(thing: Thing, about: Entry, held: Sequence[Entry]) -> None:
    kinds: dict[type, tuple[type, ...]] = {
        Deferral: (Defect,),
        Done: (Defect, Maintenance),
        Event: (Configuration,),
    }
    if isinstance(thing, Withdrawal) and isinstance(about.thing, Configuration):
        problem = f"{about.code} is what the aircraft's file said"
        raise _refused(problem, "Change the file, or say what it stands for: answer.")
    wanted = kinds.get(type(thing))
    if wanted is not None and not isinstance(about.thing, wanted):
        words = " or ".join(kind.__name__.lower() for kind in wanted)
        raise _refused(f"{about.code} is no {words}", "Name the code of one.")
    if isinstance(thing, Done | Deferral) and isinstance(about.thing, Defect):
        done = next((one for one, _ in things(held, Done) if one.about == about.digest), None)
        if done is not None:
            problem = f"{about.code} was put right already: {done.code}, {shown_time(done.at)}"
            raise _refused(problem, "Enter a new defect if it is back.")


def _refused(problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where="logbook", problem=problem, remedy=remedy)])
