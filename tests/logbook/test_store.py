"""The logbook file: entries stay as written, each laptop writes its own book."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from homeleg.foundation.errors import InputFileError
from homeleg.logbook.record import Draft
from homeleg.logbook.schema import MIGRATIONS, VERSION, migrate, version_of
from homeleg.logbook.store import append, begin, insert_texts, read_entries, read_texts
from homeleg.readiness.entries import BookBegun
from tests.logbook.books import AT, FIELD, OFFICE, note, said, write


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


def test_entries_come_back_in_order_behind_the_one_that_begins_the_book(path: Path) -> None:
    write(path, "one", "two")
    write(path, "three")
    entries = read_entries(path)
    assert entries[0].thing == BookBegun(laptop="1f", name="field laptop")
    assert said(entries) == ["one", "two", "three"]
    assert [one.number for one in entries] == [1, 2, 3, 4]
    assert {one.book for one in entries} == {entries[0].digest}


def test_nothing_stays_beside_the_file(path: Path) -> None:
    write(path, "one")
    assert [one.name for one in path.parent.iterdir()] == ["logbook.db"]


def test_each_laptop_has_a_book_of_its_own(path: Path) -> None:
    write(path, "one")
    write(path, "there", laptop=OFFICE)
    write(path, "two")
    assert len({one.book for one in read_entries(path)}) == 2
    assert [one.number for one in read_entries(path)] == [1, 1, 2, 2, 3]


def test_all_entries_of_a_writing_or_none(path: Path) -> None:
    write(path, "one")
    bad = Draft(thing=note("two").thing, at=AT, about="0" * 64)
    with pytest.raises(InputFileError):
        append(path, [note("before"), bad], FIELD, written_at=AT)
    assert said(read_entries(path)) == ["one"]


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE entry SET record = replace(record, 'one', 'won')",
        "DELETE FROM entry",
        "INSERT OR REPLACE INTO entry (digest, record) SELECT digest, record FROM entry LIMIT 1",
    ],
)
def test_the_file_itself_refuses_to_change_an_entry(path: Path, statement: str) -> None:
    write(path, "one")
    before = read_texts(path)
    with (
        closing(sqlite3.connect(path)) as connection,
        pytest.raises(sqlite3.IntegrityError),
    ):
        connection.execute(statement)
    assert read_texts(path) == before


def test_an_entry_changed_by_force_is_named(path: Path) -> None:
    write(path, "one", "two")
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER entry_is_as_written")
        connection.execute("UPDATE entry SET record = replace(record, 'two', 'too')")
    with pytest.raises(InputFileError, match="entry 3, 2026-06-09, is not as it was written"):
        read_entries(path)


def test_entries_of_another_book_are_taken_over_once(path: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    [first] = write(path, "one")
    insert_texts(other, [text for _, text in read_texts(path)])
    write(other, "there", laptop=OFFICE)
    texts = [text for _, text in read_texts(other)]
    assert insert_texts(path, list(reversed(texts))) == 2  # what begins the book, and the note
    assert insert_texts(path, texts) == 0
    assert read_entries(path) == read_entries(other)
    assert first in read_entries(path)


def test_a_logbook_that_is_not_there(path: Path) -> None:
    with pytest.raises(InputFileError, match="no logbook here"):
        read_entries(path)
    assert not path.exists()
    begin(path)
    assert read_entries(path) == ()


@pytest.mark.parametrize("version", range(VERSION))
def test_each_older_version_becomes_the_newest(path: Path, version: int) -> None:
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        migrate(connection, MIGRATIONS[:version])
        assert version_of(connection) == version
    write(path, "one")
    with closing(sqlite3.connect(path)) as connection:
        assert version_of(connection) == VERSION
    assert said(read_entries(path)) == ["one"]


def test_a_newer_version_is_left_alone(path: Path) -> None:
    write(path, "one")
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(f"PRAGMA user_version = {VERSION + 1}")
    before = path.read_bytes()
    with pytest.raises(InputFileError, match="newer Homeleg"):
        read_entries(path)
    with pytest.raises(InputFileError, match="newer Homeleg"):
        write(path, "two")
    assert path.read_bytes() == before


def test_a_migration_that_fails_changes_nothing(path: Path) -> None:
    broken = (*MIGRATIONS, ("CREATE TABLE more (a)", "CREATE NONSENSE"))
    write(path, "one")
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        with pytest.raises(sqlite3.OperationalError):
            migrate(connection, broken)
        assert version_of(connection) == VERSION
        names = connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")
        assert [row[0] for row in names] == ["entry"]
    assert said(read_entries(path)) == ["one"]
