"""An entry's text: read back equal, one form only, and no other text taken for one."""

import hashlib
import json
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.logbook.record import Draft, RecordError, digest_of_text, entry_of_text, text_of
from homeleg.readiness.entries import Flight, Note
from tests.logbook.strategies import DRAFTS

AT = datetime(2026, 6, 9, 17, tzinfo=UTC)
FLIGHT = Flight(
    aircraft="petrel",
    duration_s=570.0,
    charge_ah=2.29,
    place="Tern Point",
    pilot="Kim Park",
    release="AR77KN",
    pack=None,
)
TEXT = text_of(
    Draft(thing=FLIGHT, at=AT), book="b" * 64, number=2, previous="a" * 64, written_at=AT
)


@given(draft=DRAFTS, number=st.integers(1, 10**6))
def test_any_entry_is_read_back_as_it_was(draft: Draft, number: int) -> None:
    text = text_of(draft, book="b" * 64, number=number, previous="a" * 64, written_at=AT)
    entry = entry_of_text(text)
    assert (entry.thing, entry.at, entry.about) == (draft.thing, draft.at, draft.about)
    assert (entry.book, entry.number, entry.written_at) == ("b" * 64, number, AT)


def test_the_form_is_the_one_written_down() -> None:
    # Written by hand from the description in the module: JSON, sorted keys, no blanks, a number
    # with a fraction as text. The digest is Python's hashlib over these bytes.
    by_hand = (
        '{"about":null,"at":"2026-06-09T17:00:00Z","book":"' + "b" * 64 + '","kind":"flight",'
        '"number":2,"previous":"' + "a" * 64 + '","thing":{"aircraft":"petrel","charge_ah":"2.29",'
        '"duration_s":"570.0","pack":null,"pilot":"Kim Park","place":"Tern Point",'
        '"release":"AR77KN"},"written_at":"2026-06-09T17:00:00Z"}'
    )
    assert by_hand == TEXT
    assert digest_of_text(TEXT) == hashlib.sha256(by_hand.encode("ascii")).hexdigest()


def test_a_letter_beyond_ascii_is_kept() -> None:
    note = Note(aircraft=None, words="Flügel ✓", by="Åse")
    text = text_of(Draft(thing=note, at=AT), book=None, number=1, previous=None, written_at=AT)
    assert text.isascii()
    assert entry_of_text(text).thing == note


def changed(**values: Any) -> str:
    return json.dumps({**json.loads(TEXT), **values})


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not JSON"),
        ("[" * 100_000, "not JSON"),
        ("[]", "fields of an entry"),
        ('{"kind":"flight"}', "fields of an entry"),
        (changed(kind="voyage"), "which this version does not know"),
        (changed(number="2"), "instead of int"),
        (changed(number=True), "instead of int"),
        (changed(at="2026-06-09"), "time zone"),
        (changed(at="yesterday"), "cannot"),
        (changed(thing={}), "fields"),
        (changed(thing=None), "cannot"),
        (changed(thing={**json.loads(TEXT)["thing"], "duration_s": 570.0}), "instead of str"),
        (changed(thing={**json.loads(TEXT)["thing"], "duration_s": "long"}), "cannot"),
    ],
)
def test_another_text_is_refused_in_words(text: str, says: str) -> None:
    with pytest.raises(RecordError, match=says):
        entry_of_text(text)


@given(st.text(max_size=200))
def test_no_text_breaks_the_reader(text: str) -> None:
    with pytest.raises(RecordError):
        entry_of_text(text)
