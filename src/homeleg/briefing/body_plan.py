"""The four body plans, drawn from above, nose up: lines enough to tell them apart."""

from homeleg.aircraft.priors import BodyPlan
from homeleg.briefing.drawing import Drawing, Point
from homeleg.briefing.palette import Palette

__all__ = ["body_plan"]

_WIDTH, _HEIGHT = 240.0, 150.0
_MIDDLE = _WIDTH / 2.0
_LINE = 2.4
_PROPELLER = 17.0


def body_plan(plan: BodyPlan, palette: Palette) -> str:
    """Return the drawing of a body plan as SVG."""
    drawing = Drawing(f"plan-{plan.name.lower()}", _WIDTH, _HEIGHT)
    _DRAWN[plan](drawing, palette)
    return drawing.svg(plan.value, "Seen from above, nose up.")


def _pusher(drawing: Drawing, palette: Palette) -> None:
    _tapered(drawing, palette, leading=44.0, half_span=104.0, root=26.0, tip=20.0)
    for side in (-1.0, 1.0):
        boom = _MIDDLE + side * 26.0
        drawing.line([(boom, 60.0), (boom, 132.0)], stroke=palette.ink, line=_LINE)
    _box(drawing, palette, (_MIDDLE - 30.0, 122.0), (60.0, 13.0))
    _body(drawing, palette, nose=14.0, tail=80.0, half_width=9.0)
    _propeller(drawing, palette, 84.0)


def _front_motor(drawing: Drawing, palette: Palette) -> None:
    _tapered(drawing, palette, leading=42.0, half_span=104.0, root=28.0, tip=22.0)
    _box(drawing, palette, (_MIDDLE - 36.0, 120.0), (72.0, 15.0))
    _body(drawing, palette, nose=16.0, tail=140.0, half_width=8.0)
    _propeller(drawing, palette, 13.0)


def _flying_wing(drawing: Drawing, palette: Palette) -> None:
    half = [(_MIDDLE, 26.0), (_MIDDLE + 100.0, 92.0), (_MIDDLE + 100.0, 112.0), (_MIDDLE, 88.0)]
    drawing.polygon(_mirrored(half), fill=palette.channel, stroke=palette.ink, line=_LINE)
    for side in (-1.0, 1.0):
        tip = _MIDDLE + side * 100.0
        drawing.line([(tip, 88.0), (tip, 122.0)], stroke=palette.ink, line=2.0 * _LINE)
    _body(drawing, palette, nose=24.0, tail=94.0, half_width=10.0)
    _propeller(drawing, palette, 98.0)


def _glider(drawing: Drawing, palette: Palette) -> None:
    _tapered(drawing, palette, leading=46.0, half_span=117.0, root=17.0, tip=9.0)
    _box(drawing, palette, (_MIDDLE - 24.0, 126.0), (48.0, 9.0))
    _body(drawing, palette, nose=20.0, tail=142.0, half_width=5.0)
    _propeller(drawing, palette, 17.0)


def _tapered(
    drawing: Drawing, palette: Palette, *, leading: float, half_span: float, root: float, tip: float
) -> None:
    """Draw a straight wing: `leading` is how far down its root's leading edge lies."""
    back = 0.25 * (root - tip)
    outer = _MIDDLE + half_span
    half = [
        (_MIDDLE, leading),
        (outer, leading + back),
        (outer, leading + back + tip),
        (_MIDDLE, leading + root),
    ]
    drawing.polygon(_mirrored(half), fill=palette.channel, stroke=palette.ink, line=_LINE)


def _mirrored(half: list[Point]) -> list[Point]:
    left = [(2.0 * _MIDDLE - x, y) for x, y in reversed(half)]
    return half + left


def _box(drawing: Drawing, palette: Palette, corner: Point, size: Point) -> None:
    drawing.rectangle(corner, size, fill=palette.channel, stroke=palette.ink, line=_LINE)


def _body(
    drawing: Drawing, palette: Palette, *, nose: float, tail: float, half_width: float
) -> None:
    outline = [
        (_MIDDLE - 0.35 * half_width, nose),
        (_MIDDLE + 0.35 * half_width, nose),
        (_MIDDLE + half_width, nose + 14.0),
        (_MIDDLE + 0.6 * half_width, tail),
        (_MIDDLE - 0.6 * half_width, tail),
        (_MIDDLE - half_width, nose + 14.0),
    ]
    drawing.polygon(outline, fill=palette.channel, stroke=palette.ink, line=_LINE)


def _propeller(drawing: Drawing, palette: Palette, y: float) -> None:
    blades = [(_MIDDLE - _PROPELLER, y), (_MIDDLE + _PROPELLER, y)]
    drawing.line(blades, stroke=palette.has, line=4.5)


_DRAWN = {
    BodyPlan.TAIL_BOOM_PUSHER: _pusher,
    BodyPlan.FRONT_MOTOR: _front_motor,
    BodyPlan.FLYING_WING: _flying_wing,
    BodyPlan.LONG_SPAN_GLIDER: _glider,
}
