"""Surface weather reports, METAR and SPECI, read strictly: what is not understood is a problem.

Rules: WMO-No. 306, FM 15 and FM 16, and FMH-1 (FCM-H1-1995), chapter 12 (FOUND).
"""

import math
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from enum import Enum
from typing import TypeAlias

from homeleg.formats.metar_remarks import MetarRemarks, remarks_of
from homeleg.foundation.constants import (
    CELSIUS_ZERO_K,
    FOOT_M,
    INCH_OF_MERCURY_PA,
    KNOT_M_S,
    MILE_M,
)
from homeleg.foundation.errors import Problem
from homeleg.foundation.units import TextError

__all__ = ["Bound", "CloudLayer", "MetarReport", "parse_metar"]


class Bound(Enum):
    """How a reported figure is meant."""

    EXACT = "exactly"
    AT_LEAST = "at least"
    LESS = "less than"


@dataclass(frozen=True, slots=True)
class CloudLayer:
    """Cloud of an amount in eighths of the sky; `base_m` above the station, None if not told."""

    most_eighths: int
    base_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class MetarReport:
    """An observation as reported, None where it tells nothing. SI, radians true, blows FROM.

    A calm or variable wind has a speed and no direction. No gust does not mean that there is none:
    gusts up to 9 kt above the mean go unreported. `clear` says that the sky has no cloud at all;
    CAVOK and the like say so of low cloud only, which is `clear_low`.
    """

    station: str
    day: int
    hour: int
    minute: int
    wind_speed_m_s: float | None = None
    wind_bound: Bound = Bound.EXACT
    wind_from_true_rad: float | None = None
    varying_true_rad: tuple[float, float] | None = None
    gust_m_s: float | None = None
    visibility_m: float | None = None
    visibility_bound: Bound = Bound.EXACT
    temperature_k: float | None = None
    dew_point_k: float | None = None
    qnh_pa: float | None = None
    clouds: tuple[CloudLayer, ...] = ()
    clear: bool = False
    clear_low: bool = False
    remarks: MetarRemarks = field(default_factory=MetarRemarks)


_SPEED_M_S = {"KT": KNOT_M_S, "MPS": 1.0, "KMH": 1.0 / 3.6}
_MOST_EIGHTHS = {"FEW": 2, "SCT": 4, "BKN": 7, "OVC": 8, "VV": 8}
_CLEAR_BELOW_M = 10_000.0
_LEAST_VISIBILITY_M = 50.0
_TEMPERATURE_LIMITS_K = (CELSIUS_ZERO_K - 80.0, CELSIUS_ZERO_K + 60.0)
_QNH_LIMITS_PA = (85_000.0, 108_500.0)
_SETTINGS_AGREE_PA = 200.0
# A body in whole degrees and a remark in tenths differ by half a degree of rounding.
_BODY_AND_REMARK_K = 1.0
_LOOK_UP = "Copy the whole report again, as it was issued."

_TIME = re.compile(r"(\d{2})(\d{2})(\d{2})Z", re.ASCII)
_STATION = re.compile(r"[A-Z][A-Z0-9]{3}", re.ASCII)
_WIND = re.compile(r"(\d{3}|VRB|///)(P?\d{2,3}|//)(?:G(P?\d{2,3}|//))?(KT|MPS|KMH)", re.ASCII)
# Where a report begins: a type, or else a station, a time and a wind.
_HEADING = re.compile(
    r"\b(?:METAR|SPECI)\b|(?<!METAR )(?<!SPECI )(?<!METAR COR )(?<!SPECI COR )"
    r"\b[A-Z][A-Z0-9]{3} \d{6}Z (?:AUTO |COR )*(?:(?:\d{3}|VRB|///)P?(?:\d\d|//)|NIL\b)",
    re.ASCII,
)
_MILES = re.compile(r"\b(\d{1,2}) (\d/\d{1,2}SM)\b", re.ASCII)
# The runways behind the WS of wind shear.
_SHEAR = re.compile(r"R(?:WY)?\d\d[LCR]?|ALL|RWY|TKOF|LDG", re.ASCII)
_TREND = re.compile(r"NOSIG|BECMG|TEMPO|INTER|PROB\d\d|FM\d{4,6}", re.ASCII)


def parse_metar(text: str) -> tuple[MetarReport | None, tuple[Problem, ...]]:
    """Return a report with everything wrong with it; None where it is no report at all.

    Capitals and small letters count alike; forecasts behind BECMG, TEMPO and the like are not read.
    """
    words = " ".join(text.upper().split()).rstrip("= ")
    if len(_HEADING.findall(words)) > 1:
        return None, (_problem(TextError("holds two reports; give one", "Take the nearest.")),)
    body, _, remark = words.partition(" RMK")
    groups = _MILES.sub(r"\1_\2", body).split()
    try:
        report, groups = _heading(groups)
        report, groups = _first_wind(report, groups)
    except TextError as refusal:
        return None, (_problem(refusal),)
    problems: list[Problem] = []
    for group in _observed(groups):
        try:
            report = _read(group, report)
        except TextError as refusal:
            problems.append(_problem(refusal))
    try:
        report = _with_remarks(report, remarks_of(remark))
    except TextError as refusal:
        problems.append(_problem(refusal))
    return report, tuple(problems)


def _problem(refusal: TextError) -> Problem:
    return Problem(where="METAR", problem=refusal.problem, remedy=refusal.remedy)


def _heading(groups: list[str]) -> tuple[MetarReport, list[str]]:
    """Return station and time, and the groups behind them."""
    if not groups:
        raise TextError("the report is empty", _LOOK_UP)
    rest = groups[groups[0] in ("METAR", "SPECI") :]
    rest = rest[rest[:1] == ["COR"] :]
    if len(rest) < 2 or not _STATION.fullmatch(rest[0]) or not _TIME.fullmatch(rest[1]):
        raise TextError(
            "is no METAR: it does not begin with a station and a time",
            "A report reads METAR EGPC 091650Z 25012KT ...",
        )
    day, hour, minute = (int(rest[1][place : place + 2]) for place in (0, 2, 4))
    if not (1 <= day <= 31 and hour <= 23 and minute <= 59):
        raise TextError(f"{rest[1]} is no day and time: day, hour, minute, Z", _LOOK_UP)
    report = MetarReport(station=rest[0], day=day, hour=hour, minute=minute)
    return report, [group for group in rest[2:] if group not in ("AUTO", "COR")]


def _first_wind(report: MetarReport, groups: list[str]) -> tuple[MetarReport, list[str]]:
    """Return the report with its wind, which always comes first, and the groups behind it."""
    if groups[:1] == ["NIL"]:
        raise TextError("NIL: the station sent no observation", "Take another report.")
    match = _WIND.fullmatch(groups[0]) if groups else None
    if match is None:
        found = groups[0] if groups else "nothing"
        raise TextError(f"{found} stands where the wind should, such as 25012KT", _LOOK_UP)
    return _wind(match, report), groups[1:]


def _wind(match: re.Match[str], report: MetarReport) -> MetarReport:
    _check_digits(match)
    direction, speed, gust, unit = match.groups()
    factor = _SPEED_M_S[unit]
    mean_m_s, gust_m_s = _speed(speed, factor), _speed(gust, factor)
    if mean_m_s is not None and gust_m_s is not None and gust_m_s <= mean_m_s:
        raise TextError(f"{match[0]}: the gust is not above the mean wind", _LOOK_UP)
    if direction.isdigit() and int(direction) > 360:
        raise TextError(f"{match[0]}: {direction} is no direction, 360 is the last", _LOOK_UP)
    if direction == "000" and mean_m_s:
        raise TextError(f"{match[0]}: 000 stands for calm, north is 360", _LOOK_UP)
    return replace(
        report,
        wind_speed_m_s=mean_m_s,
        wind_bound=Bound.AT_LEAST if "P" in speed else Bound.EXACT,
        wind_from_true_rad=math.radians(int(direction))
        if direction.isdigit() and mean_m_s
        else None,
        gust_m_s=gust_m_s,
    )


def _check_digits(match: re.Match[str]) -> None:
    """Refuse a speed of three digits that is a slip rather than a hurricane.

    Knots and metres a second are told in two digits up to 99; a wind of 100 kt and more is told
    with a gust above it, of three digits too.
    """
    direction, speed, gust, unit = match.groups()
    is_above_99 = speed.startswith("P") or (speed >= "100" and len(gust or "") >= len(speed))
    if len(speed) < 3 or unit == "KMH" or is_above_99:
        return
    likely = speed[-2:] if speed.startswith("0") else speed[:2]
    raise TextError(
        f"{match[0]} tells a wind of {int(speed)} {unit}",
        f"Is it {direction}{likely}{match[0][len(direction) + len(speed) :]}? {_LOOK_UP}",
    )


def _speed(figure: str | None, factor: float) -> float | None:
    return None if figure is None or figure == "//" else factor * int(figure.removeprefix("P"))


def _observed(groups: list[str]) -> Iterator[str]:
    """Give the groups of the observation: up to a trend, without the names of sheared runways."""
    in_shear = False
    for group in groups:
        if _TREND.fullmatch(group):
            return
        in_shear = group == "WS" or (in_shear and _SHEAR.fullmatch(group) is not None)
        if not in_shear:
            yield group


def _read(group: str, report: MetarReport) -> MetarReport:
    """Return the report with one more group read."""
    for pattern, reader in _READERS:
        match = pattern.fullmatch(group)
        if match:
            return reader(match, report)
    raise TextError(f"{group} is not a known group", _LOOK_UP)


def _sector(match: re.Match[str], report: MetarReport) -> MetarReport:
    ends_deg = [int(end) for end in match.groups()]
    if max(ends_deg) > 360:
        raise TextError(f"{match[0]}: a direction is 360 at most", _LOOK_UP)
    return replace(report, varying_true_rad=(math.radians(ends_deg[0]), math.radians(ends_deg[1])))


def _seen(report: MetarReport, visibility_m: float, bound: Bound) -> MetarReport:
    """Return the report with a visibility, the worst where several directions are told."""
    if report.visibility_m is not None and report.visibility_m <= visibility_m:
        return report
    return replace(report, visibility_m=visibility_m, visibility_bound=bound)


def _metres(match: re.Match[str], report: MetarReport) -> MetarReport:
    metres = float(match[1])
    if metres >= 9_999.0:
        return _seen(report, _CLEAR_BELOW_M, Bound.AT_LEAST)
    if metres < _LEAST_VISIBILITY_M:
        return _seen(report, _LEAST_VISIBILITY_M, Bound.LESS)
    return _seen(report, metres, Bound.EXACT)


def _miles(match: re.Match[str], report: MetarReport) -> MetarReport:
    prefix, whole, over, under = match.groups()
    if under is not None and int(under) == 0:
        raise TextError(f"{match[0]} divides by nothing", _LOOK_UP)
    miles = int(whole or 0) + (int(over) / int(under) if under else 0.0)
    bound = {"M": Bound.LESS, "P": Bound.AT_LEAST}.get(prefix, Bound.EXACT)
    return _seen(report, miles * MILE_M, bound)


def _cavok(_: re.Match[str], report: MetarReport) -> MetarReport:
    return replace(_seen(report, _CLEAR_BELOW_M, Bound.AT_LEAST), clear_low=True)


def _cloud(match: re.Match[str], report: MetarReport) -> MetarReport:
    amount, height = match[1], match[2]
    base_m = None if height == "///" else 100.0 * int(height) * FOOT_M
    return replace(report, clouds=(*report.clouds, CloudLayer(_MOST_EIGHTHS[amount], base_m)))


def _clear(_: re.Match[str], report: MetarReport) -> MetarReport:
    return replace(report, clear=True, clear_low=True)


def _clear_low(_: re.Match[str], report: MetarReport) -> MetarReport:
    return replace(report, clear_low=True)


def _temperature(match: re.Match[str], report: MetarReport) -> MetarReport:
    if report.temperature_k is not None:
        raise TextError(f"{match[0]} is a second temperature", _LOOK_UP)
    temperature_k, dew_point_k = (_to_kelvin(_celsius(part)) for part in match.groups())
    _check_air(match[0], temperature_k, dew_point_k)
    return replace(report, temperature_k=temperature_k, dew_point_k=dew_point_k)


def _check_air(said: str, temperature_k: float | None, dew_point_k: float | None) -> None:
    lowest_k, highest_k = _TEMPERATURE_LIMITS_K
    for kelvin in (temperature_k, dew_point_k):
        if kelvin is not None and not lowest_k <= kelvin <= highest_k:
            raise TextError(f"{said}: the air is never that cold or hot", _LOOK_UP)
    if temperature_k is not None and dew_point_k is not None and dew_point_k > temperature_k:
        raise TextError(f"{said}: the dew point is above the temperature", _LOOK_UP)


def _celsius(part: str | None) -> float | None:
    return None if not part or part == "//" else float(part.replace("M", "-"))


def _to_kelvin(celsius: float | None) -> float | None:
    return None if celsius is None else celsius + CELSIUS_ZERO_K


def _qnh(match: re.Match[str], report: MetarReport) -> MetarReport:
    """Return the report with an altimeter setting; of two that agree the first is kept."""
    letter, figure = match.groups()
    setting_pa = int(figure) * (100.0 if letter == "Q" else INCH_OF_MERCURY_PA / 100.0)
    lowest, highest = _QNH_LIMITS_PA
    if not lowest <= setting_pa <= highest:
        raise TextError(
            f"{match[0]} is outside {lowest / 100.0:.0f} to {highest / 100.0:.0f} hPa", _LOOK_UP
        )
    if report.qnh_pa is None:
        return replace(report, qnh_pa=setting_pa)
    if abs(report.qnh_pa - setting_pa) > _SETTINGS_AGREE_PA:
        raise TextError(f"{match[0]} contradicts the altimeter setting before it", _LOOK_UP)
    return report


def _pass(_: re.Match[str], report: MetarReport) -> MetarReport:
    return report


_Reader: TypeAlias = Callable[[re.Match[str], MetarReport], MetarReport]
# Missing, weather, runway visual range and state, colour, sea and station state: not needed here.
_PHENOMENON = (
    "MI|BC|PR|DR|BL|SH|TS|FZ|DZ|RA|SN|SG|IC|PL|GR|GS|UP|BR|FG|FU|VA|DU|SA|HZ|PY|PO|SQ|FC|SS|DS"
)
_UNREAD = (
    rf"/+|(?:\+|-|VC|RE)?(?:{_PHENOMENON}){{1,5}}|RE//|R\d\d[LCR]?/\S+|\d{{8}}|SNOCLO|NSW|\$"
    r"|(?:BLACK)?(?:BLU|WHT|GRN|YLO\d?|AMB|RED)\+?|W(?:M?\d\d|//)/[SH]\S+"
)
_READERS: tuple[tuple[re.Pattern[str], _Reader], ...] = tuple(
    (re.compile(pattern, re.ASCII), reader)
    for pattern, reader in (
        (r"(\d{3})V(\d{3})", _sector),
        (r"(\d{4})(?:NDV|[NSEW]{1,2})?", _metres),
        (r"([MP])?(\d{1,2})?_?(?:(\d{1,2})/(\d{1,2}))?SM", _miles),
        (r"CAVOK", _cavok),
        (r"(FEW|SCT|BKN|OVC|VV)(\d{3}|///)(?:CB|TCU|///)?", _cloud),
        (r"SKC", _clear),
        (r"CLR|NSC|NCD", _clear_low),
        (r"(M?\d{2}|//)/(M?\d{2}|//)?", _temperature),
        (r"(Q)(\d{4})", _qnh),
        (r"(A)(\d{4})", _qnh),
        (r"[QA]////", _pass),
        (_UNREAD, _pass),
    )
)


def _with_remarks(report: MetarReport, remarks: MetarRemarks) -> MetarReport:
    """Return the report with its remarks, whose tenths of a degree go before the body."""
    body_k, dew_point_k = report.temperature_k, remarks.dew_point_k or report.dew_point_k
    if remarks.temperature_k is None:
        return replace(report, remarks=remarks)
    if body_k is not None and abs(body_k - remarks.temperature_k) > _BODY_AND_REMARK_K:
        raise TextError("body and remarks tell different temperatures", _LOOK_UP)
    _check_air("the remarks", remarks.temperature_k, remarks.dew_point_k)
    if remarks.dew_point_k is None and dew_point_k is not None:
        # Rounded apart, a whole dew point may stand above the tenths of its temperature.
        dew_point_k = min(dew_point_k, remarks.temperature_k)
    return replace(
        report,
        remarks=remarks,
        temperature_k=remarks.temperature_k,
        dew_point_k=dew_point_k,
    )
