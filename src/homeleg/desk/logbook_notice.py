"""What the files of a base tell and its logbook does not yet: nobody types it twice.

A changed aircraft file becomes an entry of its configuration, a release file one of the release,
a comparison kept beside it one of the comparison, and a flight noted in an aircraft file one of
the flight.
"""

import tomllib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from homeleg.aircraft.record import FlownEnergy
from homeleg.desk.base import Base, title_of
from homeleg.formats.aircraft_file import aircraft_from_text
from homeleg.formats.proof_file import read_proofs
from homeleg.formats.release_file import read_release
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.foundation.errors import InputFileError
from homeleg.logbook.record import Draft
from homeleg.readiness.changes import Change, may_be
from homeleg.readiness.entries import (
    Compared,
    Configuration,
    Entry,
    Flight,
    Released,
    Withdrawal,
    standing,
    things,
)
from homeleg.release.release import Release, Stage

__all__ = ["changed_values", "noticed"]

_ENDING = ".release.json"
_NONE = "nothing"


def noticed(base: Base, entries: Sequence[Entry], now: datetime) -> list[Draft]:
    """Return the entries that the files of a base ask for, the earliest first.

    A file that cannot be read yet is left for later, and what was withdrawn stays so.
    """
    now = now.replace(microsecond=0)
    files = {path.name.removesuffix(_ENDING): path for path in _release_files(base)}
    drafts = [
        *_new_releases(base, files, entries, now),
        *_new_comparisons(files, entries, now),
        *_changed_aircraft(base, files, entries, now),
    ]
    return sorted(drafts, key=lambda draft: draft.at)


def changed_values(before: str, after: str) -> tuple[str, ...]:
    """Return what differs between two texts of an aircraft, each as "key: before -> after"."""
    old, new = _flat(tomllib.loads(before)), _flat(tomllib.loads(after))
    keys = [*old, *(key for key in new if key not in old)]
    return tuple(
        f"{key}: {old.get(key, _NONE)} -> {new.get(key, _NONE)}"
        for key in keys
        if old.get(key) != new.get(key)
    )


def _release_files(base: Base) -> list[Path]:
    found = [*base.releases.glob(f"*{_ENDING}"), *base.sorties.glob(f"**/*{_ENDING}")]
    return [path for path in sorted(found) if not path.name.startswith(".") and base.holds(path)]


def _new_releases(
    base: Base, files: Mapping[str, Path], entries: Sequence[Entry], now: datetime
) -> Iterator[Draft]:
    known = {release.code for _, release in things(entries, Released)}
    for code, path in files.items():
        release = None if code in known else _release(path)
        if release is None or release.code != code:
            continue
        thing = Released(
            aircraft=_aircraft_of(release),
            code=code,
            sha256=release.digest,
            file=path.relative_to(base.folder).as_posix(),
            word=release.word,
            launch=release.launch_time,
            signed_by=tuple(
                f"{one.name}, {one.role}" if one.role else one.name for one in release.signatures
            ),
        )
        yield Draft(thing=thing, at=min(release.given_at.replace(microsecond=0), now))


def _new_comparisons(
    files: Mapping[str, Path], entries: Sequence[Entry], now: datetime
) -> Iterator[Draft]:
    known = {(one.release, entry.at, one.means) for entry, one in things(entries, Compared)}
    counts = Counter(code for code, _, _ in known)
    for code, path in files.items():
        kept = path.with_name(f"{code}.aboard.jsonl")
        if not kept.is_file() or len(kept.read_bytes().splitlines()) <= counts[code]:
            continue
        release = _release(path)
        for proof in () if release is None else read_proofs(release, path):
            if release is None or proof is None or proof.at > now:
                continue
            at = proof.at.replace(microsecond=0)
            thing = Compared(
                aircraft=_aircraft_of(release),
                release=code,
                end=proof.end.value,
                means=proof.means.value,
                differences=len(proof.unlike),
            )
            if (code, at, thing.means) not in known:
                yield Draft(thing=thing, at=at)


def _changed_aircraft(
    base: Base, files: Mapping[str, Path], entries: Sequence[Entry], now: datetime
) -> Iterator[Draft]:
    last = {record.aircraft: record.text for _, record in things(standing(entries), Configuration)}
    for path in sorted(base.aircraft.glob("*.toml")):
        text = None if path.name.startswith(".") or not base.holds(path) else _aircraft_text(path)
        before = last.get(path.stem)
        if text is None or text == before:
            continue
        changed = () if before is None else changed_values(before, text)
        thing = Configuration(
            aircraft=path.stem, text=text, changed=changed, supposed=_supposed(changed)
        )
        yield Draft(thing=thing, at=now)
        yield from _flights(path.stem, before or "", text, files, entries, now)


def _flights(
    aircraft: str,
    before: str,
    after: str,
    files: Mapping[str, Path],
    entries: Sequence[Entry],
    now: datetime,
) -> Iterator[Draft]:
    """Return the flights that notes have put into an aircraft's text, and those taken out."""
    entered = {flight.release: entry for entry, flight in things(standing(entries), Flight)}
    ever = {flight.release for _, flight in things(entries, Flight)}
    noted, noted_before = _noted(after), _noted(before)
    for code, flown in noted.items():
        release = _release(files[code]) if code in files else None
        is_new = code not in noted_before or code not in ever
        if code not in entered and release is not None and is_new:
            thing = _flight(aircraft, release, flown)
            latest = now - timedelta(seconds=thing.duration_s)
            yield Draft(thing=thing, at=min(flown.on, latest).replace(microsecond=0))
    for code in noted_before:
        if code in entered and code not in noted:
            gone = Withdrawal(by="", reason="the note was taken back")
            yield Draft(thing=gone, at=now, about=entered[code].digest)


def _flight(aircraft: str, release: Release, flown: FlownEnergy) -> Flight:
    pilots = [one.name for one in release.signatures if "pilot" in one.role.lower()]
    return Flight(
        aircraft=aircraft,
        duration_s=flown.duration_s,
        charge_ah=flown.charge_ah,
        place=title_of(Path(release.folder).name),
        pilot=next(iter([*pilots, *(one.name for one in release.signatures)]), ""),
        release=release.code,
        pack=None,
    )


def _noted(text: str) -> dict[str, FlownEnergy]:
    """Return the flights of an aircraft's text that were noted on a release, by its code."""
    rows = tomllib.loads(text).get("flown", ())
    codes = [row.get("release") for row in rows]
    energies = aircraft_from_text(TextFile("", text, "")).energies if rows else ()
    return {str(code): one for code, one in zip(codes, energies, strict=True) if code}


def _release(path: Path) -> Release | None:
    try:
        release = read_release(path)
    except InputFileError:
        return None
    return release if release.stage is Stage.RELEASE else None


def _aircraft_of(release: Release) -> str:
    return Path(release.files[1].name).stem


def _aircraft_text(path: Path) -> str | None:
    """Return the text of an aircraft file, None while it cannot be read as one."""
    try:
        file = read_text_file(path)
        aircraft_from_text(file)
    except InputFileError:
        return None
    return file.text


def _supposed(changed: Sequence[str]) -> tuple[Change, ...]:
    """Return the gravest change that each changed value may stand for, each once."""
    found = [may_be(one.partition(":")[0]) for one in changed]
    return tuple(dict.fromkeys(kinds[0] for kinds in found if kinds))


def _flat(table: Mapping[str, Any], above: str = "") -> dict[str, str]:
    """Return the values of nested tables by dotted keys; an item of a list goes by its name."""
    found: dict[str, str] = {}
    for key, value in table.items():
        path = f"{above}{key}"
        if isinstance(value, Mapping):
            found |= _flat(value, f"{path}.")
        elif isinstance(value, list) and value and all(isinstance(one, Mapping) for one in value):
            for place, item in enumerate(value, start=1):
                found |= _flat(item, f"{path}.{item.get('name', place)}.")
        else:
            found[path] = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
    return found
