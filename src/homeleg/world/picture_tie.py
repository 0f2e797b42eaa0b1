"""A picture tied to the ground by two of its points: turned and scaled, never bent."""

import cmath
import math
from dataclasses import dataclass

__all__ = ["PictureTie", "TieError", "tied_by_two"]

Point = tuple[float, float]

# Nearer to each other, a slip of a pixel turns the picture by more than half a degree. Ours.
_LEAST_PIXELS = 60.0
_LEAST_M = 5.0


class TieError(ValueError):
    """Two points that tie nothing; the words say what would."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureTie:
    """Corners on the plane of the first pixel, of the end of its row and of its column [m].

    `metres_per_pixel` is its scale, `turned_rad` how far its top is turned from north, clockwise.
    `slip_m` is how far its worst corner is off when each point is off by `slip_pixels`.
    """

    corners_m: tuple[Point, Point, Point]
    metres_per_pixel: float
    turned_rad: float
    slip_m: float
    slip_pixels: float


def tied_by_two(
    pixels: tuple[Point, Point],
    places_m: tuple[Point, Point],
    size: tuple[int, int],
    *,
    slip_pixels: float = 3.0,
) -> PictureTie:
    """Return how a picture (width, height) lies whose two pixels lie at two places [m].

    Two points give scale and direction exactly and leave nothing over to check them by: what a slip
    does is told instead. A corner at r from the middle of two points L apart is off by
    slip * sqrt(1/2 + 2 r^2 / L^2), the slips independent (least squares by hand).
    """
    first, second = (complex(x, -y) for x, y in pixels)
    here, there = (complex(east, north) for east, north in places_m)
    apart = abs(second - first)
    if apart < _LEAST_PIXELS:
        raise TieError(f"the two points are {apart:.0f} pixels apart; take two far apart")
    if abs(there - here) < _LEAST_M:
        raise TieError(f"the two places are {abs(there - here):.0f} m apart; take two far apart")
    turn = (there - here) / (second - first)
    width, height = size
    corners = [complex(0.0, 0.0), complex(width, 0.0), complex(0.0, -height)]
    middle = 0.5 * (first + second)
    farthest = max(abs(corner - middle) for corner in (*corners, complex(width, -height)))
    placed = [here + turn * (corner - first) for corner in corners]
    slip = slip_pixels * math.sqrt(0.5 + 2.0 * (farthest / apart) ** 2)
    return PictureTie(
        corners_m=tuple((one.real, one.imag) for one in placed),  # type: ignore[arg-type]  # three
        metres_per_pixel=abs(turn),
        turned_rad=-cmath.phase(turn) % (2.0 * math.pi),
        slip_m=slip * abs(turn),
        slip_pixels=slip_pixels,
    )
