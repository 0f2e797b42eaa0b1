"""Told items: what only a person at the field can say, each with its time."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldAnswer:
    """An answer given at the field.

    `good` is the plain answer (None where only numbers were given); `numbers` holds measured
    values in SI units by their name in the told table.
    """

    item: str
    good: bool | None
    numbers: dict[str, float]
    seen: datetime | None
