"""The change proposed for a sortie as JSON."""

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any

from homeleg import __version__
from homeleg.amend.proposal import Proposal
from homeleg.formats.amend_edit import EditedFile
from homeleg.verdict.cautions import cautions
from homeleg.verdict.result import Verdict

__all__ = ["amend_document"]

SCHEMA = "homeleg/amend/1"


def amend_document(
    before: Verdict,
    proposal: Proposal | None,
    files: Sequence[EditedFile],
    *,
    sources: Sequence[tuple[str, str]],
    given_at: datetime,
    applied: bool,
) -> dict[str, Any]:
    """Return the JSON document of a proposal, null where there is none."""
    return {
        "schema": SCHEMA,
        "program": f"homeleg {__version__}",
        "given_at": given_at.astimezone(UTC).isoformat(timespec="seconds"),
        "seed": before.seed,
        "before": _verdict(before),
        "proposal": None if proposal is None else _proposal(proposal, files),
        "applied": applied,
        "cautions": list(cautions(before.word if proposal is None else proposal.after.word)),
        "inputs": [{"file": name, "sha256": digest} for name, digest in sources],
    }


def _verdict(verdict: Verdict) -> dict[str, Any]:
    return {
        "verdict": verdict.word.value,
        "headline": verdict.headline,
        "provisional": verdict.provisional,
        "members": verdict.members,
        "reasons": [
            {"row": reason.row, "status": reason.status.value, "cause": reason.cause}
            for reason in verdict.reasons
        ],
    }


def _proposal(proposal: Proposal, files: Sequence[EditedFile]) -> dict[str, Any]:
    return {
        "sentence": proposal.sentence,
        "act": proposal.act,
        "reaches_go": proposal.reaches_go,
        "price": {
            "minutes": round(proposal.price.duration_s / 60.0, 2),
            "charge_mah": round(1000.0 * proposal.price.charge_ah, 1),
        },
        "after": _verdict(proposal.after),
        "edits": [{"file": one.name, "what": what} for one in files for what in one.edits],
    }
