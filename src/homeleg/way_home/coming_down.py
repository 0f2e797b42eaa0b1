"""Where aircraft without power come down: steady descents through the wind onto the ground.

Each holds airspeed, sink and bank to the ground: wings level it goes straight on, banked it circles
while the wind carries it along.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.world.ground import Surface, top_height

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

__all__ = ["CameDown", "Descents", "come_down"]

# Height lost between two looks at the ground, and the lowest height that has a wind. Ours.
_STEP_M = 2.0
_LOWEST_WIND_M = 2.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Descents:
    """Descents (n,): metres from and above the launch point, headings and banks in radians.

    `airspeed_m_s` is the horizontal part of the true airspeed, `sink_m_s` down positive, `bank_rad`
    right positive. `winds` (n, 2, WIND_NODES) and `wind_top_m` as `homeleg.flight.layout` lays them
    out.
    """

    east_m: Array
    north_m: Array
    height_m: Array
    heading_rad: Array
    bank_rad: Array
    airspeed_m_s: Array
    sink_m_s: Array
    winds: Array
    wind_top_m: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CameDown:
    """Where descents ended (n,); `unknown` where nobody knows the ground there."""

    east_m: Array
    north_m: Array
    unknown: Mask


def come_down(descents: Descents, surface: Surface) -> CameDown:
    """Return where descents meet the ground, or the trees on it.

    Where the ground is not known it is taken to lie as high as the last that was, at first as high
    as the launch point.
    """
    east_m, north_m = descents.east_m.copy(), descents.north_m.copy()
    height_m, heading_rad = descents.height_m.copy(), descents.heading_rad.copy()
    top_m, unknown = _tops(surface, east_m, north_m, np.zeros_like(height_m))
    flying = height_m > top_m
    seconds = _STEP_M / descents.sink_m_s
    turned_rad = STANDARD_GRAVITY_M_S2 * np.tan(descents.bank_rad) / descents.airspeed_m_s * seconds
    # The chord of the arc that is flown in a step; sinc is sin(pi x) / (pi x).
    chord_m = descents.airspeed_m_s * seconds * np.sinc(turned_rad / (2.0 * np.pi))
    while np.any(flying):
        wind_m_s = _wind_at(descents, height_m - 0.5 * _STEP_M)
        along_rad = heading_rad + 0.5 * turned_rad
        to_east_m = east_m + chord_m * np.sin(along_rad) + wind_m_s[:, 0] * seconds
        to_north_m = north_m + chord_m * np.cos(along_rad) + wind_m_s[:, 1] * seconds
        to_top_m, to_unknown = _tops(surface, to_east_m, to_north_m, top_m)
        before_m, after_m = height_m - top_m, height_m - _STEP_M - to_top_m
        lands = after_m <= 0.0
        share = np.where(lands, before_m / np.maximum(before_m - after_m, 1e-9), 1.0)
        east_m = np.where(flying, east_m + share * (to_east_m - east_m), east_m)
        north_m = np.where(flying, north_m + share * (to_north_m - north_m), north_m)
        unknown = np.where(flying, to_unknown, unknown)
        top_m, height_m = to_top_m, height_m - _STEP_M
        heading_rad = heading_rad + turned_rad
        flying &= ~lands
    return CameDown(east_m=east_m, north_m=north_m, unknown=unknown)


def _tops(
    surface: Surface, east_m: Array, north_m: Array, otherwise_m: Array
) -> tuple[Array, Mask]:
    """Return the tops of ground and trees at points, and where they are not known."""
    found_m = top_height(surface, east_m, north_m)
    unknown = np.isnan(found_m)
    return np.where(unknown, otherwise_m, found_m), unknown


def _wind_at(descents: Descents, height_m: Array) -> Array:
    """Return each one's wind at its height, (n, 2), linear in the square root of height."""
    clipped_m = np.clip(height_m, _LOWEST_WIND_M, descents.wind_top_m)
    place = np.sqrt(clipped_m / descents.wind_top_m) * (c.WIND_NODES - 1)
    node = np.minimum(place.astype(np.intp), c.WIND_NODES - 2)
    share = (place - node)[:, np.newaxis]
    number = np.arange(height_m.size)
    low, high = descents.winds[number, :, node], descents.winds[number, :, node + 1]
    return np.asarray(low + share * (high - low))
