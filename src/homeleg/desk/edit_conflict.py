"""A save onto files that were changed since its form was made: which keys each side touches."""

import csv
import hashlib
import io
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from homeleg.formats.toml_text import LARGEST_BYTES, file_bytes, parse_toml, read_text_file
from homeleg.foundation.errors import InputFileError

__all__ = ["EditConflict", "KeyLine", "conflict_of", "files_of_sortie", "state_of", "texts_of"]

_BESIDE = ("aircraft", "route")
_DIGITS = 16
_ALL_OF_IT, _ORDER = "all of it", "order"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyLine:
    """What a key of a file holds: when the form was made, now, and by the save; None for nothing.

    `by_other` and `by_save` tell who changes it.
    """

    file: str
    key: str
    was: str | None
    now: str | None
    saved: str | None
    by_other: bool
    by_save: bool


@dataclass(frozen=True, slots=True)
class EditConflict:
    """The keys that either side changes; `known` is False where what was before is forgotten."""

    lines: tuple[KeyLine, ...]
    known: bool

    @property
    def clashing(self) -> tuple[KeyLine, ...]:
        """The keys that both sides change; where it is not known, all that the save changes."""
        return tuple(one for one in self.lines if one.by_save and (one.by_other or not self.known))


def files_of_sortie(path: Path) -> tuple[Path, ...]:
    """Return a sortie's file and those that it names, as far as it can be read."""
    try:
        told = parse_toml(read_text_file(path))
    except InputFileError:
        return (path,)
    named = (told.get(key) for key in _BESIDE)
    return (path, *(path.parent / name for name in named if isinstance(name, str)))


def texts_of(files: Sequence[Path]) -> dict[Path, str]:
    """Return what files hold; a file that cannot be read holds nothing."""
    return {path: _text(path) for path in files}


def state_of(texts: Mapping[Path, str]) -> str:
    """Return what stands for texts in a form: some digits of the digest of each."""
    digests = (hashlib.sha256(text.encode()).hexdigest() for text in texts.values())
    return "-".join(digest[:_DIGITS] for digest in digests)


def conflict_of(
    state: str,
    before: Mapping[Path, str] | None,
    now: Mapping[Path, str],
    saved: Mapping[Path, str],
) -> EditConflict | None:
    """Return what stands against a save; None where no file that it changes was changed since.

    `state` is that of the texts `before`, None where nobody knows them any more.
    """
    stale = set(state_of(now).split("-")) - set(state.split("-"))
    lines: list[KeyLine] = []
    for path in now:
        if saved[path] != now[path] and state_of({path: now[path]}) in stale:
            lines += _lines(path, None if before is None else before.get(path), now, saved)
    if not any(line.by_save for line in lines):
        return None  # the other hand saved the same
    return EditConflict(tuple(lines), known=before is not None)


def _lines(
    path: Path, before: str | None, now: Mapping[Path, str], saved: Mapping[Path, str]
) -> list[KeyLine]:
    there, wanted = _keys(path, now[path]), _keys(path, saved[path])
    was = there if before is None else _keys(path, before)
    return [
        KeyLine(
            file=path.name,
            key=key,
            was=was.get(key),
            now=there.get(key),
            saved=wanted.get(key),
            by_other=was.get(key) != there.get(key),
            by_save=wanted.get(key) != there.get(key),
        )
        for key in dict.fromkeys((*was, *there, *wanted))
        if not was.get(key) == there.get(key) == wanted.get(key)
    ]


def _text(path: Path) -> str:
    try:
        return file_bytes(path, LARGEST_BYTES).decode("utf-8", "replace")
    except InputFileError:
        return ""


def _keys(path: Path, text: str) -> dict[str, str]:
    """Return the values of a file by key, as words; a file of another kind is one value."""
    if path.suffix.lower() == ".csv":
        return dict(_cells(text))
    try:
        return dict(_values((), tomllib.loads(text)))
    except (ValueError, RecursionError):
        return {_ALL_OF_IT: f"{len(text.splitlines())} lines"}


def _values(keys: tuple[str, ...], value: object) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _values((*keys, key), inner)
    else:
        table, *rest = keys
        yield (f"[{table}] {' '.join(rest)}" if rest else table), _words(value)


def _words(value: object) -> str:
    if isinstance(value, list):
        return "; ".join(_words(one) for one in value) or "none"
    if isinstance(value, dict):
        return ", ".join(f"{key} {_words(one)}" for key, one in value.items())
    return str(value)


def _cells(text: str) -> Iterator[tuple[str, str]]:
    """Return the cells of a route by item and column, and the order of the items."""
    rows = list(csv.DictReader(io.StringIO(text), skipinitialspace=True, restkey="more"))
    yield _ORDER, ", ".join(str(row.get("name")) for row in rows)
    for row in rows:
        yield from (
            (f"{row.get('name')}, {column}", str(cell)) for column, cell in row.items() if cell
        )
