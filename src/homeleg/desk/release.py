"""Release a sortie: read it or an earlier release, check it, sign it, write it down."""

import json
import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path

from homeleg.desk.answer import check_answer_json
from homeleg.desk.check import DEFAULT_MEMBERS, CheckResult, Progress, check_read_sortie
from homeleg.desk.plain import plain_of
from homeleg.desk.stopping_defects import stopping_defects
from homeleg.formats.field_answers import FieldAnswers
from homeleg.formats.release_file import (
    carried_texts,
    is_release_text,
    read_release,
    release_text,
    sha256_of,
)
from homeleg.formats.sortie_edit import edited_sortie
from homeleg.formats.sortie_file import SortieFiles, sortie_from_text
from homeleg.formats.text_file import refuse_taken, write_new_text
from homeleg.formats.toml_text import TextFile, parse_toml, read_text_file
from homeleg.foundation.errors import InputFileError, Problem, RefusedError
from homeleg.foundation.stated_text import shown_time
from homeleg.release.frozen import frozen_of
from homeleg.release.refusals import Asked, refusals, valid_until
from homeleg.release.release import CarriedFile, Release, Stage
from homeleg.release.signing import (
    Override,
    ReadBack,
    Signature,
    read_back_of,
    refused_read_back,
)
from homeleg.sortie.resolve import resolve
from homeleg.sortie.unknown_ground import unknown_under

__all__ = [
    "Candidate",
    "candidate",
    "opened",
    "release_path",
    "sign",
    "sortie_of_release",
    "with_texts",
    "write_release",
]

# From the typing to the launch, where nobody gave the time. Ours.
_SOON = timedelta(minutes=10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """A checked sortie that waits for its signatures; `draft` is the release without them."""

    result: CheckResult
    draft: Release

    @property
    def read_back(self) -> ReadBack:
        """What one signer alone must type."""
        return read_back_of(self.draft.code, self.result.verdict)


def candidate(
    path: Path,
    answers: FieldAnswers,
    *,
    now: datetime,
    members: int = DEFAULT_MEMBERS,
    progress: Progress | None = None,
) -> Candidate:
    """Return the sortie of a file, or of an earlier release or plan, checked and ready to sign.

    `answers` from the field are written into its text first. From an earlier release the launch is
    ten minutes from now unless told. Raises InputFileError and OutOfModelError as the check does.
    """
    files, folder = _files(path, answers, now)
    result = check_read_sortie(files, members=members, progress=progress)
    until = valid_until(result.sortie, result.verdict)
    route = plain_of(result.sortie)
    draft = Release(
        stage=Stage.PLAN,
        frozen=frozen_of(result.sortie, route, result.verdict, files.terrain, until),
        given_at=now,
        signatures=(),
        override=None,
        answer=json.loads(check_answer_json(result, given_at=now)),
        files=tuple(
            CarriedFile(name=name, text=text.text, sha256=sha256_of(text.text))
            for name, text in files.texts
        ),
        folder=str(folder),
    )
    return Candidate(result=result, draft=draft)


def sign(
    made: Candidate,
    signers: Sequence[Signature],
    *,
    now: datetime,
    read_back: str | None = None,
    override: Override | None = None,
) -> Release:
    """Return the release; raises RefusedError with every reason why it is none.

    InputFileError where the logbook of its base is damaged: what stops it is not known then.
    """
    problems = []
    if read_back is not None:
        words = refused_read_back(made.read_back, read_back)
        if words is not None:
            remedy = "Read the answer again, then type what it says."
            problems.append(Problem(where="read back", problem=words, remedy=remedy))
        signers = [replace(one, read_back=True) for one in signers]
    asked = Asked(
        sortie=made.result.sortie,
        verdict=made.result.verdict,
        ground_unknown=_is_ground_unknown(made.result),
        signatures=tuple(signers),
        override=override,
    )
    problems += [*refusals(asked, now), *stopping_defects(made.draft, now)]
    if problems:
        raise RefusedError(problems)
    return replace(
        made.draft,
        stage=Stage.RELEASE,
        given_at=now,
        signatures=asked.signatures,
        override=override,
    )


def release_path(release: Release, sortie: Path) -> Path:
    """Return where a release is written when nobody says: beside what it was made from."""
    kind = "release" if release.stage is Stage.RELEASE else "plan"
    return sortie.parent / f"{release.code}.{kind}.json"


def opened(path: Path) -> Release:
    """Return the release of a file, verified; raises InputFileError."""
    return read_release(path)


def write_release(release: Release, path: Path) -> None:
    """Write a release where no file is yet; raises InputFileError."""
    refuse_taken(path)
    folder = os.path.relpath(Path(release.folder).resolve(), path.resolve().parent)
    write_new_text(path, release_text(replace(release, folder=Path(folder).as_posix())))


def sortie_of_release(release: Release, path: Path) -> SortieFiles:
    """Return the sortie that a release file carries; raises InputFileError.

    Ground files are looked for where the sortie lay and beside the release; one that is not the
    one released is refused.
    """
    text, beside = carried_texts(release)
    return with_texts(release, path, text, beside)


def _files(path: Path, answers: FieldAnswers, now: datetime) -> tuple[SortieFiles, Path]:
    """Return the sortie with the answers in its text, and the folder its ground lies in."""
    file = read_text_file(path)
    if not is_release_text(file):
        if answers.is_empty:
            return sortie_from_text(file, path.parent), path.parent
        parse_toml(file)
        edited = _edited(file, answers, now)
        return sortie_from_text(edited, path.parent), path.parent
    earlier = read_release(path)
    file, beside = carried_texts(earlier)
    if answers.launch is None:
        answers = replace(answers, launch=shown_time(now + _SOON))
    edited = _edited(file, answers, now)
    files = with_texts(earlier, path, edited, beside)
    return files, _ground_folder(earlier, path)


def _edited(file: TextFile, answers: FieldAnswers, now: datetime) -> TextFile:
    text = edited_sortie(file.text, answers, now)
    return TextFile(file.name, text, sha256_of(text))


def with_texts(
    release: Release, path: Path, text: TextFile, beside: dict[str, TextFile]
) -> SortieFiles:
    """Return the sortie of these texts on the ground of a release; raises InputFileError."""
    files = sortie_from_text(text, _ground_folder(release, path), beside)
    for name, digest in files.terrain:
        if (name, digest) not in release.ground_files:
            problem = "is not the ground file that was released"
            remedy = "Put the released one back, or release the sortie anew with this one."
            raise InputFileError([Problem(where=name, problem=problem, remedy=remedy)])
    return files


def _ground_folder(release: Release, path: Path) -> Path:
    """Return the folder in which the ground files are: where the sortie lay, else here."""
    told = path.parent / release.folder
    return told if told.is_dir() else path.parent


def _is_ground_unknown(result: CheckResult) -> bool:
    resolved = resolve(result.sortie)
    return bool(unknown_under(resolved.departures[0].legs, resolved.surface))
