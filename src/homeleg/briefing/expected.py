"""What follows from little: each figure with its middle and the span that 8 in 10 fall into.

All bars share one scale, value over middle, so that a longer bar is a figure less well known.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from homeleg.briefing.drawing import Drawing
from homeleg.briefing.palette import Palette

__all__ = ["Span", "expected"]

_WIDTH = 350.0  # a phone's: wider, all of it grows
_ROW, _BAR = 90.0, 16.0
_LETTER, _DECIDING = 18.0, 24.0
_WORDS_UP, _BAR_DOWN, _SPREAD_DOWN = 6.0, 38.0, 20.0
_WIDEST = 2.2  # of the middle: what still fits on the scale


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A figure: what 1 in 10 stay below, the middle, what 9 in 10 stay below, in its unit."""

    name: str
    p10: float
    p50: float
    p90: float
    unit: str
    decimals: int

    @property
    def value(self) -> str:
        """The middle with its unit."""
        return f"{self.p50:.{self.decimals}f} {self.unit}"

    @property
    def between(self) -> str:
        """The two ends."""
        return f"{self.p10:.{self.decimals}f} to {self.p90:.{self.decimals}f}"


def expected(spans: Sequence[Span], palette: Palette) -> str:
    """Return the figures as SVG, one under the other."""
    drawing = Drawing("expected", _WIDTH, _ROW * len(spans))
    for number, span in enumerate(spans):
        base = _ROW * number + _ROW - _BAR - _BAR_DOWN
        words_y = base - _WORDS_UP
        drawing.text((0.0, words_y), span.name, _LETTER, fill=palette.ink)
        drawing.text(
            (_WIDTH, words_y), span.value, _DECIDING, fill=palette.ink, weight="bold", anchor="end"
        )
        spread_y = base + _BAR + _SPREAD_DOWN
        drawing.text((_WIDTH, spread_y), span.between, _LETTER, fill=palette.second, anchor="end")
        drawing.rectangle((0.0, base), (_WIDTH, _BAR), fill=palette.channel)
        left, middle, right = (
            _WIDTH * min(one / span.p50 / _WIDEST, 1.0) for one in (span.p10, span.p50, span.p90)
        )
        drawing.rectangle((left, base), (right - left, _BAR), fill=palette.has)
        drawing.rectangle((middle - 1.5, base - 3.0), (3.0, _BAR + 6.0), fill=palette.ink)
    words = "; ".join(f"{span.name} {span.value}, 8 in 10 from {span.between}" for span in spans)
    return drawing.svg("What follows so far", words)
