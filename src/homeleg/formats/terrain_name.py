"""The names of one-degree terrain tiles."""

import math

__all__ = ["tile_name"]


def tile_name(latitude_rad: float, longitude_rad: float) -> str:
    """Return the name of the one-degree tile a point lies in: that of its south-west corner."""
    south, west = (math.floor(math.degrees(angle)) for angle in (latitude_rad, longitude_rad))
    return f"{'NS'[south < 0]}{abs(south):02d}{'EW'[west < 0]}{abs(west):03d}.hgt"
