"""The wind dial: in which surface wind the sortie is GO, MARGINAL or NO-GO, and where today's lies.

A compass of where the wind comes from; out from the centre is stronger. Solid is GO, hatched
MARGINAL, empty NO-GO, and what was not computed counts as empty: a field ends at the last speed up
to which every computed wind of that direction has the status. Small dots are the computed winds,
ringed dots the likely ones, the cross ring is the wind measured. At the edge stands the question
that closes it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from homeleg.briefing.dial_form import DialForm
from homeleg.briefing.drawing import Anchor, Drawing, Point
from homeleg.briefing.palette import Palette
from homeleg.verdict.result import Status

__all__ = ["DialWinds", "dial_figure", "dial_sentence"]

_FINE_RING_M_S, _COARSE_RING_M_S = 2.0, 4.0
_COARSE_ABOVE_M_S = 9.0
_ON_A_COMPUTED_RAD = 1e-6
_LETTERS = {0: "N", 90: "E", 180: "S", 270: "W"}
_CORNERS: tuple[tuple[int, float, float, Anchor], ...] = (
    (45, 1.0, -1.0, "start"),
    (135, 1.0, 1.0, "start"),
    (225, -1.0, 1.0, "end"),
    (315, -1.0, -1.0, "end"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DialWinds:
    """The computed winds and today's. Directions are those the wind comes from [rad, m/s].

    `statuses` [direction][speed] go with evenly spaced `directions_rad` and rising `speeds_m_s`.
    `closes` names, by direction, the question that ends GO, empty where none does. `measured` and
    `likely` are speed and direction.
    """

    directions_rad: tuple[float, ...]
    speeds_m_s: tuple[float, ...]
    statuses: tuple[tuple[Status, ...], ...]
    closes: tuple[str, ...]
    measured: tuple[float, float] | None = None
    likely: tuple[tuple[float, float], ...] = ()

    def edges_m_s(self, statuses: Sequence[Status]) -> list[float]:
        """Return by direction the last speed up to which every computed wind has one of these."""
        edges = []
        for row in self.statuses:
            inside = 0.0
            for speed, status in zip(self.speeds_m_s, row, strict=True):
                if status not in statuses:
                    break
                inside = speed
            edges.append(inside)
        return edges

    def edge_at_m_s(self, statuses: Sequence[Status], from_rad: float) -> float:
        """Return that speed for any direction: where it meets the field's edge as it is drawn."""
        edges = self.edges_m_s(statuses)
        apart = math.tau / len(edges)
        number = int(from_rad % math.tau / apart) % len(edges)
        here, there = edges[number], edges[(number + 1) % len(edges)]
        beyond = (from_rad - self.directions_rad[number]) % math.tau
        if beyond < _ON_A_COMPUTED_RAD:
            return here
        across = here * math.sin(beyond) + there * math.sin(apart - beyond)
        return here * there * math.sin(apart) / across if across > 0.0 else 0.0


def dial_figure(winds: DialWinds, form: DialForm, palette: Palette, *, name: str = "dial") -> str:
    """Return the dial as SVG."""
    drawing = Drawing(name, form.width, form.height)
    dial = _Dial(winds, form)
    ink, channel = palette.ink, palette.channel
    drawing.circle(dial.centre, form.radius, fill=channel)
    hatch = drawing.hatch(ink, channel, spacing=form.hatch, line=0.38 * form.hatch)
    flyable = winds.edges_m_s((Status.GO, Status.MARGINAL))
    go = winds.edges_m_s((Status.GO,))
    drawing.polygon(dial.around(flyable), fill=hatch, stroke=ink, line=1.6)
    drawing.polygon(dial.around(go), fill=ink)
    _draw_rings(drawing, dial, palette, min(go))
    _draw_compass(drawing, dial, palette)
    _draw_today(drawing, dial, palette)
    if form.closes_shown:
        _draw_closes(drawing, dial, palette, go)
    return drawing.svg("Wind dial", dial_sentence(winds))


def dial_sentence(winds: DialWinds) -> str:
    """Return what the dial shows, in words."""
    go = winds.edges_m_s((Status.GO,))
    narrow, wide = go.index(min(go)), go.index(max(go))

    def bearing(number: int) -> str:
        return f"{math.degrees(winds.directions_rad[number]) % 360.0:03.0f}"

    every = (
        f"GO from every side up to {go[narrow]:.1f} m/s, least from {bearing(narrow)}"
        if go[narrow] > 0.0
        else f"Not GO from every side, not from {bearing(narrow)}"
    )
    words = f"{every}; up to {go[wide]:.1f} m/s from {bearing(wide)}."
    closing = sorted({close for close in winds.closes if close})
    if closing:
        words += f" What closes it: {', '.join(closing)}."
    if winds.measured is not None:
        speed, direction = winds.measured
        words += f" Measured: {speed:.1f} m/s from {math.degrees(direction) % 360.0:03.0f}."
    return words


@dataclass(frozen=True, slots=True)
class _Dial:
    """Where winds lie on the dial."""

    winds: DialWinds
    form: DialForm

    @property
    def centre(self) -> Point:
        return 0.5 * self.form.width, 0.5 * self.form.height

    def at(self, speed_m_s: float, from_rad: float) -> Point:
        """Return the place of a wind; one beyond the rim lies on the rim."""
        share = min(speed_m_s / self.winds.speeds_m_s[-1], 1.0)
        return self.on_circle(share * self.form.radius, from_rad)

    def on_circle(self, radius: float, bearing_rad: float) -> Point:
        x, y = self.centre
        return x + radius * math.sin(bearing_rad), y - radius * math.cos(bearing_rad)

    def around(self, speeds_m_s: Sequence[float]) -> list[Point]:
        """Return the shape through one speed a direction."""
        pairs = zip(speeds_m_s, self.winds.directions_rad, strict=True)
        return [self.at(speed, direction) for speed, direction in pairs]


def _draw_rings(drawing: Drawing, dial: _Dial, palette: Palette, solid_m_s: float) -> None:
    """Draw rings of equal speed, each with its number where it stands outside the solid field."""
    rim, letter = dial.winds.speeds_m_s[-1], dial.form.letter
    for direction in dial.winds.directions_rad:
        for speed in dial.winds.speeds_m_s:
            drawing.circle(dial.at(speed, direction), 1.3, fill=palette.ring)
    apart = _COARSE_RING_M_S if rim > _COARSE_ABOVE_M_S else _FINE_RING_M_S
    numbers = [k * apart for k in range(1, math.ceil(rim / apart))]
    for speed in numbers:
        circle = [dial.at(speed, math.radians(step)) for step in range(0, 365, 5)]
        drawing.line(circle, stroke=palette.ring, line=1.0, dash="1.5 4")
    for speed in numbers:
        if speed <= solid_m_s:
            continue
        x, y = dial.at(speed, math.radians(172.0))
        unit = " m/s" if speed == numbers[-1] else ""
        at = (x, y + 0.36 * letter)
        words = f"{speed:.0f}{unit}"
        drawing.text(
            at,
            words,
            letter,
            fill=palette.ink,
            weight="bold",
            halo=palette.channel,
            anchor="middle",
        )


def _draw_compass(drawing: Drawing, dial: _Dial, palette: Palette) -> None:
    form = dial.form
    drawing.circle(dial.centre, form.radius, fill="none", stroke=palette.ink, line=2.4)
    for degrees in range(0, 360, 10):
        bearing = math.radians(degrees)
        out = 12.0 if degrees % 30 == 0 else 6.0
        ends = (dial.on_circle(form.radius, bearing), dial.on_circle(form.radius + out, bearing))
        drawing.line(ends, stroke=palette.ink, line=2.0 if degrees % 30 == 0 else 1.1)
        if degrees % 30:
            continue
        x, y = dial.on_circle(form.radius + 14.0 + 0.95 * form.letter, bearing)
        cardinal = degrees in _LETTERS
        size = 1.2 * form.letter if cardinal else form.letter
        drawing.text(
            (x, y + 0.36 * size),
            _LETTERS.get(degrees, f"{degrees:03d}"),
            size,
            fill=palette.ink,
            weight="bold" if cardinal else "regular",
            anchor="middle",
        )


def _draw_today(drawing: Drawing, dial: _Dial, palette: Palette) -> None:
    """Draw the likely winds, and the one measured as a cross ring."""
    for wind in dial.winds.likely:
        drawing.circle(dial.at(*wind), 3.0, fill=palette.channel, stroke=palette.ink, line=1.1)
    if dial.winds.measured is None:
        return
    x, y = dial.at(*dial.winds.measured)
    for colour, line in ((palette.channel, 8.0), (palette.ink, 3.0)):
        drawing.circle((x, y), 13.0, fill="none", stroke=colour, line=line)
        for dx, dy in ((1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)):
            ends = ((x + 7.0 * dx, y + 7.0 * dy), (x + 18.0 * dx, y + 18.0 * dy))
            drawing.line(ends, stroke=colour, line=line)


def _draw_closes(drawing: Drawing, dial: _Dial, palette: Palette, go_m_s: list[float]) -> None:
    """Write into each corner the question that closes the edge toward it, with a leader."""
    form, winds = dial.form, dial.winds
    for degrees, across, down, anchor in _CORNERS:
        number = min(
            range(len(winds.directions_rad)),
            key=lambda k: abs(
                math.remainder(winds.directions_rad[k] - math.radians(degrees), math.tau)
            ),
        )
        if not winds.closes[number]:
            continue
        edge = dial.at(go_m_s[number], winds.directions_rad[number])
        x, y = dial.centre
        at = (x + across * form.corner[0], y + down * form.corner[1])
        drawing.line(
            (edge, (at[0] - across * 6.0, at[1] - 0.3 * form.letter)),
            stroke=palette.ink,
            line=1.6,
            halo=palette.channel,
        )
        drawing.circle(edge, 5.0, fill=palette.ink, stroke=palette.channel, line=2.0)
        drawing.text(
            at, winds.closes[number], form.letter, fill=palette.ink, weight="bold", anchor=anchor
        )
        below = (at[0], at[1] + 1.3 * form.letter)
        edge_m_s = go_m_s[number]
        words = f"closes at {edge_m_s:.1f} m/s" if edge_m_s > 0.0 else "no GO from there"
        drawing.text(below, words, form.letter, fill=palette.ink, anchor=anchor)
