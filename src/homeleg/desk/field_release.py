"""A release made in a base: signed, written into its releases, with the pages it is carried on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from homeleg.desk.base import Base
from homeleg.desk.briefing import release_input, write_briefing, write_phone_pages
from homeleg.desk.check import CheckResult, Progress, check_read_sortie
from homeleg.desk.release import Candidate, candidate, sign, sortie_of_release, write_release
from homeleg.desk.releases import inside
from homeleg.desk.route_aboard import aboard_of
from homeleg.desk.wind_window import with_wind_window
from homeleg.formats.field_answers import FieldAnswers
from homeleg.formats.release_file import read_release
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import Problem, RefusedError
from homeleg.foundation.units import TextError
from homeleg.release.release import Release
from homeleg.release.signing import Override, Signature, override_of, signature_of
from homeleg.verdict.result import Verdict

__all__ = ["PAPERS", "Typed", "candidate_of", "is_of", "print_release", "release_here"]

PAPERS = ("A4", "Letter")


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What was typed to sign: names with roles, code and figure read back, reason of an override.

    The first who signs is who overrides. Empty text is nothing.
    """

    people: Sequence[tuple[str, str]]
    code: str = ""
    figure: str = ""
    reason: str = ""


def candidate_of(path: Path, now: datetime, *, progress: Progress | None = None) -> Candidate:
    """Return the sortie of a file as it stands, checked and ready to sign, as `candidate` does."""
    return candidate(path, FieldAnswers(), now=now, progress=progress)


def is_of(made: Candidate, path: Path) -> bool:
    """Return whether a checked sortie is what its file says now; raises InputFileError."""
    now = [(name, text.text) for name, text in read_sortie(path).texts]
    return now == [(file.name, file.text) for file in made.draft.files]


def release_here(base: Base, made: Candidate, typed: Typed, now: datetime) -> Release:
    """Sign a checked sortie, write it into the base with its pages for a phone, and return it.

    Raises RefusedError with every reason why it is no release, InputFileError where it was
    released before.
    """
    signers, override = _read(typed)
    alone = len(signers) == 1 and (typed.code or typed.figure)
    read_back = f"{''.join(typed.code.split())} {typed.figure}" if alone else None
    release = sign(made, signers, now=now, read_back=read_back, override=override)
    pages = inside(base, base.releases / release.code)
    write_release(release, base.releases / f"{release.code}.release.json")
    pages.mkdir(exist_ok=True)
    write_phone_pages(release_input(made.result, release), pages)
    return release


def print_release(
    path: Path,
    pages: Path,
    verdict: Verdict | None,
    now: datetime,
    *,
    progress: Progress | None = None,
) -> None:
    """Write all pages of a release into a folder, those on paper in every size of PAPERS.

    They say how the route aboard stands `now`. `verdict` is the one that was signed; without it the
    release is flown again, in as many computed flights. Raises InputFileError and OutOfModelError
    as the check does.
    """
    release = read_release(path)
    files = sortie_of_release(release, path)
    if verdict is None:
        members = int(release.answer["members"])
        result = check_read_sortie(files, members=members, progress=progress)
    else:
        result = CheckResult(verdict=verdict, sortie=files.sortie, sources=files.sources)
    aboard = aboard_of(release, path, now)
    given = release_input(with_wind_window(result, progress), release, aboard=aboard)
    pages.mkdir(exist_ok=True)
    write_phone_pages(given, pages)
    for paper in PAPERS:
        write_briefing(given, pages / f"{paper}.pdf", paper=paper)


def _read(typed: Typed) -> tuple[list[Signature], Override | None]:
    """Return signatures and override as typed; raises RefusedError for text that says nothing."""
    signers: list[Signature] = []
    override, problems = None, []
    for name, role in typed.people:
        try:
            signers.append(signature_of(f"{name}, {role}" if role else name))
        except TextError as error:
            problems.append(_problem("signatures", error))
    if typed.reason and typed.people:
        try:
            override = override_of(typed.people[0][0], typed.reason)
        except TextError as error:
            problems.append(_problem("the override", error))
    if problems:
        raise RefusedError(problems)
    return signers, override


def _problem(where: str, error: TextError) -> Problem:
    return Problem(where=where, problem=error.problem, remedy=error.remedy)
