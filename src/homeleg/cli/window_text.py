"""The wind window as text: directions down, surface speeds across, and what closes each."""

import math
from itertools import groupby

from homeleg.verdict.result import Status, WindPoint, WindWindow

__all__ = ["window_text"]

_WORDS = {Status.GO: "GO", Status.MARGINAL: "marg", Status.NO_GO: "-"}
_CLOSING = {Status.MARGINAL: "marginal", Status.NO_GO: "NO-GO"}
_WIDTH = 6


def window_text(window: WindWindow) -> str:
    """Return a table of the window, provisional as it is."""
    speeds = sorted({point.speed_m_s for point in window.points})
    lines = [
        f"Wind window, wind at {window.height_agl_m:g} m AGL: a quick look, "
        f"{window.members} flights a wind. - is NO-GO.",
        f"{'from':<6}"
        + "".join(f"{speed:>{_WIDTH}.1f}" for speed in speeds)
        + " m/s  what closes it",
    ]
    by_direction = groupby(window.points, key=lambda point: point.from_true_rad)
    lines += [_direction(from_rad, list(points)) for from_rad, points in by_direction]
    return "\n".join(lines) + "\n"


def _direction(from_true_rad: float, points: list[WindPoint]) -> str:
    words = "".join(f"{_WORDS[point.status]:>{_WIDTH}}" for point in points)
    edges = []
    for before, after in zip([None, *points], points, strict=False):
        worse = after.status is not Status.GO and (before is None or before.status != after.status)
        if worse and after.question is not None:
            edges.append(
                f"{_CLOSING[after.status]} from {after.speed_m_s:.1f}: {after.question.title}"
            )
    return f"{math.degrees(from_true_rad):05.1f} {words}      {'; '.join(edges)}".rstrip()
