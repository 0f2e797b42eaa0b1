"""Two laptops put together, an export read back, a damaged book saved: nothing is lost."""

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from homeleg.desk.base import Base, make_base
from homeleg.desk.examples import add_example
from homeleg.desk.logbook import enter, logbook_of, logbook_path, open_logbook
from homeleg.desk.logbook_keep import (
    export_logbook,
    logbook_json,
    merge_into,
    rescue_logbook,
    verify_logbook,
)
from homeleg.foundation.errors import InputFileError
from homeleg.logbook.store import Laptop, read_entries
from homeleg.readiness.entries import Defect, Done, Note, things

NOW = datetime(2026, 6, 10, 8, tzinfo=UTC)
LATER = NOW + timedelta(hours=1)
FIELD, OFFICE = Laptop("1f", "field laptop"), Laptop("2e", "office laptop")


def note(words: str) -> Note:
    return Note(aircraft=None, words=words, by="Kim")


@pytest.fixture
def field(tmp_path: Path) -> Base:
    base = make_base(tmp_path / "field")
    add_example(base, "tern-point")
    open_logbook(base, FIELD, NOW)
    return base


@pytest.fixture
def office(field: Base, tmp_path: Path) -> Base:
    """Return the base as it was copied to another laptop."""
    shutil.copytree(field.folder, tmp_path / "office")
    return Base(tmp_path / "office")


def said(base: Base) -> set[str]:
    book = logbook_of(base)
    assert book is not None
    return {one.words for _, one in things(book.held, Note)}


def test_two_laptops_are_put_together_in_both_directions(field: Base, office: Base) -> None:
    enter(field, FIELD, LATER, note("wind backed"))
    enter(office, OFFICE, LATER, note("insurance asked"))
    merged = merge_into(field, office.folder, FIELD, LATER)
    assert (merged.entries, merged.files, merged.differ) == (2, (), ())  # the book, and the note
    assert merge_into(office, field.folder, OFFICE, LATER).entries == 1
    assert said(field) == said(office) == {"wind backed", "insurance asked"}
    assert set(read_entries(logbook_path(field))) == set(read_entries(logbook_path(office)))
    for base in (field, office):
        findings = verify_logbook(base)
        assert (findings.breaks, findings.oddities, len(findings.books)) == ((), (), 2)


def test_one_book_speaks_of_what_stands_in_the_other(field: Base, office: Base) -> None:
    defect = enter(field, FIELD, LATER, Defect(aircraft="petrel", words="crack", by="Kim"))
    merge_into(office, field.folder, OFFICE, LATER)
    enter(office, OFFICE, LATER, Done(by="Lee", words="glued"), about=defect)
    merge_into(field, office.folder, FIELD, LATER)
    book = logbook_of(field)
    assert book is not None
    assert [one.about for one, _ in things(book.held, Done)] == [defect.digest]


def test_files_that_are_missing_come_along_and_differing_ones_stay(
    field: Base, office: Base
) -> None:
    new, petrel = office.folder / "recordings" / "a.csv", office.aircraft / "petrel.toml"
    new.write_text("recorded\n", "utf-8")
    petrel.write_text(petrel.read_text("utf-8") + "# of the office\n", "utf-8")
    before = (field.aircraft / "petrel.toml").read_bytes()
    there = {path: path.read_bytes() for path in office.folder.rglob("*") if path.is_file()}
    merged = merge_into(field, office.folder, FIELD, LATER)
    assert (merged.files, merged.differ) == (("recordings/a.csv",), ("aircraft/petrel.toml",))
    assert (field.folder / "recordings" / "a.csv").read_text("utf-8") == "recorded\n"
    assert (field.aircraft / "petrel.toml").read_bytes() == before
    assert there == {path: path.read_bytes() for path in office.folder.rglob("*") if path.is_file()}


def test_a_link_leads_nothing_in(field: Base, office: Base, tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("mine\n", "utf-8")
    (office.folder / "recordings" / "a.csv").symlink_to(secret)
    assert merge_into(field, office.folder, FIELD, LATER).files == ()


@pytest.mark.parametrize("as_what", ["folder", "db", "json"])
def test_a_base_without_a_logbook_takes_one_over_equal(
    field: Base, tmp_path: Path, as_what: str
) -> None:
    enter(field, FIELD, LATER, note("wind backed"))
    other = {"folder": field.folder, "db": logbook_path(field), "json": tmp_path / "logbook.json"}
    other["json"].write_text(logbook_json(field, LATER), "utf-8")
    empty = make_base(tmp_path / "empty")
    before = read_entries(logbook_path(field))
    merge_into(empty, other[as_what], OFFICE, LATER)
    assert set(read_entries(logbook_path(empty))) >= set(before)
    assert said(empty) == {"wind backed"}
    assert read_entries(logbook_path(field)) == before


def test_an_export_goes_into_a_folder_once(field: Base, tmp_path: Path) -> None:
    paths = export_logbook(field, tmp_path / "out", NOW)
    assert [path.name for path in paths] == ["logbook.json", "book.csv", "configuration.csv"]
    with pytest.raises(InputFileError, match="there is such a file already"):
        export_logbook(field, tmp_path / "out", NOW)


@pytest.mark.parametrize(
    ("name", "says"),
    [("field", "the base itself"), ("nothing", "cannot be read"), (".", "no base")],
)
def test_what_cannot_be_merged_is_told(field: Base, tmp_path: Path, name: str, says: str) -> None:
    before = read_entries(logbook_path(field))
    with pytest.raises(InputFileError, match=says):
        merge_into(field, tmp_path / name, FIELD, NOW)
    assert read_entries(logbook_path(field)) == before


def test_a_changed_export_brings_nothing(field: Base, office: Base, tmp_path: Path) -> None:
    enter(office, OFFICE, LATER, note("twelve volts"))
    file = tmp_path / "logbook.json"
    file.write_text(logbook_json(office, LATER).replace("twelve", "eleven"), "utf-8")
    before = read_entries(logbook_path(field))
    with pytest.raises(InputFileError, match="not as it was written"):
        merge_into(field, file, FIELD, LATER)
    assert read_entries(logbook_path(field)) == before


def test_a_damaged_book_is_saved_and_goes_on(field: Base, office: Base) -> None:
    for number in range(20):
        enter_long(field, number)
    merge_into(office, field.folder, OFFICE, LATER)
    path = logbook_path(field)
    content = bytearray(path.read_bytes())
    content[:4096] = bytes(4096)
    path.write_bytes(content)
    with pytest.raises(InputFileError, match="homeleg logbook rescue"):
        open_logbook(field, FIELD, LATER)
    new = path.with_name("saved.db")
    rescued = rescue_logbook(path, new)
    assert path.read_bytes() == content
    assert rescued.entries == 22
    with pytest.raises(InputFileError, match="there is such a file already"):
        rescue_logbook(path, new)
    path.unlink()
    new.rename(path)
    merge_into(field, office.folder, FIELD, LATER)
    assert verify_logbook(field).breaks == ()
    assert len(said(field)) == 20


def enter_long(base: Base, number: int) -> None:
    enter(base, FIELD, NOW + timedelta(minutes=number), note(f"{number} " + "and so on " * 40))


def test_nothing_to_be_saved_is_told(field: Base) -> None:
    path = logbook_path(field)
    path.write_bytes(b"\0" * 9000)
    with pytest.raises(InputFileError, match="no entry could be read"):
        rescue_logbook(path, path.with_name("saved.db"))
    assert not path.with_name("saved.db").exists()
