"""The come-home ribbon: charge left and charge needed to come home, along the flight.

A channel between two banks. The band from above is the charge left, 8 in 10 flights inside it; the
bank from below is the charge needed to come home from there with the link lost. The white between
is the margin, and the aircraft has to pass through it.
"""

from collections.abc import Callable

from homeleg.briefing.charge_axis import ChargeAxis, ChargeUnit, charge_axis
from homeleg.briefing.drawing import Drawing
from homeleg.briefing.lettering import text_width
from homeleg.briefing.palette import Palette
from homeleg.briefing.ribbon_banks import adverse_need, draw_banks, series, top_of_banks
from homeleg.briefing.ribbon_form import RibbonForm
from homeleg.briefing.ribbon_frame import draw_axis, draw_end, draw_legs
from homeleg.briefing.ribbon_plot import Box, RibbonPlot
from homeleg.verdict.result import Ribbon, TurnBack
from homeleg.verdict.wording import clock

__all__ = ["ribbon_figure", "ribbon_sentence"]

_BRACED_OUTSIDE_BELOW = 24.0
_ARROW = 22.0
# A box farther than this from its place is set over a band instead: the eye would not follow.
_FAR_SHARE = 0.3


def ribbon_figure(
    ribbon: Ribbon,
    turn_back: TurnBack | None,
    unit: ChargeUnit,
    form: RibbonForm,
    palette: Palette,
    *,
    name: str = "ribbon",
    address_of: Callable[[str], str] = lambda _row: "",
) -> str:
    """Return the ribbon as SVG. The unit changes the figures of the axis and never the shape.

    Its figures lead to the address of the row that they come from, where it has one.
    """
    drawing = Drawing(name, form.width, form.height)
    plot = RibbonPlot(ribbon, form)
    axis = charge_axis(ribbon, unit)
    draw_banks(drawing, plot, palette)
    draw_axis(drawing, plot, axis, palette)
    draw_legs(drawing, plot, palette)
    if form.shown_at_end:
        with drawing.leading_to(address_of("reserve.charge")):
            draw_end(drawing, plot, palette)
    with drawing.leading_to(address_of("home.charge")):
        taken = _draw_turn_back(drawing, plot, turn_back, palette)
    taken.append(_draw_brace(drawing, plot, palette))
    with drawing.leading_to(address_of("home.charge")):
        taken.append(_draw_box(drawing, plot, axis, palette, taken))
    if form.wordy:
        _draw_words(drawing, plot, palette, taken)
    return drawing.svg("Come-home ribbon", ribbon_sentence(ribbon, turn_back, axis))


def ribbon_sentence(ribbon: Ribbon, turn_back: TurnBack | None, axis: ChargeAxis) -> str:
    """Return what the ribbon shows, in words."""
    end, narrowest = ribbon.left_fraction[-1], ribbon.narrowest
    words = (
        f"Usable charge {axis.figure(1.0)}. At touchdown, {clock(ribbon.times_s[-1])} after "
        f"launch, {100.0 * end.p50:.0f} % is left on the middle flight, 8 in 10 between "
        f"{100.0 * end.p10:.0f} and {100.0 * end.p90:.0f} %. Narrowest at "
        f"{clock(narrowest.time_s)}: {100.0 * narrowest.margin_fraction:.0f} % left on a bad day, "
        f"want {100.0 * ribbon.want_fraction:.0f} %."
    )
    if turn_back is not None:
        words += f" Last turn-back {clock(turn_back.time_s)}, on {turn_back.leg}."
    return words


def _draw_turn_back(
    drawing: Drawing, plot: RibbonPlot, turn_back: TurnBack | None, palette: Palette
) -> list[Box]:
    """Draw the bar of the last turn-back under its flag, and return what it takes up."""
    if turn_back is None:
        return []
    x, letter = plot.x(turn_back.time_s), plot.form.letter
    foot, flag = (x, plot.bottom), plot.top - 0.8 * plot.form.top
    drawing.line((foot, (x, flag)), stroke=palette.ink, line=4.5, halo=palette.channel)
    rooms = {1.0: plot.form.width - x - 14.0, -1.0: x - 14.0 - plot.left}
    words, side = next(
        (
            (words, side)
            for words in (f"Last turn-back {clock(turn_back.time_s)}", clock(turn_back.time_s))
            for side, room in rooms.items()
            if text_width(words, letter, "bold") <= room
        ),
        ("", 1.0),
    )
    half = 0.28 * plot.form.top
    tip = (x + side * 10.0, flag + half)
    drawing.polygon(((x, flag), tip, (x, flag + 2.0 * half)), fill=palette.ink)
    drawing.text(
        (x + side * 14.0, flag + half + 0.36 * letter),
        words,
        letter,
        fill=palette.ink,
        weight="bold",
        anchor="start" if side > 0.0 else "end",
    )
    return [Box(x - 5.0, plot.top, x + 5.0, plot.bottom)]


def _draw_brace(drawing: Drawing, plot: RibbonPlot, palette: Palette) -> Box:
    """Brace the narrowest place from bank to bank; a thin gap from outside, by two arrows."""
    x = plot.x(plot.ribbon.narrowest.time_s)
    left = plot.y_at(series(plot.ribbon.left_fraction, "p10"), x)
    need = plot.y_at(series(plot.ribbon.needed_fraction, "p90"), x)
    high, low = min(left, need), max(left, need)
    for y in (high, low):
        ends = ((x - 10.0, y), (x + 10.0, y))
        drawing.line(ends, stroke=palette.ink, line=3.4, halo=palette.channel)
    if low - high >= _BRACED_OUTSIDE_BELOW:
        drawing.line(((x, high), (x, low)), stroke=palette.ink, line=3.4, halo=palette.channel)
        return Box(x - 12.0, high, x + 12.0, low)
    for y, outward in ((high, -1.0), (low, 1.0)):
        start, tip = y + outward * (_ARROW + 3.0), y + outward * 3.0
        if not plot.top <= start <= plot.bottom:
            continue
        drawing.line(((x, start), (x, tip)), stroke=palette.ink, line=3.4, halo=palette.channel)
        back = tip + outward * 11.0
        drawing.polygon(((x - 6.0, back), (x + 6.0, back), (x, tip)), fill=palette.ink)
    return Box(x - 12.0, high - _ARROW, x + 12.0, low + _ARROW)


def _draw_box(
    drawing: Drawing, plot: RibbonPlot, axis: ChargeAxis, palette: Palette, taken: list[Box]
) -> Box:
    """Say the narrowest place in a box, on the used side if there is room, with a leader to it."""
    letter, lines = plot.form.box_letter, _box_lines(plot, axis)
    widths = (
        text_width(words, letter, "regular" if number else "bold")
        for number, words in enumerate(lines)
    )
    width, height = max(widths) + 1.5 * letter, (1.3 * len(lines) + 0.6) * letter
    x = plot.x(plot.ribbon.narrowest.time_s)
    box = _place_of_box(plot, (width, height), x, taken)
    top = taken[-1].top
    anchor = (x, top if box.bottom <= top else max(box.top + 0.5 * height, top))
    elbow = (min(max(x, box.left), box.right), min(max(anchor[1], box.top), box.bottom))
    drawing.line((anchor, elbow), stroke=palette.ink, line=1.6, halo=palette.channel)
    drawing.circle(anchor, 4.0, fill=palette.ink)
    drawing.rectangle(
        (box.left, box.top), (width, height), fill=palette.channel, stroke=palette.ink, line=2.2
    )
    for number, words in enumerate(lines):
        drawing.text(
            (box.left + 0.75 * letter, box.top + (1.35 + 1.3 * number) * letter),
            words,
            letter,
            fill=palette.ink,
            weight="regular" if number else "bold",
        )
    return box


def _box_lines(plot: RibbonPlot, axis: ChargeAxis) -> list[str]:
    narrowest, want = plot.ribbon.narrowest, plot.ribbon.want_fraction
    percent, wanted = f"{100.0 * narrowest.margin_fraction:.0f} %", f"{100.0 * want:.0f}"
    if not plot.form.wordy:
        return [f"{percent} left, want {wanted}"]
    spare = narrowest.margin_fraction - want
    words = "to spare" if spare >= 0.0 else "short of it"
    return [
        f"{percent} left on a bad day, {clock(narrowest.time_s)}",
        f"Want {wanted} %: {axis.figure(abs(spare))} {words}.",
    ]


def _place_of_box(plot: RibbonPlot, size: tuple[float, float], x: float, taken: list[Box]) -> Box:
    """Return where the box goes: the used side, else the channel, else the top over the band."""
    width, height = size
    left = plot.ribbon.left_fraction
    full = [1.0] * len(left)
    most_need = series(plot.ribbon.needed_fraction, "p90")
    near = min(max(x + 40.0, plot.left), plot.right - width)
    used = plot.room(full, top_of_banks(plot), size, near, taken)
    if used is not None and abs(used.left - near) <= _FAR_SHARE * (plot.right - plot.left):
        return Box(used.left, used.top, used.right, used.top + height)
    least = series(left, "p10")
    room = plot.room(least, adverse_need(plot), size, near, taken) or plot.room(
        least, most_need, size, near, taken
    )
    middle = plot.top + 6.0 + 0.5 * height if room is None else 0.5 * (room.top + room.bottom)
    start = near if room is None else room.left
    return Box(start, middle - 0.5 * height, start + width, middle + 0.5 * height)


def _draw_words(drawing: Drawing, plot: RibbonPlot, palette: Palette, taken: list[Box]) -> None:
    """Name the channel and the banks where there is room."""
    left, need = plot.ribbon.left_fraction, plot.ribbon.needed_fraction
    letter = plot.form.letter
    size = (text_width("your margin", letter, "bold"), 2.6 * letter)
    channel = plot.room(series(left, "p10"), adverse_need(plot), size, plot.left, taken)
    if channel is not None:
        middle = 0.5 * (channel.top + channel.bottom)
        at = (channel.left, middle - 0.2 * letter)
        drawing.text(at, "the gap is", letter, fill=palette.ink)
        at = (channel.left, middle + 1.1 * letter)
        drawing.text(at, "your margin", letter, fill=palette.ink, weight="bold")
    full, empty = [1.0] * len(left), [0.0] * len(left)
    for words, upper, lower, colour, ground in (
        ("CHARGE USED", full, top_of_banks(plot), palette.second, palette.has_pale),
        ("NEEDED TO COME HOME", series(need, "p10"), empty, palette.ink, palette.needs_pale),
    ):
        size = (text_width(words, letter, "bold"), 1.4 * letter)
        room = plot.room(upper, lower, size, 0.5 * (plot.left + plot.right) - 0.5 * size[0], taken)
        if room is not None:
            at = (room.left, 0.5 * (room.top + room.bottom) + 0.36 * letter)
            drawing.text(at, words, letter, fill=colour, weight="bold", halo=ground)
