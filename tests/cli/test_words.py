"""Words that the program never says, in whatever it prints or ships."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from homeleg.verdict.cautions import ADVICE, cautions, word_caution
from homeleg.verdict.result import Status

SOURCE = Path(__file__).parents[2] / "src" / "homeleg"
BANNED = re.compile(r"\b(safe|safely|guaranteed|certified|approved|legal|perfect)\b", re.IGNORECASE)
DATA_SUFFIXES = {".toml", ".json", ".csv", ".txt", ".html", ".typ"}


def texts(path: Path) -> Iterator[str]:
    if path.suffix == ".py":
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield node.value
    elif path.suffix in DATA_SUFFIXES:
        yield path.read_text("utf-8")


def test_no_text_of_ours_says_more_than_we_know() -> None:
    said = [
        (path.name, found.group())
        for path in sorted(SOURCE.rglob("*"))
        if not path.name.endswith("-LICENSE.txt")  # the words of fonts' makers
        for text in texts(path)
        for found in BANNED.finditer(text)
    ]
    assert said == []


def test_the_search_sees_a_banned_word(tmp_path: Path) -> None:
    page = tmp_path / "page.py"
    page.write_text('print(f"This flight is Safe, {1}")\n')
    assert any(BANNED.search(text) for text in texts(page))


@pytest.mark.parametrize("status", [Status.NOT_ANSWERED, Status.DOES_NOT_APPLY])
def test_only_a_word_of_a_verdict_has_a_caution(status: Status) -> None:
    with pytest.raises(ValueError, match="GO, MARGINAL, NO-GO"):
        word_caution(status)


def test_no_word_leaves_the_decision_to_the_program() -> None:
    for word in (Status.GO, Status.MARGINAL):
        assert "The pilot in command decides." in cautions(word)[0]
    assert "Not a certificate, permission" in ADVICE
