"""The strip of one row: where its value lies between what must be and what is wanted.

The rail is hollow beyond the hard limit, hatched to the want limit and solid where there is room.
Above it a bar from the value that 1 in 10 flights stay below to that of 9 in 10, a notch at the
middle flight, and a pointer on the figure that is judged. The words of a limit grow outward from
its tick, so that the two cannot meet.
"""

import math
from dataclasses import dataclass

from homeleg.briefing.drawing import Anchor, Drawing
from homeleg.briefing.lettering import Weight, text_width
from homeleg.briefing.palette import Palette
from homeleg.verdict.limits import Sense
from homeleg.verdict.result import Row
from homeleg.verdict.wording import figure

__all__ = ["strip"]

_HEIGHT = 56.0
_BAR_Y, _BAR_HEIGHT = 10.0, 12.0
_RAIL_Y, _RAIL_HEIGHT = 26.0, 11.0
_POINTER_HALF = 7.0
_BESIDE_TICK = 3.0
_SPARE = 0.15
_PASSES = 6


@dataclass(frozen=True, slots=True)
class _Scale:
    """The line of values: `low` at `left`, `high` at `right`."""

    low: float
    high: float
    left: float
    right: float

    def x(self, value: float) -> float:
        """Return where a value lies, held inside the rail."""
        share = (value - self.low) / (self.high - self.low)
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)


@dataclass(frozen=True, slots=True)
class _Tick:
    """A limit with its words, which grow away from the other limit."""

    value: float
    words: str
    weight: Weight
    anchor: Anchor
    line: float


def strip(row: Row, palette: Palette, *, width: float = 360.0, letter: float = 15.0) -> str | None:
    """Return the strip of a row as SVG; None where it has no figure or no limit to hold it to."""
    if row.reading is None or (row.want is None and row.hard is None):
        return None
    ticks = _ticks(row)
    scale = _scale(row, ticks, width, letter)
    drawing = Drawing(f"strip-{row.limit.slug.replace('.', '-')}", width, _HEIGHT)
    _rail(drawing, row, scale, palette)
    _value(drawing, row, scale, palette)
    for tick in ticks:
        x = scale.x(tick.value)
        ends = ((x, _RAIL_Y - 3.0), (x, _RAIL_Y + _RAIL_HEIGHT + 3.0))
        drawing.line(ends, stroke=palette.ink, line=tick.line)
        away = -_BESIDE_TICK if tick.anchor == "end" else _BESIDE_TICK
        drawing.text(
            (x + away, _HEIGHT - 4.0),
            tick.words,
            letter,
            fill=palette.ink,
            weight=tick.weight,
            anchor=tick.anchor,
        )
    return drawing.svg(row.limit.title, _sentence(row))


def _ticks(row: Row) -> list[_Tick]:
    at_least = row.limit.sense is Sense.AT_LEAST
    toward_bad: Anchor = "end" if at_least else "start"
    toward_good: Anchor = "start" if at_least else "end"
    ticks = []
    if row.hard is not None and row.hard != row.want:
        words = f"hard {figure(row.hard, row.limit.unit)}"
        ticks.append(_Tick(row.hard, words, "regular", toward_bad, 1.6))
    if row.want is not None:
        words = f"want {figure(row.want, row.limit.unit)}"
        ticks.append(_Tick(row.want, words, "bold", toward_good, 2.6))
    return ticks


def _scale(row: Row, ticks: list[_Tick], width: float, letter: float) -> _Scale:
    """Return a line that holds every value with some room, and every tick's words."""
    values = [row.reading or 0.0, *(tick.value for tick in ticks)]
    if row.value is not None:
        values += [row.value.p10, row.value.p90]
    least, most = min(values), max(values)
    spare = _SPARE * (most - least) or max(abs(most), 1.0)
    low, high = least - spare, most + spare
    if least >= 0.0:
        low = max(low, 0.0)
    if row.limit.unit == "%" and most <= 100.0:
        high = min(high, 100.0)
    left, right = _POINTER_HALF, width - _POINTER_HALF
    for tick in ticks * _PASSES:  # moving one end moves the ticks near the other
        room = math.ceil(text_width(tick.words, letter, tick.weight) + _BESIDE_TICK)
        share = (tick.value - low) / (high - low)
        if tick.anchor == "end" and share < 1.0:
            left = max(left, (room - share * right) / (1.0 - share))
        elif tick.anchor == "start" and share > 0.0:
            right = min(right, left + (width - room - left) / share)
    return _Scale(low, high, left, right)


def _rail(drawing: Drawing, row: Row, scale: _Scale, palette: Palette) -> None:
    """Draw the rail: hollow beyond hard, hatched to want, solid inside.

    Without a hard limit no value is NO-GO: the hatch runs to the end.
    """
    good = scale.right if row.limit.sense is Sense.AT_LEAST else scale.left
    bad = scale.left + scale.right - good
    hard_x = bad if row.hard is None else scale.x(row.hard)
    want_x = hard_x if row.want is None else scale.x(row.want)
    hatch = drawing.hatch(palette.ink, palette.channel, spacing=5.0, line=1.8)
    edges = (bad, hard_x, want_x, good)
    fills = (palette.channel, hatch, palette.ink)
    for start, end, fill in zip(edges, edges[1:], fills, strict=False):
        if abs(end - start) >= 1.0:
            corner = (min(start, end), _RAIL_Y)
            size = (abs(end - start), _RAIL_HEIGHT)
            drawing.rectangle(corner, size, fill=fill, stroke=palette.ink, line=1.6)


def _value(drawing: Drawing, row: Row, scale: _Scale, palette: Palette) -> None:
    """Draw the bar over the flights, its notch, and the pointer on what is judged."""
    if row.value is not None and row.value.p90 > row.value.p10:
        left, notch, right = (
            scale.x(value) for value in (row.value.p10, row.value.p50, row.value.p90)
        )
        drawing.rectangle((left, _BAR_Y), (right - left, _BAR_HEIGHT), fill=palette.has)
        ends = ((notch, _BAR_Y - 2.0), (notch, _BAR_Y + _BAR_HEIGHT + 2.0))
        drawing.line(ends, stroke=palette.ink, line=1.6, halo=palette.channel)
    x = scale.x(row.reading or 0.0)
    tip = (x, _BAR_Y + _BAR_HEIGHT + 3.0)
    drawing.polygon(((x - _POINTER_HALF, 0.0), (x + _POINTER_HALF, 0.0), tip), fill=palette.ink)


def _sentence(row: Row) -> str:
    unit = row.limit.unit
    words = f"{row.limit.title}: {figure(row.reading or 0.0, unit)}"
    if row.value is not None and row.value.p90 > row.value.p10:
        words += (
            f", 8 in 10 between {figure(row.value.p10, unit)} and {figure(row.value.p90, unit)}"
        )
    for word, bound in (("want", row.want), ("hard", row.hard)):
        if bound is not None:
            words += f", {word} {row.limit.sense.value} {figure(bound, unit)}"
    return f"{words}. {row.status.value}."
