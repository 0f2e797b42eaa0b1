"""What a single value in a file must be: each kind reads it, and writes its JSON Schema."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from typing import Any, Protocol, TypeAlias

from homeleg.formats.findings import Spot
from homeleg.formats.wording import described, nearest, one_of
from homeleg.foundation.units import (
    Dimension,
    TextError,
    parse_quantity,
    shown,
    unit_names,
    units_fitting,
)

__all__ = [
    "Choice",
    "Fixed",
    "Flag",
    "JsonSchema",
    "Kind",
    "Number",
    "Quantity",
    "Share",
    "Spread",
    "Stated",
    "Text",
    "Whole",
]

JsonSchema: TypeAlias = dict[str, Any]
_OF_VALUE = " of value"
_MOST_GUESSES = 2


class Kind(Protocol):
    """What a value must be."""

    def read(self, raw: object, spot: Spot) -> object | None:
        """Return the value, or None after reporting what is wrong with it."""
        ...

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        ...


@dataclass(frozen=True, slots=True)
class Text:
    """Any short text."""

    longest: int = 200

    def read(self, raw: object, spot: Spot) -> str | None:
        """Return the value, or None after reporting what is wrong with it."""
        text = _string(raw, spot, "a text in quotes")
        if text is not None and not text.isprintable():
            spot.report(f"{shown(text)} holds letters that do not print", "Write it in one line.")
            return None
        if text is not None and not 0 < len(text.strip()) <= self.longest:
            spot.report(
                f"is {len(text)} letters long", f"Write a text of 1 to {self.longest} letters."
            )
            return None
        return text

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"type": "string", "minLength": 1, "maxLength": self.longest}


@dataclass(frozen=True, slots=True)
class Choice:
    """One word of an enumeration, by its value."""

    words: type[Enum]

    def read(self, raw: object, spot: Spot) -> Enum | None:
        """Return the value, or None after reporting what is wrong with it."""
        names = [str(word.value) for word in self.words]
        text = _string(raw, spot, f"one of: {', '.join(names)}")
        if text is None or text in names:
            return None if text is None else self.words(text)
        spot.report(f"{shown(text)} is not known{nearest(text, names)}", one_of(names))
        return None

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"enum": [word.value for word in self.words]}


@dataclass(frozen=True, slots=True)
class Fixed:
    """One exact text."""

    text: str

    def read(self, raw: object, spot: Spot) -> str | None:
        """Return the value, or None after reporting what is wrong with it."""
        if raw == self.text:
            return self.text
        spot.report(f"{described(raw)} is not {shown(self.text)}", f'Write "{self.text}".')
        return None

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"const": self.text}


@dataclass(frozen=True, slots=True)
class Flag:
    """A plain true or false."""

    def read(self, raw: object, spot: Spot) -> bool | None:
        """Return the value, or None after reporting what is wrong with it."""
        if isinstance(raw, bool):
            return raw
        spot.report(f"{described(raw)} is neither true nor false", "Write true or false.")
        return None

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"type": "boolean"}


@dataclass(frozen=True, slots=True)
class Whole:
    """A whole number within limits."""

    lowest: int
    highest: int

    def read(self, raw: object, spot: Spot) -> int | None:
        """Return the value, or None after reporting what is wrong with it."""
        limits = f"{self.lowest} to {self.highest}"
        if isinstance(raw, bool) or not isinstance(raw, int):
            spot.report(f"{described(raw)} is not a whole number", f"Write a number {limits}.")
            return None
        if not self.lowest <= raw <= self.highest:
            spot.report(f"{described(raw)} is outside {limits}", f"Write a number {limits}.")
            return None
        return raw

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"type": "integer", "minimum": self.lowest, "maximum": self.highest}


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number with a unit, within limits that are given in the first unit of its dimension."""

    dimension: Dimension
    lowest: float
    highest: float

    def read(self, raw: object, spot: Spot) -> float | None:
        """Return the value, or None after reporting what is wrong with it."""
        if self.dimension is Dimension.RATIO and _is_number(raw):
            raw = described(raw)
        unit = unit_names(self.dimension)[0]
        text = _string(raw, spot, f'a text with a unit, such as "{self.highest:g} {unit}"')
        if text is None:
            return None
        try:
            value = parse_quantity(text, self.dimension)
        except TextError as error:
            spot.report_text(error)
            return None
        lowest, highest = self._limit(self.lowest), self._limit(self.highest)
        if lowest <= value <= highest:
            return value
        fitting = units_fitting(text, self.dimension, lowest, highest)
        limits = f"{self.lowest:g} to {self.highest:g} {unit}".rstrip()
        # Where more units would fit, the limits are too wide to tell a wrong unit.
        is_telling = 0 < len(fitting) <= _MOST_GUESSES
        hint = f"Is it {' or '.join(fitting)}?" if is_telling else f"Write {limits}."
        spot.report(f"{shown(text)} is outside what this program accepts ({limits})", hint)
        return None

    def _limit(self, number: float) -> float:
        """Return a limit in the program's own unit."""
        return parse_quantity(f"{number!r} {unit_names(self.dimension)[0]}", self.dimension)

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        names = ", ".join(name for name in unit_names(self.dimension) if name)
        unit = unit_names(self.dimension)[0]
        about = f"{self.dimension.value} in {names}; {self.lowest:g} to {self.highest:g} {unit}"
        types = ["string", "number"] if self.dimension is Dimension.RATIO else "string"
        return {"type": types, "description": about.rstrip()}


@dataclass(frozen=True, slots=True)
class Number:
    """A plain number without a unit."""

    lowest: float = -1e12
    highest: float = 1e12

    def read(self, raw: object, spot: Spot) -> float | None:
        """Return the value, or None after reporting what is wrong with it."""
        if isinstance(raw, bool) or not isinstance(raw, int | float):
            spot.report(f"{described(raw)} is not a plain number", "Write a number, such as 12.5.")
            return None
        if not self.lowest <= raw <= self.highest:
            limits = f"{self.lowest:g} to {self.highest:g}"
            spot.report(f"{described(raw)} is outside {limits}", f"Write a number {limits}.")
            return None
        return float(raw)

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"type": "number", "minimum": self.lowest, "maximum": self.highest}


@dataclass(frozen=True, slots=True)
class Share:
    """A spread in per cent of the value it belongs to."""

    fraction: float


@dataclass(frozen=True, slots=True)
class Spread:
    """A standard deviation: in a unit of the value, or in per cent of it ("5 % of value")."""

    dimension: Dimension
    highest: float

    def read(self, raw: object, spot: Spot) -> float | Share | None:
        """Return the value, or None after reporting what is wrong with it."""
        if isinstance(raw, str) and raw.rstrip().endswith(_OF_VALUE):
            share = Quantity(Dimension.RATIO, 0.0, 1.0)
            fraction = share.read(raw.rstrip().removesuffix(_OF_VALUE), spot)
            return None if fraction is None else Share(fraction)
        return Quantity(self.dimension, 0.0, self.highest).read(raw, spot)

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        inner = Quantity(self.dimension, 0.0, self.highest).schema()
        inner["description"] += f', or a share such as "5 %{_OF_VALUE}"'
        return inner


@dataclass(frozen=True, slots=True)
class Stated:
    """A text with a meaning of its own (a height, an airspeed, a wind, a time), within limits."""

    parse: Callable[[str], object]
    example: str
    amount: Callable[[Any], float] | None = None
    lowest: float = -math.inf
    highest: float = math.inf
    unit: str = ""

    def read(self, raw: object, spot: Spot) -> object | None:
        """Return the value, or None after reporting what is wrong with it."""
        if isinstance(raw, datetime):
            raw = raw.isoformat()
        text = _string(raw, spot, f'a text such as "{self.example}"')
        if text is None:
            return None
        try:
            value = self.parse(text)
        except TextError as error:
            spot.report_text(error)
            return None
        if self.amount is None or self.lowest <= self.amount(value) <= self.highest:
            return value
        limits = f"{self.lowest:g} to {self.highest:g} {self.unit}".rstrip()
        spot.report(
            f"{shown(text)} is outside what this program accepts ({limits})", "Check the number."
        )
        return None

    def schema(self) -> JsonSchema:
        """Return what a JSON Schema says of such a value."""
        return {"type": "string", "examples": [self.example]}


def _string(raw: object, spot: Spot, wanted: str) -> str | None:
    if isinstance(raw, str):
        return raw
    problem = f"{described(raw)} what?" if _is_number(raw) else f"{described(raw)} is not a text"
    spot.report(problem, f"Write {wanted}.")
    return None


def _is_number(raw: object) -> bool:
    return isinstance(raw, int | float) and not isinstance(raw, bool)
