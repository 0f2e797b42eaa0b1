"""The word of a verdict as a plate, and the square before a question.

One grammar of weight for every status: solid is GO, hatched MARGINAL, hollow NO-GO. A question not
answered has a dashed outline, one that does not apply a dash.
"""

from enum import Enum

from homeleg.briefing.drawing import Drawing
from homeleg.briefing.lettering import text_width
from homeleg.briefing.palette import Palette
from homeleg.verdict.result import Status

__all__ = ["Fill", "fill_of", "plate", "status_mark"]


class Fill(Enum):
    """How heavy a status stands on the page."""

    SOLID = "solid"
    HATCHED = "hatched"
    HOLLOW = "hollow"
    DASHED = "dashed"
    DASH = "dash"


_FILLS = {
    Status.GO: Fill.SOLID,
    Status.MARGINAL: Fill.HATCHED,
    Status.NO_GO: Fill.HOLLOW,
    Status.NOT_ANSWERED: Fill.DASHED,
    Status.DOES_NOT_APPLY: Fill.DASH,
}


def fill_of(status: Status) -> Fill:
    """Return how heavy a status stands on the page."""
    return _FILLS[status]


def plate(word: str, fill: Fill, palette: Palette, *, height: float = 58.0, name: str) -> str:
    """Return a word on its plate, as wide as the word asks for."""
    size = 0.59 * height
    width = round(text_width(word, size, "bold") + 0.95 * height)
    drawing = Drawing(name, width, height)
    border = 0.1 * height
    corner, whole = (0.0, 0.0), (width, height)
    if fill is Fill.SOLID:
        drawing.rectangle(corner, whole, fill=palette.ink)
    elif fill is Fill.HATCHED:
        hatch = drawing.hatch(palette.ink, palette.channel, spacing=6.0, line=2.2)
        drawing.rectangle(corner, whole, fill=hatch, stroke=palette.ink, line=0.06 * height)
        inset = 0.19 * height
        inner = (width - 2.0 * inset, height - 2.0 * inset)
        drawing.rectangle((inset, inset), inner, fill=palette.channel)
    else:
        drawing.rectangle(corner, whole, fill=palette.channel, stroke=palette.ink, line=border)
    colour = palette.channel if fill is Fill.SOLID else palette.ink
    middle = (0.5 * width, 0.5 * height + 0.36 * size)
    drawing.text(middle, word, size, fill=colour, weight="bold", anchor="middle")
    return drawing.svg(word, f"{word}, {fill.value} plate")


def status_mark(status: Status, palette: Palette, *, side: float = 18.0, name: str) -> str:
    """Return the square that stands before a question of that status."""
    drawing = Drawing(name, side, side)
    line = max(1.6, 0.13 * side)
    fill = fill_of(status)
    corner, whole = (0.0, 0.0), (side, side)
    if fill is Fill.SOLID:
        drawing.rectangle(corner, whole, fill=palette.ink)
    elif fill is Fill.HATCHED:
        hatch = drawing.hatch(palette.ink, palette.channel, spacing=0.25 * side, line=0.09 * side)
        drawing.rectangle(corner, whole, fill=hatch, stroke=palette.ink, line=0.8 * line)
    elif fill is Fill.HOLLOW:
        drawing.rectangle(corner, whole, fill=palette.channel, stroke=palette.ink, line=line)
    elif fill is Fill.DASHED:
        near, far = 0.5 * line, side - 0.5 * line
        around = ((near, near), (far, near), (far, far), (near, far), (near, near))
        drawing.line(around, stroke=palette.ink, line=line, dash=f"{0.17 * side:.1f}")
    else:
        half = 0.5 * side
        drawing.line(((0.0, half), (side, half)), stroke=palette.ink, line=line)
    return drawing.svg(status.value, f"{status.value}, {fill.value}")
