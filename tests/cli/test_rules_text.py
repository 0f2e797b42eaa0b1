"""The rules that limits are from, in the text of an answer and in its JSON."""

from dataclasses import replace
from pathlib import Path
from typing import Protocol

from homeleg.cli.text import check_text
from homeleg.formats.rules_file import read_profile
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Verdict


class MakeVerdict(Protocol):
    def __call__(self) -> Verdict: ...


def test_name_source_and_state(make_verdict: MakeVerdict, told: Sortie) -> None:
    rules, _ = read_profile("US part 107", Path())
    text = check_text(replace(make_verdict(), rules=rules), told)
    flat = " ".join(text.split())
    assert "Limits by US part 107 (14 CFR 107.51; eCFR as quoted by others, undated;" in flat
    assert "Whether you may fly is not answered here. They ask besides: Over the ground" in flat
    assert "Limits by" not in check_text(make_verdict(), told)
