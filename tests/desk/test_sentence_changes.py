"""Which sentences changed between two verdicts made by hand."""

from dataclasses import replace
from typing import Any

from homeleg.desk.sentence_changes import changes_since
from homeleg.verdict.limits import Question
from homeleg.verdict.result import Status, Verdict


def with_headway(verdict: Verdict, reading: float, shortfall: float, status: Status) -> Verdict:
    """Return the verdict with another headway: want 5, hard 3."""
    rows = tuple(
        replace(row, reading=reading, shortfall=shortfall, status=status)
        if row.limit.question is Question.HEADWAY
        else row
        for row in verdict.rows
    )
    answers = tuple(
        replace(answer, status=status) if answer.question is Question.HEADWAY else answer
        for answer in verdict.answers
    )
    return replace(verdict, rows=rows, answers=answers, word=status)


def test_a_figure_and_a_status_change(make_verdict: Any) -> None:
    before = make_verdict(Status.NO_GO)
    now = with_headway(before, 4.0, 0.5, Status.MARGINAL)
    changes = changes_since(before, now)
    (one,) = changes.changed
    assert (one.reading_before, one.reading, one.want) == ("2.1 m/s", "4.0 m/s", "want 5.0 m/s")
    assert (one.status_before, one.status) == ("NO-GO", "MARGINAL")
    assert (changes.word_before, changes.word) == ("NO-GO", "MARGINAL")
    assert changes.same == len(before.answers) - 1


def test_a_twentieth_of_the_room_is_nothing_new(make_verdict: Any) -> None:
    before = make_verdict(Status.NO_GO)
    # 2.05 of (5 - 2.1) / 2 = 1.45: 0.025 less.
    assert changes_since(before, with_headway(before, 2.15, 1.425, Status.NO_GO)).changed == ()
    assert len(changes_since(before, with_headway(before, 2.3, 1.35, Status.NO_GO)).changed) == 1


def test_the_same_verdict_changes_nothing(make_verdict: Any) -> None:
    verdict = make_verdict()
    assert changes_since(verdict, verdict).changed == ()
