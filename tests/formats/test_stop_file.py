"""The file that says when a flying day ends: read, written, and told what is wrong in it."""

import tomllib
from contextlib import suppress
from datetime import time
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.formats.stop_file import read_stop_rule, stop_rule_of, stop_text
from homeleg.foundation.errors import InputFileError
from homeleg.readiness.stop_rule import StopRule


def written(folder: Path, text: str) -> Path:
    path = folder / "stop.toml"
    path.write_text(text, "utf-8")
    return path


def test_what_is_written_is_read_again(tmp_path: Path) -> None:
    rule = StopRule(flights=4, flying_s=5400.0, until=time(18, 30))
    assert read_stop_rule(written(tmp_path, stop_text(rule))) == rule
    assert read_stop_rule(written(tmp_path, stop_text(StopRule()))) == StopRule()


@pytest.mark.parametrize(
    ("typed", "rule"),
    [
        ({"flying": "1.5 h"}, StopRule(flying_s=5400.0)),
        ({"flying": "90"}, StopRule(flying_s=5400.0)),
        ({"until": "9:05 utc"}, StopRule(until=time(9, 5))),
        ({"flights": " 3 ", "flying": ""}, StopRule(flights=3)),
    ],
)
def test_as_a_person_types_it(typed: dict[str, str], rule: StopRule) -> None:
    assert stop_rule_of(typed, "the rule") == rule


def test_all_slips_are_told_at_once(tmp_path: Path) -> None:
    text = 'flights = 0\nflying = "two days"\nuntil = "18:00"\nwind = "6 m/s"\n'
    with pytest.raises(InputFileError) as refused:
        read_stop_rule(written(tmp_path, text))
    assert [one.where for one in refused.value.problems] == [
        "stop.toml, wind",
        "stop.toml, flights",
        "stop.toml, flying",
        "stop.toml, until",
    ]
    assert refused.value.problems[0].remedy == "Keys: flights, flying, until."


@given(st.dictionaries(st.sampled_from(["flights", "flying", "until"]), st.text(max_size=12)))
def test_any_text_is_a_rule_or_its_problems(typed: dict[str, str]) -> None:
    with suppress(InputFileError):
        rule = stop_rule_of(typed, "the rule")
        assert stop_rule_of(tomllib.loads(stop_text(rule)), "again") == rule
