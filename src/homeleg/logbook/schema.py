"""The database file: its tables, its versions, and how a connection to it has to be set.

One table holds the texts of all entries; its other columns are drawn from the text by SQLite
itself, so that they cannot say anything else. Nothing in it is ever changed or deleted.

WAL with synchronous=FULL: a commit returns only after the log has reached the disk, so what was
acknowledged outlives a power cut; NORMAL would keep the file whole and lose the last entries.

References: SQLite documentation, "Write-Ahead Logging", "PRAGMA synchronous", "STRICT Tables",
"Generated Columns" (MEMORY).
"""

import sqlite3
from collections.abc import Sequence

__all__ = ["MIGRATIONS", "VERSION", "configure", "migrate", "version_of"]

# Large enough that nearly every entry lies on one page: what is damaged then takes few with it.
_PAGE_BYTES = 16_384

# Each brings the file from the version of its place, 0 for an empty one, to the next.
MIGRATIONS: tuple[tuple[str, ...], ...] = (
    (
        """
        CREATE TABLE entry (
            digest TEXT PRIMARY KEY CHECK (length(digest) = 64),
            record TEXT NOT NULL CHECK (json_valid(record)),
            book TEXT GENERATED ALWAYS AS (json_extract(record, '$.book')) STORED
                REFERENCES entry (digest),
            number INTEGER NOT NULL
                GENERATED ALWAYS AS (json_extract(record, '$.number')) STORED,
            previous TEXT GENERATED ALWAYS AS (json_extract(record, '$.previous')) STORED
                REFERENCES entry (digest),
            about TEXT GENERATED ALWAYS AS (json_extract(record, '$.about')) STORED
                REFERENCES entry (digest),
            kind TEXT NOT NULL GENERATED ALWAYS AS (json_extract(record, '$.kind')) STORED,
            CHECK ((number = 1) = (previous IS NULL)),
            CHECK ((number = 1) = (book IS NULL)),
            CHECK ((number = 1) = (kind = 'book'))
        ) STRICT
        """,
        """
        CREATE TRIGGER entry_stays BEFORE DELETE ON entry
        BEGIN SELECT RAISE(ABORT, 'entries are not deleted: withdraw them'); END
        """,
        """
        CREATE TRIGGER entry_is_as_written BEFORE UPDATE ON entry
        BEGIN SELECT RAISE(ABORT, 'entries are not changed: withdraw and write anew'); END
        """,
        # REPLACE would delete without asking the trigger above.
        """
        CREATE TRIGGER entry_is_written_once BEFORE INSERT ON entry
        WHEN EXISTS (SELECT 1 FROM entry WHERE digest = NEW.digest)
        BEGIN SELECT RAISE(ABORT, 'this entry is there already'); END
        """,
        "CREATE INDEX entry_by_book ON entry (book, number)",
    ),
)
VERSION = len(MIGRATIONS)


def configure(connection: sqlite3.Connection, *, patience_s: float) -> None:
    """Set what SQLite does not keep in the file: foreign keys, durability, patience."""
    connection.execute(f"PRAGMA busy_timeout = {round(1000 * patience_s)}")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA synchronous = FULL")


def version_of(connection: sqlite3.Connection) -> int:
    """Return the version of the tables in a file, 0 where it is empty."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def migrate(
    connection: sqlite3.Connection, migrations: Sequence[Sequence[str]] = MIGRATIONS
) -> None:
    """Bring a file to the newest version, each step whole or not at all."""
    if version_of(connection) == len(migrations):
        return
    if version_of(connection) == 0:
        connection.execute(f"PRAGMA page_size = {_PAGE_BYTES}")
        connection.execute("PRAGMA journal_mode = WAL")
    connection.execute("BEGIN IMMEDIATE")
    try:
        # Read again: another process may have done it while this one waited.
        for version in range(version_of(connection), len(migrations)):
            for statement in migrations[version]:
                connection.execute(statement)
            connection.execute(f"PRAGMA user_version = {version + 1}")
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise
