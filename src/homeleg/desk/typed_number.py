"""A number typed at a field: taken, or refused in words that belong beside the field."""

import math
from collections.abc import Mapping

from homeleg.foundation.errors import HomelegError
from homeleg.foundation.units import TextError, parse_number

__all__ = ["FieldError", "FieldsError", "cleaned", "typed_number"]


class FieldError(ValueError):
    """What is wrong at a field; without a name at the first that was typed."""

    def __init__(self, words: str, name: str = "") -> None:
        super().__init__(words)
        self.name = name


class FieldsError(HomelegError):
    """Why fields cannot be taken: what is wrong and what would be right, by name."""

    def __init__(self, wrong: Mapping[str, str]) -> None:
        super().__init__("; ".join(f"{name}: {words}" for name, words in wrong.items()))
        self.wrong = dict(wrong)


def cleaned(typed: Mapping[str, str]) -> dict[str, str]:
    """Return what was typed without needless blanks, a comma as the point that it stands for."""
    return {name: " ".join(text.split()).replace(",", ".") for name, text in typed.items()}


def typed_number(given: Mapping[str, str], name: str, least: float, most: float) -> float:
    """Return a number that was typed; raises FieldError with what it must be."""
    try:
        value = parse_number(given.get(name, ""))
    except TextError:
        value = math.nan
    if not least <= value <= most:
        text = given.get(name, "") or "nothing"
        raise FieldError(f"{text[:40]} is no number from {least:g} to {most:g}.", name)
    return value
