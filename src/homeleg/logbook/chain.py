"""Whether a logbook is whole: every entry as it was written, none missing between two others.

A chain shows what was changed, put in between or taken out. It cannot show that the last entries of
a book were taken away, nor who wrote it: for that its last digest has to stand somewhere else too.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from homeleg.logbook.record import RecordError, digest_of_text, entry_of_text
from homeleg.readiness.entries import BookBegun, Entry

__all__ = ["BookChain", "ChainFindings", "chain_findings"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BookChain:
    """A book: the laptop it is written on, how many entries it has, and the digest of the last."""

    name: str
    entries: int
    last: Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class ChainFindings:
    """The books of a logbook; where their chains break, and what is odd and breaks nothing."""

    books: tuple[BookChain, ...]
    breaks: tuple[str, ...]
    oddities: tuple[str, ...]


def chain_findings(texts: Sequence[tuple[str, str]]) -> ChainFindings:
    """Return what is found in the entries of a logbook, given as stored digests and texts."""
    breaks: list[str] = []
    entries: dict[str, Entry] = {}
    for stored, text in texts:
        try:
            entry = entry_of_text(text)
        except RecordError as error:
            breaks.append(f"The entry stored as {stored[:12]} {error}.")
            continue
        if digest_of_text(text) != stored:
            breaks.append(
                f"Entry {entry.number}, {entry.at:%Y-%m-%d}, is not as it was written: its text "
                f"was changed afterwards."
            )
            continue
        entries[stored] = entry
    names = {
        one.digest: one.thing.name for one in entries.values() if isinstance(one.thing, BookBegun)
    }
    books: dict[str, list[Entry]] = defaultdict(list)
    for entry in sorted(entries.values(), key=lambda one: one.number):
        books[entry.book].append(entry)
    oddities: list[str] = []
    for book, own in books.items():
        name = names.get(book, f"of {book[:12]}")
        breaks += _holes(name, own, entries)
        oddities += _forks(name, own) + _clock(name, own, entries)
    return ChainFindings(
        books=tuple(
            BookChain(name=names.get(book, book[:12]), entries=len(own), last=own[-1])
            for book, own in books.items()
        ),
        breaks=tuple(breaks),
        oddities=tuple(oddities),
    )


def _holes(name: str, own: Sequence[Entry], entries: Mapping[str, Entry]) -> list[str]:
    found = []
    for entry in own:
        previous = entry.previous
        if previous is not None and previous not in entries:
            found.append(
                f"Book {name}: what stood before entry {entry.number} ({entry.code}, "
                f"{entry.at:%Y-%m-%d}) is missing or was changed."
            )
        elif previous is not None and entries[previous].number != entry.number - 1:
            found.append(f"Book {name}: entry {entry.number} ({entry.code}) is not numbered on.")
        if entry.about is not None and entry.about not in entries:
            found.append(
                f"Book {name}: entry {entry.number} ({entry.code}) speaks of one that is missing."
            )
    return found


def _forks(name: str, own: Sequence[Entry]) -> list[str]:
    after = Counter(entry.previous for entry in own if entry.previous is not None)
    count = sum(more - 1 for more in after.values())
    if not count:
        return []
    times = "once" if count == 1 else f"{count} times"
    return [f"Book {name} was written on in two copies, {times}. The entries of both are here."]


def _clock(name: str, own: Sequence[Entry], entries: Mapping[str, Entry]) -> list[str]:
    found = []
    for entry in own:
        earlier = entries.get(entry.previous or "")
        if earlier is not None and entry.written_at < earlier.written_at:
            found.append(
                f"Book {name}: the clock was set back before entry {entry.number} ({entry.code}), "
                f"from {earlier.written_at:%Y-%m-%d %H:%MZ} to {entry.written_at:%Y-%m-%d %H:%MZ}."
            )
    return found
