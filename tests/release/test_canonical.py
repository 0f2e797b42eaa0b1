"""The canonical form, its digest and the code, against figures made outside this program."""

import json
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.release.canonical import canonical_bytes, digest_of, recorded
from homeleg.release.code import ALPHABET, code_of, typed_code

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
)


def test_digest_of_the_empty_table_is_that_of_two_bytes() -> None:
    # FIPS 180-4 names the function; the value is that of `printf '{}' | sha256sum` (coreutils).
    assert digest_of({}) == "44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a"


@given(VALUES)
def test_order_of_keys_and_whitespace_change_nothing(value: Any) -> None:
    turned = json.loads(json.dumps(value), object_pairs_hook=lambda pairs: dict(pairs[::-1]))
    assert canonical_bytes(turned) == canonical_bytes(value)
    assert json.loads(canonical_bytes(value)) == value


def test_a_fraction_has_no_canonical_form() -> None:
    with pytest.raises(TypeError, match="whole, or as a text"):
        canonical_bytes({"a": [1, 0.5]})  # type: ignore[list-item]


def test_a_record_becomes_texts_and_whole_numbers() -> None:
    noon = datetime(2026, 6, 9, 14, 0, tzinfo=timezone(timedelta(hours=2)))
    made = recorded({"h": StatedHeight(0.1 + 0.2, Datum.AGL), "t": noon, "a": np.array([-0.0])})
    assert made == {
        "h": {"value_m": "0.3", "above": "AGL"},
        "t": "2026-06-09T12:00:00Z",
        "a": ["0"],
    }


def test_no_record_holds_what_is_not_a_number() -> None:
    with pytest.raises(ValueError, match="nan"):
        recorded(float("nan"))


def test_the_alphabet_has_no_look_alikes() -> None:
    for alike in ("0O", "1IL", "2Z", "5S", "8B", "6G", "UV"):
        assert len(set(ALPHABET) & set(alike)) <= 1
    assert set(ALPHABET).isdisjoint("0O1ILS5")
    assert len(set(ALPHABET)) == len(ALPHABET) == 23


def test_the_code_is_the_digest_to_the_base_of_the_alphabet() -> None:
    # By hand: 23^6 + 23 + 5 leaves the places 0 0 0 0 1 5.
    number = 23**6 + 23 + 5
    assert code_of(f"{number:064x}") == "3333" + ALPHABET[1] + ALPHABET[5]
    assert typed_code(" ar7-7kn ") == "AR77KN"


def test_codes_of_a_thousand_releases_hardly_ever_meet() -> None:
    # Birthday bound: 1000^2 / (2 * 23^6) = 0.0034 shared pairs are expected; two would be a fault.
    codes = [code_of(digest_of(k)) for k in range(1000)]
    assert len(set(codes)) >= 999


def test_any_change_of_the_sortie_changes_the_digest(make_release: Any, make_verdict: Any) -> None:
    first = make_release()
    again = make_release(replace(make_verdict(), seed=make_verdict().seed + 1))
    assert make_release().digest == first.digest
    assert again.digest != first.digest
