"""The skyline around a launch point as a ring: how far above level it is seen, in each direction.

Level is the solid ring, up wind is at the top. The slope changes evenly with bearing from one point
told to the next, as the ground by eye is taken to be.
"""

import math
from collections.abc import Sequence

import numpy as np

from homeleg.briefing.drawing import Drawing, Point
from homeleg.briefing.palette import Palette
from homeleg.world.ground import SkylinePoint

__all__ = ["LEVEL_RADIUS", "PER_DEGREE", "SIDE", "skyline_ring"]

SIDE, LEVEL_RADIUS, PER_DEGREE = 560.0, 150.0, 3.0
_MIDDLE = 0.5 * SIDE
_MOST_DEG, _FIST_DEG = 30.0, 10.0
_STEP_DEG, _SPOKE_DEG = 3, 45
_LETTER = 17.0


def skyline_ring(
    points: Sequence[SkylinePoint], wind_from_true_rad: float, palette: Palette
) -> str:
    """Return the ring as SVG, with the skyline through its points [rad true, m above launch]."""
    drawing = Drawing("skyline", SIDE, SIDE)
    turned_deg = math.degrees(wind_from_true_rad)

    def at(bearing_deg: float, seen_deg: float) -> Point:
        radius = LEVEL_RADIUS + PER_DEGREE * min(max(seen_deg, -_MOST_DEG), _MOST_DEG)
        turn = math.radians(bearing_deg - turned_deg)
        return _MIDDLE + radius * math.sin(turn), _MIDDLE - radius * math.cos(turn)

    around = range(0, 361, _STEP_DEG)
    rim, level = ([at(one, seen) for one in around] for seen in (_MOST_DEG, 0.0))
    drawing.polygon(rim, fill=palette.channel, stroke=palette.ink, line=1.6)
    for fists in (1, 2):
        ring = [at(one, fists * _FIST_DEG) for one in around]
        drawing.line(ring, stroke=palette.ink, line=0.8, dash="5 5")
    if points:
        outline = [at(bearing, _seen_deg(bearing, points)) for bearing in around]
        hatch = drawing.hatch(palette.needs, palette.needs_pale, spacing=8.0, line=2.4)
        drawing.polygon(outline, fill=hatch, stroke=palette.needs, line=2.2)
    drawing.polygon(level, fill=palette.channel, stroke=palette.ink, line=2.4)
    for bearing in range(0, 360, _SPOKE_DEG):
        x, y = at(bearing, -9.0)
        words = f"{bearing:03d}"
        drawing.text((x, y + 6.0), words, _LETTER, fill=palette.ink, anchor="middle")
    for fists, words in ((1, "1 fist, 10 deg"), (2, "2 fists")):
        x, y = at(turned_deg + 180.0, fists * _FIST_DEG)
        drawing.text(
            (x, y + 5.0), words, 16.0, fill=palette.ink, anchor="middle", halo=palette.channel
        )
    for point in points:
        x, y = at(math.degrees(point.bearing_true_rad), math.degrees(_angle_rad(point)))
        drawing.circle((x, y), 7.0, fill=palette.channel, stroke=palette.ink, line=2.6)
    top = ((_MIDDLE - 14.0, 2.0), (_MIDDLE + 14.0, 2.0), (_MIDDLE, 30.0))
    drawing.polygon(top, fill=palette.ink)
    at_launch = ((_MIDDLE, _MIDDLE - 12.0), (_MIDDLE - 10.0, _MIDDLE + 8.0))
    drawing.polygon((*at_launch, (_MIDDLE + 10.0, _MIDDLE + 8.0)), fill=palette.ink)
    return drawing.svg("The skyline around the launch point, up wind at the top", _sentence(points))


def _angle_rad(point: SkylinePoint) -> float:
    return math.atan2(point.height_m.value, point.distance_m)


def _seen_deg(bearing_deg: float, points: Sequence[SkylinePoint]) -> float:
    bearings = [point.bearing_true_rad for point in points]
    slopes = [point.height_m.value / point.distance_m for point in points]
    slope = np.interp(math.radians(bearing_deg), bearings, slopes, period=2.0 * math.pi)
    return math.degrees(math.atan(float(slope)))


def _sentence(points: Sequence[SkylinePoint]) -> str:
    if not points:
        return "No skyline is told."
    return " ".join(
        f"{math.degrees(point.bearing_true_rad):03.0f}: {math.degrees(_angle_rad(point)):.0f} deg "
        f"above level at {point.distance_m:.0f} m."
        for point in points
    )
