"""From flown members to the word: all rows, the questions, the reasons, the headline."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np

from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown
from homeleg.sortie.assumptions import assumptions_of
from homeleg.verdict.commit_circle import commit_circle
from homeleg.verdict.contributions import contributions
from homeleg.verdict.corner_rows import corner_rows
from homeleg.verdict.corridor import Corridor, corridor_of
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.flight_rows import flight_rows, landing_charge_fraction
from homeleg.verdict.gates import gates
from homeleg.verdict.ground_risk import ground_risk
from homeleg.verdict.heard_rows import heard_rows
from homeleg.verdict.home_rows import (
    home_rows,
    stalls_on_the_way_home,
    way_home_summary,
    worse_headway,
)
from homeleg.verdict.inside_rows import inside_rows
from homeleg.verdict.judging import EVENT_SHARE, wilson
from homeleg.verdict.landing_rows import landing_rows
from homeleg.verdict.launch_rows import launch_rows
from homeleg.verdict.limits import Limit, Question, RowKind, Sense
from homeleg.verdict.mass_rows import mass_rows
from homeleg.verdict.measure_next import measure_next
from homeleg.verdict.motor_rows import motor_rows
from homeleg.verdict.oddities import oddities
from homeleg.verdict.pack_rows import pack_rows
from homeleg.verdict.reach_rows import reach_rows
from homeleg.verdict.result import Answer, Contributions, Reason, Row, Status, Verdict
from homeleg.verdict.ribbon import ribbon_of
from homeleg.verdict.sight_rows import sight_rows
from homeleg.verdict.summary import aircraft_summary, flight_summary
from homeleg.verdict.told_rows import to_do, told_rows
from homeleg.verdict.undeclared import to_declare
from homeleg.verdict.validity import valid_until
from homeleg.verdict.weather_rows import weather_rows
from homeleg.verdict.wording import headline, summary, tightest
from homeleg.way_home.motor_stopped import MotorStopped
from homeleg.way_home.search import HomeSearch

__all__ = ["deciding_row", "is_undecided", "judge", "with_way_home", "worse_of"]

_SEVERITY = {
    Status.DOES_NOT_APPLY: 0,
    Status.GO: 1,
    Status.NOT_ANSWERED: 2,
    Status.MARGINAL: 3,
    Status.NO_GO: 4,
}
_ENDINGS = (
    (c.LOST_AT_LAUNCH, "touched the ground in the climb-out"),
    (c.TOUCHED_GROUND, "touched the ground on the way"),
    (c.STALLED, "stalled"),
    (c.PACK_EMPTY, "ran out of charge"),
    (c.NOT_ARRIVED, "did not arrive"),
)
_CARRIED_AWAY_SHARE = 0.1
_EXPLAINED_ROWS = 3
_OF_FLIGHT = (
    flight_rows,
    mass_rows,
    launch_rows,
    landing_rows,
    corner_rows,
    pack_rows,
    told_rows,
)
_NO_CHANGE = "no change found that reaches GO"


def judge(
    flown: Flown,
    home: HomeSearch | None,
    stopped: MotorStopped | None,
    limits: Mapping[str, Limit],
    *,
    provisional: bool,
) -> Verdict:
    """Return the verdict on flown members of one departure, link lost and motor stopped."""
    evidence = Evidence.of(flown, limits)
    corridor = corridor_of(flown)
    rows = _all_rows(evidence, corridor, home, stopped)
    reasons = tuple(_reason(row) for row in _failing(rows))
    tight = _contributions(rows, flown)
    verdict = Verdict(
        word=_word(rows),
        headline="",
        summary="",
        valid_until=None if provisional else _until(rows, flown),
        provisional=provisional,
        reasons=reasons,
        answers=tuple(_answer(question, rows) for question in Question),
        rows=rows,
        to_do=(*to_do(evidence), *to_declare(rows)),
        flight=flight_summary(evidence),
        way_home=way_home_summary(evidence, home, stopped),
        ribbon=ribbon_of(evidence, corridor, home),
        aircraft=aircraft_summary(evidence),
        assumptions=assumptions_of(flown.resolved),
        rules=flown.resolved.sortie.rules,
        commit=commit_circle(evidence, rows),
        gates=gates(evidence),
        contributions=tight,
        measure_next=measure_next(_in_doubt(tight, rows), flown.draws),
        departure=flown.departure.words,
        endings=_endings(flown),
        with_reserve=_with_reserve(evidence),
        members=flown.draws.members,
        seed=flown.seed,
        maiden=None,
        ground_risk=ground_risk(evidence, corridor),
        warnings=oddities(flown.resolved, flown.departure.legs),
    )
    return replace(verdict, headline=headline(verdict), summary=summary(verdict))


def _all_rows(
    evidence: Evidence,
    corridor: Corridor,
    home: HomeSearch | None,
    stopped: MotorStopped | None,
) -> tuple[Row, ...]:
    """Return every row, in the order of the questions."""
    of_flight = (row for group in _OF_FLIGHT for row in group(evidence))
    of_home = home_rows(evidence, home)
    rows = (
        *of_home,
        *(with_way_home(evidence, row, home) for row in of_flight),
        *motor_rows(evidence, stopped),
        *inside_rows(evidence, corridor, home),
        *sight_rows(evidence, corridor),
        *heard_rows(evidence, corridor, home, of_home),
        *weather_rows(evidence, corridor),
        *reach_rows(evidence, stopped),
    )
    return tuple(sorted(rows, key=lambda row: _order(row.limit)))


def with_way_home(evidence: Evidence, row: Row, home: HomeSearch | None) -> Row:
    """Return a row of the route, or the way home's in its place where that is the worse."""
    if row.limit.slug == "headway.ground_speed":
        return worse_headway(evidence, row, home)
    if row.limit.slug == "speed.turn":
        return stalls_on_the_way_home(evidence, row, home)
    return row


def _until(rows: tuple[Row, ...], flown: Flown) -> datetime | None:
    """Return until when the word holds as the wind's reports age; None for a NO-GO."""
    if _word(rows) is Status.NO_GO:
        return None
    wind_sd = flown.resolved.inputs["wind_speed"].sd
    return valid_until(rows, wind_sd, flown.resolved.sortie.launch_time)


def _contributions(rows: tuple[Row, ...], flown: Flown) -> tuple[Contributions, ...]:
    """Return what moves the tightest rows that every flight, or enough of them, gave a value."""
    found = (
        contributions(row.limit.slug, row.values, flown.draws)
        for row in tightest(rows, _EXPLAINED_ROWS)
        if row.values is not None
    )
    return tuple(one for one in found if one is not None and one.inputs)


def _in_doubt(tight: Sequence[Contributions], rows: Sequence[Row]) -> list[Contributions]:
    """Return what moves the rows of which the good end of the spread meets the hard limit.

    Where even that fails, no better number mends it.
    """
    by_slug = {row.limit.slug: row for row in rows}
    return [one for one in tight if not _fails_anyway(by_slug[one.row])]


def _fails_anyway(row: Row) -> bool:
    if row.value is None or row.hard is None:
        return False
    at_least = row.limit.sense is Sense.AT_LEAST
    return row.value.p90 < row.hard if at_least else row.value.p10 > row.hard


def deciding_row(rows: Sequence[Row]) -> Row | None:
    """Return the row that decides the word of these rows, None for a GO."""
    return next(iter(_failing(rows)), None)


def worse_of(verdicts: list[Verdict]) -> Verdict:
    """Return the worst of the verdicts on several ways the same sortie may be flown."""
    return max(
        verdicts,
        key=lambda verdict: (
            _SEVERITY[verdict.word],
            max((_shortfall(row) for row in _failing(verdict.rows)), default=0.0),
        ),
    )


def is_undecided(flown: Flown) -> bool:
    """Return whether the share of some ending is too near its limit for this many flights."""
    events = flown.results[:, c.EVENT]
    for code in np.unique(events[events != c.LANDED]):
        share = wilson(int(np.count_nonzero(events == code)), events.size)
        if share.low < EVENT_SHARE < share.high:
            return True
    return False


def _with_reserve(evidence: Evidence) -> int:
    """Return how many flights landed with the reserve of the hard limit."""
    hard = (evidence.limits["reserve.charge"].hard or 0.0) / 100.0
    return int(np.count_nonzero(landing_charge_fraction(evidence) >= hard))


def _endings(flown: Flown) -> tuple[tuple[str, int], ...]:
    """Return how many flights ended in each way that is not the landing planned."""
    events = flown.results[:, c.EVENT]
    counted = ((words, int(np.count_nonzero(events == code))) for code, words in _ENDINGS)
    return tuple((words, count) for words, count in counted if count)


def _order(limit: Limit) -> int:
    questions = list(Question)
    return questions.index(limit.question) if limit.question else len(questions)


def _counts(row: Row) -> bool:
    if row.limit.kind is RowKind.NOTED:
        return False
    return not (row.limit.kind is RowKind.TOLD and row.status is Status.NOT_ANSWERED)


def _failing(rows: Sequence[Row]) -> list[Row]:
    """Return the counting rows that are not GO, the worst first.

    Where the wind carries flights away, what else befalls them comes after it: no other row
    would be mended before it.
    """
    failing = [row for row in rows if _counts(row) and _SEVERITY[row.status] > 1]
    carried_away = any(map(_is_carried_away, failing))

    def worst_first(row: Row) -> tuple[int, bool, float, int]:
        follows = carried_away and row.limit.question is not Question.HEADWAY
        return (-_SEVERITY[row.status], follows, -_shortfall(row), _order(row.limit))

    return sorted(failing, key=worst_first)


def _is_carried_away(row: Row) -> bool:
    """Return whether the bad nine in ten of the flights meet more wind than their airspeed."""
    share = row.share_beyond_hard
    return (
        row.limit.slug == "headway.wind_aloft"
        and share is not None
        and share.value >= _CARRIED_AWAY_SHARE
    )


def _shortfall(row: Row) -> float:
    return row.shortfall if np.isfinite(row.shortfall) else 1e6


def _word(rows: tuple[Row, ...]) -> Status:
    worst = max(_SEVERITY[row.status] for row in rows if _counts(row))
    if worst == _SEVERITY[Status.NO_GO]:
        return Status.NO_GO
    return Status.MARGINAL if worst > _SEVERITY[Status.GO] else Status.GO


def _answer(question: Question, rows: tuple[Row, ...]) -> Answer:
    """Return the answer by its worst counting row; open where all is left to the field."""
    of_question = [row for row in rows if row.limit.question is question]
    asked = [row for row in of_question if _counts(row)] or of_question
    worst = max(asked, key=lambda row: (_SEVERITY[row.status], _shortfall(row)))
    return Answer(question=question, status=worst.status, row=worst.limit.slug)


def _reason(row: Row) -> Reason:
    return Reason(
        row=row.limit.slug,
        title=row.limit.title,
        status=row.status,
        cause=row.cause,
        value=row.reading,
        unit=row.limit.unit,
        act=row.act or _NO_CHANGE,
    )
