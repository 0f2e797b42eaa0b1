import re

import pytest

from homeleg.formats.limits_file import read_limits
from homeleg.verdict.limits import RowKind
from homeleg.verdict.spoken import SPOKEN, SPOKEN_BELOW_ZERO

# What only has words, or is asked of a person.
WORDS_ALONE = {"weather.icing"}


def test_every_row_that_can_decide_by_a_figure_has_a_sentence() -> None:
    counting = {
        slug
        for slug, limit in read_limits().items()
        if "." in slug and limit.kind is not RowKind.NOTED
    }
    assert counting - WORDS_ALONE == set(SPOKEN)


@pytest.mark.parametrize("slug", SPOKEN)
def test_a_sentence_is_short_and_gives_the_figure(slug: str) -> None:
    words = SPOKEN[slug]
    assert set(re.findall(r"{(\w+)}", words)) <= {"figure", "want", "where"}
    assert "{figure}" in words
    assert len(words) <= 96
    assert not words.endswith(".")


def test_below_zero_only_rows_that_are_spoken_of() -> None:
    assert set(SPOKEN_BELOW_ZERO) <= set(SPOKEN)
    assert all("{figure}" not in words for words in SPOKEN_BELOW_ZERO.values())
