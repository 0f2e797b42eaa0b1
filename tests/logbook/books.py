"""Logbooks written for tests: short words in the books of two laptops."""

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

from homeleg.logbook.record import Draft
from homeleg.logbook.store import Laptop, append
from homeleg.readiness.entries import Entry, Note

AT = datetime(2026, 6, 9, 17, tzinfo=UTC)
FIELD = Laptop("1f", "field laptop")
OFFICE = Laptop("2e", "office laptop")


def note(words: str) -> Draft:
    return Draft(thing=Note(aircraft=None, words=words, by="Kim"), at=AT)


def write(
    path: Path, *words: str, laptop: Laptop = FIELD, written_at: datetime = AT
) -> tuple[Entry, ...]:
    return append(path, [note(one) for one in words], laptop, written_at=written_at)


def said(entries: Sequence[Entry]) -> list[str]:
    return [one.thing.words for one in entries if isinstance(one.thing, Note)]
