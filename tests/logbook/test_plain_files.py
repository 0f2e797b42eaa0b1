"""Written out as plain files and read back: the same entries; what was changed is refused."""

import csv
import io
import json
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeleg.foundation.errors import InputFileError
from homeleg.logbook.plain_files import plain_files, texts_of_document
from homeleg.logbook.record import Draft, digest_of_text, text_of
from homeleg.logbook.store import append, insert_texts, read_entries, read_texts
from homeleg.readiness.entries import Defect, Flight, Paper, PaperKind
from tests.logbook.books import AT, FIELD, OFFICE, write
from tests.logbook.strategies import DRAFTS


def exported(path: Path) -> dict[str, str]:
    return dict(plain_files(read_texts(path), program="homeleg", written_at="2026-06-09 17:00Z"))


@given(drafts=st.lists(DRAFTS, max_size=8))
def test_any_entries_come_back_equal(drafts: list[Draft]) -> None:
    texts: list[tuple[str, str]] = []
    for number, draft in enumerate(drafts, start=2):
        text = text_of(draft, book="b" * 64, number=number, previous="a" * 64, written_at=AT)
        texts.append((digest_of_text(text), text))
    files = plain_files(texts, program="homeleg", written_at="2026-06-09 17:00Z")
    assert texts_of_document(files["logbook.json"], "logbook.json") == [text for _, text in texts]


@pytest.mark.slow
@settings(max_examples=100)
@given(here=st.lists(DRAFTS, max_size=8), there=st.lists(DRAFTS, max_size=4))
def test_any_logbook_comes_back_equal(here: list[Draft], there: list[Draft]) -> None:
    with TemporaryDirectory() as folder:
        path, again = Path(folder) / "logbook.db", Path(folder) / "again.db"
        append(path, here, FIELD, written_at=AT)
        append(path, there, OFFICE, written_at=AT)
        insert_texts(again, texts_of_document(exported(path)["logbook.json"], "logbook.json"))
        assert sorted(read_texts(again)) == sorted(read_texts(path))
        assert set(read_entries(again)) == set(read_entries(path))


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "logbook.db"
    flight = Flight(
        aircraft="petrel",
        duration_s=570.0,
        charge_ah=2.29,
        place="Tern Point",
        pilot="Kim",
        release=None,
        pack="B",
    )
    paper = Paper(
        kind=PaperKind.PERMISSION,
        holder="petrel",
        number="12",
        until=None,
        conditions=("below 90 m", "not over the road"),
    )
    defect = Defect(aircraft="petrel", words='=HYPERLINK("there")', by="-3")
    append(
        path, [Draft(thing=thing, at=AT) for thing in (flight, paper, defect)], FIELD, written_at=AT
    )
    return path


def table(path: Path, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(exported(path)[name])))


def test_each_kind_has_a_table_to_look_at(path: Path) -> None:
    [flight] = table(path, "flight.csv")
    assert (flight["aircraft"], flight["duration_s"], flight["charge_ah"], flight["release"]) == (
        "petrel", "570.0", "2.29", "",
    )  # fmt: skip
    assert flight["at"] == "2026-06-09T17:00:00Z"
    [paper] = table(path, "paper.csv")
    assert paper["conditions"] == "below 90 m; not over the road"
    assert set(exported(path)) == {
        "logbook.json", "book.csv", "flight.csv", "paper.csv", "defect.csv",
    }  # fmt: skip


def test_no_table_holds_a_formula(path: Path) -> None:
    [defect] = table(path, "defect.csv")
    assert defect["words"] == '\'=HYPERLINK("there")'
    assert defect["by"] == "-3"  # a number is none


def test_a_changed_export_is_refused_by_its_entry(path: Path) -> None:
    document = exported(path)["logbook.json"].replace("Tern Point", "Tern Pond")
    with pytest.raises(InputFileError, match=r"entry 2 in it: is not as it was written"):
        texts_of_document(document, "logbook.json")


@pytest.mark.parametrize(
    "text", ["", "[]", "{}", '{"schema": "homeleg/logbook/1", "entries": [3]}', "[" * 50_000]
)
def test_another_file_is_refused(text: str) -> None:
    with pytest.raises(InputFileError, match="is no exported logbook"):
        texts_of_document(text, "logbook.json")


def test_another_schema_is_refused_by_name() -> None:
    document = json.dumps({"schema": "homeleg/check/1", "entries": []})
    with pytest.raises(InputFileError, match="homeleg/check/1"):
        texts_of_document(document, "logbook.json")


def test_a_number_with_a_fraction_is_no_entry(path: Path) -> None:
    document = json.loads(exported(path)["logbook.json"])
    document["entries"][0]["number"] = 1.5
    with pytest.raises(InputFileError, match="holds what an entry cannot"):
        texts_of_document(json.dumps(document), "logbook.json")


def test_words_of_any_language_stay_readable(tmp_path: Path) -> None:
    path = tmp_path / "logbook.db"
    write(path, "Querruder rechts schwergängig ✓")
    assert "Querruder rechts schwergängig ✓" in exported(path)["logbook.json"]
