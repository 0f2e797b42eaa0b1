"""The README of an evidence zip: what is there, what is missing, how to verify it."""

import textwrap
from collections.abc import Iterator, Sequence
from typing import Protocol

from homeleg.formats.plain_zip import SUMS
from homeleg.foundation.stated_text import shown_time
from homeleg.release.release import Release
from homeleg.verdict.cautions import ADVICE

__all__ = ["readme"]

_WIDTH = 88


class _Part(Protocol):
    @property
    def what(self) -> str: ...
    @property
    def files(self) -> dict[str, bytes]: ...
    @property
    def missing(self) -> str: ...


def readme(release: Release, parts: Sequence[_Part]) -> str:
    """Return the words of the README, wrapped."""
    blocks = [
        list(_head(release)),
        ["What is here", *(_line(part) for part in parts if part.files)],
        ["What is missing", *(_line(part) for part in parts if part.missing)],
        list(_how(release)),
        [ADVICE],
    ]
    if not any(part.missing for part in parts):
        blocks[2].append("  Nothing.")
    return "\n".join("\n".join(_wrapped(line) for line in block) + "\n" for block in blocks)


def _head(release: Release) -> Iterator[str]:
    yield f"Evidence on release {release.code}"
    yield ""
    yield f"Verdict: {release.answer['headline']}"
    launch, until = shown_time(release.launch_time), shown_time(release.valid_until)
    yield f"Launch planned {launch}, valid until {until}."
    signed = "; ".join(one.words for one in release.signatures)
    yield f"Released {shown_time(release.given_at)} by {signed}."
    if release.override is not None:
        yield f"Flown on the decision of {release.override.name}: {release.override.reason}"
    yield f"SHA-256 of what was signed: {release.digest}"


def _line(part: _Part) -> str:
    if part.missing:
        return f"  {part.what}: {part.missing}."
    return f"  {part.what}: {', '.join(sorted(part.files))}"


def _how(release: Release) -> Iterator[str]:
    name = f"{release.code}.release.json"
    yield "How to verify it"
    yield f"1. Every file is as it was put in: in this folder, sha256sum --check {SUMS}."
    yield (
        "2. Is the zip itself the one you were given? Whoever made it has its SHA-256, printed "
        "when it was made: ask for it by another way than the zip came."
    )
    yield (
        f"3. The release is whole: homeleg show {name} computes its digest and seal anew and says "
        "what was released: route, settings, signatures."
    )
    yield (
        f"4. Paper, tape and screen carry its code, {release.code}: six characters of that digest. "
        "Another sortie, another code."
    )
    yield (
        "5. Each line of logbook.jsonl is one entry; its SHA-256 (of the line, without its end) is "
        "the entry's digest, of which the logbook shows six characters, and binds the one before."
    )
    yield (
        "6. A recording is the one meant if its SHA-256 stands in recordings.sha256. Recordings "
        "themselves are not in here."
    )
    yield ""
    yield (
        "What this does not prove. Nothing is signed with a key: who can write these files can "
        "write others. It shows what was computed, declared and noted, not that it was true. The "
        "ground files of the release are named in it with their SHA-256, and are not in here."
    )


def _wrapped(line: str) -> str:
    indent = "   " if line[:1].isdigit() else "    "
    return textwrap.fill(line, _WIDTH, subsequent_indent=indent if line[:1] in " 123456" else "")
