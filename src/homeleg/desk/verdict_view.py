"""A verdict as a screen shows it: sentences, figures drawn, each row with all that is behind it."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from homeleg.briefing.charge_axis import ChargeUnit
from homeleg.briefing.palette import BUFF
from homeleg.briefing.ribbon import ribbon_figure
from homeleg.briefing.ribbon_form import SCREEN, SCREEN_PHONE, SUNLIGHT
from homeleg.briefing.strip import strip
from homeleg.desk.amend import Proposal
from homeleg.desk.question_row import speaking_row, want_words
from homeleg.verdict.cautions import GROUND, WIND, word_caution
from homeleg.verdict.limits import Question, Sense
from homeleg.verdict.result import Answer, CommitCircle, Row, Status, ToDo, Verdict
from homeleg.verdict.wording import (
    clock,
    commit_line,
    figure,
    how_they_ended,
    sentence,
    tightest,
)
from homeleg.world.weather import Weather

__all__ = [
    "ChangeView",
    "QuestionView",
    "RibbonView",
    "RowView",
    "VerdictView",
    "change_view",
    "verdict_view",
]

_TIGHTEST = 3
_WORST_FIRST = [
    status.value
    for status in (
        Status.NO_GO,
        Status.MARGINAL,
        Status.NOT_ANSWERED,
        Status.GO,
        Status.DOES_NOT_APPLY,
    )
]
# Width and letters of the strips.
_STRIP, _LARGE_STRIP = (300.0, 16.0), (340.0, 18.0)
_FORMS = {"laptop": SCREEN, "phone": SCREEN_PHONE, "sunlight": SUNLIGHT}


class Fact(NamedTuple):
    """One line behind a number: what, and its words."""

    what: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RowView:
    """A row: its figure and limit in words, the strip, and every fact behind it.

    `share` is how many computed flights lie beyond hard, `act` what would mend it.
    """

    slug: str
    title: str
    status: str
    reading: str
    want: str
    why: str
    strip: str | None
    facts: tuple[Fact, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class QuestionView:
    """A question with its status, the row that decides it, and all its rows."""

    slug: str
    title: str
    status: str
    row: RowView | None
    rows: tuple[RowView, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CommitView:
    """The numbers of the commit circle, and how it is flown."""

    half_difference: str
    mean: str
    flown: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeView:
    """The change that mends it: how good it is, what to do, what comes of it and what it costs.

    `key` stands for it where it is asked for; `commit` are the circle's numbers after it.
    """

    heading: str
    act: str
    after: str
    price: str
    commit: CommitView | None
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RibbonView:
    """The ribbon in one unit and one form, as SVG."""

    unit: str
    form: str
    svg: str


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictView:
    """What the verdict screen shows, sentences in SI units."""

    word: str
    sentence: str
    decided_by: str | None
    summary: str
    provisional: bool
    members: int
    valid_until: datetime | None
    ribbons: tuple[RibbonView, ...]
    tight: tuple[QuestionView, ...]
    others: tuple[QuestionView, ...]
    others_words: str
    others_names: str
    change: ChangeView | None
    act: str | None
    commit: CommitView | None
    commit_row: str | None
    to_do: tuple[ToDo, ...]
    maiden: str | None
    warnings: tuple[str, ...]
    measure_next: tuple[str, ...]
    wind: str
    wind_seen: datetime | None
    wind_age_min: float | None
    caution: str
    cautions: tuple[str, ...]


def verdict_view(
    verdict: Verdict,
    weather: Weather,
    launch_time: datetime,
    *,
    proposal: Proposal | None = None,
    large: bool = False,
) -> VerdictView:
    """Return a verdict as a screen shows it, with the wind it rests on; `large` for the sun."""
    letters = _LARGE_STRIP if large else _STRIP
    tight = _tight(verdict)
    views = [_question(answer, verdict, letters) for answer in verdict.answers]
    first = [view for question in tight for view in views if view.slug == question.value]
    others = tuple(
        sorted(
            (view for view in views if view not in first),
            key=lambda view: _WORST_FIRST.index(view.status),
        )
    )
    report = weather.surface or next(iter(weather.layers), None)
    seen = None if report is None else report.seen
    return VerdictView(
        word=verdict.word.value,
        sentence=sentence(verdict),
        decided_by=verdict.reasons[0].row if verdict.reasons else None,
        summary=how_they_ended(verdict),
        provisional=verdict.provisional,
        members=verdict.members,
        valid_until=verdict.valid_until,
        ribbons=_ribbons(verdict),
        tight=tuple(first),
        others=others,
        others_words=_others_words(others),
        others_names=_names(view for view in others if view.status == Status.GO.value),
        change=None if proposal is None else change_view(proposal),
        act=_capital(verdict.reasons[0].act) if verdict.reasons else None,
        commit=None if verdict.commit is None else _commit(verdict.commit),
        commit_row=next(iter(verdict.commit.rows), None) if verdict.commit else None,
        to_do=verdict.to_do,
        maiden=None if verdict.maiden is None else verdict.maiden.headline,
        warnings=verdict.warnings,
        measure_next=tuple(
            f"{_capital(one.how)}: it would remove {100.0 * one.share:.0f} % of the spread."
            for one in verdict.measure_next
        ),
        wind="" if report is None else f"{report.speed_m_s.value:.1f} m/s",
        wind_seen=seen,
        wind_age_min=None if seen is None else (launch_time - seen).total_seconds() / 60.0,
        caution=word_caution(verdict.word),
        cautions=(GROUND, WIND),
    )


def _tight(verdict: Verdict) -> tuple[Question, ...]:
    """Return the questions with the least room, failing ones first."""
    slugs = {reason.row for reason in verdict.reasons}
    rows = [row for row in verdict.rows if row.limit.slug in slugs]
    rows += tightest(verdict.rows, len(verdict.rows))
    questions = dict.fromkeys(row.limit.question for row in rows if row.limit.question)
    return tuple(questions)[:_TIGHTEST]


def _question(answer: Answer, verdict: Verdict, letters: tuple[float, float]) -> QuestionView:
    rows = [row for row in verdict.rows if row.limit.question is answer.question]
    speaks = speaking_row(answer, verdict)
    return QuestionView(
        slug=answer.question.value,
        title=answer.question.title,
        status=answer.status.value,
        row=None if speaks is None else _row(speaks, letters),
        rows=tuple(_row(row, letters) for row in rows),
    )


def _row(row: Row, letters: tuple[float, float]) -> RowView:
    width, letter = letters
    unit = row.limit.unit
    sign = "≥" if row.limit.sense is Sense.AT_LEAST else "≤"
    return RowView(
        slug=row.limit.slug,
        title=row.limit.title,
        status=row.status.value,
        reading="" if row.reading is None else figure(row.reading, unit),
        want=want_words(row),
        why=_why(row),
        strip=strip(row, BUFF, width=width, letter=letter),
        facts=tuple(_facts(row, sign)),
    )


def _why(row: Row) -> str:
    """Return what tells most under a figure, in two lines: all of it stands behind the figure."""
    place = _where(row) if row.where is not None else f"{row.limit.title}."
    return f"{place} {_capital(row.note).rstrip('.')}." if row.note else place


def change_view(proposal: Proposal) -> ChangeView:
    """Return a proposed change as a screen shows it."""
    heading = "The one change that reaches GO"
    if not proposal.reaches_go:
        heading = f"No change reaches GO. The best is {proposal.after.word.value}"
    commit = proposal.after.commit
    return ChangeView(
        heading=heading,
        act=proposal.act,
        after=sentence(proposal.after),
        price=proposal.price.words,
        commit=None if commit is None else _commit(commit),
        key=hashlib.sha256(repr(proposal.files).encode()).hexdigest(),
    )


def _facts(row: Row, sign: str) -> list[Fact]:
    """Return every fact behind a row's figure that there is."""
    unit, limit = row.limit.unit, row.limit
    facts = []
    if row.reading is not None:
        facts.append(Fact("Value", f"{figure(row.reading, unit)}, {_read_at(row)}"))
    if row.want is not None:
        facts.append(Fact("Want", f"{sign} {figure(row.want, unit)}"))
    if row.hard is not None:
        facts.append(Fact("Hard", f"{sign} {figure(row.hard, unit)}"))
    if row.value is not None:
        words = f"{figure(row.value.p10, unit)} to {figure(row.value.p90, unit)}"
        facts.append(Fact("8 in 10 flights", f"{words}, middle {figure(row.value.p50, unit)}"))
    if row.share_beyond_hard is not None:
        share = row.share_beyond_hard
        words = f"{100.0 * share.value:.1f} % of flights ({100.0 * share.low:.1f}"
        facts.append(Fact("Beyond hard", f"{words} to {100.0 * share.high:.1f})"))
    told = (
        ("Where", _where(row)),
        ("Cause", row.cause),
        ("Remark", row.note),
        ("Would mend it", row.act or ""),
        ("Limit from", limit.source),
        ("Limit changed", limit.changed or ""),
    )
    return facts + [Fact(what, _capital(words)) for what, words in told if words]


def _read_at(row: Row) -> str:
    """Return which of the flights the value is read from."""
    return {
        "adverse": "the bad side: 9 in 10 flights are better",
        "p50": "the middle flight",
        "both": "the bad side against want, the middle flight against hard",
        "share": "the share of flights",
        "stated": "as planned",
    }[row.limit.reading.value]


def _where(row: Row) -> str:
    if row.where is None:
        return ""
    height = figure(row.where.height_above_launch_m, "m")
    return f"{_capital(row.where.leg)} at {clock(row.where.time_s)}, {height} above launch."


def _commit(commit: CommitCircle) -> CommitView:
    return CommitView(
        half_difference=f"{commit.most_half_difference_m_s:.1f} m/s",
        mean=f"{commit.least_mean_m_s:.1f} m/s to {commit.most_mean_m_s:.1f} m/s",
        flown=commit_line(commit),
    )


def _ribbons(verdict: Verdict) -> tuple[RibbonView, ...]:
    ribbon = verdict.ribbon
    if ribbon is None:
        return ()
    turn_back = None if verdict.way_home is None else verdict.way_home.turn_back
    rows = {row.limit.slug for row in verdict.rows}

    def address_of(row: str) -> str:
        return f"#row-{row}" if row in rows else ""

    views = []
    for unit in ChargeUnit:
        for form_name, form in _FORMS.items():
            name = f"ribbon-{unit.name.lower()}-{form_name}"
            svg = ribbon_figure(
                ribbon, turn_back, unit, form, BUFF, name=name, address_of=address_of
            )
            views.append(RibbonView(unit=unit.value, form=form_name, svg=svg))
    return tuple(views)


def _others_words(others: tuple[QuestionView, ...]) -> str:
    """Return the folded rest in one line: what fails beside the tightest, how many have room."""
    named = (
        (Status.NO_GO, "Also NO-GO"),
        (Status.MARGINAL, "Also MARGINAL"),
        (Status.NOT_ANSWERED, "Not answered"),
    )
    parts = []
    for status, words in named:
        if found := [view for view in others if view.status == status.value]:
            parts.append(f"{words}: {_names(found)}.")
    counts = [
        f"{count} {words}"
        for status, words in ((Status.GO, "others have room"), (Status.DOES_NOT_APPLY, "not asked"))
        if (count := sum(view.status == status.value for view in others))
    ]
    return " ".join([*parts, ", ".join(counts)]).strip()


def _names(views: Iterable[QuestionView]) -> str:
    return ", ".join(view.title.lower() for view in views)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
