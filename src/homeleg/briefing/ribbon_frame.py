"""The frame of the ribbon: axis of charge, legs and clock, shares at touchdown."""

import math

from homeleg.briefing.charge_axis import ChargeAxis
from homeleg.briefing.drawing import Drawing
from homeleg.briefing.lettering import Weight, text_width
from homeleg.briefing.palette import Palette
from homeleg.briefing.ribbon_plot import RibbonPlot
from homeleg.verdict.result import Block
from homeleg.verdict.wording import clock

__all__ = ["draw_axis", "draw_end", "draw_legs"]

_BETWEEN_CLOCKS = 12.0
_LINE_SPACING = 1.3
_END_WORDS = ("1 in 10 above", "middle flight", "9 in 10 above")
_SHORT_END_WORDS = ("", "middle", "9 in 10")
_END_WEIGHTS: tuple[Weight, ...] = ("regular", "bold", "bold")


def draw_axis(drawing: Drawing, plot: RibbonPlot, axis: ChargeAxis, palette: Palette) -> None:
    """Draw the axis of charge, a full pack its bold tick."""
    letter = plot.form.letter
    figures_x = plot.left - 9.0
    for x in (plot.left, plot.right):
        drawing.line(((x, plot.top), (x, plot.bottom)), stroke=palette.ink, line=1.6)
    for fraction, words in axis.ticks(plot.form.ticks):
        y = plot.y(fraction)
        if y - plot.top < letter * _LINE_SPACING:
            continue
        drawing.line(((plot.left - 6.0, y), (plot.left, y)), stroke=palette.ink, line=1.1)
        drawing.text((figures_x, y + 0.36 * letter), words, letter, fill=palette.ink, anchor="end")
    drawing.line(((plot.left - 8.0, plot.top), (plot.left, plot.top)), stroke=palette.ink, line=2.6)
    at = (figures_x, plot.top + 0.36 * letter)
    drawing.text(at, axis.full_words, letter, fill=palette.ink, weight="bold", anchor="end")
    at = (max(figures_x, math.ceil(text_width(axis.unit.value, letter))), plot.top - 0.75 * letter)
    drawing.text(at, axis.unit.value, letter, fill=palette.ink, anchor="end")


def draw_legs(drawing: Drawing, plot: RibbonPlot, palette: Palette) -> None:
    """Draw the legs as blocks, alternately solid and hollow, and the clock under their ends."""
    form = plot.form
    top = plot.bottom + 8.0
    blocks = plot.ribbon.legs
    whole = all(_fits(block, block.name, plot) for block in blocks[1:-1])
    for number, block in enumerate(blocks):
        start, end = plot.x(block.start_s), plot.x(block.end_s)
        solid = number % 2 == 0
        fill = palette.ink if solid else palette.channel
        size = (max(end - start, 1.0), form.block)
        drawing.rectangle((start, top), size, fill=fill, stroke=palette.ink, line=1.6)
        place = block.name.rpartition(" to ")[2]
        shorter = [block.name] if whole or place == block.name else [f"to {place}", place]
        for name in [one for one in shorter if _fits(block, one, plot)][:1]:
            colour = palette.channel if solid else palette.ink
            at = (0.5 * (start + end), top + 0.5 * form.block + 0.36 * form.letter)
            drawing.text(at, name, form.letter, fill=colour, weight="bold", anchor="middle")
    _draw_clock(drawing, plot, palette, top + form.block + 1.25 * form.letter)


def _fits(block: Block, name: str, plot: RibbonPlot) -> bool:
    room = plot.x(block.end_s) - plot.x(block.start_s) - 8.0
    return text_width(name, plot.form.letter, "bold") <= room


def _draw_clock(drawing: Drawing, plot: RibbonPlot, palette: Palette, y: float) -> None:
    """Write launch, touchdown and the ends of the longest legs, as many as have room."""
    letter, ink = plot.form.letter, palette.ink
    first, last = plot.ribbon.times_s[0], plot.ribbon.times_s[-1]
    launch, touchdown = clock(first), clock(last)
    start, end = plot.left + 5.0, plot.right - 5.0
    drawing.text((start, y), launch, letter, fill=ink, weight="bold")
    drawing.text((end, y), touchdown, letter, fill=ink, weight="bold", anchor="end")
    base = y - 0.05 * letter
    left, right = plot.left - 4.0, plot.right + 4.0
    drawing.polygon(((left - 5.5, base), (left + 5.5, base), (left, base - 0.7 * letter)), fill=ink)
    low = base - 0.15 * letter
    drawing.polygon(((right - 5.5, low - 9.0), (right + 5.5, low - 9.0), (right, low)), fill=ink)
    drawing.line(((right - 6.0, base), (right + 6.0, base)), stroke=ink, line=1.6)
    if plot.form.wordy:
        below = y + _LINE_SPACING * letter
        drawing.text((plot.left - 9.5, below), "launch", letter, fill=ink)
        drawing.text((plot.right + 9.5, below), "touchdown", letter, fill=ink, anchor="end")
    taken = [
        (start, start + text_width(launch, letter, "bold")),
        (end - text_width(touchdown, letter, "bold"), end),
    ]
    for block in sorted(plot.ribbon.legs[:-1], key=lambda one: one.start_s - one.end_s):
        words, x = clock(block.end_s), plot.x(block.end_s)
        half = 0.5 * text_width(words, letter) + _BETWEEN_CLOCKS
        if all(x + half <= near or x - half >= far for near, far in taken):
            drawing.text((x, y), words, letter, fill=ink, anchor="middle")
            taken.append((x - half + _BETWEEN_CLOCKS, x + half - _BETWEEN_CLOCKS))


def draw_end(drawing: Drawing, plot: RibbonPlot, palette: Palette) -> None:
    """Write the shares left at touchdown beside the right end."""
    letter, end = plot.form.letter, plot.ribbon.left_fraction[-1]
    beside = _END_WORDS if plot.form.wordy else _SHORT_END_WORDS
    shares = tuple(zip((end.p90, end.p50, end.p10), beside, _END_WEIGHTS, strict=True))
    heights = [plot.y(share) for share, _, _ in shares]
    spread = _spread(heights, _LINE_SPACING * letter, plot.top, plot.bottom)
    for (share, words, weight), y, at in zip(shares, heights, spread, strict=True):
        drawing.line(
            ((plot.right, y), (plot.right + 9.0, at), (plot.right + 12.0, at)),
            stroke=palette.ink,
            line=1.1,
        )
        drawing.text(
            (plot.right + 15.0, at + 0.36 * letter),
            f"{100.0 * share:.0f} % {words}".rstrip(),
            letter,
            fill=palette.ink,
            weight=weight,
        )


def _spread(heights: list[float], apart: float, top: float, bottom: float) -> list[float]:
    """Return falling heights moved apart, as little as needed, inside top and bottom."""
    moved: list[float] = []
    for number, height in enumerate(heights):
        least = top if number == 0 else moved[-1] + apart
        most = bottom - apart * (len(heights) - 1 - number)
        moved.append(max(least, min(height, most)))
    return moved
