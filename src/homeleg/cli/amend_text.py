"""The text of a proposal: the word before, the change, the word after, what it alters."""

from pathlib import Path

from homeleg.cli.text import wrapped
from homeleg.desk.amend import NO_CHANGE, Amended, Proposal
from homeleg.verdict.cautions import GROUND, word_caution
from homeleg.verdict.result import Status, Verdict

__all__ = ["amend_text"]

_SETTINGS = (
    "The aircraft must be set so too; other sorties of this aircraft file change with it. "
    "Fly the commanded-return card again before its way home is counted on."
)


def amend_text(amended: Amended, path: Path, *, applied: bool) -> str:
    """Return the answer as lines of text."""
    before, proposal = amended.check.verdict, amended.proposal
    if proposal is None:
        blocks = [
            [f"Now: {before.headline}"],
            _unchanged(before),
            [word_caution(before.word), GROUND],
        ]
    else:
        blocks = [
            [f"Now: {before.headline}"],
            [proposal.sentence],
            [f"Then: {proposal.after.headline}", *_left(proposal.after)],
            _edits(proposal, path, applied=applied),
            [word_caution(proposal.after.word), GROUND],
        ]
    return "\n\n".join(wrapped(block) for block in blocks) + "\n"


def _unchanged(verdict: Verdict) -> list[str]:
    """Return why nothing is proposed, and what is left to a person."""
    if verdict.word is Status.GO:
        return ["Nothing to change."]
    looked = " A quick look only: try without --quick." if verdict.provisional else ""
    return [f"{NO_CHANGE[0].upper()}{NO_CHANGE[1:]}.{looked}", *_left(verdict)]


def _left(verdict: Verdict) -> list[str]:
    """Return what stays short of what is wanted, a line each."""
    return [
        f"{reason.status.value} stays: {reason.title}. {reason.act[:1].upper()}{reason.act[1:]}."
        for reason in verdict.reasons
    ]


def _edits(proposal: Proposal, path: Path, *, applied: bool) -> list[str]:
    head = "Written:" if applied else "It would write:"
    lines = [f"{one.name}: {what}" for one in proposal.files for what in one.edits]
    settings = [_SETTINGS] if proposal.found.change.is_of_settings else []
    how = [] if applied else [f"To make this change: homeleg amend {path} --apply"]
    return [head, *(f"  {line}" for line in lines), *settings, *how]
