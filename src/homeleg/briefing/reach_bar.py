"""The reach of an aircraft in four steps: earned solid, the next hatched, others hollow."""

from homeleg.briefing.drawing import Drawing
from homeleg.briefing.palette import Palette

__all__ = ["reach_bar"]

# Where the steps end, of the whole: circuits by hand, 400 m, within sight, what the margins allow.
_ENDS = (0.18, 0.36, 0.87, 1.0)
_HEIGHT, _BAR = 28.0, 18.0


def reach_bar(step: int, words: str, palette: Palette, *, width: float = 300.0, name: str) -> str:
    """Return the bar of an aircraft that has earned `step`, 0 to 3."""
    drawing = Drawing(name, width, _HEIGHT)
    top = 0.5 * (_HEIGHT - _BAR)
    drawing.rectangle((0.0, top), (width, _BAR), fill=palette.channel, stroke=palette.ink, line=1.6)
    earned = _ENDS[step] * width
    if step + 1 < len(_ENDS):
        hatch = drawing.hatch(palette.ink, palette.channel, spacing=6.0, line=2.2)
        size = ((_ENDS[step + 1] - _ENDS[step]) * width, _BAR)
        drawing.rectangle((earned, top), size, fill=hatch, stroke=palette.ink, line=1.6)
    drawing.rectangle((0.0, top), (earned, _BAR), fill=palette.ink)
    for end in _ENDS[:-1]:
        x = end * width
        drawing.line(((x, 0.0), (x, _HEIGHT)), stroke=palette.ink, line=1.6, halo="")
    return drawing.svg(f"Reach: step {step} of 3", words)
