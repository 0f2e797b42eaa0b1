"""An aircraft's text from before a note, and what the note taught: kept beside it, to be undone."""

import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from homeleg.debrief.two_numbers import Prediction, TwoNumbers
from homeleg.formats.release_file import sha256_of
from homeleg.formats.text_file import write_text
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.readiness.reach import Reach
from homeleg.verdict.result import Percentiles

__all__ = ["Noted", "Taught", "is_noted", "keep_note", "noted_before", "put_back"]

_MARK = "# before the note on release {code}; the file after it had SHA-256 {digest}"
_TAUGHT = "# what it taught: "


@dataclass(frozen=True, slots=True, kw_only=True)
class Taught:
    """A figure of the aircraft before and after: 1 in 10, half, 9 in 10."""

    title: str
    unit: str
    before: Percentiles
    after: Percentiles


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """What was foretold, what the aircraft taught, its reach before and after, and its file."""

    seen: TwoNumbers
    prediction: Prediction
    taught: tuple[Taught, ...]
    reach: tuple[Reach, Reach]
    flights: int
    aircraft: Path


def keep_note(noted: Noted, before: TextFile, after: str, code: str) -> None:
    """Keep the earlier text beside the aircraft's file, then replace that in one step."""
    mark = _MARK.format(code=code, digest=sha256_of(after))
    taught = json.dumps({**asdict(noted), "aircraft": ""}, allow_nan=False)
    kept = f"{mark}\n{_TAUGHT}{taught}\n{before.text}"
    write_text(_kept_at(noted.aircraft, code), kept)
    write_text(noted.aircraft, after)


def is_noted(aircraft: Path, code: str) -> bool:
    """Return whether a note on a release stands and can be undone."""
    return _kept_at(aircraft, code).exists()


def noted_before(aircraft: Path, code: str) -> Noted | None:
    """Return what a note on a release taught, None where there is none or it does not say."""
    try:
        lines = _kept_at(aircraft, code).read_text("utf-8").split("\n", 2)
        return _noted(json.loads(lines[1].removeprefix(_TAUGHT)), aircraft)
    except (OSError, ValueError, TypeError, KeyError, IndexError, AttributeError):
        return None  # by hand, or by an earlier program: the note stands all the same


def put_back(aircraft: Path, code: str) -> None:
    """Put back an aircraft's text as it was before the note on a release.

    Raises InputFileError where there was no note, or the file was changed after it.
    """
    kept = _kept_at(aircraft, code)
    if not kept.exists():
        raise _refused(kept.name, "there is no such file, so no note to undo", "Was it undone?")
    mark, _, text = kept.read_text("utf-8").partition("\n")
    if text.startswith(_TAUGHT):
        text = text.partition("\n")[2]
    present = read_text_file(aircraft)
    if mark != _MARK.format(code=code, digest=sha256_of(present.text)):
        remedy = f"Undo by hand: the text before the note stands in {kept.name}."
        raise _refused(aircraft.name, "was changed after the note", remedy)
    write_text(aircraft, text)
    kept.unlink()


def _noted(document: dict[str, Any], aircraft: Path) -> Noted:
    before, after = (Reach(**one) for one in document["reach"])
    return Noted(
        seen=TwoNumbers(**document["seen"]),
        prediction=Prediction(**document["prediction"]),
        taught=tuple(
            Taught(
                title=str(one["title"]),
                unit=str(one["unit"]),
                before=Percentiles(**one["before"]),
                after=Percentiles(**one["after"]),
            )
            for one in document["taught"]
        ),
        reach=(before, after),
        flights=int(document["flights"]),
        aircraft=aircraft,
    )


def _kept_at(file: Path, code: str) -> Path:
    return file.with_name(f"{file.name}.before-{code}")


def _refused(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
