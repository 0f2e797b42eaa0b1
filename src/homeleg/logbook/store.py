"""The logbook file read and written: whole entries or none, and every failure in words.

A connection is opened for one use and closed: no log file stays beside the database that a copy
could miss, and nobody is kept waiting. An entry is there for good once `append` has returned.
"""

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from homeleg.logbook.record import Draft, RecordError, digest_of_text, entry_of_text, text_of
from homeleg.logbook.schema import VERSION, configure, migrate, version_of
from homeleg.logbook.trouble import damaged, newer, nothing_here, trouble_of, unreadable
from homeleg.readiness.entries import BookBegun, Entry

__all__ = [
    "Laptop",
    "append",
    "append_after",
    "begin",
    "copy_of",
    "insert_texts",
    "may_write",
    "read_entries",
    "read_texts",
]

_PATIENCE_S = 5.0


@dataclass(frozen=True, slots=True)
class Laptop:
    """Whose book is written: an id that no other laptop has, and a name for people."""

    id: str
    name: str


def begin(path: Path) -> None:
    """Make an empty logbook where there is none; raises InputFileError where that cannot be."""
    with _connected(path, may_make=True):
        pass


def may_write(path: Path) -> bool:
    """Return whether a logbook that is there may be written, and its folder, as SQLite needs."""
    return all(os.access(one, os.W_OK) for one in (path, path.parent))


def read_texts(path: Path) -> list[tuple[str, str]]:
    """Return digest and text of every entry, each after what it builds on; raises InputFileError.

    The digests are as stored: `homeleg.logbook.chain` tells whether they are true.
    """
    with _readable(path) as file, _connected(file) as connection:
        return _texts(connection)


def read_entries(path: Path) -> tuple[Entry, ...]:
    """Return all entries; raises InputFileError, naming those that are not as they were written."""
    return _entries(path, read_texts(path))


def append(
    path: Path, drafts: Sequence[Draft], laptop: Laptop, *, written_at: datetime
) -> tuple[Entry, ...]:
    """Write entries at the end of a laptop's book, all or none, and return them.

    Its first entries begin the book. Raises InputFileError where nothing could be written.
    """
    return append_after(path, lambda _: drafts, laptop, written_at=written_at)


def append_after(
    path: Path,
    drafts_of: Callable[[Sequence[Entry]], Sequence[Draft]],
    laptop: Laptop,
    *,
    written_at: datetime,
) -> tuple[Entry, ...]:
    """Write what a function makes of all entries there are, as `append` does.

    Nobody else writes between its reading and the writing.
    """
    written = []
    with _connected(path, may_make=True) as connection, _changing(connection):
        drafts = drafts_of(_entries(path, _texts(connection)))
        book, number, previous = _end_of_book(connection, laptop)
        if book is None and drafts:
            first = Draft(thing=BookBegun(laptop=laptop.id, name=laptop.name), at=written_at)
            drafts = (first, *drafts)
        for draft in drafts:
            number += 1
            text = text_of(
                draft, book=book, number=number, previous=previous, written_at=written_at
            )
            entry = entry_of_text(text)
            _insert(connection, entry.digest, text)
            book, previous = entry.book, entry.digest
            written.append(entry)
    return tuple(one for one in written if not isinstance(one.thing, BookBegun))


def insert_texts(path: Path, texts: Sequence[str]) -> int:
    """Take over entries as they stand, all or none, and return how many were new.

    What they build on may be missing, as in a logbook that was rescued: its chain tells.
    """
    new = 0
    with _connected(path, may_make=True) as connection:
        connection.execute("PRAGMA foreign_keys = OFF")
        with _changing(connection):
            there = {digest for digest, _ in _texts(connection)}
            for text in texts:
                digest = digest_of_text(text)
                if digest not in there:
                    _insert(connection, digest, text)
                    there.add(digest)
                    new += 1
    return new


def _entries(path: Path, texts: Sequence[tuple[str, str]]) -> tuple[Entry, ...]:
    entries, wrong = [], []
    for digest, text in texts:
        try:
            entry = entry_of_text(text)
        except RecordError as error:
            wrong.append(f"an entry {error}")
            continue
        if entry.digest != digest:
            wrong.append(f"entry {entry.number}, {entry.at:%Y-%m-%d}, is not as it was written")
        entries.append(entry)
    if wrong:
        raise damaged(path, wrong)
    return tuple(entries)


def _insert(connection: sqlite3.Connection, digest: str, text: str) -> None:
    connection.execute("INSERT INTO entry (digest, record) VALUES (?, ?)", (digest, text))


def _texts(connection: sqlite3.Connection) -> list[tuple[str, str]]:
    query = "SELECT digest, record FROM entry ORDER BY number, rowid"
    return [(digest, text) for digest, text in connection.execute(query)]


def _end_of_book(
    connection: sqlite3.Connection, laptop: Laptop
) -> tuple[str | None, int, str | None]:
    """Return book, number and digest of the last entry of a laptop's own book."""
    row = connection.execute(
        """
        SELECT ifnull(book, digest), number, digest FROM entry
        WHERE ifnull(book, digest) IN (
            SELECT digest FROM entry
            WHERE kind = 'book' AND json_extract(record, '$.thing.laptop') = ?
        )
        ORDER BY number DESC, rowid DESC LIMIT 1
        """,
        (laptop.id,),
    ).fetchone()
    return (None, 0, None) if row is None else (row[0], row[1], row[2])


@contextmanager
def _changing(connection: sqlite3.Connection) -> Iterator[None]:
    """Hold the one place that writes until the end of the block, and commit or take all back."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise


@contextmanager
def copy_of(path: Path) -> Iterator[Path]:
    """Give a copy of a logbook for as long as the block lasts; raises InputFileError."""
    with TemporaryDirectory() as folder:
        try:
            for end in ("", "-wal"):  # with what was written and not yet brought into the file
                beside = path.with_name(path.name + end)
                if not end or beside.is_file():
                    shutil.copyfile(beside, Path(folder) / beside.name)
        except OSError as error:
            raise unreadable(path, error) from error
        yield Path(folder) / path.name


@contextmanager
def _connected(path: Path, *, may_make: bool = False) -> Iterator[sqlite3.Connection]:
    """Give a connection to the newest version of a logbook; raises InputFileError in words."""
    if not may_make and not path.is_file():
        raise nothing_here(path)
    try:
        with closing(sqlite3.connect(path, isolation_level=None)) as connection:
            configure(connection, patience_s=_PATIENCE_S)
            if version_of(connection) > VERSION:
                raise newer(path, version_of(connection), VERSION)
            migrate(connection)
            yield connection
    except sqlite3.Error as error:
        raise trouble_of(path, error) from error


@contextmanager
def _readable(path: Path) -> Iterator[Path]:
    """Give a file that SQLite can read: the logbook, or a copy where it may not be written.

    Reading a file in WAL mode writes beside it.
    """
    if not path.is_file() or may_write(path):
        yield path
        return
    with copy_of(path) as file:
        yield file
