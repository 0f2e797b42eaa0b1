"""An entry as text: one canonical form, whose SHA-256 is the entry's name and binds what precedes.

The text is JSON with sorted keys and no blanks; a number with a fraction stands as text. In it are
the book, the number in it, and the digest of the entry before: nobody can change one entry without
changing the name of every later one.
"""

import hashlib
import json
import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from datetime import UTC, date, datetime
from enum import Enum
from typing import Any

from homeleg.readiness import entries as e
from homeleg.release.canonical import canonical_bytes
from homeleg.release.code import code_of

__all__ = ["KINDS", "Draft", "RecordError", "digest_of_text", "entry_of_text", "text_of"]

KINDS: Mapping[str, type[e.Thing]] = {
    "book": e.BookBegun,
    "configuration": e.Configuration,
    "event": e.Event,
    "release": e.Released,
    "comparison": e.Compared,
    "flight": e.Flight,
    "card": e.CardFlown,
    "pack": e.PackSeen,
    "defect": e.Defect,
    "deferral": e.Deferral,
    "maintenance": e.Maintenance,
    "done": e.Done,
    "paper": e.Paper,
    "person": e.Person,
    "note": e.Note,
    "withdrawal": e.Withdrawal,
}
_WORDS = {kind: word for word, kind in KINDS.items()}
_KEYS = {"about", "at", "book", "kind", "number", "previous", "thing", "written_at"}


class RecordError(ValueError):
    """A text is no entry; the message says what is wrong with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """An entry before it has a place in a book."""

    thing: e.Thing
    at: datetime
    about: str | None = None


def text_of(
    draft: Draft, *, book: str | None, number: int, previous: str | None, written_at: datetime
) -> str:
    """Return the canonical text of an entry; `book` is None for the entry that begins one."""
    thing = draft.thing
    document = {
        "about": draft.about,
        "at": _plain(draft.at),
        "book": book,
        "kind": _WORDS[type(thing)],
        "number": number,
        "previous": previous,
        "thing": {one.name: _plain(getattr(thing, one.name)) for one in fields(thing)},
        "written_at": _plain(written_at),
    }
    return canonical_bytes(document).decode("ascii")


def digest_of_text(text: str) -> str:
    """Return the SHA-256 of an entry's text, in hexadecimal."""
    return hashlib.sha256(text.encode()).hexdigest()


def entry_of_text(text: str) -> e.Entry:
    """Return the entry of a text; raises RecordError for anything but the form written here."""
    try:
        document = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise RecordError("is not JSON") from error
    if not isinstance(document, dict) or set(document) != _KEYS:
        raise RecordError("does not hold the fields of an entry")
    kind = KINDS.get(str(document["kind"]))
    if kind is None:
        raise RecordError(f"is of the kind {document['kind']!r}, which this version does not know")
    digest = digest_of_text(text)
    try:
        return e.Entry(
            digest=digest,
            code=code_of(digest),
            book=_read(document["book"], str | None) or digest,
            number=_read(document["number"], int),
            previous=_read(document["previous"], str | None),
            at=_read(document["at"], datetime),
            written_at=_read(document["written_at"], datetime),
            about=_read(document["about"], str | None),
            thing=_thing(document["thing"], kind),
        )
    except (KeyError, TypeError, ValueError) as error:
        raise RecordError(f"holds what an entry cannot: {error}") from error


def _plain(value: object) -> Any:
    """Return a value as it stands in an entry's text."""
    match value:
        case Enum():
            return value.value
        case datetime():
            return value.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
        case date():
            return value.isoformat()
        case tuple():
            return [_plain(one) for one in value]
        case float():
            return repr(value)
        case _:
            return value


def _thing(values: Mapping[str, Any], kind: type[e.Thing]) -> e.Thing:
    hints = _hints(kind)
    if set(values) != set(hints):
        raise ValueError(f"fields {sorted(set(values) ^ set(hints))}")
    return kind(**{name: _read(values[name], hint) for name, hint in hints.items()})


_HINTS: dict[type, dict[str, Any]] = {}


def _hints(kind: type) -> dict[str, Any]:
    if kind not in _HINTS:
        _HINTS[kind] = typing.get_type_hints(kind)
    return _HINTS[kind]


def _day(text: str) -> date:
    return date.fromisoformat(text)


def _time(text: str) -> datetime:
    time = datetime.fromisoformat(text)
    if time.tzinfo is None:
        raise ValueError(f"{text} without a time zone")
    return time


# The type a value has in the text, and how it is read.
_READERS: dict[type, tuple[type, Callable[[Any], Any]]] = {
    str: (str, str),
    int: (int, int),
    bool: (bool, bool),
    float: (str, float),
    date: (str, _day),
    datetime: (str, _time),
}


def _read(value: Any, hint: Any) -> Any:
    """Return a value of an entry's text as the type that it is to be."""
    origin = typing.get_origin(hint)
    if origin in (types.UnionType, typing.Union):
        if value is None:
            return None
        [inner] = [one for one in typing.get_args(hint) if one is not type(None)]
        return _read(value, inner)
    if origin is tuple:
        if not isinstance(value, list):
            raise ValueError(f"{value!r} instead of a list")
        return tuple(_read(one, typing.get_args(hint)[0]) for one in value)
    stored, reader = _READERS.get(hint, (str, hint))
    if type(value) is not stored:
        raise ValueError(f"{value!r} instead of {stored.__name__}")
    return reader(value)
