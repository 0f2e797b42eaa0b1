"""Where an aircraft stands to be weighed: from the side, on two scales or on two fingers."""

from collections.abc import Sequence
from enum import Enum

from homeleg.briefing.drawing import Drawing, Point
from homeleg.briefing.palette import Palette

__all__ = ["Support", "supports"]

_WIDTH, _HEIGHT = 360.0, 150.0
_LINE, _THIN = 2.4, 1.6
_BODY_Y, _TABLE_Y = 70.0, 138.0
_EDGE, _BACK = 130.0, 200.0  # front and back edge of the wing, across the drawing
_FRONT, _REAR, _MIDDLE = 62.0, 296.0, 154.0
_RULER_Y = 24.0
_LETTER = 18.0


class Support(Enum):
    """What holds it up."""

    SCALE = "scale"
    FINGERS = "fingers"


def supports(stands: Sequence[Support], palette: Palette, *, marked: str = "") -> str:
    """Return an aircraft on its supports as SVG, nose to the left.

    `marked` is the distance that is asked for: ahead, behind or balance; none with anything else.
    """
    drawing = Drawing(f"supports-{len(stands)}-{marked or 'plain'}", _WIDTH, _HEIGHT)
    _aircraft(drawing, palette)
    places = (_FRONT, _REAR) if len(stands) > 1 else (_MIDDLE,)
    for place, stand in zip(places, stands, strict=True):
        _hold(drawing, palette, place, stand)
    ends = {"ahead": (_FRONT, _EDGE), "behind": (_EDGE, _REAR), "balance": (_EDGE, _MIDDLE)}
    if marked in ends:
        _ruler(drawing, palette, *ends[marked])
    return drawing.svg("Aircraft on its supports", "Seen from the side, nose to the left.")


def _aircraft(drawing: Drawing, palette: Palette) -> None:
    body: list[Point] = [
        (34.0, _BODY_Y), (62.0, 58.0), (150.0, 56.0), (318.0, 64.0), (318.0, 76.0), (170.0, 88.0),
        (62.0, 88.0),
    ]  # fmt: skip
    drawing.polygon(body, fill=palette.channel, stroke=palette.ink, line=_LINE)
    fin: list[Point] = [(296.0, 64.0), (306.0, 36.0), (324.0, 36.0), (318.0, 64.0)]
    drawing.polygon(fin, fill=palette.channel, stroke=palette.ink, line=_LINE)
    wing: list[Point] = [(_EDGE, 66.0), (142.0, 60.0), (_BACK, 68.0), (142.0, 71.0)]
    drawing.polygon(wing, fill=palette.has_pale, stroke=palette.ink, line=_LINE)


def _hold(drawing: Drawing, palette: Palette, place: float, stand: Support) -> None:
    if stand is Support.FINGERS:
        for x in (place - 7.0, place + 7.0):
            drawing.line([(x, 90.0), (x, _TABLE_Y)], stroke=palette.ink, line=8.0)
        return
    drawing.line([(place, 88.0), (place, 112.0)], stroke=palette.ink, line=_LINE)
    drawing.rectangle(
        (place - 34.0, 112.0), (68.0, 24.0), fill=palette.channel, stroke=palette.ink, line=_LINE
    )
    drawing.line([(0.0, _TABLE_Y), (_WIDTH, _TABLE_Y)], stroke=palette.ink, line=_THIN)


def _ruler(drawing: Drawing, palette: Palette, begins: float, ends: float) -> None:
    for x, down in ((begins, 88.0), (ends, 88.0)):
        drawing.line([(x, _RULER_Y - 8.0), (x, down)], stroke=palette.has, line=_THIN, dash="5 4")
    drawing.line([(begins, _RULER_Y), (ends, _RULER_Y)], stroke=palette.has, line=4.0)
    drawing.text((max(begins, ends) + 8.0, _RULER_Y + 6.0), "this far", _LETTER, fill=palette.ink)
