"""The plot of the ribbon: where seconds and shares lie, and where there is room for words."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.briefing.drawing import Point
from homeleg.briefing.ribbon_form import RibbonForm
from homeleg.verdict.result import Ribbon

__all__ = ["Box", "Line", "RibbonPlot"]

Array = NDArray[np.float64]
Line = Sequence[float]
_STEP = 6.0
_AIR = 5.0


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle that something takes up."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: "Box") -> bool:
        """Return whether two boxes share ground."""
        across = self.left < other.right and other.left < self.right
        return across and self.top < other.bottom and other.top < self.bottom


@dataclass(frozen=True, slots=True)
class RibbonPlot:
    """Where the plot lies in its figure; every share of the usable charge is a height."""

    ribbon: Ribbon
    form: RibbonForm

    @property
    def left(self) -> float:
        """Where launch lies across."""
        return self.form.left

    @property
    def right(self) -> float:
        """Where touchdown lies across."""
        return self.form.width - self.form.right

    @property
    def top(self) -> float:
        """The height of a full pack."""
        return self.form.top

    @property
    def bottom(self) -> float:
        """The height of an empty one."""
        return self.form.height - self.form.bottom

    def x(self, time_s: float) -> float:
        """Return where a second after release lies across."""
        first, last = self.ribbon.times_s[0], self.ribbon.times_s[-1]
        return self.left + (time_s - first) / (last - first) * (self.right - self.left)

    def y(self, fraction: float) -> float:
        """Return the height of a share of the usable charge, held inside the plot."""
        return self.bottom - min(max(fraction, 0.0), 1.0) * (self.bottom - self.top)

    def edge(self, fractions: Iterable[float], times_s: Iterable[float] = ()) -> list[Point]:
        """Return a line of shares along the flight."""
        times = list(times_s) or self.ribbon.times_s
        return [(self.x(time), self.y(one)) for time, one in zip(times, fractions, strict=True)]

    def y_at(self, fractions: Line, x: float) -> float:
        """Return the height of a line at a place across."""
        return float(self._heights(fractions, np.array(x)))

    def room(
        self, upper: Line, lower: Line, size: tuple[float, float], near_x: float, taken: list[Box]
    ) -> Box | None:
        """Return the whole height between two lines where words of that width fit, or None.

        Of all places where the lines leave the height free and nothing is `taken`, the one whose
        left end is nearest to `near_x`.
        """
        width, height = size
        xs = np.arange(self.left, self.right + _STEP, _STEP)
        highs, lows = self._heights(upper, xs) + _AIR, self._heights(lower, xs) - _AIR
        span = math.ceil((width + 2.0 * _AIR) / _STEP)
        starts = np.arange(1, xs.size - span)
        for start in starts[np.argsort(np.abs(xs[starts] - near_x), kind="stable")]:
            within = slice(start - 1, start + span)
            high, low = float(highs[within].max()), float(lows[within].min())
            box = Box(float(xs[start]), high, float(xs[start]) + width, low)
            if low - high >= height and not any(box.meets(other) for other in taken):
                return box
        return None

    def _heights(self, fractions: Line, xs: Array) -> Array:
        bends, heights = np.array(self.edge(fractions)).T
        return np.asarray(np.interp(xs, bends, heights))
