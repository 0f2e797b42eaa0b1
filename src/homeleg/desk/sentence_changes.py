"""Which sentences of a verdict another verdict changes: what a question said before, and now."""

from collections.abc import Iterator
from dataclasses import dataclass

from homeleg.desk.question_row import speaking_row, want_words
from homeleg.verdict.result import Answer, Row, Verdict
from homeleg.verdict.wording import figure

__all__ = ["ChangedSentence", "SentenceChanges", "changes_since"]

# A figure that moves by less than this share of the room between want and hard says nothing new:
# as many flights of another draw would do as much. Ours.
_NOTHING_NEW = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedSentence:
    """A question whose status or figure is another: before and now, in words."""

    title: str
    status: str
    reading: str
    status_before: str
    reading_before: str
    want: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SentenceChanges:
    """Both words, the sentences that changed, and how many did not."""

    word_before: str
    word: str
    changed: tuple[ChangedSentence, ...]
    same: int


def changes_since(before: Verdict, now: Verdict) -> SentenceChanges:
    """Return what changed from one verdict to another, in the order of the questions."""
    changed = tuple(_changed(before, now))
    return SentenceChanges(
        word_before=before.word.value,
        word=now.word.value,
        changed=changed,
        same=len(now.answers) - len(changed),
    )


def _changed(before: Verdict, now: Verdict) -> Iterator[ChangedSentence]:
    answers = {answer.question: answer for answer in before.answers}
    for answer in now.answers:
        old = answers[answer.question]
        row, old_row = speaking_row(answer, now), speaking_row(old, before)
        if row is None or old_row is None or not _differs(old, answer, old_row, row):
            continue
        yield ChangedSentence(
            title=answer.question.title,
            status=answer.status.value,
            reading=_reading(row),
            status_before=old.status.value,
            reading_before=_reading(old_row),
            want=want_words(row),
        )


def _differs(old: Answer, answer: Answer, old_row: Row, row: Row) -> bool:
    if answer.status is not old.status:
        return True
    if row.limit.slug != old_row.limit.slug:
        return _reading(row) != _reading(old_row)
    moved = abs(row.shortfall - old_row.shortfall)
    return moved >= _NOTHING_NEW and _reading(row) != _reading(old_row)


def _reading(row: Row) -> str:
    return "" if row.reading is None else figure(row.reading, row.limit.unit)
