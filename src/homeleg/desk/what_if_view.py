"""Two verdicts set against each other: only the sentences that are not the same in both."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from homeleg.briefing.charge_axis import ChargeUnit
from homeleg.briefing.palette import BUFF
from homeleg.briefing.ribbon import ribbon_figure
from homeleg.briefing.ribbon_form import SCREEN_PHONE
from homeleg.desk.check import CheckResult
from homeleg.desk.what_if import WhatIf
from homeleg.verdict.cautions import word_caution
from homeleg.verdict.limits import Question, Sense
from homeleg.verdict.result import Row, Status, Verdict
from homeleg.verdict.wording import clock, figure, how_they_ended, sentence, tightest

__all__ = ["Side", "WhatIfLine", "WhatIfView", "what_if_view"]

_WORST_FIRST = (
    Status.NO_GO,
    Status.MARGINAL,
    Status.NOT_ANSWERED,
    Status.GO,
    Status.DOES_NOT_APPLY,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One of the two answers: word, what decides it, how the flights ended, the ribbon as SVG."""

    word: str
    sentence: str
    summary: str
    ribbon: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfLine:
    """A sentence that changed: its subject, how it reads on each side, what became of it.

    `statuses` are None for a plain figure.
    """

    title: str
    want: str
    statuses: tuple[str, str] | None
    before: str
    after: str
    became: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WhatIfView:
    """Both sides, the sentences that changed, the worst first, and how many questions did not."""

    words: str
    before: Side
    after: Side
    lines: tuple[WhatIfLine, ...]
    figures: tuple[WhatIfLine, ...]
    unchanged: int
    members: int
    files: tuple[str, ...]
    caution: str


def what_if_view(flown: WhatIf) -> WhatIfView:
    """Return what changed between the two answers."""
    before, after = flown.before.verdict, flown.after.verdict
    lines = sorted(_lines(before, after), key=lambda one: one[0])
    return WhatIfView(
        words=flown.words,
        before=_side(flown.before, "before"),
        after=_side(flown.after, "after"),
        lines=tuple(line for _rank, line in lines),
        figures=tuple(_figures(before, after)),
        unchanged=len(after.answers) - len(lines),
        members=after.members,
        files=tuple(text.name for _name, text in flown.turned.edited),
        caution=word_caution(after.word),
    )


def _side(result: CheckResult, name: str) -> Side:
    verdict = result.verdict
    svg = ""
    if verdict.ribbon is not None:
        turn_back = None if verdict.way_home is None else verdict.way_home.turn_back
        svg = ribbon_figure(
            verdict.ribbon,
            turn_back,
            ChargeUnit.MAH,
            SCREEN_PHONE,
            BUFF,
            name=f"ribbon-{name}",
            address_of=lambda _row: "",
        )
    return Side(
        word=verdict.word.value,
        sentence=sentence(verdict),
        summary=how_they_ended(verdict),
        ribbon=svg,
    )


def _lines(before: Verdict, after: Verdict) -> Iterator[tuple[tuple[int, int], WhatIfLine]]:
    """Return each question that reads otherwise, with its rank: what changes its word first."""
    tightest_was, tightest_is = (_tightest(verdict) for verdict in (before, after))
    for old, new in zip(before.answers, after.answers, strict=True):
        ranks = [_WORST_FIRST.index(one.status) for one in (old, new)]
        worse = before if ranks[0] < ranks[1] else after
        slug = _deciding(worse, new.question)
        rows = [_row(verdict, slug) for verdict in (before, after)]
        turned = old.status is not new.status
        is_tightest = tightest_is is new.question is not tightest_was
        says = [_figure(row) for row in rows]
        if not (turned or is_tightest or says[0] != says[1]):
            continue
        words = [f"{old.status.value} → {new.status.value}"] if turned else []
        words += ["now the tightest"] if is_tightest else []
        row = rows[1] or rows[0]
        yield (
            (0 if turned else 1 if is_tightest else 2, min(ranks)),
            WhatIfLine(
                title=new.question.title if row is None else row.limit.title,
                want=_want(row),
                statuses=(old.status.value, new.status.value),
                before=says[0],
                after=says[1],
                became=", ".join(words),
            ),
        )


def _deciding(verdict: Verdict, question: Question) -> str | None:
    """Return the row that speaks for a question: the tightest where it has room."""
    answer = next(one for one in verdict.answers if one.question is question)
    rows = [row for row in verdict.rows if row.limit.question is question]
    measured = tightest(rows, 1) if answer.status is Status.GO else []
    return measured[0].limit.slug if measured else answer.row


def _tightest(verdict: Verdict) -> Question | None:
    """Return the question that has the least room."""
    first = verdict.reasons[0].row if verdict.reasons else None
    rows = [row for row in verdict.rows if row.limit.slug == first] or tightest(verdict.rows, 1)
    return rows[0].limit.question if rows else None


def _row(verdict: Verdict, slug: str | None) -> Row | None:
    return next((row for row in verdict.rows if row.limit.slug == slug), None)


def _figure(row: Row | None) -> str:
    """Return how a row reads; where it has no figure, its note."""
    if row is None:
        return "not asked"
    return figure(row.reading, row.limit.unit) if row.reading is not None else row.note


def _want(row: Row | None) -> str:
    if row is None or row.want is None:
        return ""
    at_most = "at most " if row.limit.sense is Sense.AT_MOST else ""
    return f"want {at_most}{figure(row.want, row.limit.unit)}"


def _figures(before: Verdict, after: Verdict) -> Iterator[WhatIfLine]:
    """Return the figures beside the questions that are not the same."""
    for title, says in _FIGURES.items():
        old, new = says(before), says(after)
        if old != new:
            yield WhatIfLine(title=title, want="", statuses=None, before=old, after=new, became="")


def _circle(verdict: Verdict) -> str:
    commit = verdict.commit
    if commit is None:
        return "none"
    return (
        f"half the difference at most {commit.most_half_difference_m_s:.1f} m/s, the mean "
        f"{commit.least_mean_m_s:.1f} m/s to {commit.most_mean_m_s:.1f} m/s"
    )


_FIGURES: Mapping[str, Callable[[Verdict], str]] = {
    "Flight, the middle one": lambda one: clock(one.flight.duration_s.p50),
    "Charge it uses": lambda one: f"{1000.0 * one.flight.charge_used_ah.p50:.0f} mAh",
    "Lands with, nine in ten": lambda one: (
        f"{100.0 * one.flight.landing_charge_fraction.p10:.0f} %"
    ),
    "Go on at the commit circle only if": _circle,
    "To do at the field": lambda one: str(len(one.to_do)),
}
