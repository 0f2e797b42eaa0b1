"""Which slip of the pen may have put a place far away: a sign, or latitude for longitude."""

import math
from collections.abc import Callable

__all__ = ["slip_in"]

# Nearer than this to where it should be, a mended place explains the mistake. Ours.
_NEAR_M = 50_000.0


def slip_in(
    latitude_rad: float, longitude_rad: float, distance_m: Callable[[float, float], float]
) -> str | None:
    """Return what would bring a place near to where it belongs, and how near; None if nothing.

    `distance_m` tells how far from there a latitude and a longitude lie.
    """
    mended = {
        f"with latitude {_shown(-latitude_rad, 'NS')}": (-latitude_rad, longitude_rad),
        f"with longitude {_shown(-longitude_rad, 'EW')}": (latitude_rad, -longitude_rad),
        f"with {_shown(-latitude_rad, 'NS')}, {_shown(-longitude_rad, 'EW')}": (
            -latitude_rad,
            -longitude_rad,
        ),
    }
    if abs(longitude_rad) <= math.pi / 2.0:
        mended["with latitude and longitude exchanged"] = (longitude_rad, latitude_rad)
    nearest_m, words = min((distance_m(*place), words) for words, place in mended.items())
    if nearest_m > _NEAR_M:
        return None
    return f"{words} it would lie {nearest_m / 1000.0:.1f} km away"


def _shown(angle_rad: float, letters: str) -> str:
    """Return degrees with the letter of their half of the earth."""
    return f"{abs(math.degrees(angle_rad)):.4f} {letters[angle_rad < 0.0]}"
