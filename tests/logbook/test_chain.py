"""The chain: what was changed, taken out or written in two copies is told, and nothing else."""

import shutil
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from homeleg.logbook.chain import chain_findings
from homeleg.logbook.record import digest_of_text
from homeleg.logbook.store import insert_texts, read_texts
from tests.logbook.books import AT, OFFICE, write

Texts = list[tuple[str, str]]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "logbook.db"
    write(path, "one", "two", "three")
    write(path, "there", laptop=OFFICE)
    return path


def test_a_whole_logbook_is_whole(path: Path) -> None:
    findings = chain_findings(read_texts(path))
    assert (findings.breaks, findings.oddities) == ((), ())
    assert [(book.name, book.entries) for book in findings.books] == [
        ("field laptop", 4),
        ("office laptop", 2),
    ]


def texts_with(path: Path, word: str, change: Callable[[str, str], Texts]) -> Texts:
    """Return the texts of a file, with the one that holds a word put through a change."""
    found = [(digest, text) for digest, text in read_texts(path) if f'"{word}"' in text]
    assert len(found) == 1
    others = [one for one in read_texts(path) if one not in found]
    return [*others, *change(*found[0])]


def test_a_changed_text_is_named_and_so_is_the_hole_it_leaves(path: Path) -> None:
    texts = texts_with(path, "two", lambda digest, text: [(digest, text.replace("two", "too"))])
    findings = chain_findings(texts)
    assert findings.breaks[0].startswith("Entry 3, 2026-06-09, is not as it was written")
    assert "what stood before entry 4" in findings.breaks[1]
    assert len(findings.breaks) == 2


def test_a_changed_text_with_a_digest_of_its_own_breaks_what_follows(path: Path) -> None:
    def forge(_: str, text: str) -> Texts:
        forged = text.replace("two", "too")
        return [(digest_of_text(forged), forged)]

    findings = chain_findings(texts_with(path, "two", forge))
    [found] = findings.breaks
    assert "what stood before entry 4" in found
    assert "field laptop" in found


def test_an_entry_taken_out_is_missed(path: Path) -> None:
    [found] = chain_findings(texts_with(path, "two", lambda *_: [])).breaks
    assert "what stood before entry 4" in found


def test_the_last_entry_taken_away_is_not_missed(path: Path) -> None:
    # Said so in the docs: no chain can show its own end.
    assert chain_findings(texts_with(path, "three", lambda *_: [])).breaks == ()


def test_rubbish_is_told(path: Path) -> None:
    findings = chain_findings([*read_texts(path), ("f" * 64, "{}")])
    assert findings.breaks == (
        "The entry stored as ffffffffffff does not hold the fields of an entry.",
    )


def test_a_book_written_on_in_two_copies_keeps_both(path: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    shutil.copyfile(path, copy)
    write(path, "here")
    write(copy, "and there")
    insert_texts(path, [text for _, text in read_texts(copy)])
    findings = chain_findings(read_texts(path))
    assert findings.breaks == ()
    assert findings.oddities == (
        "Book field laptop was written on in two copies, once. The entries of both are here.",
    )
    write(path, "after")
    assert chain_findings(read_texts(path)).breaks == ()


def test_a_clock_set_back_is_told(path: Path) -> None:
    write(path, "earlier", written_at=AT - timedelta(days=1))
    findings = chain_findings(read_texts(path))
    assert findings.breaks == ()
    [odd] = findings.oddities
    assert "the clock was set back before entry 5" in odd
    assert "from 2026-06-09 17:00Z to 2026-06-08 17:00Z" in odd
