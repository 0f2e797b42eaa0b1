"""A day across: light, wind, permission and packs in rows, and when all of them hold in blocks.

Pale is met, hatched a nuisance, hollow shut, dashes are the limit. Where all is met a shade falls
through every row and ends in a solid block with its length.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from homeleg.briefing.drawing import Drawing
from homeleg.briefing.lettering import text_width
from homeleg.briefing.palette import Palette
from homeleg.readiness.day import Bar, Holds, Span

__all__ = ["DAY_LAPTOP", "DAY_PHONE", "DayForm", "DayRow", "WindRow", "day_strip", "length_words"]

_HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayForm:
    """Lengths of one form; with `beside` the names of the rows stand left of them, else above."""

    width: float
    beside: float
    letter: float
    name: float
    bar: float
    wind: float
    block: float
    every_hours: int


DAY_LAPTOP = DayForm(
    width=1224.0,
    beside=160.0,
    letter=18.0,
    name=19.0,
    bar=34.0,
    wind=108.0,
    block=58.0,
    every_hours=1,
)
DAY_PHONE = DayForm(
    width=358.0,
    beside=0.0,
    letter=18.0,
    name=19.0,
    bar=32.0,
    wind=92.0,
    block=48.0,
    every_hours=3,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayRow:
    """A condition by its name, its bars line by line, and what is written where it has none."""

    name: str
    lines: tuple[tuple[Bar, ...], ...]
    without: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WindRow:
    """The wind at moments: low, middle and high; the speed at which the window closes, if known."""

    name: str
    under: str
    moments: tuple[tuple[datetime, float, float, float], ...]
    closes_m_s: float | None
    words: str


class _Scale:
    """The day's hours across the figure."""

    def __init__(self, day: Span, form: DayForm) -> None:
        self._day, self.left = day, form.beside
        self.right = form.width - 12.0

    def x(self, at: datetime) -> float:
        """Return where a time lies, held inside the day."""
        share = (at - self._day.begin) / self._day.length
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)


def day_strip(
    day: Span,
    rows: Sequence[DayRow | WindRow],
    blocks: Sequence[Span],
    now: datetime | None,
    form: DayForm,
    palette: Palette,
    *,
    solid: bool = True,
    name: str = "day",
) -> str:
    """Return the day as SVG; blocks that are MARGINAL at best are not `solid` but hatched."""
    scale = _Scale(day, form)
    top = 2.0 * form.letter + 16.0
    height = top + sum(_height(row, form) for row in rows) + form.block + 2.6 * form.letter
    drawing = Drawing(name, form.width, height)
    foot = height - form.block - 1.9 * form.letter
    drawing.rectangle(
        (scale.left, top), (scale.right - scale.left, foot - top), fill=palette.channel
    )
    for block in blocks:
        left, right = scale.x(block.begin), scale.x(block.end)
        drawing.rectangle((left, top), (right - left, foot - top), fill=palette.shade)
        for x in (left, right):
            drawing.line(((x, top), (x, foot)), stroke=palette.ink, line=1.1, dash="2 4")
    _hours(drawing, day, scale, (top, foot), form, palette)
    if now is not None and day.begin <= now <= day.end:
        _now(drawing, scale.x(now), foot, now, form, palette)
    y = top
    for row in rows:
        _row(drawing, row, scale, y, form, palette)
        y += _height(row, form)
    _blocks(drawing, blocks, scale, foot, form, palette, solid=solid)
    return drawing.svg("The day across: when all that is needed holds together", _sentence(blocks))


def length_words(length: timedelta) -> str:
    """Return a length of time as "50 min" or "2 h 10 min"."""
    hours, minutes = divmod(round(length.total_seconds() / 60.0), 60)
    return f"{minutes} min" if hours == 0 else f"{hours} h" + (f" {minutes} min" if minutes else "")


def _sentence(blocks: Sequence[Span]) -> str:
    if not blocks:
        return "At no time of the day does all of it hold."
    spans = ", ".join(f"{one.begin:%H:%M} to {one.end:%H:%M}" for one in blocks)
    return f"All of it holds {spans} UTC."


def _height(row: DayRow | WindRow, form: DayForm) -> float:
    above = 0.0 if form.beside else form.name + 6.0
    if isinstance(row, WindRow):
        return above + form.wind
    return above + max(len(row.lines), 1) * (form.bar + 4.0) + 10.0


def _hours(
    drawing: Drawing,
    day: Span,
    scale: _Scale,
    ends: tuple[float, float],
    form: DayForm,
    palette: Palette,
) -> None:
    at = day.begin.replace(minute=0, second=0, microsecond=0)
    while at <= day.end:
        if at >= day.begin and at.hour % form.every_hours == 0:
            x = scale.x(at)
            drawing.line(((x, ends[0] - 6.0), (x, ends[0])), stroke=palette.ink, line=1.6)
            drawing.line(((x, ends[0]), (x, ends[1])), stroke=palette.ring, line=0.6)
            weight = "bold" if at.hour % 6 == 0 else "regular"
            drawing.text(
                (x, ends[0] - 10.0),
                f"{at:%H}",
                form.letter,
                fill=palette.ink,
                weight="bold" if weight == "bold" else "regular",
                anchor="middle",
            )
        at += _HOUR


def _row(
    drawing: Drawing,
    row: DayRow | WindRow,
    scale: _Scale,
    y: float,
    form: DayForm,
    palette: Palette,
) -> None:
    if form.beside:
        drawing.text((0.0, y + 25.0), row.name, form.name, fill=palette.ink, weight="bold")
        if isinstance(row, WindRow):
            drawing.text((0.0, y + 46.0), row.under, form.letter, fill=palette.second)
    else:
        drawing.text(
            (4.0, y + form.name),
            row.name,
            form.name,
            fill=palette.ink,
            weight="bold",
            halo=palette.channel,
        )
        y += form.name + 6.0
    if isinstance(row, WindRow):
        _wind(drawing, row, scale, y, form, palette)
        return
    if not row.lines:
        drawing.text(
            (scale.left + 8.0, y + 25.0),
            row.without,
            form.letter,
            fill=palette.second,
            halo=palette.channel,
        )
    for number, line in enumerate(row.lines):
        for bar in line:
            _bar(drawing, bar, scale, y + 4.0 + number * (form.bar + 4.0), form, palette)


def _bar(
    drawing: Drawing, bar: Bar, scale: _Scale, y: float, form: DayForm, palette: Palette
) -> None:
    left, right = scale.x(bar.span.begin), scale.x(bar.span.end)
    if right - left < 1.0:
        return
    fill, stroke, line = {
        Holds.MET: (palette.has_pale, palette.has, 1.6),
        Holds.NUISANCE: (
            drawing.hatch(palette.ink, palette.channel, spacing=7.0, line=2.2),
            palette.ink,
            1.6,
        ),
        Holds.SHUT: (palette.channel, palette.ink, 2.4),
    }[bar.holds]
    drawing.rectangle((left, y), (right - left, form.bar), fill=fill, stroke=stroke, line=line)
    shorter = (bar.words, bar.words.partition(": ")[0], bar.words.partition(", ")[0])
    fits = (one for one in shorter if text_width(one, form.letter) + 14.0 <= right - left)
    place = (left + 8.0, y + 0.5 * form.bar + 0.36 * form.letter)
    halo = palette.channel if bar.holds is Holds.NUISANCE else ""
    drawing.text(place, next(fits, ""), form.letter, fill=palette.ink, halo=halo)


def _wind(
    drawing: Drawing, row: WindRow, scale: _Scale, y: float, form: DayForm, palette: Palette
) -> None:
    """Draw the band of the wind, its middle, and the speed at which the window closes."""
    most = max([high for _, _, _, high in row.moments] + [row.closes_m_s or 0.0], default=1.0)
    top = y + form.letter + 12.0  # over it the words
    room = y + form.wind - 8.0 - top

    def at(moment: datetime, speed_m_s: float) -> tuple[float, float]:
        return scale.x(moment), top + room * (1.0 - speed_m_s / max(most, 1.0))

    if row.moments:
        upper = [at(moment, high) for moment, _, _, high in row.moments]
        lower = [at(moment, low) for moment, low, _, _ in reversed(row.moments)]
        drawing.polygon([*upper, *lower], fill=palette.has)
        middle = [at(moment, mid) for moment, _, mid, _ in row.moments]
        drawing.line(middle, stroke=palette.channel, line=2.0)
    if row.closes_m_s is not None:
        _, limit = at(row.moments[0][0], row.closes_m_s) if row.moments else (0.0, top)
        ends = ((scale.left, limit), (scale.right, limit))
        drawing.line(ends, stroke=palette.ink, line=1.8, dash="7 5", halo=palette.channel)
        top = limit
    words = (scale.left + 8.0, top - 7.0)
    drawing.text(
        words, row.words, form.letter, fill=palette.ink, weight="bold", halo=palette.channel
    )


def _blocks(
    drawing: Drawing,
    blocks: Sequence[Span],
    scale: _Scale,
    foot: float,
    form: DayForm,
    palette: Palette,
    *,
    solid: bool,
) -> None:
    below = foot + form.block
    if form.beside:
        drawing.text(
            (0.0, foot + 0.65 * form.block),
            "You can fly",
            1.25 * form.name,
            fill=palette.ink,
            weight="bold",
        )
    for block in blocks:
        left, right = scale.x(block.begin), scale.x(block.end)
        hatch = drawing.hatch(palette.ink, palette.channel, spacing=7.0, line=2.2)
        fill, line = (palette.ink, 0.0) if solid else (hatch, 2.4)
        drawing.rectangle(
            (left, foot), (right - left, form.block), fill=fill, stroke=palette.ink, line=line
        )
        words = length_words(block.length)
        if text_width(words, form.name, "bold") + 8.0 <= right - left:
            place = (0.5 * (left + right), foot + 0.62 * form.block)
            colour, halo = (palette.channel, "") if solid else (palette.ink, palette.channel)
            drawing.text(
                place, words, form.name, fill=colour, weight="bold", anchor="middle", halo=halo
            )
        for x, moment, anchor in ((left, block.begin, "end"), (right, block.end, "start")):
            _end(drawing, x, f"{moment:%H:%M}", anchor, below, (left, right), form, palette)
    drawing.line(((scale.left, below), (scale.right, below)), stroke=palette.ink, line=2.4)


def _end(
    drawing: Drawing,
    x: float,
    words: str,
    anchor: str,
    below: float,
    block: tuple[float, float],
    form: DayForm,
    palette: Palette,
) -> None:
    """Write when a block begins or ends: under it where it is wide enough, else beside it."""
    width = text_width(words, form.letter, "bold")
    inside = block[1] - block[0] >= 2.0 * width + 8.0
    begins = anchor == "end"
    y = below + form.letter + 4.0
    if inside:
        drawing.text(
            (x, y),
            words,
            form.letter,
            fill=palette.ink,
            weight="bold",
            anchor="start" if begins else "end",
        )
        return
    place = min(max(x, width if begins else 0.0), form.width - (0.0 if begins else width))
    drawing.text(
        (place, y),
        words,
        form.letter,
        fill=palette.ink,
        weight="bold",
        anchor="end" if begins else "start",
    )


def _now(
    drawing: Drawing,
    x: float,
    foot: float,
    now: datetime,
    form: DayForm,
    palette: Palette,
) -> None:
    words = f"now {now:%H:%M}"
    width = text_width(words, form.letter, "bold") + 12.0
    left = min(max(x - 0.5 * width, 0.0), form.width - width)
    drawing.rectangle((left, 0.0), (width, form.letter + 8.0), fill=palette.ink)
    place = (left + 0.5 * width, form.letter + 2.0)
    drawing.text(place, words, form.letter, fill=palette.channel, weight="bold", anchor="middle")
    line = ((x, form.letter + 8.0), (x, foot + form.block))
    drawing.line(line, stroke=palette.ink, line=4.0)
