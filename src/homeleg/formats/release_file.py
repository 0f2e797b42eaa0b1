"""Release files: one JSON text that holds the sortie, its verdict, who signed, and a seal.

Seal and digest tell that a file was changed, by accident or in an editor; who wants to forge one
can compute them anew. References: SHA-256, FIPS 180-4 (MEMORY).
"""

import hashlib
import json
from collections.abc import Mapping
from datetime import UTC, datetime
from importlib import resources
from itertools import zip_longest
from pathlib import Path
from typing import Any

from homeleg import __version__
from homeleg.formats.release_marks import first_changed, marks_of
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import printable
from homeleg.release.canonical import digest_of
from homeleg.release.code import code_of
from homeleg.release.release import CarriedFile, Release, Stage
from homeleg.release.signing import Override, Signature

__all__ = [
    "SCHEMA",
    "carried_texts",
    "is_release_text",
    "read_release",
    "release_schema",
    "release_text",
    "sha256_of",
]

SCHEMA = "homeleg/release/1"
_GROUPS = (
    ("frozen.route", "the route"),
    ("frozen.settings", "the settings of the aircraft"),
    ("frozen.sortie", "the sortie (aircraft, loading, pack, weather, limits)"),
    ("frozen.site", "the site"),
    ("frozen.ground_files", "the names of the ground files"),
    ("frozen.verdict", "the verdict"),
    ("frozen.valid_until", "the time until when it holds"),
    ("signatures", "the signatures"),
    ("override", "the override"),
    ("given_at", "the time at which it was given"),
    ("answer", "the answer of the check"),
    ("files", "the texts inside it"),
    ("stage", "whether it is a release or a plan"),
    ("folder", "the folder that it leads to"),
    ("program", "what wrote it"),
)
_AGAIN = "Use an untouched copy, or release the sortie again."
_KIND = SCHEMA.rpartition("/")[0] + "/"
_OTHER_VERSION = (
    f"This program reads {SCHEMA}: another version wrote this. Release the sortie again."
)
_NO_RELEASE = f'A release file begins with schema "{SCHEMA}". Write one: homeleg release SORTIE.'


def release_text(release: Release) -> str:
    """Return a release as the text of its file: one key a line, its texts line by line."""
    document: dict[str, Any] = {
        "schema": SCHEMA,
        "program": f"homeleg {__version__}",
        "stage": release.stage.value,
        "code": release.code,
        "digest": release.digest,
        "given_at": _utc(release.given_at),
        "signatures": [
            {"name": one.name, "role": one.role or None, "read_back": one.read_back}
            for one in release.signatures
        ],
        "override": release.override
        and {"name": release.override.name, "reason": release.override.reason},
        "frozen": release.frozen,
        "answer": release.answer,
        "files": [
            {"name": file.name, "sha256": file.sha256, "lines": file.text.splitlines(keepends=True)}
            for file in release.files
        ],
        "folder": release.folder,
    }
    document["marks"] = marks_of(document)
    document["seal"] = _seal(document)
    return _written(document)


def read_release(path: Path) -> Release:
    """Return the release of a file, after its digest and seal were verified.

    Raises InputFileError where it is none, or where it was changed after it was written.
    """
    file = read_text_file(path)
    document = _document(file)
    try:
        changed = _changed(document) or _changed_line(document, file)
        if not changed:
            return _whole(_release(document))
    except (KeyError, TypeError, ValueError, AttributeError, RecursionError) as error:
        raise _refused(file.name, "is not a whole release", _AGAIN) from error
    raise _refused(file.name, changed, f"It is no release any more. {_AGAIN}")


def is_release_text(file: TextFile) -> bool:
    """Return whether a text begins as a JSON document does."""
    return file.text.lstrip().startswith("{")


def carried_texts(release: Release) -> tuple[TextFile, dict[str, TextFile]]:
    """Return the sortie's text, and those beside it by the name under which it calls them."""
    first, *others = release.files
    beside = {file.name: _text_file(file) for file in others}
    return _text_file(first), beside


def release_schema() -> dict[str, object]:
    """Return the shipped JSON Schema of the document."""
    file = resources.files("homeleg.formats") / "schemas" / "release.schema.json"
    schema: dict[str, object] = json.loads(file.read_text(encoding="utf-8"))
    return schema


def sha256_of(text: str) -> str:
    """Return the SHA-256 of a text in UTF-8, in hexadecimal."""
    return hashlib.sha256(text.encode()).hexdigest()


def _text_file(file: CarriedFile) -> TextFile:
    return TextFile(Path(file.name).name, file.text, file.sha256)


def _document(file: TextFile) -> dict[str, Any]:
    try:
        document = json.loads(file.text)
    except (ValueError, RecursionError) as error:
        problem = "is not JSON: it is no release file, or was cut off"
        raise _refused(file.name, problem, _AGAIN) from error
    schema = document.get("schema") if isinstance(document, dict) else None
    if schema != SCHEMA:
        problem = (
            f"says it is {printable(str(schema))[:40]}" if schema else "does not say what it is"
        )
        is_other = str(schema).startswith(_KIND)
        remedy = _OTHER_VERSION if is_other else _NO_RELEASE
        raise _refused(file.name, problem, remedy)
    return dict(document)


def _changed(document: Mapping[str, Any]) -> str:
    """Return in words what of a document was changed after it was written, "" if nothing was."""
    digest = digest_of(document["frozen"])
    if digest != document["digest"]:
        at = first_changed(document, "frozen.")
        what = _named(at) if at else "its digest, or all that this is of"
        return (
            f"was changed after it was written, in {what}: its code was "
            f"{printable(str(document['code']))[:12]}, and would now be {code_of(digest)}"
        )
    for file in document["files"]:
        if sha256_of("".join(file["lines"])) != file["sha256"]:
            name, at = printable(str(file["name"]))[:60], first_changed(document, "files")
            return f"the text of {name} inside it was changed after it was written{_at(at)}"
    if code_of(digest) != document["code"]:
        return f"the code printed in it is not its own, which is {code_of(digest)}"
    if _seal({key: value for key, value in document.items() if key != "seal"}) != document["seal"]:
        at = first_changed(document)
        return f"was changed after it was written, in {_named(at) if at else 'its seal, or a mark'}"
    return ""


def _named(at: str) -> str:
    """Return the group of values that a key stands in, and the key."""
    found = (words for group, words in _GROUPS if at.startswith(group))
    return f"{next(found, 'something in it')}{_at(at)}"


def _at(key: str) -> str:
    return f" (at {printable(key)[:120]})" if key else ""


def _changed_line(document: Mapping[str, Any], file: TextFile) -> str:
    """Return which line is not as it was written, though it means the same; "" if all are.

    A key told twice is such a line: who reads the file and who computes with it would differ.
    """
    written = _written(document)
    if sha256_of(written) == file.sha256:
        return ""
    lines = zip_longest(written.split("\n"), file.text.split("\n"))
    number = next((n for n, (right, got) in enumerate(lines, start=1) if right != got), 1)
    return f"line {number} was written anew: it means the same, and is not the same text"


def _release(document: Mapping[str, Any]) -> Release:
    override = document["override"]
    return Release(
        stage=Stage(document["stage"]),
        frozen=document["frozen"],
        given_at=datetime.fromisoformat(document["given_at"]),
        signatures=tuple(
            Signature(name=one["name"], role=one["role"] or "", read_back=one["read_back"])
            for one in document["signatures"]
        ),
        override=None if override is None else Override(**override),
        answer=document["answer"],
        files=tuple(
            CarriedFile(name=file["name"], text="".join(file["lines"]), sha256=file["sha256"])
            for file in document["files"]
        ),
        folder=str(document["folder"]),
    )


def _whole(release: Release) -> Release:
    """Return the release once all that is asked of it can be answered."""
    _ = (release.route, release.valid_until, release.launch_time, release.word, release.code)
    _ = (release.ground_files, release.files[1], release.answer["headline"])
    return release


def _written(document: Mapping[str, Any]) -> str:
    return json.dumps(document, indent=1, allow_nan=False, ensure_ascii=False) + "\n"


def _seal(document: Mapping[str, Any]) -> str:
    text = json.dumps(document, sort_keys=True, separators=(",", ":"), allow_nan=False)
    return sha256_of(text)


def _utc(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


def _refused(name: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=name, problem=problem, remedy=remedy)])
