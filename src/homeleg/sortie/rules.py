"""A rule profile: the limits of one set of rules, where they were read and as of when."""

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = ["RuleProfile", "RuledLimit"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RuledLimit:
    """Want and hard limits of one row in its own unit, and further numbers of it by name."""

    row: str
    want: float | None
    hard: float | None
    extra: Mapping[str, float]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleProfile:
    """Limits by row, with the profile's name, source, and the state of the text they are from.

    `remarks` are what it asks besides, which no row computes.
    """

    name: str
    source: str
    as_of: str
    limits: tuple[RuledLimit, ...]
    remarks: tuple[str, ...]
