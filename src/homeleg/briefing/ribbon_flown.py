"""The come-home ribbon after landing: where the flight that was noted ended on it.

Two numbers tell of the end alone, so a point is drawn and no line.
"""

from homeleg.briefing.charge_axis import ChargeUnit, charge_axis
from homeleg.briefing.drawing import Drawing
from homeleg.briefing.lettering import text_width
from homeleg.briefing.palette import Palette
from homeleg.briefing.ribbon_banks import draw_banks
from homeleg.briefing.ribbon_form import RibbonForm
from homeleg.briefing.ribbon_frame import draw_axis, draw_end, draw_legs
from homeleg.briefing.ribbon_plot import RibbonPlot
from homeleg.verdict.result import Ribbon
from homeleg.verdict.wording import clock

__all__ = ["flown_ribbon"]

_INSIDE = 8.0


def flown_ribbon(
    ribbon: Ribbon,
    landed_s: float,
    left_fraction: float,
    form: RibbonForm,
    palette: Palette,
    *,
    name: str = "flown",
) -> str:
    """Return the ribbon as SVG, with a flight that landed after that time on that charge. [s, 1].

    A flight longer than the middle one ends at the right edge, as the others laid on it do.
    """
    drawing = Drawing(name, form.width, form.height)
    plot, axis = RibbonPlot(ribbon, form), charge_axis(ribbon, ChargeUnit.MAH)
    draw_banks(drawing, plot, palette)
    draw_axis(drawing, plot, axis, palette)
    draw_legs(drawing, plot, palette)
    if form.shown_at_end:
        draw_end(drawing, plot, palette)
    x, y = plot.x(min(landed_s, ribbon.times_s[-1])), plot.y(left_fraction)
    percent = f"{100.0 * left_fraction:.0f} %"
    words = f"flown: {axis.figure(left_fraction)} left, {percent}" if form.wordy else percent
    letter = form.box_letter
    width, height = text_width(words, letter, "bold") + 1.5 * letter, 1.9 * letter
    left = min(max(x - width, plot.left + _INSIDE), plot.right - width - _INSIDE)
    top = plot.top + _INSIDE
    if y - 2.0 * letter < top + height:  # no room over the point: under it
        top = min(y + 2.0 * letter, plot.bottom - height)
    foot = (min(x, left + width - letter), top + height if top < y else top)
    drawing.line((foot, (x, y)), stroke=palette.ink, line=1.6, halo=palette.channel)
    drawing.rectangle(
        (left, top), (width, height), fill=palette.channel, stroke=palette.ink, line=2.2
    )
    at = (left + 0.75 * letter, top + 1.3 * letter)
    drawing.text(at, words, letter, fill=palette.ink, weight="bold")
    drawing.circle((x, y), 8.0, fill=palette.ink, stroke=palette.channel, line=2.6)
    end = ribbon.left_fraction[-1]
    return drawing.svg(
        "What was flown, on the ribbon",
        f"Landed {clock(landed_s)} after launch with {percent} of the usable charge left; foretold "
        f"were {100.0 * end.p10:.0f} to {100.0 * end.p90:.0f} %, 8 in 10.",
    )
