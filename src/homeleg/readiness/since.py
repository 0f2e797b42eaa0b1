"""What changed since the last flight, and what that makes worthless.

`held` are entries as `standing` returns them.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from homeleg.readiness.changes import Change, void_by
from homeleg.readiness.entries import (
    CardFlown,
    Configuration,
    Entry,
    Event,
    Flight,
    things,
)

__all__ = [
    "Changed",
    "changes_of",
    "flights_of",
    "held_back_by",
    "last_landing",
    "since_last_flight",
    "void_before",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """A change of an aircraft, by the entry that tells it.

    One that is `supposed` was read out of the aircraft's record: somebody has yet to say what was
    done. Until then it counts as made.
    """

    entry: Entry
    change: Change
    supposed: bool
    words: str


def changes_of(held: Sequence[Entry], aircraft: str) -> tuple[Changed, ...]:
    """Return all changes of an aircraft, the earliest first."""
    said: dict[str | None, set[Change]] = defaultdict(set)
    for entry, event in things(held, Event):
        said[entry.about].add(event.change)
    found = []
    for entry in held:
        match entry.thing:
            case Event() as event if event.aircraft == aircraft:
                found.append(
                    Changed(entry=entry, change=event.change, supposed=False, words=event.words)
                )
            case Configuration() as record if record.aircraft == aircraft:
                words = "; ".join(record.changed)
                found += [
                    Changed(entry=entry, change=change, supposed=True, words=words)
                    for change in _unanswered(record, said[entry.digest])
                ]
            case _:
                pass
    return tuple(found)


def flights_of(held: Sequence[Entry], aircraft: str) -> list[tuple[Entry, Flight]]:
    """Return the flights of an aircraft, the earliest first."""
    flown = things(held, Flight)
    return [(entry, flight) for entry, flight in flown if flight.aircraft == aircraft]


def last_landing(held: Sequence[Entry], aircraft: str) -> datetime | None:
    """Return when an aircraft last landed, None where it has not flown."""
    flown = flights_of(held, aircraft)
    return max((_landed(*one) for one in flown), default=None)


def since_last_flight(held: Sequence[Entry], aircraft: str) -> tuple[Changed, ...]:
    """Return what changed on an aircraft since its last launch; everything if it never flew.

    A hard landing belongs to what comes after the flight that it ends.
    """
    launched = max((entry.at for entry, _ in flights_of(held, aircraft)), default=None)
    changes = changes_of(held, aircraft)
    return tuple(one for one in changes if launched is None or one.entry.at > launched)


def void_before(held: Sequence[Entry], aircraft: str) -> dict[str, Changed]:
    """Return by told item the last change that makes earlier answers to it worthless."""
    return {
        item: changed
        for changed in changes_of(held, aircraft)
        for item in void_by(changed.change).told
    }


def held_back_by(held: Sequence[Entry], aircraft: str) -> Changed | None:
    """Return the change that holds an aircraft's reach to its first step, None where none does.

    What one flight earns again counts until that flight; what cards earn, until the last of them.
    """
    flown = [entry.at for entry, _ in flights_of(held, aircraft)]
    cards = [
        (entry.at, card.card)
        for entry, card in things(held, CardFlown)
        if card.aircraft == aircraft
    ]
    for changed in reversed(changes_of(held, aircraft)):
        void, at = void_by(changed.change), changed.entry.at
        if void.reach_step is None:
            continue
        earned = {name for when, name in cards if when > at}
        is_earned = (
            any(when > at for when in flown) if void.until_flown else earned >= set(void.cards)
        )
        if not is_earned:
            return changed
    return None


def _unanswered(record: Configuration, said: set[Change]) -> tuple[Change, ...]:
    """Return what a changed record may stand for, without what somebody has said of it.

    Who names a change that was not supposed has looked at all of it.
    """
    if said - set(record.supposed):
        return ()
    return tuple(change for change in record.supposed if change not in said)


def _landed(entry: Entry, flight: Flight) -> datetime:
    return entry.at + timedelta(seconds=flight.duration_s)
