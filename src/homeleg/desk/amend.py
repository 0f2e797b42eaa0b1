"""The one change that makes a verdict better: found, flown in full, written where it is wanted."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from homeleg.amend.change import Change
from homeleg.amend.proposal import NO_CHANGE, Price
from homeleg.amend.proposal import Proposal as Found
from homeleg.amend.search import find_change
from homeleg.desk.alteration import Alteration, FileChange, alter
from homeleg.desk.answer_file import refuse_answer_file
from homeleg.desk.check import (
    DEFAULT_MEMBERS,
    CheckResult,
    Progress,
    check_read_sortie,
    limits_of,
)
from homeleg.formats.amend_edit import EditedFile, edited_files
from homeleg.formats.amend_json import amend_document
from homeleg.formats.comparison_json import document_text
from homeleg.formats.sortie_file import SortieFiles, read_sortie, sortie_from_text
from homeleg.formats.toml_text import LARGEST_BYTES, file_bytes
from homeleg.foundation.errors import InputFileError, OutOfModelError, Problem
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Verdict

__all__ = [
    "NO_CHANGE",
    "Amended",
    "Price",
    "Proposal",
    "amend_answer_json",
    "amend_sortie",
    "apply_proposal",
    "propose",
]

_CHANGED_SINCE = "was changed after the proposal was made"


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A change with its verdicts, and the files it would alter.

    `sentence` says what to do and its price, `before` and `after` are verdicts flown alike. The
    verdict after it is on the very texts that would be written.
    """

    found: Found
    files: tuple[EditedFile, ...]
    sources: tuple[tuple[str, str], ...]

    @property
    def sentence(self) -> str:
        """What to do, and its price; where it does not reach GO, that first."""
        return self.found.sentence

    @property
    def act(self) -> str:
        """What to do."""
        return self.found.act

    @property
    def price(self) -> Price:
        """What it costs the middle flight."""
        return self.found.price

    @property
    def reaches_go(self) -> bool:
        """Whether the word after it is GO."""
        return self.found.reaches_go

    @property
    def before(self) -> Verdict:
        """The verdict on the sortie as it is."""
        return self.found.before

    @property
    def after(self) -> Verdict:
        """The verdict on the sortie with the change made."""
        return self.found.after


@dataclass(frozen=True, slots=True, kw_only=True)
class Amended:
    """The check of a sortie as it is, and the change proposed for it; None where there is none."""

    check: CheckResult
    proposal: Proposal | None


def amend_sortie(
    path: Path,
    *,
    members: int = DEFAULT_MEMBERS,
    quick: bool = False,
    answer_files: Sequence[Path] = (),
    progress: Progress | None = None,
) -> Amended:
    """Return the verdict on a sortie with the change to propose; nothing is written.

    `quick` judges before and after with few flights. Raises as the check does.
    """
    files = read_sortie(path)
    for answer_file in answer_files:
        refuse_answer_file(answer_file, files.sources)
    check = check_read_sortie(files, members=members, quick=quick, progress=progress)
    proposal = propose(files, check, path.parent, members=members, quick=quick, progress=progress)
    return Amended(check=check, proposal=proposal)


def propose(
    files: SortieFiles,
    check: CheckResult,
    folder: Path,
    *,
    members: int = DEFAULT_MEMBERS,
    quick: bool = False,
    progress: Progress | None = None,
) -> Proposal | None:
    """Return the change to propose for a sortie of that folder, read and checked; None for none.

    What `progress` raises breaks the search off.
    """

    def confirm(change: Change) -> tuple[Sortie, Verdict] | None:
        try:
            changed = _reread(files, change, folder)
            after = check_read_sortie(changed, members=members, quick=quick, progress=progress)
        except (ValueError, InputFileError, OutOfModelError):
            return None  # this change cannot be written, or not be flown: the next one may
        return changed.sortie, after.verdict

    found = find_change(
        files.sortie,
        check.verdict,
        limits_of(files.sortie),
        confirm=confirm,
        progress=_telling(progress),
    )
    if found is None:
        return None
    return Proposal(found=found, files=edited_files(files, found.change), sources=files.sources)


def apply_proposal(path: Path, proposal: Proposal) -> Alteration:
    """Write a proposal into the files of its sortie, and return what takes it back.

    Raises InputFileError, and nothing is changed, where any file the proposal rests on was changed
    since.
    """
    if read_sortie(path).sources != proposal.sources:
        remedy = "Look for a change again: homeleg amend."
        raise InputFileError([Problem(where=path.name, problem=_CHANGED_SINCE, remedy=remedy)])
    changes = []
    for edited in proposal.files:
        file = path if edited.name == path.name else path.parent / edited.name
        before = file_bytes(file, LARGEST_BYTES)
        changes.append(FileChange(file, before, edited.after.text.encode()))
    alter(changes)
    return Alteration(proposal.act, tuple(changes))


def amend_answer_json(amended: Amended, *, given_at: datetime, applied: bool) -> str:
    """Return the JSON text of a proposal, given at that aware time."""
    proposal = amended.proposal
    document = amend_document(
        amended.check.verdict,
        None if proposal is None else proposal.found,
        () if proposal is None else proposal.files,
        sources=amended.check.sources,
        given_at=given_at,
        applied=applied,
    )
    return document_text(document)


def _reread(files: SortieFiles, change: Change, folder: Path) -> SortieFiles:
    """Return the sortie read from the texts that the change would leave."""
    texts = dict(files.texts)
    own = files.texts[0][0]
    texts |= {edited.name: edited.after for edited in edited_files(files, change)}
    return sortie_from_text(texts[own], folder, texts)


def _telling(progress: Progress | None) -> Callable[[float], None]:
    def tell(share: float) -> None:
        if progress is not None:
            progress("looking at changes", share)

    return tell
