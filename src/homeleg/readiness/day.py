"""A day in spans: what holds when, and when all of it holds together."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import Enum
from itertools import pairwise

__all__ = ["Bar", "Holds", "Span", "common", "long_enough", "met", "missing_at"]


class Holds(Enum):
    """How a condition stands for a while."""

    MET = "met"
    NUISANCE = "a nuisance"
    SHUT = "shut"


@dataclass(frozen=True, slots=True)
class Span:
    """From one aware time to a later one."""

    begin: datetime
    end: datetime

    @property
    def length(self) -> timedelta:
        """How long it is."""
        return self.end - self.begin


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A condition over a span, with what is written on it."""

    span: Span
    holds: Holds
    words: str = ""


def met(bars: Sequence[Bar]) -> tuple[Span, ...]:
    """Return when a condition is met: where a bar says so and none says otherwise."""
    edges = sorted({edge for bar in bars for edge in (bar.span.begin, bar.span.end)})
    found: list[Span] = []
    for begin, end in pairwise(edges):
        here = [bar.holds for bar in bars if bar.span.begin <= begin and end <= bar.span.end]
        if here and all(holds is Holds.MET for holds in here):
            joins = bool(found) and found[-1].end == begin
            found[-1:] = [Span(found[-1].begin, end)] if joins else [*found[-1:], Span(begin, end)]
    return tuple(found)


def common(*rows: Sequence[Span]) -> tuple[Span, ...]:
    """Return the spans in which every row has one."""
    first, *others = rows
    spans = list(first)
    for other in others:
        spans = [
            Span(max(one.begin, two.begin), min(one.end, two.end))
            for one in spans
            for two in other
            if max(one.begin, two.begin) < min(one.end, two.end)
        ]
    return tuple(spans)


def long_enough(spans: Sequence[Span], least: timedelta) -> tuple[Span, ...]:
    """Return the spans that are no shorter than `least`."""
    return tuple(span for span in spans if span.length >= least)


def missing_at(rows: Sequence[tuple[str, Sequence[Span]]], at: datetime) -> tuple[str, ...]:
    """Return the names of the rows that have no span over a time."""
    return tuple(
        name for name, spans in rows if not any(one.begin <= at < one.end for one in spans)
    )
