"""The text answer of a check, on one screen of at most 96 columns, readable in monochrome."""

import math
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime

from homeleg.cli.figures import bare_figure, clock, deviation, figure, spread
from homeleg.foundation import constants as c
from homeleg.verdict.cautions import GROUND, WIND, word_caution
from homeleg.verdict.limits import RowKind, Sense
from homeleg.verdict.result import Assumption, LegSummary, Percentiles, Row, Status, Verdict
from homeleg.world.weather import Weather, WindReport

WIDTH = 96
_MOST_ROWS = 5
_MOST_LEGS = 12
_MOST_ASSUMED = 6
_MOST_DRIVERS = 3
_INDENT = " " * 11
_ASCII = str.maketrans(
    {"≥": ">=", "≤": "<=", "→": "->", "°": " deg", "±": "+-", "–": "-", "−": "-", "·": "*"}
)


def check_text(verdict: Verdict, weather: Weather, launch_time: datetime) -> str:
    """Return the whole answer as lines of text, the wind it rests on with its age at launch."""
    blocks = [
        _head(verdict),
        [line for row in _tightest(verdict) for line in _row(row, verdict)],
        _legs(verdict.flight.legs),
        _around(verdict),
        _inputs(verdict, weather, launch_time),
        _at_the_field(verdict),
        [word_caution(verdict.word), WIND, GROUND],
    ]
    wrapped = ("\n".join(_wrap(block)) for block in blocks if block)
    return "\n\n".join(wrapped) + "\n"


def for_encoding(text: str, encoding: str | None) -> str:
    """Return the text as the terminal can show it: in plain signs where it knows no others."""
    encoding = encoding or "ascii"
    if encoding.lower().replace("-", "") == "utf8":
        return text
    return text.translate(_ASCII).encode(encoding, "replace").decode(encoding)


def _head(verdict: Verdict) -> list[str]:
    lines = [verdict.headline, verdict.summary]
    if verdict.provisional:
        lines.append("Provisional: a quick answer. Ask again without --quick before relying on it.")
    if verdict.maiden is not None:
        lines.append(f"Never flown. Its maiden instead: {verdict.maiden.headline}")
        lines.append(f"  {verdict.maiden.summary}")
    return lines


def _tightest(verdict: Verdict) -> list[Row]:
    """Return the rows behind the reasons, in their order, then those with least room."""
    by_slug = {row.limit.slug: row for row in verdict.rows}
    first = [by_slug[reason.row] for reason in verdict.reasons if reason.row in by_slug]
    named = {row.limit.slug for row in first}
    others = [
        row
        for row in verdict.rows
        if row.limit.slug not in named
        and row.limit.kind in (RowKind.FLOWN, RowKind.RULED)
        and row.status is not Status.DOES_NOT_APPLY
        and row.want is not None
        and math.isfinite(row.shortfall)
    ]
    others.sort(key=lambda row: -row.shortfall)
    return (first + others)[:_MOST_ROWS]


def _row(row: Row, verdict: Verdict) -> Iterator[str]:
    unit = row.limit.unit
    sign = "≥" if row.limit.sense is Sense.AT_LEAST else "≤"
    beside = []
    if row.want is not None:
        beside.append(f"want {sign} {bare_figure(row.want, unit)}")
    if row.hard is not None and row.hard != row.want:
        beside.append(f"hard {sign} {bare_figure(row.hard, unit)}")
    if row.value is not None:
        beside.append(
            f"spread {bare_figure(row.value.p10, unit)} to {bare_figure(row.value.p90, unit)}"
        )
    if row.limit.changed is not None:
        beside.append(f"limit changed: {row.limit.changed}")
    figures = f" ({', '.join(beside)})" if beside else ""
    yield f"{row.status.value:<11}{row.limit.title}: {figure(row.reading, unit)}{figures}"
    acts = [reason.act for reason in verdict.reasons if reason.row == row.limit.slug]
    yield from _why(row)
    for act in acts or ([row.act] if row.act else []):
        yield f"{_INDENT}→ {act}"


def _why(row: Row) -> Iterator[str]:
    """Return where and when, the cause and the remark of a row, where there is more than a GO."""
    where = _where(row)
    if row.status is Status.GO and not where:
        return
    cause = f"Cause: {row.cause}." if row.cause else ""
    words = " ".join(part for part in (where, cause, _sentence(row.note)) if part)
    if words:
        yield _INDENT + words


def _sentence(words: str) -> str:
    if not words:
        return ""
    return f"{words[0].upper()}{words[1:].rstrip('.')}."


def _where(row: Row) -> str:
    if row.where is None:
        return ""
    place = row.where
    return (
        f"{place.leg}, {clock(place.time_s)} after launch, "
        f"{figure(place.height_above_launch_m, 'm')} above launch."
    )


def _legs(legs: Sequence[LegSummary]) -> list[str]:
    if not legs:
        return []
    columns = f"{'ground m/s (9 in 10)':>24}{'crab deg':>10}{'time':>8}{'Wh':>8}{'clear m':>10}"
    lines = [f"{'Leg':<28}{columns}"]
    for leg in legs[:_MOST_LEGS]:
        name = textwrap.shorten(f"{leg.start} → {leg.end}", 28, placeholder="…")
        speed = f"{leg.ground_speed_m_s.p50:.1f} ({_range(leg.ground_speed_m_s)})"
        lines.append(
            f"{name:<28}{speed:>24}{math.degrees(leg.crab_rad.p50):>10.0f}"
            f"{clock(leg.time_s.p50):>8}{leg.energy_j.p50 / c.WATT_HOUR_J:>8.2f}"
            f"{leg.clearance_m.p10:>10.0f}"
        )
    if len(legs) > _MOST_LEGS:
        lines.append(f"and {len(legs) - _MOST_LEGS} legs more: --json holds them all")
    return lines


def _range(value: Percentiles) -> str:
    return f"{value.p10:.1f} to {value.p90:.1f}"


def _around(verdict: Verdict) -> list[str]:
    flight, aircraft = verdict.flight, verdict.aircraft
    lines = [
        f"Flight: {clock(flight.duration_s.p50)}, {flight.energy_j.p50 / c.WATT_HOUR_J:.1f} Wh, "
        f"{1000.0 * flight.charge_used_ah.p50:.0f} mAh; lands with "
        f"{spread(flight.landing_charge_fraction, 'fraction')} of the usable charge.",
        f"Aircraft: {aircraft.mass_kg:.2f} kg, balance "
        f"{100.0 * aircraft.centre_of_gravity_fraction:.1f} % MAC, stall "
        f"{aircraft.stall_speed_eas_m_s:.1f} m/s EAS, cruise {aircraft.cruise_power_w:.0f} W, best "
        f"glide 1:{aircraft.best_glide_ratio:.0f} at {aircraft.best_glide_speed_eas_m_s:.1f} m/s "
        f"EAS; density altitude {aircraft.density_altitude_m:.0f} m.",
    ]
    room = [answer.question.title for answer in verdict.answers if answer.status is Status.GO]
    if room:
        lines.append(f"{len(room)} of {len(verdict.answers)} questions have room: {_listed(room)}.")
    if verdict.not_asked:
        lines.append(f"Not asked yet: {_listed(q.title for q in verdict.not_asked)}.")
    if verdict.drivers:
        moved = (f"{name} {100.0 * share:.0f} % ({row})" for row, name, share in verdict.drivers)
        lines.append(f"What moves the answer: {_listed(list(moved)[:_MOST_DRIVERS])}.")
    return lines


def _inputs(verdict: Verdict, weather: Weather, launch: datetime) -> list[str]:
    reports = [*([weather.surface] if weather.surface else []), *weather.layers]
    lines = [f"Wind: {_wind(report, launch)}." for report in reports]
    if verdict.assumptions:
        some = [_assumed(assumption) for assumption in verdict.assumptions[:_MOST_ASSUMED]]
        more = len(verdict.assumptions) - len(some)
        tail = f"; and {more} more (--json)" if more else ""
        lines.append(f"Assumed: {'; '.join(some)}{tail}.")
    return lines


def _wind(report: WindReport, launch: datetime) -> str:
    seen = "age not told"
    if report.seen is not None:
        minutes = (launch - report.seen).total_seconds() / 60.0
        seen = f"seen {report.seen.astimezone(UTC):%H:%MZ}, {minutes:.0f} min before launch"
    gust = "" if report.gust_m_s is None else f" gusting {report.gust_m_s:.1f}"
    return (
        f"{report.speed_m_s.value:.1f} ± {report.speed_m_s.sd:.1f} m/s{gust} from "
        f"{math.degrees(report.from_true_rad.value) % 360.0:03.0f}° true at "
        f"{report.height_agl_m:.0f} m AGL, {report.source.value}, {seen}"
    )


def _assumed(assumption: Assumption) -> str:
    unit = assumption.unit
    return (
        f"{assumption.key} {figure(assumption.value, unit)} ± {deviation(assumption.sd, unit)} "
        f"({assumption.basis})"
    )


def _at_the_field(verdict: Verdict) -> list[str]:
    if not verdict.to_do:
        return []
    asks = "; ".join(f"{number}. {item.ask}" for number, item in enumerate(verdict.to_do, start=1))
    return [f"To do at the field: {asks}"]


def _listed(words: Iterable[str]) -> str:
    return ", ".join(words)


def _wrap(lines: Iterable[str]) -> Iterator[str]:
    for line in lines:
        body = line.lstrip()
        margin = " " * (len(line) - len(body))
        hanging = (
            _INDENT if body.startswith(tuple(status.value for status in Status)) else margin + "  "
        )
        yield from textwrap.wrap(line, WIDTH, subsequent_indent=hanging) or [""]
