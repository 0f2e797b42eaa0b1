"""Routes of a stamp: circuit, loop, out and back; laid along the wind about the launch point."""

import math
from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["SHAPES", "circuit_corners", "shape_text"]

# Words and half-length [m] inside the 200 m of a first flight. The circuit is long along the
# wind, because the turns on and off its down-wind side take the most room.
SHAPES: Mapping[str, tuple[str, float]] = MappingProxyType(
    {
        "circuit": ("Circuit", 175.0),
        "loop": ("Loop", 150.0),
        "out and back": ("Out and back", 180.0),
    }
)
_CIRCUIT_ASIDE = 85.0 / 175.0
_LOOP_TURNS = 3
_HEIGHT_M = 60.0
# A point ahead nearer than this is reached below its height, at a climb of 3 m/s and 15 m/s over
# the ground: two turns overhead come first, which are the commit circle too. Ours.
_CLIMBED_BY_M = 300.0
_OVERHEAD_TURNS = 2
_HEADER = "name,kind,east_m,north_m,height_m,above,radius_m,side,turns"


def shape_text(shape: str, into_wind_rad: float, size_m: float | None = None) -> str:
    """Return a route.csv of a shape, its long side towards the true bearing the wind is from.

    `size_m` is how far it reaches from the launch point along the wind.
    """
    along_m = SHAPES[shape][1] if size_m is None else size_m
    rows = [_HEADER, f"Take-off,takeoff,0,0,{_HEIGHT_M:.0f},launch,,,"]
    if shape == "loop":
        rows.append(_overhead("Loop", along_m, _LOOP_TURNS))
    else:
        if shape == "out and back" and along_m < _CLIMBED_BY_M:
            rows.append(_overhead("Overhead", SHAPES["loop"][1], _OVERHEAD_TURNS))
        corners = (
            circuit_corners(into_wind_rad, along_m)
            if shape == "circuit"
            else [_to_east_north(along_m, 0.0, into_wind_rad)]
        )
        for name, (east_m, north_m) in zip("ABCD", corners, strict=False):
            rows.append(f"{name},point,{east_m:.0f},{north_m:.0f},{_HEIGHT_M:.0f},launch,,,")
    rows.append("Landing,land,0,0,,,,,")
    return "\n".join(rows) + "\n"


def circuit_corners(
    into_wind_rad: float, along_m: float = SHAPES["circuit"][1]
) -> list[tuple[float, float]]:
    """Return the corners of a left-hand circuit, metres east and north of the launch point."""
    aside_m = _CIRCUIT_ASIDE * along_m
    return [
        _to_east_north(along * along_m, left * aside_m, into_wind_rad)
        for along, left in ((1, 1), (-1, 1), (-1, -1), (1, -1))
    ]


def _overhead(name: str, radius_m: float, turns: int) -> str:
    """Return the row of an orbit about the launch point."""
    return f"{name},orbit,0,0,{_HEIGHT_M:.0f},launch,{radius_m:.0f},left,{turns}"


def _to_east_north(along_m: float, left_m: float, heading_rad: float) -> tuple[float, float]:
    sine, cosine = math.sin(heading_rad), math.cos(heading_rad)
    return along_m * sine - left_m * cosine, along_m * cosine + left_m * sine
