"""The way-back skyline: the ground under the return line, home on the left, the worst place right.

It answers one question: whether the return height clears the ground. Pale is the ground, the hatch
on it its own spread, nine in ten; dashes stand as far above that as is wanted; the band is the
return height with its own spread, its arrows fly home. The brace is at the narrowest place.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.briefing.drawing import Anchor, Drawing, Point
from homeleg.briefing.lettering import text_width
from homeleg.briefing.palette import Palette
from homeleg.way_home.way_back import WayBack

__all__ = ["LAPTOP", "PHONE", "WayBackForm", "WayBackSeen", "way_back_figure"]

Array = NDArray[np.float64]

_TICKS_M = (5.0, 10.0, 20.0, 25.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0, 2000.0, 5000.0)
_LEAST_BAND = 6.0
# Room beyond the place where the link is lost, for a climb that begins there.
_BEGIN = 14.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WayBackForm:
    """Lengths of one form."""

    name: str
    width: float
    height: float
    letter: float


LAPTOP = WayBackForm(name="laptop", width=480.0, height=256.0, letter=17.0)
PHONE = WayBackForm(name="phone", width=358.0, height=280.0, letter=16.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class WayBackSeen:
    """A way back with what is said in the figure.

    `clearance_m` is the judged one, nine in ten flights, None where it was not read; `want_m` what
    is wanted over the ground; `place` is where the link is lost.
    """

    back: WayBack
    clearance_m: float | None
    want_m: float | None
    place: str
    unit: str = "m"
    per_metre: float = 1.0

    def length(self, metres: float) -> str:
        """Return a length in the unit shown."""
        return f"{metres * self.per_metre:.0f} {self.unit}"


def way_back_figure(seen: WayBackSeen, form: WayBackForm, palette: Palette) -> str:
    """Return the skyline as SVG."""
    drawing = Drawing(f"way-back-{form.name}", form.width, form.height)
    plot = _Plot(seen, form)
    drawing.rectangle((plot.left, plot.top), plot.size, fill=palette.channel)
    _draw_ground(drawing, plot, palette)
    _draw_return(drawing, plot, palette)
    _draw_axes(drawing, plot, palette)
    _draw_brace(drawing, plot, palette)
    return drawing.svg("The ground under the way home", _described(seen))


class _Plot:
    """Where distances and heights lie in the figure."""

    def __init__(self, seen: WayBackSeen, form: WayBackForm) -> None:
        self.seen, self.form, back = seen, form, seen.back
        self.left, self.right = 3.4 * form.letter, form.width - 4.0
        self.top, self.bottom = 10.0, form.height - 2.3 * form.letter
        self.high_m = back.tops_m + back.spread_m
        known = np.isfinite(self.high_m)
        low_m = float(np.min((back.tops_m - back.spread_m)[known], initial=0.0))
        high_m = float(np.max(self.high_m[known], initial=0.0)) + (seen.want_m or 0.0)
        top_m = max(high_m, float(np.max(back.heights_m)) + back.own_spread_m)
        room_m = max(0.12 * (top_m - low_m), 5.0)
        self.lowest_m, self.highest_m = low_m - 0.7 * room_m, top_m + room_m

    @property
    def size(self) -> Point:
        return self.right - self.left, self.bottom - self.top

    def x(self, distance_m: float) -> float:
        begin = 0.0 if self.seen.back.begins_level else _BEGIN
        whole_m = max(float(self.seen.back.distances_m[-1]), 1.0)
        return self.left + (self.size[0] - begin) * distance_m / whole_m

    def y(self, height_m: float) -> float:
        share = (height_m - self.lowest_m) / (self.highest_m - self.lowest_m)
        return self.bottom - self.size[1] * share

    def along(self, heights_m: Array, over: slice) -> list[Point]:
        pairs = zip(self.seen.back.distances_m[over], heights_m[over], strict=True)
        return [(self.x(float(far)), self.y(float(high))) for far, high in pairs]

    def known(self) -> list[slice]:
        """Return the stretches on which the ground is known."""
        ends = np.flatnonzero(np.diff(np.isfinite(self.high_m).astype(int), prepend=0, append=0))
        pairs = ends.reshape(-1, 2)
        return [slice(int(begin), int(end)) for begin, end in pairs if end - begin > 1]


def _draw_ground(drawing: Drawing, plot: _Plot, palette: Palette) -> None:
    back = plot.seen.back
    hatch = drawing.hatch(palette.needs, palette.needs_pale, spacing=8.0, line=3.0)
    for over in plot.known():
        middle, high = plot.along(back.tops_m, over), plot.along(plot.high_m, over)
        feet = [(middle[-1][0], plot.bottom), (middle[0][0], plot.bottom)]
        drawing.polygon([*middle, *feet], fill=palette.needs_pale)
        drawing.polygon([*high, *middle[::-1]], fill=hatch)
        drawing.line(high, stroke=palette.needs, line=1.6)
        if plot.seen.want_m is not None:
            wanted = plot.along(plot.high_m + plot.seen.want_m, over)
            drawing.line(wanted, stroke=palette.ink, line=1.6, dash="8 6")
    if plot.seen.want_m is not None and plot.known():
        _name_want(drawing, plot, palette, plot.seen.want_m)
    if not all(np.isfinite(plot.high_m)):
        at = (plot.right - 8.0, plot.bottom - 8.0)
        words = "ground not known all the way"
        _say(drawing, at, words, plot, palette, anchor="end")


def _name_want(drawing: Drawing, plot: _Plot, palette: Palette, want_m: float) -> None:
    """Name the dashes where they run lowest, on the far half, which the brace's words leave."""
    high_m = plot.high_m + want_m
    half = high_m.size // 2
    brace = int(np.nanargmin(plot.seen.back.spare_m))
    over = slice(0, half) if brace > half else slice(half, high_m.size)
    y = plot.y(float(np.nanmin(high_m[over]))) + 1.3 * plot.form.letter
    anchor: Anchor = "start" if brace > half else "end"
    x = plot.left + 8.0 if brace > half else plot.right - 8.0
    words = f"{plot.seen.length(want_m)} wanted"
    drawing.text(
        (x, y), words, plot.form.letter, fill=palette.ink, anchor=anchor, halo=palette.channel
    )


def _draw_return(drawing: Drawing, plot: _Plot, palette: Palette) -> None:
    """Draw the planned way home as a band with arrows that fly home."""
    back = plot.seen.back
    whole = slice(0, back.distances_m.size)
    thick = plot.y(-back.own_spread_m) - plot.y(back.own_spread_m)
    middle = plot.along(back.heights_m, whole)
    drawing.line(middle, stroke=palette.has, line=max(thick, _LEAST_BAND))
    drawing.line(middle, stroke=palette.channel, line=1.6)
    for share in (0.35, 0.7):
        x, y = middle[int(share * (len(middle) - 1))]
        arrow = ((x, y), (x + 12.0, y - 5.5), (x + 12.0, y + 5.5))
        drawing.polygon(arrow, fill=palette.channel, stroke=palette.ink, line=1.0)


def _draw_axes(drawing: Drawing, plot: _Plot, palette: Palette) -> None:
    seen, letter = plot.seen, plot.form.letter
    drawing.line(((plot.left, plot.top), (plot.left, plot.bottom)), stroke=palette.ink, line=1.6)
    drawing.line(
        ((plot.left, plot.bottom), (plot.right, plot.bottom)), stroke=palette.ink, line=1.6
    )
    apart = _step((plot.highest_m - plot.lowest_m) * seen.per_metre, most=4)
    first = math.ceil(plot.lowest_m * seen.per_metre / apart)
    for number in range(first, first + 6):
        shown = number * apart
        y = plot.y(shown / seen.per_metre)
        if y < plot.top:
            break
        drawing.line(((plot.left - 6.0, y), (plot.left, y)), stroke=palette.ink, line=1.1)
        at = (plot.left - 10.0, y + 0.36 * letter)
        drawing.text(at, f"{shown:.0f}", letter, fill=palette.ink, anchor="end")
    below = plot.bottom + 1.35 * letter
    whole_m = float(seen.back.distances_m[-1])
    far = f"{seen.place}, {seen.length(whole_m)}"
    drawing.text((plot.left, below), "landing", letter, fill=palette.ink, weight="bold")
    drawing.text((plot.right, below), far, letter, fill=palette.ink, weight="bold", anchor="end")
    for share in (0.25, 0.5, 0.75):
        x = plot.left + share * plot.size[0]
        drawing.line(((x, plot.bottom), (x, plot.bottom + 5.0)), stroke=palette.ink, line=1.1)


def _draw_brace(drawing: Drawing, plot: _Plot, palette: Palette) -> None:
    """Draw the narrowest place between return height and ground, and what was found there."""
    back, seen, letter = plot.seen.back, plot.seen, plot.form.letter
    if not np.isfinite(plot.high_m).any():
        return
    number = int(np.nanargmin(back.spare_m))
    x = min(max(plot.x(float(back.distances_m[number])), plot.left + 12.0), plot.right - 12.0)
    top = plot.y(float(back.heights_m[number]) - back.own_spread_m)
    bottom = plot.y(float(plot.high_m[number]))
    for y in (top, bottom):
        drawing.line(((x - 8.0, y), (x + 8.0, y)), stroke=palette.ink, line=3.0)
    drawing.line(((x, top), (x, bottom)), stroke=palette.ink, line=3.0)
    if seen.clearance_m is None:
        return
    words = f"{seen.length(seen.clearance_m)}, 9 in 10"
    if seen.clearance_m < 0.0:
        words = f"{seen.length(-seen.clearance_m)} into the ground"
    right = x + 14.0 + text_width(words, letter + 2.0, "bold") < plot.right
    anchor: Anchor = "start" if right else "end"
    at = (x + (14.0 if right else -14.0), _brace_words_y(plot, top, bottom))
    _say(drawing, at, words, plot, palette, anchor=anchor)


def _brace_words_y(plot: _Plot, top: float, bottom: float) -> float:
    """Return the line on which the brace is named: above the dashes, over the band where shut."""
    letter = plot.form.letter
    dashes = bottom - (plot.y(0.0) - plot.y(plot.seen.want_m or 0.0))
    for below in (dashes, bottom):
        if below - top > 2.0 * letter:
            return 0.5 * (top + below) + 0.36 * letter
    return max(min(top, bottom) - 1.6 * letter, plot.top + letter + 4.0)


def _say(
    drawing: Drawing, at: Point, words: str, plot: _Plot, palette: Palette, *, anchor: Anchor
) -> None:
    size = plot.form.letter + 2.0
    drawing.text(
        at, words, size, fill=palette.ink, weight="bold", anchor=anchor, halo=palette.channel
    )


def _step(whole: float, *, most: int) -> float:
    """Return the distance of ticks of which at most so many lie in a length."""
    return next((one for one in _TICKS_M if whole / one <= most), _TICKS_M[-1])


def _described(seen: WayBackSeen) -> str:
    clear = (
        "" if seen.clearance_m is None else f" Clear by {seen.length(seen.clearance_m)}, 9 in 10."
    )
    highest = float(np.nanmax(seen.back.tops_m)) if np.isfinite(seen.back.tops_m).any() else 0.0
    return (
        f"From {seen.place}, {seen.length(float(seen.back.distances_m[-1]))} from the landing "
        f"point, home at {seen.length(seen.back.height_m)} above launch; the highest ground on the "
        f"line is {seen.length(highest)} above launch.{clear}"
    )
