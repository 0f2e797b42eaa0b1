"""The ground to search, north up: areas in squares, places in order, launch point, last seen."""

from collections.abc import Sequence

from homeleg.briefing.drawing import Drawing, Point
from homeleg.briefing.lettering import text_width
from homeleg.briefing.palette import Palette
from homeleg.way_home.search_squares import Area, Look, Outline

__all__ = ["search_map"]

_WIDTH, _HEIGHT, _EDGE = 541.0, 350.0, 24.0
# The launch point is on the map unless that makes the rest smaller than this. Ours.
_LEAST_SHARE = 0.25
_ROUND_M = (10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0)
_LETTER = 12.0


def search_map(
    most: Area, half: Area, places: Sequence[Look], seen_m: tuple[float, float], palette: Palette
) -> str:
    """Return the map as SVG; places in metres from the launch point."""
    drawing = Drawing("search", _WIDTH, _HEIGHT)
    frame = _Frame(most, seen_m)
    drawing.rectangle(
        (0.0, 0.0), (_WIDTH, _HEIGHT), fill=palette.channel, stroke=palette.ring, line=1.0
    )
    hatch = drawing.hatch(palette.has, palette.channel, spacing=6.0, line=1.2)
    for area, fill in ((most, hatch), (half, palette.has)):
        for outer, holes in sorted(area.outlines, key=lambda one: -_extent(one[0])):
            drawing.polygon(frame.ring(outer), fill=fill, stroke=palette.ink, line=1.2)
            for hole in holes:
                under = hatch if area is half else palette.channel
                drawing.polygon(frame.ring(hole), fill=under, stroke=palette.ink, line=1.2)
    _scale(drawing, frame, palette)
    for number, place in enumerate(places, start=1):
        x, y = frame.at(place.east_m, place.north_m)
        drawing.circle((x, y), 9.0, fill=palette.channel, stroke=palette.ink, line=1.6)
        drawing.text(
            (x, y + 4.2), str(number), _LETTER, fill=palette.ink, weight="bold", anchor="middle"
        )
    _marks(drawing, frame, seen_m, palette)
    words = "Hatched: nine in ten. Solid: five in ten. Numbers: where to look, in order."
    return drawing.svg("The ground to search, north up", words)


class _Frame:
    """Metres to the map's lengths, north up."""

    def __init__(self, most: Area, seen_m: tuple[float, float]) -> None:
        corners = [corner for outer, _ in most.outlines for corner in outer]
        wanted = [*corners, seen_m]
        with_launch = [*wanted, (0.0, 0.0)]
        self.shows_launch = _scale_of(with_launch) >= _LEAST_SHARE * _scale_of(wanted)
        shown = with_launch if self.shows_launch else wanted
        self.per_m = _scale_of(shown)
        east_m, north_m = ([place[axis] for place in shown] for axis in (0, 1))
        self._middle_m = (
            0.5 * (min(east_m) + max(east_m)),
            0.5 * (min(north_m) + max(north_m)),
        )

    def at(self, east_m: float, north_m: float) -> Point:
        """Return where a place is drawn."""
        return (
            0.5 * _WIDTH + (east_m - self._middle_m[0]) * self.per_m,
            0.5 * _HEIGHT - (north_m - self._middle_m[1]) * self.per_m,
        )

    def ring(self, outline: Outline) -> list[Point]:
        """Return where an outline is drawn."""
        return [self.at(*corner) for corner in outline]


def _scale_of(shown_m: Sequence[tuple[float, float]]) -> float:
    east_m, north_m = ([place[axis] for place in shown_m] for axis in (0, 1))
    return min(
        (_WIDTH - 2.0 * _EDGE) / max(max(east_m) - min(east_m), 1.0),
        (_HEIGHT - 2.0 * _EDGE) / max(max(north_m) - min(north_m), 1.0),
    )


def _extent(outline: Outline) -> float:
    east_m, north_m = ([corner[axis] for corner in outline] for axis in (0, 1))
    return (max(east_m) - min(east_m)) * (max(north_m) - min(north_m))


def _marks(drawing: Drawing, frame: _Frame, seen_m: tuple[float, float], palette: Palette) -> None:
    """Draw where it was launched, and where it was seen last."""
    ink, halo = palette.ink, palette.channel
    if frame.shows_launch:
        x, y = frame.at(0.0, 0.0)
        corners = ((x, y - 10.0), (x - 9.0, y + 7.0), (x + 9.0, y + 7.0))
        drawing.polygon(corners, fill=ink, stroke=halo, line=1.6)
        _label(drawing, (x, y), "launch point", palette)
    x, y = frame.at(*seen_m)
    for halved in (-1.0, 1.0):
        cross = [(x - 8.0, y - 8.0 * halved), (x + 8.0, y + 8.0 * halved)]
        drawing.line(cross, stroke=ink, line=3.0, halo=halo)
    _label(drawing, (x, y), "last seen", palette)


def _label(drawing: Drawing, at: Point, words: str, palette: Palette) -> None:
    """Set a word under a mark, on a ground of its own."""
    width = text_width(words, _LETTER, "bold")
    x = min(max(at[0], 0.5 * width + 6.0), _WIDTH - 0.5 * width - 6.0)
    corner = (x - 0.5 * width - 3.0, at[1] + 11.0)
    drawing.rectangle(corner, (width + 6.0, 15.0), fill=palette.channel)
    below = (x, at[1] + 22.5)
    drawing.text(below, words, _LETTER, fill=palette.ink, weight="bold", anchor="middle")


def _scale(drawing: Drawing, frame: _Frame, palette: Palette) -> None:
    """Draw a length of round metres, and north."""
    length_m = max(
        (one for one in _ROUND_M if one * frame.per_m <= 0.3 * _WIDTH), default=_ROUND_M[0]
    )
    x, y = 14.0, _HEIGHT - 14.0
    end = x + length_m * frame.per_m
    bar = [(x, y - 5.0), (x, y), (end, y), (end, y - 5.0)]
    drawing.line(bar, stroke=palette.ink, line=1.6, halo=palette.channel)
    words = f"{length_m:.0f} m" if length_m < 1000.0 else f"{length_m / 1000.0:.0f} km"
    drawing.text((x + 4.0, y - 6.0), words, _LETTER, fill=palette.ink, halo=palette.channel)
    tip = (_WIDTH - 22.0, 12.0)
    drawing.line([tip, (tip[0], 44.0)], stroke=palette.ink, line=2.0, halo=palette.channel)
    drawing.polygon([(tip[0], 6.0), (tip[0] - 6.0, 18.0), (tip[0] + 6.0, 18.0)], fill=palette.ink)
    drawing.text(
        (tip[0], 58.0),
        "N",
        _LETTER,
        fill=palette.ink,
        weight="bold",
        anchor="middle",
        halo=palette.channel,
    )
