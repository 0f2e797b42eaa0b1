"""`stop.toml` of a base: the rule by which a flying day ends, as its owner wrote it."""

import re
from collections.abc import Mapping
from datetime import time
from pathlib import Path
from typing import Any

from homeleg.formats.toml_text import parse_toml, read_text_file
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import Dimension, TextError, parse_quantity, shown
from homeleg.readiness.stop_rule import StopRule

__all__ = ["read_stop_rule", "stop_rule_of", "stop_text"]

_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)\s*(?:Z|UTC)", re.IGNORECASE)
_MOST_FLIGHTS = 99
_LEAST_S, _MOST_S = 60.0, 24.0 * 3600.0
_REMARK = "# When a flying day ends. Leave out what it does not go by.\n"


def read_stop_rule(path: Path) -> StopRule:
    """Return the rule of a file; raises InputFileError with all that is wrong in it."""
    file = read_text_file(path)
    told = parse_toml(file)
    unknown = sorted(set(told) - {"flights", "flying", "until"})
    problems = [
        Problem(
            where=f"{file.name}, {key}",
            problem="there is no such key",
            remedy="Keys: flights, flying, until.",
        )
        for key in unknown
    ]
    return stop_rule_of({key: told[key] for key in told if key not in unknown}, file.name, problems)


def stop_rule_of(
    told: Mapping[str, Any], name: str, problems: list[Problem] | None = None
) -> StopRule:
    """Return the rule of values as a person writes them; raises InputFileError with all slips."""
    found: dict[str, Any] = {}
    wrong = list(problems or ())
    for key, field, read in (
        ("flights", "flights", _flights),
        ("flying", "flying_s", _flying),
        ("until", "until", _until),
    ):
        text = str(told.get(key, "")).strip()
        if not text:
            continue
        try:
            found[field] = read(text)
        except TextError as error:
            wrong.append(
                Problem(where=f"{name}, {key}", problem=error.problem, remedy=error.remedy)
            )
    if wrong:
        raise InputFileError(wrong)
    return StopRule(**found)


def stop_text(rule: StopRule) -> str:
    """Return a rule as the text of its file."""
    lines = []
    if rule.flights is not None:
        lines.append(f"flights = {rule.flights}")
    if rule.flying_s is not None:
        lines.append(f'flying = "{rule.flying_s / 60.0:g} min"')
    if rule.until is not None:
        lines.append(f'until = "{rule.until:%H:%M}Z"')
    return _REMARK + "".join(f"{line}\n" for line in lines)


def _flights(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or not 1 <= int(text) <= _MOST_FLIGHTS:
        raise TextError(f"{shown(text)} is no number of flights", f"Write 1 to {_MOST_FLIGHTS}.")
    return int(text)


def _flying(text: str) -> float:
    seconds = parse_quantity(f"{text} min" if text.isdecimal() else text, Dimension.TIME)
    if not _LEAST_S <= seconds <= _MOST_S:
        raise TextError(f"{shown(text)} of flying is no day's", 'Write it as "90 min".')
    return seconds


def _until(text: str) -> time:
    clock = _CLOCK.fullmatch(text)
    if clock is None:
        raise TextError(f"{shown(text)} is no time of day in UTC", 'Write it as "18:00Z".')
    return time(int(clock[1]), int(clock[2]))
