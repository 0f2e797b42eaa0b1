"""The shape of the ground as shades, light from the north-west, for the board."""

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from homeleg.formats.sortie_file import read_sortie
from homeleg.world.ground import Surface, TerrainGround

__all__ = ["Relief", "relief_of", "shades_of"]

_MOST_NODES = 1000
# The light stands in the north-west at half a right angle, as maps have it: common practice.
_LIGHT = np.array([-1.0, 1.0, math.sqrt(2.0)]) / 2.0
_DARKEST = 255.0
# Low ground is drawn as if it were this steep: its shape would not be seen. Ours.
_STEEPER = 3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Relief:
    """Shades, northern row first: 1 the lightest, 255 the darkest, 0 where ground is not known.

    `corners_m` are the outer corners of the first pixel, of the first row's end and of the first
    column's end, metres east and north of the launch point.
    """

    shades: bytes
    columns: int
    rows: int
    corners_m: tuple[tuple[float, float], ...]


def relief_of(path: Path) -> Relief | None:
    """Return the shades of a sortie's terrain; None where the ground is told by eye."""
    ground = read_sortie(path).sortie.site.ground
    return shades_of(ground.surface) if isinstance(ground, TerrainGround) else None


def shades_of(surface: Surface) -> Relief:
    """Return the shades of a surface, with every so manieth node where it has too many."""
    up, across = (math.ceil(count / _MOST_NODES) for count in surface.heights_above_launch_m.shape)
    heights_m = surface.heights_above_launch_m[::up, ::across]
    north_step_m, east_step_m = up * surface.spacing_m, across * surface.spacing_m
    rows, columns = heights_m.shape
    west_m, south_m = surface.east_m - 0.5 * east_step_m, surface.north_m - 0.5 * north_step_m
    east_m, north_m = west_m + columns * east_step_m, south_m + rows * north_step_m
    return Relief(
        shades=_shades(heights_m, north_step_m, east_step_m)[::-1].tobytes(),
        columns=columns,
        rows=rows,
        corners_m=((west_m, north_m), (east_m, north_m), (west_m, south_m)),
    )


def _shades(
    heights_m: NDArray[np.float64], north_step_m: float, east_step_m: float
) -> NDArray[np.uint8]:
    """Return the shade of each node by how much light falls on it."""
    up_north, up_east = np.gradient(_STEEPER * heights_m, north_step_m, east_step_m)
    length = np.sqrt(up_east**2 + up_north**2 + 1.0)
    lit = (-up_east * _LIGHT[0] - up_north * _LIGHT[1] + _LIGHT[2]) / length
    level = float(_LIGHT[2])
    shade = 0.2 + (level - lit)  # level ground is a fifth dark, so that slopes differ both ways
    whole = np.clip(np.round(_DARKEST * shade), 1.0, _DARKEST)
    return np.where(np.isfinite(lit), whole, 0.0).astype(np.uint8)
