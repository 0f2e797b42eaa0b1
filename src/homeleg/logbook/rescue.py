"""What can be saved of a damaged logbook: every entry whose text still has its own digest.

First through SQLite, from both ends of the table towards the damage; then from the bytes of the
file and of the log beside it, where each text stands right behind its digest.

References: SQLite documentation, "Database File Format", sections 1.6 and 2.1 (MEMORY): a row's
values stand one after the other, in the order of the table's columns.
"""

import json
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from homeleg.logbook.record import RecordError, digest_of_text, entry_of_text
from homeleg.logbook.store import copy_of
from homeleg.logbook.trouble import nothing_here

__all__ = ["Saved", "saved_texts"]

_ENTRY = re.compile(rb"([0-9a-f]{64})(?=\{\"about\":)")
_LONGEST = 2_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Saved:
    """The texts that were saved, by number in their books, and the trouble on the way to them."""

    texts: tuple[str, ...]
    trouble: tuple[str, ...]


def saved_texts(path: Path) -> Saved:
    """Return what can be read of a logbook; the file stays as it is. Raises InputFileError."""
    if not path.is_file():
        raise nothing_here(path)
    found: dict[str, str] = {}
    trouble: list[str] = []
    with copy_of(path) as copy:
        beside = (copy, copy.with_name(f"{copy.name}-wal"))
        raw = [one.read_bytes() for one in beside if one.exists()]  # before SQLite touches them
        for order in ("ASC", "DESC"):
            try:
                for digest, text in _rows(copy, order):
                    found |= _if_true(digest, text)
            except (sqlite3.Error, UnicodeDecodeError) as error:
                trouble.append(str(error))
        for content in raw:
            for match in _ENTRY.finditer(content):
                found |= _if_true(match[1].decode(), _text_at(content, match.end()))
    return Saved(
        texts=tuple(sorted(found.values(), key=lambda text: entry_of_text(text).number)),
        trouble=tuple(dict.fromkeys(trouble)),
    )


def _rows(path: Path, order: str) -> Iterator[tuple[str, str]]:
    with closing(sqlite3.connect(path)) as connection:
        yield from connection.execute(f"SELECT digest, record FROM entry ORDER BY rowid {order}")  # noqa: S608 (our own words)


def _text_at(content: bytes, start: int) -> str:
    """Return the JSON object that begins at a byte, "" where none ends."""
    text = content[start : start + _LONGEST].split(b"\0", 1)[0].decode("ascii", "replace")
    try:
        _, end = json.JSONDecoder().raw_decode(text)
    except (ValueError, RecursionError):
        return ""
    return text[:end]


def _if_true(digest: str, text: str) -> dict[str, str]:
    """Return an entry's text by its digest, nothing where it is not what the digest says."""
    try:
        entry_of_text(text)
    except RecordError:
        return {}
    return {digest: text} if digest_of_text(text) == digest else {}
