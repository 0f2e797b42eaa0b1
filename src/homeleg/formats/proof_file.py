"""Comparisons with a release, kept beside it: a line of JSON each, added and never changed."""

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from homeleg import __version__
from homeleg.formats.text_file import add_line
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.release.comparison import End
from homeleg.release.release import Release
from homeleg.release.route_aboard import Means, Proof

__all__ = ["add_proof", "proof_path", "read_proofs"]

_SCHEMA = "homeleg/route-aboard/1"


def proof_path(release: Release, beside: Path) -> Path:
    """Return where the comparisons with a release are kept: beside its file."""
    return beside.with_name(f"{release.code}.aboard.jsonl")


def add_proof(
    release: Release, beside: Path, proof: Proof, *, link: Mapping[str, Any] | None = None
) -> Path:
    """Add a comparison to those kept beside a release; raises InputFileError.

    `link` is what is known besides of one over the link; nobody reads it back but people.
    """
    path = proof_path(release, beside)
    document: dict[str, Any] = {
        "schema": _SCHEMA,
        "program": f"homeleg {__version__}",
        "release": release.digest,
        "at": proof.at.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z"),
        "means": proof.means.name.lower(),
        "source": proof.source,
        "end": proof.end.value,
        "unlike": list(proof.unlike),
        "untold": list(proof.untold),
        "sha256": proof.sha256,
    }
    if link is not None:
        document["link"] = dict(link)
    add_line(path, json.dumps(document, ensure_ascii=False, allow_nan=False))
    return path


def read_proofs(release: Release, beside: Path) -> tuple[Proof | None, ...]:
    """Return the comparisons kept beside a release, the oldest first; None where one is unreadable.

    Those of another release with the same code are left out. Raises InputFileError where the file
    cannot be opened.
    """
    path = proof_path(release, beside)
    try:
        lines = path.read_bytes().split(b"\n")
    except FileNotFoundError:
        return ()
    except OSError as error:
        problem = f"cannot be read ({error.strerror})"
        remedy = "Make it readable: the comparisons with the release stand in it."
        raise InputFileError([Problem(where=path.name, problem=problem, remedy=remedy)]) from error
    found = [_proof(line) for line in lines if line.strip()]
    return tuple(one and one[1] for one in found if one is None or one[0] == release.digest)


def _proof(line: bytes) -> tuple[str, Proof] | None:
    """Return the digest of the release that a line is about, and its comparison."""
    try:
        document = json.loads(line.decode())
        at = datetime.fromisoformat(document["at"])
        if document["schema"] != _SCHEMA or at.tzinfo is None:
            return None
        return str(document["release"]), Proof(
            at=at,
            means=Means[document["means"].upper()],
            source=str(document["source"]),
            end=End(document["end"]),
            unlike=tuple(map(str, document["unlike"])),
            untold=tuple(map(str, document["untold"])),
            sha256=str(document["sha256"]),
        )
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None
