"""What a flight taught: a figure before, pale, above the same after, dark, on one scale."""

from dataclasses import dataclass

from homeleg.briefing.drawing import Drawing
from homeleg.briefing.palette import Palette

__all__ = ["Lesson", "learned"]

_WIDTH, _BAR, _GAP, _LEAST = 560.0, 24.0, 5.0, 6.0
_ROOM = 0.15  # of the widest span, beside it


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """A figure with its unit, 1 in 10, middle and 9 in 10 before and after, and what it says."""

    name: str
    unit: str
    before: tuple[float, float, float]
    after: tuple[float, float, float]

    @property
    def words(self) -> str:
        """How far the middle moved, and how much of the doubt has gone."""
        moved = 100.0 * (self.after[1] / self.before[1] - 1.0)
        gone = 1.0 - (self.after[2] - self.after[0]) / ((self.before[2] - self.before[0]) or 1.0)
        side = "more" if moved > 0.0 else "less"
        middle = "as thought" if abs(moved) < 0.5 else f"{abs(moved):.1f} % {side} than thought"
        if gone < 0.05:
            return f"{middle}, no better known: these numbers do not tell"
        return f"{middle}, {100.0 * gone:.0f} % of the doubt gone"

    @property
    def figures(self) -> str:
        """Middle and ends, before and after."""
        before, after = (
            f"{middle:.0f} {self.unit} ({low:.0f} to {high:.0f})"
            for low, middle, high in (self.before, self.after)
        )
        return f"{before} before, {after} after"


def learned(lesson: Lesson, palette: Palette) -> str:
    """Return the two bars of a lesson as SVG; the words stand beside them."""
    drawing = Drawing("learned", _WIDTH, 2.0 * _BAR + _GAP)
    low = min(lesson.before[0], lesson.after[0])
    span = (max(lesson.before[2], lesson.after[2]) - low) or 1.0
    scale = _WIDTH / (span * (1.0 + 2.0 * _ROOM))
    rows = ((lesson.before, palette.has_pale), (lesson.after, palette.has))
    for place, (ends, fill) in enumerate(rows):
        top = place * (_BAR + _GAP)
        left, middle, right = ((one - low + _ROOM * span) * scale for one in ends)
        size = (max(right - left, _LEAST), _BAR)
        drawing.rectangle((left, top), size, fill=fill, stroke=palette.has, line=2.4)
        mark = palette.channel if fill == palette.has else palette.has
        drawing.rectangle((middle - 2.0, top), (4.0, _BAR), fill=mark)
    return drawing.svg(lesson.name, lesson.figures)
