"""What two routes can differ in, how much of it is rounding, and in what order it is dangerous."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from homeleg.release.plain_route import Aspect, PlainItem, PlainPlace
from homeleg.release.stored import DEGREES

__all__ = [
    "FAR_OFF_M",
    "Danger",
    "Difference",
    "bearing_deg",
    "distance_m",
    "is_rounded_degree",
    "is_rounded_height",
    "unlike",
]

# Beyond this a position is not off: it is another place.
FAR_OFF_M = 100.0
_EARTH_M = 6_371_000.0
_HEIGHT_ROUNDING_M = 0.01


class Danger(IntEnum):
    """Kinds of difference, the one that loses aircraft first."""

    NO_ROUTE = 0
    LAUNCH_MOVED = 1
    FAR_OFF = 2
    HEIGHT_REFERENCE = 3
    LOWER = 4
    END_OF_ROUTE = 5
    ITEMS = 6
    BOUNDARY = 7
    COMMAND = 8
    POSITION_OR_HIGHER = 9
    SPEED = 10
    ORBIT = 11
    THE_REST = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """One difference: how dangerous, of which aspect, in one sentence; items count from one.

    The same as a pair: of `what`, `released` against `aboard`, and what it would do `then`; empty
    where nothing of that kind is known.
    """

    danger: Danger
    aspect: Aspect | None
    item: int | None
    sentence: str
    what: str = ""
    released: str = ""
    aboard: str = ""
    then: str = ""


def unlike(
    danger: Danger,
    sentence: str,
    *,
    what: str,
    pair: Sequence[str],
    then: str,
    aspect: Aspect | None = None,
    item: int | None = None,
) -> Difference:
    """Return a difference with its pair: the released side, then the one found."""
    released, aboard = pair
    return Difference(
        danger=danger,
        aspect=aspect,
        item=item,
        sentence=sentence,
        what=what,
        released=released,
        aboard=aboard,
        then=then,
    )


def is_rounded_degree(released_deg: float, found_deg: float) -> bool:
    """Return whether two degrees differ by no more than storing them does.

    One step of 1e-7 degree, or the released value put through 32-bit floating-point degrees, within
    one such step.
    """
    found = round(found_deg * DEGREES)
    through = float(np.float32(released_deg))
    return (
        min(abs(found - round(released_deg * DEGREES)), abs(found - round(through * DEGREES))) <= 1
    )


def is_rounded_height(released_m: float, found_m: float) -> bool:
    """Return whether two heights differ by a centimetre at most, or are equal in 32 bits. [m]."""
    return abs(found_m - released_m) <= _HEIGHT_ROUNDING_M + 1e-9 or bool(
        np.float32(released_m) == np.float32(found_m)
    )


def distance_m(first: PlainItem | PlainPlace, second: PlainItem | PlainPlace) -> float:
    """Return the distance of two places on a sphere, good to 0.5 %. [m]."""
    north, east = _north_east(first, second)
    if max(abs(north), abs(east)) < 0.01:
        return _EARTH_M * math.hypot(north, east)
    a, b = math.radians(first.latitude_deg), math.radians(second.latitude_deg)
    apart = math.radians(second.longitude_deg - first.longitude_deg)
    half = math.sin(0.5 * (b - a)) ** 2 + math.cos(a) * math.cos(b) * math.sin(0.5 * apart) ** 2
    return 2.0 * _EARTH_M * math.asin(min(math.sqrt(half), 1.0))


def bearing_deg(first: PlainItem | PlainPlace, second: PlainItem | PlainPlace) -> float:
    """Return the true direction of the second place from the first near by. [deg]."""
    north, east = _north_east(first, second)
    return math.degrees(math.atan2(east, north)) % 360.0


def _north_east(
    first: PlainItem | PlainPlace, second: PlainItem | PlainPlace
) -> tuple[float, float]:
    """Return how far north and east the second place is, as angles seen from the middle. [rad]."""
    apart_deg = (second.longitude_deg - first.longitude_deg + 180.0) % 360.0 - 180.0
    middle = math.radians(0.5 * (first.latitude_deg + second.latitude_deg))
    north = math.radians(second.latitude_deg - first.latitude_deg)
    return north, math.radians(apart_deg) * math.cos(middle)
