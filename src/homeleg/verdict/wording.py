"""The sentences of a verdict: headline and summary."""

import math
from collections.abc import Sequence

from homeleg.verdict.judging import as_printed
from homeleg.verdict.limits import Reading, RowKind, Sense
from homeleg.verdict.result import CommitCircle, Row, Status, Verdict
from homeleg.verdict.spoken import SPOKEN, SPOKEN_BELOW_ZERO

# What two turns overhead tell: causes that they settle.
_TOLD_OVERHEAD = ("wind aloft", "airspeed")

__all__ = [
    "clock",
    "commit_line",
    "figure",
    "has_room",
    "headline",
    "how_they_ended",
    "sentence",
    "summary",
    "tightest",
    "why",
]


def figure(value: float, unit: str) -> str:
    """Return a value as it is printed in its unit, with the unit."""
    rounded = as_printed(value, unit)
    number = f"{rounded:.0f}" if rounded == int(rounded) and unit not in ("", "m/s", "s") else ""
    number = number or (f"{rounded:.2f}" if unit in ("", "V/cell") else f"{rounded:.1f}")
    joined = "%" if unit == "%" else f" {unit}" if unit else ""
    return number + (f" {joined}" if joined == "%" else joined)


def clock(time_s: float) -> str:
    """Return a span of time as minutes and seconds."""
    minutes, seconds = divmod(round(time_s), 60)
    return f"{minutes}:{seconds:02d}"


def tightest(rows: Sequence[Row], count: int) -> list[Row]:
    """Return the rows with the least room, failing ones first."""
    severity = {Status.NO_GO: 2, Status.MARGINAL: 1}
    measured = [
        row
        for row in rows
        if severity.get(row.status, 0)
        or (
            row.value is not None
            and row.hard is not None
            and row.limit.kind is not RowKind.NOTED
            and row.limit.reading is not Reading.STATED
            and row.value.p10 < row.value.p90
        )
    ]
    measured.sort(key=lambda row: (severity.get(row.status, 0), row.shortfall), reverse=True)
    return measured[:count]


def headline(verdict: Verdict) -> str:
    """Return word and why, what is to do, and until when."""
    first = verdict.word.value
    if _circle_decides(verdict):
        first += ", GO to the commit circle"
    if verdict.reasons:
        first += f": {why(verdict)}"
    count = len(verdict.to_do)
    parts = [first, f"{count} to do at the field" if count else "nothing left to do at the field"]
    if verdict.valid_until is not None:
        parts.append(f"valid to {verdict.valid_until:%H:%MZ}")
    if verdict.provisional:
        parts.append("provisional")
    return "; ".join(parts) + "."


def sentence(verdict: Verdict) -> str:
    """Return what decides in one short sentence, without the word."""
    if not verdict.reasons:
        return _what_is_left(verdict)
    words = why(verdict)
    said = f"{words[0].upper()}{words[1:]}."
    return f"GO to the commit circle. {said}" if _circle_decides(verdict) else said


def _what_is_left(verdict: Verdict) -> str:
    """Return with how much charge 9 in 10 flights are down again, the link lost at the worst."""
    way = verdict.way_home
    left = verdict.flight.landing_charge_fraction
    if way is not None and way.charge is not None:
        left = min(left, way.charge, key=lambda charge: charge.p10)
    return f"Comes home with {100.0 * left.p10:.0f} % left, even on a bad day."


def _circle_decides(verdict: Verdict) -> bool:
    """Return whether wind aloft or airspeed alone keep the word from GO, and the circle tells."""
    return (
        verdict.word is Status.MARGINAL
        and verdict.commit is not None
        and all(
            reason.cause in _TOLD_OVERHEAD and reason.row in verdict.commit.rows
            for reason in verdict.reasons
        )
    )


def commit_line(commit: CommitCircle) -> str:
    """Return the commit circle as a pilot carries it: what to fly, what to read, what it costs."""
    return (
        f"Commit circle: {commit.turns} turns overhead, {commit.height_above_launch_m:.0f} m above "
        f"launch, {commit.true_airspeed_m_s:.1f} m/s TAS, {math.degrees(commit.bank_rad):.0f} deg "
        "of bank. Go on only if half the difference of highest and lowest ground speed is at most "
        f"{commit.most_half_difference_m_s:.1f} and their mean {commit.least_mean_m_s:.1f} to "
        f"{commit.most_mean_m_s:.1f} m/s; else land. Costs {commit.duration_s:.0f} s, "
        f"{1000.0 * commit.charge_ah:.0f} mAh; {100.0 * commit.go_on.value:.0f} % of the flights "
        "go on."
    )


def why(verdict: Verdict) -> str:
    """Return what decides the word, or where a GO has least room, and what is wanted of it."""
    if verdict.reasons:
        slug = verdict.reasons[0].row
        return _spoken(next(row for row in verdict.rows if row.limit.slug == slug))
    return next(map(_row_words, tightest(verdict.rows, 1)), "no figure was computed")


def _spoken(row: Row) -> str:
    """Return a failing row in one short sentence; where something else decided it, its note."""
    words = SPOKEN.get(row.limit.slug)
    if row.reading is not None and row.reading < 0.0:
        words = SPOKEN_BELOW_ZERO.get(row.limit.slug, words)
    by_figure = not row.note or not ("computed flights" in row.note or has_room(row))
    if words is None or row.reading is None or row.want is None or not by_figure:
        return _row_words(row)
    at_home = row.where is not None and "way home" in row.where.leg
    unit = row.limit.unit
    return words.format(
        figure=figure(row.reading, unit),
        want=figure(row.want, unit),
        where=" on the way home" if at_home else "",
    )


def _row_words(row: Row) -> str:
    words = _plain(row)
    if row.reading is None:
        return f"{words} ({row.note})" if row.note else words
    if row.note and ("computed flights" in row.note or has_room(row)):
        return row.note
    bound = ""
    if row.want is not None:
        sense = "at least" if row.limit.sense is Sense.AT_LEAST else "at most"
        bound = f", want {sense} {figure(row.want, row.limit.unit)}"
    return f"{words} {figure(row.reading, row.limit.unit)}{bound}"


def has_room(row: Row) -> bool:
    """Return whether the figure itself meets the want limit: something else decided the row."""
    if row.reading is None or row.want is None:
        return False
    unit = row.limit.unit
    reading, want = as_printed(row.reading, unit), as_printed(row.want, unit)
    return reading >= want if row.limit.sense is Sense.AT_LEAST else reading <= want


def summary(verdict: Verdict) -> str:
    """Return how the computed flights ended, and what is tightest."""
    text = how_they_ended(verdict)
    rows = tightest(verdict.rows, 1)
    if rows and rows[0].reading is not None:
        text += f" Tightest: {_plain(rows[0])}, {figure(rows[0].reading, rows[0].limit.unit)}."
    return text


def how_they_ended(verdict: Verdict) -> str:
    """Return how many computed flights landed with the reserve, and how the others ended."""
    text = (
        f"Of {verdict.members:,} computed flights {verdict.with_reserve:,} landed with the "
        f"reserve, {verdict.members - verdict.with_reserve:,} did not"
    )
    is_go = verdict.word is Status.GO
    endings = ", ".join(f"{count:,} {words}" for words, count in verdict.endings)
    within = " (GO: no more than 1 in 100 end in any one way)" if endings and is_go else ""
    return f"{text}; {endings or 'all came home'}{within}."


def _plain(row: Row) -> str:
    return f"{row.limit.title[0].lower()}{row.limit.title[1:]}"
