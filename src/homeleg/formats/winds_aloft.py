"""Winds-aloft forecasts as text: the coded groups, and the table they stand in.

A group is DDss+TT: true direction in tens of degrees, knots, degrees Celsius. From 100 knots 50 is
added to the direction and 100 taken off the speed; 9900 is light and variable; above 24,000 ft the
sign of the temperature, always below zero, is left out. Levels are feet above mean sea level.

References: US Navy NAVEDTRA P-304, chapter 2, and P-1246, 2-50; FOUND. The rows in
tests/reference/winds_aloft_cases.csv each name their own.
"""

import re
from dataclasses import dataclass
from datetime import datetime

from homeleg.formats.day_and_time import nearest_time
from homeleg.formats.toml_text import TextFile
from homeleg.formats.wording import one_of
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import shown_time
from homeleg.foundation.units import TextError, shown

__all__ = ["AloftWind", "is_winds_aloft", "parse_group", "winds_aloft_layers"]

_GROUP = re.compile(r"(\d\d)(\d\d)(?:([-+]\d\d)|(\d\d))?")
_LEVELS = re.compile(r"FT\s+\d{3,5}(\s+\d{3,5})*\s*")
_VALID = re.compile(r"VALID\s+(\d\d)(\d\d)(\d\d)Z")
_SIGNS_LEFT_OUT_ABOVE_FT = 24_000
_LIGHT_AND_VARIABLE = "9900"
_LIGHT_KT = 2.5
_CODE_ADDS_50_FROM, _CODES_END = 51, 86
# Forecast winds a thousand metres up against soundings: errors of 4 m/s and 20 degrees (MEMORY).
_SD, _DIRECTION_SD = "4 m/s", "20 deg"


@dataclass(frozen=True, slots=True, kw_only=True)
class AloftWind:
    """A group in plain figures: degrees true, None where the wind is variable; knots; Celsius.

    `at_least` says that the speed is that or more.
    """

    from_true_deg: int | None
    speed_kt: float
    temperature_c: int | None
    at_least: bool = False


def parse_group(text: str, level_ft: int) -> AloftWind:
    """Return what a group says at a level; raises TextError where it is none."""
    match = _GROUP.fullmatch(text.strip())
    if match is None:
        raise TextError(f"{shown(text)} is not a group", "It is DDss+TT, such as 2435+07.")
    temperature_c = _temperature(match[3] or match[4], level_ft, signed=bool(match[3]))
    if match[1] + match[2] == _LIGHT_AND_VARIABLE:
        return AloftWind(from_true_deg=None, speed_kt=_LIGHT_KT, temperature_c=temperature_c)
    code, speed_kt = int(match[1]), int(match[2])
    if code >= _CODE_ADDS_50_FROM:
        code, speed_kt = code - 50, speed_kt + 100
    if not 1 <= code <= _CODES_END - 50:
        raise TextError(f"{shown(text)} blows from no direction", "Look the forecast up again.")
    return AloftWind(
        from_true_deg=10 * code,
        speed_kt=speed_kt,
        temperature_c=temperature_c,
        at_least=speed_kt == 199,
    )


def _temperature(text: str | None, level_ft: int, *, signed: bool) -> int | None:
    if text is None:
        return None
    if not signed and level_ft <= _SIGNS_LEFT_OUT_ABOVE_FT:
        raise TextError(f"{text} at {level_ft:,} ft has no sign", "Look the forecast up again.")
    return int(text) if signed else -int(text)


def is_winds_aloft(file: TextFile) -> bool:
    """Return whether a text has the line of levels that such a forecast has."""
    return any(_LEVELS.fullmatch(line) for line in file.text.splitlines())


def winds_aloft_layers(
    file: TextFile, station: str | None, launch: datetime
) -> list[dict[str, str]]:
    """Return the layers of one station's line; raises InputFileError.

    The forecast holds at its valid time, on the day of the month nearest to the launch.
    """
    lines = file.text.splitlines()
    levels_at = next(k for k, line in enumerate(lines) if _LEVELS.fullmatch(line))
    stations = {line.split()[0]: line for line in lines[levels_at + 1 :] if line.strip()}
    if station is None and len(stations) == 1:
        (station,) = stations
    if station not in stations:
        said = "no station is named" if station is None else f"there is no station {station}"
        raise _refusal(file.name, said, f"Add station. {one_of(list(stations)[:60])}")
    valid = _VALID.search(file.text)
    if valid is None:
        raise _refusal(file.name, "does not say when it is valid", "Keep its VALID line.")
    day, hour, minute = (int(part) for part in valid.groups())
    if not (1 <= day <= 31 and hour <= 23 and minute <= 59):
        raise _refusal(file.name, f"{valid[0]} is no day and time", "Look it up again.")
    seen = shown_time(nearest_time(day, hour, minute, launch))
    try:
        winds = _winds(lines[levels_at], stations[station])
    except TextError as error:
        raise _refusal(f"{file.name}, {station}", error.problem, error.remedy) from error
    return [_layer(level_ft, wind, seen) for level_ft, wind in winds]


def _winds(levels: str, line: str) -> list[tuple[int, AloftWind]]:
    """Return level and wind of each group: it stands under its level, or none is left out."""
    columns = [(match.start(), int(match[0])) for match in re.finditer(r"\d+", levels)]
    groups = [(match.start(), match[0]) for match in re.finditer(r"\S+", line)][1:]
    if len(groups) < len(columns):
        under = [min(columns, key=lambda column: abs(column[0] - at)) for at, _ in groups]
        if len(set(under)) < len(under):
            raise TextError("does not stand under its levels", "Keep the spaces as they came.")
    else:
        under = columns
    if len(groups) > len(columns):
        raise TextError("has more groups than levels", "Keep the forecast as it came.")
    pairs = zip(under, groups, strict=True)
    return [(level_ft, parse_group(text, level_ft)) for (_, level_ft), (_, text) in pairs]


def _layer(level_ft: int, wind: AloftWind, seen: str) -> dict[str, str]:
    variable = wind.from_true_deg is None
    return {
        "value": f"{wind.speed_kt:g} kt from {wind.from_true_deg or 0}",
        "at": f"{level_ft} ft AMSL",
        "sd": _SD,
        "direction_sd": "180 deg" if variable else _DIRECTION_SD,
        "seen": seen,
    }


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
