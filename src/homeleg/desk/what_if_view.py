"""Two verdicts set against each other: only the sentences that are not the same in both."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass

from homeleg.briefing.charge_axis import ChargeUnit
from homeleg.briefing.palette import BUFF
from homeleg.briefing.ribbon import ribbon_figure
from homeleg.briefing.ribbon_form import SCREEN_PHONE
from homeleg.desk.check import CheckResult
from homeleg.desk.what_if import WhatIf
from homeleg.verdict.limits import Question, Sense
from homeleg.verdict.result import Row, Status, Verdict
from homeleg.verdict.wording import clock, figure, how_they_ended, sentence, tightest

__all__ = ["Side", "WhatIfLine", "WhatIfView", "what_if_view"]

_WORST_FIRST = (Status.NO_GO, Status.MARGINAL, Status.NOT_ANSWERED, Status.GO)


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


def what_if_view(flown: WhatIf) -> WhatIfView:
    """Return what changed between the two answers."""
    before, after = flown.before.verdict, flown.after.verdict
    lines = [line for line in _lines(before, after) if line is not None]
    return WhatIfView(
        words=flown.words,
        before=_side(flown.before, "before"),
        after=_side(flown.after, "after"),
        lines=tuple(line for _rank, line in sorted(lines, key=lambda one: one[0])),
        figures=tuple(_figures(before, after)),
        unchanged=len(after.answers) - len(lines),
        members=after.members,
        files=tuple(text.name for _name, text in flown.turned.edited),
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


def _lines(before: Verdict, after: Verdict) -> Iterator[tuple[tuple[int, int], WhatIfLine] | None]:
    """Return each question with its rank where it reads otherwise, else None."""
    tight = [_tightest(verdict) for verdict in (before, after)]
    for old, new in zip(before.answers, after.answers, strict=True):
        rows = _deciding(before, old.question), _deciding(after, new.question)
        says = [_says(row) for row in rows]
        turned = old.status is not new.status
        is_tightest = tight[1] is new.question and tight[0] is not new.question
        if not turned and says[0] == says[1] and not is_tightest:
            yield None
            continue
        became = f"{old.status.value} → {new.status.value}" if turned else ""
        if is_tightest:
            became = f"{became}, now the tightest" if became else "now the tightest"
        same_row = None not in rows and rows[0].limit.slug == rows[1].limit.slug  # type: ignore[union-attr]
        row = rows[1] or rows[0]
        title = new.question.title if row is None else row.limit.title
        words = [
            _figure(row) if same_row else _full(row, status.value)
            for row, status in zip(rows, (old.status, new.status), strict=True)
        ]
        worst = min(
            (_WORST_FIRST.index(s) for s in (old.status, new.status) if s in _WORST_FIRST),
            default=len(_WORST_FIRST),
        )
        rank = (0, worst) if turned else (1 if is_tightest else 2, worst)
        yield (
            rank,
            WhatIfLine(
                title=title if same_row else new.question.title,
                want=_want(row) if same_row else "",
                statuses=(old.status.value, new.status.value),
                before=words[0],
                after=words[1],
                became=became,
            ),
        )


def _deciding(verdict: Verdict, question: Question) -> Row | None:
    """Return the row that speaks for a question: the tightest where it has room."""
    answer = next(one for one in verdict.answers if one.question is question)
    rows = [row for row in verdict.rows if row.limit.question is question]
    measured = tightest(rows, 1) if answer.status is Status.GO else []
    decides = measured or [row for row in rows if row.limit.slug == answer.row] or rows[:1]
    return decides[0] if decides else None


def _tightest(verdict: Verdict) -> Question | None:
    """Return the question that has the least room."""
    slugs = [reason.row for reason in verdict.reasons]
    rows = [row for row in verdict.rows if row.limit.slug in slugs[:1]]
    rows += tightest(verdict.rows, 1)
    return rows[0].limit.question if rows else None


def _says(row: Row | None) -> tuple[str, str]:
    return ("", "") if row is None else (row.limit.slug, _figure(row))


def _figure(row: Row | None) -> str:
    if row is None or row.reading is None:
        return "not read" if row is None or not row.note else row.note
    return figure(row.reading, row.limit.unit)


def _full(row: Row | None, status: str) -> str:
    return (
        status if row is None else f"{row.limit.title}: {_figure(row)}, {_want(row)}".rstrip(", ")
    )


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
