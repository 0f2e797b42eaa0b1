"""The text answer of a check, on one screen of at most 96 columns, readable in monochrome."""

import math
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import UTC, datetime

from homeleg.formats.check_json import Change
from homeleg.foundation import constants as c
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.stated_text import shown_time
from homeleg.release.read_aloud import position_words
from homeleg.sortie.assumptions import Assumption
from homeleg.sortie.rules import RuleProfile
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.cautions import GROUND, WIND, word_caution
from homeleg.verdict.estimate_figure import estimate_figure
from homeleg.verdict.limits import Sense
from homeleg.verdict.result import (
    GroundRisk,
    HomeFrom,
    LegSummary,
    Row,
    Status,
    Verdict,
    WayHome,
)
from homeleg.verdict.wording import clock, commit_line, has_room, tightest
from homeleg.verdict.wording import figure as printed
from homeleg.world.weather import WindReport

__all__ = [
    "at_the_field",
    "changes_text",
    "check_text",
    "commit_lines",
    "for_encoding",
    "way_home_lines",
    "wrapped",
]

WIDTH = 96
_MOST_ROWS = 3
_MOST_ASKS = 4
_MOST_LEGS = 10
_MOST_ASSUMED = 6
_MOST_CONTRIBUTIONS = 3
_INDENT = " " * 13  # the longest status word and a space
_WITHOUT_ROOM = (
    ("without room", (Status.NO_GO, Status.MARGINAL)),
    ("not answered", (Status.NOT_ANSWERED,)),
)
_UNTOLD = (Basis.ASSUMED.value, Basis.FROM_GEOMETRY.value)
_ASCII = str.maketrans(
    {"≥": ">=", "≤": "<=", "→": "->", "°": " deg", "±": "+-", "–": "-", "−": "-", "·": "*"}
)


def check_text(verdict: Verdict, sortie: Sortie) -> str:
    """Return the whole answer as lines of text, the wind it rests on with its age at launch."""
    blocks = [
        _head(verdict),
        [
            *(line for row in _tightest(verdict) for line in _row(row, verdict)),
            *_failing_besides(verdict),
        ],
        _legs(verdict.flight.legs),
        commit_lines(verdict),
        [*_around(verdict), *_inputs(verdict, sortie), *_rules(verdict.rules)],
        at_the_field(verdict),
        [word_caution(verdict.word), GROUND],
    ]
    return "\n\n".join(wrapped(block) for block in blocks if block) + "\n"


def changes_text(changes: Sequence[Change], name: str) -> str:
    """Return what numbers from the field changed against a file, a blank line after it."""
    if not changes:
        return f"As in {name}: nothing changed.\n\n"
    lines = [f"{one.what}: {one.in_file} → {one.now}" for one in changes]
    return wrapped([f"Against {name}:", *(f"  {line}" for line in lines)]) + "\n\n"


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
    lines += [f"Odd: {words}" for words in verdict.warnings]
    return lines


def _tightest(verdict: Verdict) -> list[Row]:
    """Return the rows behind the reasons, in their order, then those with least room."""
    by_slug = {row.limit.slug: row for row in verdict.rows}
    reasons = [by_slug[reason.row] for reason in verdict.reasons]
    return [*reasons, *(row for row in tightest(verdict.rows, _MOST_ROWS) if row not in reasons)][
        :_MOST_ROWS
    ]


def _failing_besides(verdict: Verdict) -> list[str]:
    """Return a line that names the reasons for which there was no room."""
    besides = [reason.title for reason in verdict.reasons[_MOST_ROWS:]]
    return [f"Not GO besides: {'; '.join(besides)}."] if besides else []


def _row(row: Row, verdict: Verdict) -> Iterator[str]:
    unit = row.limit.unit
    sign = "≥" if row.limit.sense is Sense.AT_LEAST else "≤"
    beside = []
    if row.want is not None:
        beside.append(f"want {sign} {_bare(row.want, unit)}")
    if row.hard is not None and row.hard != row.want:
        beside.append(f"hard {sign} {_bare(row.hard, unit)}")
    if row.value is not None and row.value.p10 != row.value.p90:
        beside.append(f"spread {_bare(row.value.p10, unit)} to {_bare(row.value.p90, unit)}")
    if row.limit.changed is not None:
        beside.append(f"limit changed: {row.limit.changed}")
    reading = "" if row.reading is None else f": {printed(row.reading, unit)}"
    figures = f" ({', '.join(beside)})" if beside else ""
    title = f"{row.limit.title}{reading}{figures}"
    if row.status is not Status.GO and row.note and has_room(row):
        # The figure is good: something else decided, and comes first.
        yield f"{row.status.value:<{len(_INDENT)}}{_sentence(row.note)}"
        yield f"{_INDENT}Otherwise: {title[0].lower()}{title[1:]}."
        row = replace(row, note="")
    else:
        yield f"{row.status.value:<{len(_INDENT)}}{title}"
    yield from _why(row)
    for reason in verdict.reasons:
        if reason.row == row.limit.slug:
            yield f"{_INDENT}→ {reason.act}"


def _bare(value: float, unit: str) -> str:
    """Return a figure whose unit has been named already."""
    return printed(value, unit).removesuffix(unit).rstrip()


def _why(row: Row) -> Iterator[str]:
    """Return where and when, the cause and the remark of a row, where there is more than a GO."""
    where = _where(row)
    if row.status is Status.GO and not where:
        return
    cause = f"Cause: {row.cause}." if row.cause and row.status is not Status.GO else ""
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
        f"{printed(place.height_above_launch_m, 'm')} above launch."
    )


def _legs(legs: Sequence[LegSummary]) -> list[str]:
    if not legs:
        return []
    columns = f"{'ground m/s (9 in 10)':>24}{'crab deg':>10}{'time':>8}{'Wh':>8}{'clear m':>10}"
    lines = [f"{'Leg':<28}{columns}"]
    lines += [_leg(leg) for leg in legs[:_MOST_LEGS]]
    if len(legs) > _MOST_LEGS:
        lines.append(f"and {len(legs) - _MOST_LEGS} more: --json holds them all")
    return lines


def _leg(leg: LegSummary) -> str:
    speed, crab, time, energy = leg.ground_speed_m_s, leg.crab_rad, leg.time_s, leg.energy_j
    cells = (
        (24, speed and f"{speed.p50:.1f} ({speed.p10:.1f} to {speed.p90:.1f})"),
        (10, crab and f"{abs(math.degrees(crab.p50)):.0f}"),
        (8, time and clock(time.p50)),
        (8, energy and f"{energy.p50 / c.WATT_HOUR_J:.2f}"),
        (10, leg.clearance_m and f"{round(leg.clearance_m.p10)}"),
    )
    name = textwrap.shorten(f"{leg.start} → {leg.end}", 28, placeholder="…")
    return f"{name:<28}" + "".join(f"{text or '-':>{width}}" for width, text in cells)


def commit_lines(verdict: Verdict) -> list[str]:
    """Return what to carry to the circle; nothing flies on a NO-GO."""
    if verdict.commit is None or verdict.word is Status.NO_GO:
        return []
    return [commit_line(verdict.commit)]


def _around(verdict: Verdict) -> list[str]:
    flight, aircraft = verdict.flight, verdict.aircraft
    left = flight.landing_charge_fraction
    lands = f"lands with {100.0 * left.p10:.0f} to {100.0 * left.p90:.0f} % of the usable charge"
    if left.p90 == 0.0:
        lands = "9 in 10 flights do not land with charge left"
    lines = [
        f"Flight: {verdict.departure}; {clock(flight.duration_s.p50)}, "
        f"{flight.energy_j.p50 / c.WATT_HOUR_J:.1f} Wh, "
        f"{1000.0 * flight.charge_used_ah.p50:.0f} mAh; {lands}.",
        f"Aircraft: {aircraft.mass_kg:.2f} kg, balance "
        f"{100.0 * aircraft.centre_of_gravity_fraction:.1f} % MAC, stall "
        f"{aircraft.stall_speed_eas_m_s:.1f} m/s EAS, cruise {aircraft.cruise_power_w:.0f} W, best "
        f"glide 1:{aircraft.best_glide_ratio:.0f} at {aircraft.best_glide_speed_eas_m_s:.1f} m/s "
        f"EAS; density altitude {aircraft.density_altitude_m:.0f} m.",
    ]
    lines += way_home_lines(verdict.way_home)
    lines += _ground_risk(verdict.ground_risk)
    lines.append(_room(verdict))
    lines += _measure_next(verdict) or _moves(verdict)
    return lines


def _moves(verdict: Verdict) -> list[str]:
    """Return what moves the tightest row of which that is known."""
    for row in verdict.contributions[:1]:
        inputs = row.inputs[:_MOST_CONTRIBUTIONS]
        moved = _listed(f"{_words(one.input)} {100.0 * one.share:.0f} %" for one in inputs)
        return [f"What moves the {_titled(verdict, row.row)}: {moved}."]
    return []


def _rules(rules: RuleProfile | None) -> list[str]:
    """Return which rules the ruled limits are from; that they hold is for the pilot to know."""
    if rules is None:
        return []
    besides = f" They ask besides: {' '.join(rules.remarks)}" if rules.remarks else ""
    return [
        f"Limits by {rules.name} ({rules.source}; {rules.as_of}). Whether you may fly is not "
        f"answered here.{besides}"
    ]


def _measure_next(verdict: Verdict) -> list[str]:
    asks = (
        f"{_words(one.input)} ({one.how}, {one.minutes} min) takes {100.0 * one.share:.0f} % of "
        f"the doubt out of the {_titled(verdict, one.row)}"
        for one in verdict.measure_next
    )
    line = "; ".join(asks)
    return [f"Measure next: {line}."] if line else []


def _titled(verdict: Verdict, slug: str) -> str:
    title = next(row.limit.title for row in verdict.rows if row.limit.slug == slug)
    return f"{title[0].lower()}{title[1:]}"


def way_home_lines(way: WayHome | None) -> list[str]:
    """Return the worst second to lose the link, when to turn back, and the worst for the motor."""
    return [] if way is None else [*_link_lost(way), *_motor_stopped(way)]


def _link_lost(way: WayHome) -> list[str]:
    if way.worst is None or way.charge is None:
        return []
    turn_back = ""
    if way.turn_back is not None:
        turn_back = f"; turn back by {clock(way.turn_back.time_s)}, on {way.turn_back.leg}"
    computed = "As you declared it; prove it with its card."
    if way.assumed:
        computed = f"What it does was not all told; assumed: {', '.join(way.assumed)}."
    return [
        f"Link lost at the worst second for charge, {clock(way.worst.time_s)} on {way.worst.leg}: "
        f"home with {100.0 * way.charge.p10:.0f} to {100.0 * way.charge.p90:.0f} %"
        f"{_home_from(way.home_from)}"
        f"{turn_back}. {computed}"
    ]


def _home_from(home: HomeFrom | None) -> str:
    """Return time, clearance, sight and link of the way home: the worse end of each."""
    if home is None:
        return ""
    parts = [f"from {home.sight_m:.0f} m away"]
    if home.time_home_s is not None:
        parts.insert(0, f"in {clock(home.time_home_s.p90)}")
    if home.clearance_m is not None:
        parts.append(f"{round(home.clearance_m.p10)} m clear")
    if home.link_margin_db is not None:
        parts.append(f"link {home.link_margin_db:.0f} dB over")
    return f" {', '.join(parts)}"


def _motor_stopped(way: WayHome) -> list[str]:
    worst = way.motor_stopped
    if worst is None:
        return []
    return [
        f"Motor stopped at the worst second, {clock(worst.where.time_s)} on {worst.where.leg}: "
        f"{worst.words}."
    ]


def _ground_risk(risk: GroundRisk | None) -> list[str]:
    """Return the ground risk as figures: nothing of it says what is allowed."""
    if risk is None:
        return []
    people = (
        "controlled ground"
        if risk.people_per_km2 is None
        else f"{risk.people_per_km2:g} people per km2"
    )
    number = "outside the table" if risk.risk_class is None else f"{risk.risk_class}"
    boundary = (
        "" if risk.boundary_margin_m is None else f" (boundary {risk.boundary_margin_m:.0f} m)"
    )
    nearest = "" if risk.people_m is None else f"; people {risk.people_m:.0f} m away"
    return [
        f"Ground risk, noted only: class {number} before mitigation ({people}, span "
        f"{risk.span_m:.2f} m, {risk.speed_m_s:.1f} m/s); critical area "
        f"{risk.steep_area_m2:.1f} m2 falling, {risk.gliding_area_m2:.1f} m2 gliding. Contingency "
        f"{risk.contingency_beside_m:.0f} m beside{boundary}, {risk.contingency_above_m:.0f} m "
        f"above; ground buffer {risk.falling_m:.0f} m falling, {risk.gliding_m:.0f} m "
        f"gliding{nearest}."
    ]


def _room(verdict: Verdict) -> str:
    asked = len(verdict.answers)
    room = sum(answer.status is Status.GO for answer in verdict.answers)
    if room == asked:
        return f"All {asked} questions asked have room."
    words = f"{room} of {asked} questions asked have room"
    for said, statuses in _WITHOUT_ROOM:
        short = [one.question.title for one in verdict.answers if one.status in statuses]
        words += f"; {said}: {_listed(short)}" if short else ""
    return f"{words}."


def _inputs(verdict: Verdict, sortie: Sortie) -> list[str]:
    weather = sortie.weather
    reports = [*([weather.surface] if weather.surface else []), *weather.layers]
    winds = " ".join(f"{_wind(report, sortie.launch_time)}." for report in reports)
    return [_site(verdict, sortie), f"Wind: {winds} {WIND}", _assumed(verdict.assumptions)]


def _site(verdict: Verdict, sortie: Sortie) -> str:
    """Return where and when it launches: a slip of a digit is seen here, or nowhere."""
    site = sortie.site
    place = position_words(math.degrees(site.latitude_rad), math.degrees(site.longitude_rad), 5)
    daylight = [row.note for row in verdict.rows if row.limit.slug == "sight.daylight" and row.note]
    told = (f"{place}, {site.elevation_amsl_m:.0f} m AMSL", shown_time(sortie.launch_time))
    return f"Launch: {'; '.join([*told, *daylight])}."


def _wind(report: WindReport, launch: datetime) -> str:
    seen = "age not told"
    if report.seen is not None:
        minutes = (launch - report.seen).total_seconds() / 60.0
        seen = f"seen {report.seen.astimezone(UTC):%H:%MZ}, {minutes:.0f} min before launch"
    gust = "" if report.gust_m_s is None else f" gusting {report.gust_m_s:.1f}"
    return (
        f"{report.speed_m_s.value:.1f} ± {report.speed_m_s.sd:.1f} m/s{gust} from "
        f"{_direction(report.from_true_rad)} at "
        f"{report.height_agl_m:.0f} m AGL, {report.source.value}, {seen}"
    )


def _direction(from_true_rad: Estimate) -> str:
    """Return the direction in words; a wind that may come from half the horizon has none."""
    if from_true_rad.sd > 0.5 * math.pi:
        return "any direction"
    return f"{math.degrees(from_true_rad.value) % 360.0:03.0f}° true"


def _assumed(assumptions: Sequence[Assumption]) -> str:
    """Return what rests on no word of the owner; the rest is in the JSON."""
    bare = [assumption for assumption in assumptions if assumption.basis in _UNTOLD]
    if not bare:
        return "Assumed: nothing; every input was declared or measured."
    some = (
        f"{_words(one.key)} {estimate_figure(one.value, one.sd, one.unit)}"
        for one in bare[:_MOST_ASSUMED]
    )
    more = len(bare) - _MOST_ASSUMED
    return f"Assumed: {'; '.join(some)}{f'; and {more} more (--json)' if more > 0 else ''}."


def at_the_field(verdict: Verdict) -> list[str]:
    """Return what is still to be done."""
    if not verdict.to_do:
        return []
    if len(verdict.to_do) > _MOST_ASKS:
        items = ", ".join(_words(item.item) for item in verdict.to_do)
        return [f"To do at the field ({len(verdict.to_do)}), answered under [told]: {items}."]
    asks = " ".join(f"{number}. {item.ask}" for number, item in enumerate(verdict.to_do, start=1))
    return [f"To do at the field: {asks}"]


def _words(name: str) -> str:
    return name.replace("_", " ")


def _listed(words: Iterable[str]) -> str:
    return ", ".join(words)


def wrapped(lines: Iterable[str]) -> str:
    """Return the lines as a block, long ones going on under the first letter of their text."""
    return "\n".join(
        textwrap.fill(line, WIDTH, subsequent_indent=_margin(line) or "  ") for line in lines
    )


def _margin(line: str) -> str:
    """Return the indent of a line, or that of a row's text behind its status."""
    if any(line.startswith(f"{status.value:<{len(_INDENT)}}") for status in Status):
        return _INDENT
    return " " * (len(line) - len(line.lstrip()))
