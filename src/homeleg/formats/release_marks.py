"""Marks of a release file: four places of a digest for each of its values, to name what changed.

Digest, code and seal tell that a file was changed; the marks tell which value. They are under the
seal themselves.
"""

import hashlib
import json
from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest

__all__ = ["first_changed", "marks_of"]

_PLACES, _LINE = 4, 120
# What is found beside the values: computed from them, or the marks themselves.
_OUTSIDE = ("digest", "seal", "marks")


def marks_of(document: Mapping[str, object]) -> dict[str, list[str]]:
    """Return the marks of every value in a document in lines, by the group that holds it."""
    marks: dict[str, str] = {}
    for group, key, value in _values(document):
        marks[group] = marks.get(group, "") + _mark(key, value)
    return {
        group: [whole[at : at + _LINE] for at in range(0, len(whole), _LINE)]
        for group, whole in marks.items()
    }


def first_changed(document: Mapping[str, object], group: str = "") -> str:
    """Return where a document is not what its marks say: the first value, "" where there is none.

    Only in groups that begin as told. A value that went or came shows as the one in whose place it
    is.
    """
    marks = document.get("marks")
    if not isinstance(marks, Mapping):
        return ""
    groups: dict[str, list[tuple[str, str]]] = {str(name): [] for name in marks}
    for name, key, value in _values(document):
        groups.setdefault(name, []).append((key, _mark(key, value)))
    for name, values in groups.items():
        if not name.startswith(group):
            continue
        lines = marks.get(name)
        whole = "".join(map(str, lines)) if isinstance(lines, list) else ""
        if at := _first_unlike(name, values, whole):
            return at
    return ""


def _first_unlike(group: str, values: Sequence[tuple[str, str]], marks: str) -> str:
    """Return the key of the first value of a group that has another mark, "" if none has."""
    kept = [marks[at : at + _PLACES] for at in range(0, len(marks), _PLACES)]
    last = group
    for said, mark in zip_longest(values, kept):
        if said is None:
            return f"{last}, after which something is missing"
        if said[1] != mark:
            return said[0]
        last = said[0]
    return ""


def _values(document: Mapping[str, object]) -> Iterator[tuple[str, str, object]]:
    """Give the group, the key and the value of everything in a document that holds no more."""
    for name, held in document.items():
        if name in _OUTSIDE:
            continue
        if name == "frozen" and isinstance(held, Mapping):
            for part, value in held.items():
                yield from ((f"frozen.{part}", *one) for one in _leaves(f"frozen.{part}", value))
        else:
            yield from ((name, *one) for one in _leaves(name, held))


def _leaves(key: str, value: object) -> Iterator[tuple[str, object]]:
    if isinstance(value, Mapping) and value:
        for name, inner in value.items():
            yield from _leaves(f"{key}.{name}", inner)
    elif isinstance(value, list | tuple) and value:
        for place, inner in enumerate(value, start=1):
            yield from _leaves(f"{key}[{place}]", inner)
    else:
        yield key, value


def _mark(key: str, value: object) -> str:
    text = f"{key}\n{json.dumps(value, ensure_ascii=True, allow_nan=False)}"
    return hashlib.sha256(text.encode()).hexdigest()[:_PLACES]
