"""Which row speaks for a question, and its sentence."""

from homeleg.verdict.limits import Sense
from homeleg.verdict.result import Answer, Row, Status, Verdict
from homeleg.verdict.wording import figure, tightest

__all__ = ["speaking_row", "want_words"]


def speaking_row(answer: Answer, verdict: Verdict) -> Row | None:
    """Return the tightest row of a question that has room; else the one that decides it."""
    rows = [row for row in verdict.rows if row.limit.question is answer.question]
    measured = tightest(rows, 1) if answer.status is Status.GO else []
    decides = measured or [row for row in rows if row.limit.slug == answer.row] or rows[:1]
    return decides[0] if decides else None


def want_words(row: Row) -> str:
    """Return what is wanted of a row: want 5.0 m/s."""
    if row.want is None:
        return ""
    at_most = "at most " if row.limit.sense is Sense.AT_MOST else ""
    return f"want {at_most}{figure(row.want, row.limit.unit)}"
