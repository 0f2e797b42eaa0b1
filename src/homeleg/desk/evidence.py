"""One zip for a customer or an authority: what was released, proved, flown and noted.

What is not there is listed as missing, with how it would have come to be.
"""

import hashlib
import json
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from homeleg.desk.base import Base
from homeleg.desk.check import Progress
from homeleg.desk.evidence_words import readme
from homeleg.desk.logbook import logbook_of, logbook_path
from homeleg.desk.logbook_base import base_around
from homeleg.desk.note import noted_aircraft
from homeleg.formats.plain_zip import SUMS, plain_zip, sums_text
from homeleg.formats.release_file import read_release
from homeleg.formats.text_file import refuse_taken, write_new_bytes
from homeleg.formats.toml_text import read_text_file
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.logbook.store import read_texts
from homeleg.readiness.entries import Compared, Entry, Flight, Paper, Person, Released
from homeleg.release.release import Release, Stage

__all__ = ["Evidence", "Part", "evidence", "evidence_here", "gather"]

_MOST_BYTES = 50_000_000
_RECORDS = (".json", ".jsonl")
_PAGES = (("A4.pdf", "Letter.pdf"), ("card.html",), ("calls.html",))


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing that belongs to the evidence: its files by name, or in words why there are none."""

    what: str
    files: dict[str, bytes]
    missing: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """All parts of the evidence on a release, and the zip of them."""

    release: Release
    parts: tuple[Part, ...]
    content: bytes

    @property
    def sha256(self) -> str:
        """The SHA-256 of the zip, in hexadecimal."""
        return hashlib.sha256(self.content).hexdigest()


def evidence(
    path: Path,
    out: Path,
    *,
    sheets: Sequence[Path] = (),
    recordings: Sequence[Path] = (),
    people: bool = False,
) -> Evidence:
    """Write the evidence on a release as a new file; see `gather`."""
    refuse_taken(out)
    gathered = gather(path, sheets=sheets, recordings=recordings, people=people)
    write_new_bytes(out, gathered.content)
    return gathered


def evidence_here(path: Path, people: bool, *, progress: Progress) -> Evidence:  # noqa: FBT001
    """Return the evidence on a release with what lies in its base, and say that it was begun."""
    progress("reading and zipping", 0.0)
    return gather(path, people=people)


def gather(
    path: Path,
    *,
    sheets: Sequence[Path] = (),
    recordings: Sequence[Path] = (),
    people: bool = False,
) -> Evidence:
    """Return the evidence on a release: the same files give the same bytes.

    `sheets` are pages besides those in the base, such as the signed one; `recordings` are named
    besides those in the base whose name holds the code: of each only the digest goes in. `people`
    adds papers and people of the logbook. Raises InputFileError.
    """
    release = read_release(path)
    if release.stage is not Stage.RELEASE:
        problem, remedy = "is a plan: nothing was flown on it", "Name the release flown."
        raise InputFileError([Problem(where=path.name, problem=problem, remedy=remedy)])
    base = base_around(path)
    parts = (
        Part(what="The release", files={f"{release.code}.release.json": _bytes(path)}),
        *_pages(release, path, sheets),
        _comparisons(release, path),
        _note(release, path),
        _logbook(release, base, people=people),
        _recordings(release, base, recordings),
    )
    files = {f"{release.code}/{name}": held for part in parts for name, held in part.files.items()}
    files[f"{release.code}/README.txt"] = readme(release, parts).encode()
    inside = {name.partition("/")[2]: held for name, held in files.items()}
    files[f"{release.code}/{SUMS}"] = sums_text(inside).encode()
    return Evidence(release=release, parts=parts, content=plain_zip(files))


def _pages(release: Release, path: Path, sheets: Sequence[Path]) -> Iterator[Part]:
    if sheets:
        _refuse_same_name(sheets)
        yield _part("Pages that were added", {f"pages/added/{one.name}": one for one in sheets}, "")
    titles = ("The release page and flight card", "The card for a phone", "The calls for a phone")
    folder = path.parent / release.code
    for what, names in zip(titles, _PAGES, strict=True):
        found = {f"pages/{name}": folder / name for name in names if (folder / name).is_file()}
        missing = "no such page was made: print it from the page of the release, on the screens"
        yield _part(what, found, missing)


def _refuse_same_name(sheets: Sequence[Path]) -> None:
    names = [one.name for one in sheets]
    twice = next((one for one in sheets if names.count(one.name) > 1), None)
    if twice is not None:
        raise _refused(twice, "two pages have this name", "Give one of them another name.")


def _comparisons(release: Release, path: Path) -> Part:
    """Return all that lies beside the release under its code: what was read from the aircraft."""
    beside = [
        one
        for one in sorted(path.parent.glob(f"{release.code}.*"))
        if one.suffix in _RECORDS and one.is_file() and one.resolve() != path.resolve()
    ]
    missing = "no comparison of the route aboard with this release was kept"
    return _part("What the aircraft held", {f"aboard/{one.name}": one for one in beside}, missing)


def _note(release: Release, path: Path) -> Part:
    """Return minutes and charge as they stand in the aircraft's file."""
    what, missing = (
        "The note after landing",
        "no note on this release stands in the aircraft's file",
    )
    try:
        text = read_text_file(noted_aircraft(release, path)).text
        rows = tomllib.loads(text).get("flown", ())
    except (InputFileError, ValueError):
        return Part(what=what, files={}, missing="the aircraft's file is not where it was")
    own = [row for row in rows if row.get("release") == release.code]
    if not own:
        return Part(what=what, files={}, missing=missing)
    text = json.dumps(own, indent=1, ensure_ascii=False, sort_keys=True, default=str)
    return Part(what=what, files={"note.json": f"{text}\n".encode()})


def _logbook(release: Release, base: Base | None, *, people: bool) -> Part:
    """Return the texts of the entries on a release; the digest of each is that of its line."""
    what = "The entries of the logbook"
    try:
        book = None if base is None else logbook_of(base)
    except InputFileError as error:
        return Part(what=what, files={}, missing=f"it {error.problems[0].problem}")
    if base is None or book is None:
        return Part(what=what, files={}, missing="there is no logbook where the release lies")
    own = {one.digest for one in book.held if _is_of(one, release.code)}
    if people:
        own |= {one.digest for one in book.held if isinstance(one.thing, Paper | Person)}
    lines = [text for digest, text in read_texts(logbook_path(base)) if digest in own]
    if not lines:
        return Part(what=what, files={}, missing="no entry speaks of this release")
    return Part(what=what, files={"logbook.jsonl": "".join(f"{one}\n" for one in lines).encode()})


def _is_of(entry: Entry, code: str) -> bool:
    match entry.thing:
        case Released() as one:
            return one.code == code
        case Compared() | Flight() as one:
            return one.release == code
        case _:
            return False


def _recordings(release: Release, base: Base | None, told: Sequence[Path]) -> Part:
    """Return the digests of the recordings, which stay where they are."""
    found = [] if base is None else (base.folder / "recordings").glob(f"*{release.code}*")
    paths = {path.resolve() for path in (*told, *found)}
    lines = sorted(f"{_digest(one)}  {one.name}\n" for one in paths)
    missing = "none was named, and none in the base has the code in its name"
    text = "".join(lines)
    files = {"recordings.sha256": text.encode()} if lines else {}
    return Part(what="Digests of recordings", files=files, missing="" if lines else missing)


def _part(what: str, paths: dict[str, Path], missing: str) -> Part:
    files = {name: _bytes(path) for name, path in paths.items()}
    return Part(what=what, files=files, missing="" if files else missing)


def _bytes(path: Path) -> bytes:
    try:
        if path.stat().st_size > _MOST_BYTES:
            problem = f"is larger than {_MOST_BYTES // 1_000_000} MB"
            raise _refused(path, problem, "It does not belong beside this release: move it away.")
        return path.read_bytes()
    except OSError as error:
        raise _unreadable(path, error) from error


def _digest(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as error:
        raise _unreadable(path, error) from error


def _unreadable(path: Path, error: OSError) -> InputFileError:
    words = (error.strerror or "unknown reason").lower()
    return _refused(
        path, f"cannot be read ({words})", "Name a file that is there, or leave it out."
    )


def _refused(path: Path, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=str(path), problem=problem, remedy=remedy)])
