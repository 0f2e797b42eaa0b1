"""What is known of the route aboard: kept beside its release, and read for every page."""

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from homeleg.desk.export import exported
from homeleg.formats.proof_file import add_proof, read_proofs
from homeleg.formats.release_file import read_release
from homeleg.formats.route_writers import ROUTE_WRITERS
from homeleg.foundation.errors import Problem, RefusedError
from homeleg.release.comparison import Comparison, End
from homeleg.release.read_aloud import lines_to_read
from homeleg.release.release import Release, Stage
from homeleg.release.route_aboard import Means, Proof, RouteAboard, standing

__all__ = [
    "Fetched",
    "aboard_of",
    "keep_comparison",
    "keep_doubt",
    "keep_read_aloud",
    "lines_of",
    "no_proof_from",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Fetched:
    """Where a route came from, its bytes, and the settings that nobody has read beside it.

    `link` is what is known besides of one that was fetched over the link, for JSON.
    """

    at: datetime
    means: Means
    source: str
    content: bytes
    unread: tuple[str, ...] = ()
    link: Mapping[str, Any] | None = None


def aboard_of(release: Release, path: Path, now: datetime) -> RouteAboard:
    """Return how the route aboard stands against a release of that file; raises InputFileError."""
    return standing(read_proofs(release, path), now)


def keep_comparison(
    release: Release, path: Path, end: End, comparison: Comparison, fetched: Fetched
) -> None:
    """Keep how a comparison with a release of that file ended; raises InputFileError.

    The release itself never changes.
    """
    kept = Proof(
        at=fetched.at,
        means=fetched.means,
        source=fetched.source,
        end=end,
        unlike=tuple(one.sentence for one in comparison.differences),
        untold=(*(one.value for one in comparison.unproven), *fetched.unread),
        sha256=hashlib.sha256(fetched.content).hexdigest(),
    )
    add_proof(release, path, kept, link=fetched.link)


def no_proof_from(release: Release, path: Path, found_at: Path) -> str:
    """Return why a file says nothing of the route aboard, "" where it may have been fetched."""
    if release.stage is not Stage.RELEASE:
        return "A plan is in no aircraft."
    content = _plain(found_at.read_bytes())
    if b'"homeleg/release/' in content[:200]:
        return "A release says nothing of the route aboard."
    ours = [exported(release, path.name, kind.removeprefix(".")).text for kind in ROUTE_WRITERS]
    ours += [file.text for file in release.files]
    if content in {_plain(text.encode()) for text in ours}:
        return (
            "This is the file that was written here, byte for byte: it was not fetched from the "
            "aircraft, and says nothing of what is aboard."
        )
    return ""


def lines_of(release: Release) -> tuple[str, ...]:
    """Return what is read aloud from the aircraft to know its route without fetching it."""
    return lines_to_read(release.route, release.settings)


def keep_read_aloud(path: Path, who: str, same: Sequence[bool], now: datetime) -> RouteAboard:
    """Keep that somebody read each line of `lines_of` aloud, and which were the same.

    Raises RefusedError for no name, for another count of lines, and where a comparison found a
    difference: only another comparison settles that.
    """
    release = read_release(path)
    lines = lines_of(release)
    before = aboard_of(release, path, now)
    problems = []
    if not 2 <= len(who.strip()) <= 60 or not who.isprintable():
        problems.append(_problem("who read it", "nobody is named", "Write a name."))
    if len(same) != len(lines):
        remedy = "Read every line, from the aircraft and not from the paper."
        problem = f"{len(same)} of {len(lines)} lines were read"
        problems.append(_problem("read aloud", problem, remedy))
    if before.found_unlike:
        remedy = "Load it again, fetch it and compare: reading aloud does not settle it."
        problems.append(_problem("read aloud", before.why_not.rstrip("."), remedy))
    if release.stage is not Stage.RELEASE:
        problems.append(_problem(path.name, "is a plan, in no aircraft", "Release it first."))
    if problems:
        raise RefusedError(problems)
    unlike = tuple(
        f"Not so aboard: {line}" for line, is_so in zip(lines, same, strict=True) if not is_so
    )
    end = End.NOT_THE_SAME if unlike else End.SAME
    read = Proof(at=now, means=Means.ALOUD, source=who.strip(), end=end, unlike=unlike)
    add_proof(release, path, read)
    return aboard_of(release, path, now)


def keep_doubt(path: Path, why: str, now: datetime) -> None:
    """Keep that nothing is known of the route aboard any more; raises InputFileError."""
    release = read_release(path)
    doubt = Proof(at=now, means=Means.EVENT, source="", end=End.CANNOT_TELL, untold=(why,))
    add_proof(release, path, doubt)


def _plain(content: bytes) -> bytes:
    return content.replace(b"\r\n", b"\n")


def _problem(where: str, problem: str, remedy: str) -> Problem:
    return Problem(where=where, problem=problem, remedy=remedy)
