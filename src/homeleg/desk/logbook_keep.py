"""Keeping a logbook: is it whole, written out, put together with another, saved when damaged."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from homeleg import __version__
from homeleg.desk.base import FOLDERS, Base, is_base
from homeleg.desk.logbook import Logbook, logbook_path, open_logbook
from homeleg.formats.text_file import refuse_taken, write_new_text, write_whole
from homeleg.formats.toml_text import decoded_text, file_bytes
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import shown_time
from homeleg.logbook.chain import ChainFindings, chain_findings
from homeleg.logbook.plain_files import plain_files, texts_of_document
from homeleg.logbook.rescue import saved_texts
from homeleg.logbook.store import Laptop, copy_of, insert_texts, read_texts

__all__ = [
    "Merged",
    "Rescued",
    "export_logbook",
    "logbook_json",
    "merge_into",
    "rescue_logbook",
    "verify_logbook",
]

_LARGEST_BYTES = 200_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Merged:
    """What was taken over: entries, and files that were not there.

    `differ` names the files that say something else in both places; they stay as they are.
    """

    entries: int
    files: tuple[str, ...]
    differ: tuple[str, ...]
    book: Logbook
    findings: ChainFindings


@dataclass(frozen=True, slots=True, kw_only=True)
class Rescued:
    """How many entries were saved, what is missing between them, and the trouble met."""

    entries: int
    findings: ChainFindings
    trouble: tuple[str, ...]


def verify_logbook(base: Base) -> ChainFindings:
    """Return whether the logbook of a base is whole; raises InputFileError if it is unreadable."""
    return chain_findings(read_texts(logbook_path(base)))


def logbook_json(base: Base, now: datetime) -> str:
    """Return the whole logbook of a base as JSON text."""
    return _files(base, now)["logbook.json"]


def export_logbook(base: Base, folder: Path, now: datetime) -> tuple[Path, ...]:
    """Write the logbook of a base as plain files into a folder that holds none of them yet."""
    files = _files(base, now)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        problem = f"this folder cannot be made ({(error.strerror or 'unknown reason').lower()})"
        raise _refused(folder, problem, "Name one that you may write.") from error
    paths = [folder / name for name in files]
    for path in paths:
        refuse_taken(path)
    for path, text in zip(paths, files.values(), strict=True):
        write_new_text(path, text)
    return tuple(paths)


def merge_into(base: Base, other: Path, laptop: Laptop, now: datetime) -> Merged:
    """Take over what another base, its logbook, or an exported logbook.json has and this has not.

    Nothing that is here is changed, and nothing at all in the other place. Raises InputFileError;
    then nothing was taken over.
    """
    if other.is_dir() and other.resolve() == base.folder.resolve():
        raise _refused(other, "this is the base itself", "Name the other one.")
    texts = _texts_of(other)
    files, differ = _copy_missing(other, base) if other.is_dir() else ((), ())
    new = insert_texts(logbook_path(base), texts)
    return Merged(
        entries=new,
        files=files,
        differ=differ,
        book=open_logbook(base, laptop, now),
        findings=verify_logbook(base),
    )


def rescue_logbook(path: Path, new: Path) -> Rescued:
    """Write every entry that can be saved of a damaged logbook into a new file.

    The damaged file stays as it is. Raises InputFileError where nothing could be saved.
    """
    refuse_taken(new)
    saved = saved_texts(path)
    if not saved.texts:
        raise _refused(path, "no entry could be read in it", "Look for a copy or an export of it.")
    insert_texts(new, saved.texts)
    return Rescued(
        entries=len(saved.texts),
        findings=chain_findings(read_texts(new)),
        trouble=saved.trouble,
    )


def _files(base: Base, now: datetime) -> dict[str, str]:
    texts = read_texts(logbook_path(base))
    program = f"homeleg {__version__}"
    return dict(plain_files(texts, program=program, written_at=shown_time(now)))


def _texts_of(other: Path) -> list[str]:
    """Return the entries of a base, a logbook file, or an exported one; raises InputFileError."""
    if other.is_dir():
        if not is_base(other):
            raise _refused(other, "this folder is no base", "Name a base, or an export's JSON.")
        other = logbook_path(Base(other.resolve()))
        if not other.exists():
            return []
    if other.suffix.lower() == ".json":
        content = file_bytes(other, _LARGEST_BYTES)
        text = decoded_text(other.name, content, longest_line=_LARGEST_BYTES)
        return texts_of_document(text, other.name)
    with copy_of(other) as copy:
        texts = read_texts(copy)
    findings = chain_findings(texts)
    changed = [one for one in findings.breaks if "not as it was written" in one]
    if changed:
        remedy = "Nothing was taken over. Rescue it first: homeleg logbook rescue."
        raise InputFileError(
            [Problem(where=str(other), problem=one, remedy=remedy) for one in changed]
        )
    return [text for _, text in texts]


def _copy_missing(other: Path, base: Base) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Copy the files of another base that are not here; return those, and those that differ."""
    source = Base(other.resolve())
    copied, differ = [], []
    for folder in FOLDERS:
        for path in sorted((source.folder / folder).rglob("*")):
            name = path.relative_to(source.folder)
            hidden = any(part.startswith(".") for part in name.parts)
            here = base.folder / name
            if hidden or not path.is_file() or not (source.holds(path) and base.holds(here)):
                continue
            if not here.exists():
                here.parent.mkdir(parents=True, exist_ok=True)
                write_whole(here, path.read_bytes())
                copied.append(name.as_posix())
            elif here.read_bytes() != path.read_bytes():
                differ.append(name.as_posix())
    return tuple(copied), tuple(differ)


def _refused(path: Path, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=str(path), problem=problem, remedy=remedy)])
