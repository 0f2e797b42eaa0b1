"""Entries made by hand, for the tests of what a logbook tells."""

import hashlib
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from homeleg.readiness.entries import Entry, Flight, Thing, standing

START = datetime(2026, 6, 9, 12, tzinfo=UTC)


def entry(thing: Thing, hours: float, about: Entry | None = None) -> Entry:
    """Return an entry so many hours after the start; its digest stands for nothing."""
    at = START + timedelta(hours=hours)
    digest = hashlib.sha256(f"{thing} {hours}".encode()).hexdigest()
    return Entry(
        digest=digest,
        code=digest[:6],
        book="b",
        number=2,
        previous=None,
        at=at,
        written_at=at,
        about=None if about is None else about.digest,
        thing=thing,
    )


def flight(hours: float, aircraft: str = "petrel", minutes: float = 10.0, **more: str) -> Entry:
    return entry(
        Flight(
            aircraft=aircraft,
            duration_s=60.0 * minutes,
            charge_ah=None,
            place="Tern Point",
            pilot="Kim",
            release=more.get("release"),
            pack=more.get("pack"),
        ),
        hours,
    )


def held(*entries: Entry) -> Sequence[Entry]:
    return standing(entries)
