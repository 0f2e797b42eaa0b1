"""The table of widths against the shipped font files, read by another library."""

from typing import Any

import pytest

from homeleg.briefing.lettering import text_width

# Source: the `hmtx` and `cmap` tables of ClearSans-Regular.ttf and -Bold.ttf, by fontTools.
WORDS = [
    "".join(chr(code) for code in range(32, 127)),
    "23 % left on a bad day, 19:50",
    "–°≥≤±→·×−…",
]


@pytest.mark.parametrize("words", WORDS)
@pytest.mark.parametrize("weight", ["regular", "bold"])
def test_width_is_that_of_the_font(font_width: Any, words: str, weight: Any) -> None:
    expected = font_width(words, 15.0, weight)
    assert text_width(words, 15.0, weight) == pytest.approx(expected, rel=1e-12)


def test_sign_outside_the_table_is_given_the_widest_letter() -> None:
    assert text_width("\u4e00", 10.0) == text_width("W", 10.0, "bold")
