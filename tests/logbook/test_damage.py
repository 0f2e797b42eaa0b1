"""Damaged, locked, full, read-only: told in words, and what can be saved is saved."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from homeleg.foundation.errors import InputFileError
from homeleg.logbook import store
from homeleg.logbook.rescue import saved_texts
from homeleg.logbook.schema import configure
from homeleg.logbook.store import read_entries, read_texts
from tests.logbook.books import said, write

PAGE = 16_384
COUNT = 120
PAD = " " * 1500  # ten entries or so a page


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Return a logbook of many pages."""
    path = tmp_path / "logbook.db"
    write(path, *(f"note {number}{PAD}." for number in range(COUNT)))
    assert path.stat().st_size > 10 * PAGE
    return path


def overwrite(path: Path, start: int, content: bytes) -> None:
    with path.open("r+b") as file:
        file.seek(start)
        file.write(content)


def truncated(path: Path) -> None:
    os.truncate(path, 9 * PAGE)  # a few of them hold no entries


def page_overwritten(path: Path) -> None:
    overwrite(path, 5 * PAGE, os.urandom(PAGE))


def head_overwritten(path: Path) -> None:
    overwrite(path, 0, os.urandom(PAGE))


def tree_overwritten(path: Path) -> None:
    overwrite(path, PAGE, bytes(PAGE))


@pytest.mark.parametrize(
    ("damage", "least"),
    [(truncated, 30), (page_overwritten, 100), (head_overwritten, 110), (tree_overwritten, 100)],
)
def test_what_is_left_is_saved_and_true(
    path: Path, damage: Callable[[Path], None], least: int
) -> None:
    written = read_texts(path)
    damage(path)
    after = path.read_bytes()
    saved = saved_texts(path)
    assert path.read_bytes() == after
    assert len(saved.texts) >= least
    assert set(saved.texts) <= {text for _, text in written}


@pytest.mark.parametrize("damage", [truncated, head_overwritten, tree_overwritten])
def test_a_damaged_file_is_told_with_what_to_do(path: Path, damage: Callable[[Path], None]) -> None:
    damage(path)
    with pytest.raises(InputFileError, match="homeleg logbook rescue"):
        read_entries(path)


def test_what_only_the_log_holds_is_saved(path: Path, tmp_path: Path) -> None:
    # As after a cut of power: the log was not brought into the file yet.
    with closing(sqlite3.connect(path)) as holding:
        holding.execute("SELECT * FROM entry").fetchone()
        write(path, "the last words")
        left = tmp_path / "left"
        left.mkdir()
        for end in ("", "-wal"):
            beside = path.with_name(path.name + end)
            (left / beside.name).write_bytes(beside.read_bytes())
    overwrite(left / "logbook.db", 0, os.urandom(PAGE))
    assert any("the last words" in text for text in saved_texts(left / "logbook.db").texts)


@pytest.mark.parametrize("content", [b"not a database at all" * 100, os.urandom(40_000)])
def test_something_else_is_no_logbook(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "logbook.db"
    path.write_bytes(content)
    with pytest.raises(InputFileError, match="this is not a logbook"):
        read_entries(path)
    assert saved_texts(path).texts == ()
    assert path.read_bytes() == content


def test_another_programs_database_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "logbook.db"
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("CREATE TABLE stamps (country TEXT)")
        connection.execute("PRAGMA user_version = 1")
    before = path.read_bytes()
    with pytest.raises(InputFileError, match="no such table"):
        read_entries(path)
    assert path.read_bytes() == before


def test_a_locked_file_is_told(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(store, "_PATIENCE_S", 0.01)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(InputFileError, match="another program is writing in it"):
            write(path, "now")
        assert len(read_entries(path)) == COUNT + 1  # reading goes on
    write(path, "now")


def test_a_full_disk_keeps_what_was_there(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(connection: sqlite3.Connection, *, patience_s: float) -> None:
        configure(connection, patience_s=patience_s)
        [pages] = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count = {pages}")

    monkeypatch.setattr(store, "configure", full)
    with pytest.raises(InputFileError, match="no room left on the disk"):
        write(path, *(f"more {number}{PAD}" for number in range(COUNT)))
    monkeypatch.undo()
    assert len(said(read_entries(path))) == COUNT


def test_a_folder_that_may_only_be_read_is_read(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Who runs the tests as root may write everywhere: so the question is answered for the system.
    monkeypatch.setattr(os, "access", lambda *_: False)
    there = set(path.parent.iterdir())
    assert len(read_entries(path)) == COUNT + 1
    assert set(path.parent.iterdir()) == there


def test_a_file_that_may_only_be_read_is_told(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def only_reading(connection: sqlite3.Connection, *, patience_s: float) -> None:
        configure(connection, patience_s=patience_s)
        connection.execute("PRAGMA query_only = ON")

    monkeypatch.setattr(store, "configure", only_reading)
    with pytest.raises(InputFileError, match="may only be read here"):
        write(path, "now")


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputFileError, match="cannot be opened or made"):
        write(tmp_path / "nowhere" / "logbook.db", "now")
    with pytest.raises(InputFileError, match="no logbook here"):
        saved_texts(tmp_path / "logbook.db")
