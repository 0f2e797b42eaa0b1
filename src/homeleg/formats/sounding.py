"""Soundings as text tables: a line of column names with HGHT, DRCT and SKNT, figures below.

Heights are metres above mean sea level, directions degrees true, speeds knots, each right under the
end of its name. Common practice of sounding archives, no standard.
"""

import re
from datetime import UTC, datetime
from types import MappingProxyType

from homeleg.formats.toml_text import TextFile
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import shown_time
from homeleg.foundation.units import TextError, parse_number

__all__ = ["SOUNDING_COLUMNS", "is_sounding", "sounding_layers"]

# The columns that each key of a layer is from.
SOUNDING_COLUMNS = MappingProxyType({"at": "HGHT", "value": "SKNT and DRCT"})

_NEEDED = ("HGHT", "DRCT", "SKNT")
_OBSERVED = re.compile(r"(\d\d)Z (\d\d) ([A-Z][a-z]{2}) (\d{4})")
# A balloon's wind (MEMORY), one standard deviation.
_SD, _DIRECTION_SD = "1.5 m/s", "10 deg"


def is_sounding(file: TextFile) -> bool:
    """Return whether a text has the line of columns that such a table has."""
    return any(set(_NEEDED) <= set(line.split()) for line in file.text.splitlines())


def sounding_layers(file: TextFile) -> list[tuple[int, dict[str, str]]]:
    """Return each line's number and its layer, `seen` where it says when; raises InputFileError."""
    lines = file.text.splitlines()
    header = next(k for k, line in enumerate(lines) if set(_NEEDED) <= set(line.split()))
    ends = {match[0]: match.end() for match in re.finditer(r"\S+", lines[header])}
    starts = dict(zip(ends, [0, *list(ends.values())[:-1]], strict=True))
    seen = _observed(file)
    layers: list[tuple[int, dict[str, str]]] = []
    for number, line in enumerate(lines[header + 1 :], start=header + 2):
        cells = [line[starts[name] : ends[name]].strip() for name in _NEEDED]
        if not all(any(letter.isdigit() for letter in cell) for cell in cells):
            continue  # units, rules, levels without a wind
        if layers and any(letter.isalpha() for letter in line[: starts["HGHT"]]):
            break  # remarks below the table
        try:
            height_m, from_deg, speed_kt = (parse_number(cell) for cell in cells)
        except TextError as error:
            raise _refusal(f"{file.name}, line {number}", error.problem, error.remedy) from error
        layer = {
            "value": f"{speed_kt:g} kt from {from_deg:g}",
            "at": f"{height_m:g} m AMSL",
            "sd": _SD,
            "direction_sd": _DIRECTION_SD,
            **seen,
        }
        layers.append((number, layer))
    return layers


def _observed(file: TextFile) -> dict[str, str]:
    told = _OBSERVED.search(file.text)
    if told is None:
        return {}
    try:
        when = datetime.strptime(told[0], "%HZ %d %b %Y").replace(tzinfo=UTC)
    except ValueError:
        return {}
    return {"seen": shown_time(when)}


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
