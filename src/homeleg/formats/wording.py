"""How values and names of a file are quoted in an error."""

import difflib
from collections.abc import Sequence

from homeleg.foundation.units import shown

__all__ = ["described", "nearest", "one_of"]

_LARGEST_SHOWN = 10**15


def described(raw: object) -> str:
    """Return a value as it can be quoted in one line."""
    if isinstance(raw, str):
        return shown(raw)
    if raw is None:
        return "nothing"
    if isinstance(raw, bool):
        return str(raw).lower()
    if isinstance(raw, float) or (isinstance(raw, int) and abs(raw) < _LARGEST_SHOWN):
        return f"{raw:.12g}"
    names = {dict: "a table", list: "a list", int: "this very large number"}
    return names.get(type(raw), "a date or time")


def nearest(word: str, names: Sequence[str]) -> str:
    """Return the known names that are most like a word, as the end of a sentence."""
    by_letters = {name.lower(): name for name in names}
    close = difflib.get_close_matches(word[:60].lower(), by_letters, n=2, cutoff=0.6)
    near = [by_letters[letters] for letters in close]
    return f"; the nearest is {' or '.join(near)}" if near else ""


def one_of(names: Sequence[str]) -> str:
    """Return the names there are, as a sentence."""
    return f"There are: {', '.join(names)}."
