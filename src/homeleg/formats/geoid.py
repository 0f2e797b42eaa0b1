"""The geoid: how far mean sea level lies above the WGS 84 ellipsoid, from a grid that ships.

EGM96 on a 15-minute grid, between its nodes by the cubic of Keys through the four nearest of each
row and column. It meets the model's six published points within 0.02 m; the model itself is right
within about half a metre, and less where gravity was little known.

References
----------
EGM96: NASA/TP-1998-206861 (MEMORY of the number and of the error). R. G. Keys, IEEE Trans. Acoust.
Speech Signal Process. 29, 1153 (1981), a = -1/2. MEMORY.
"""

import math
from functools import cache
from importlib import resources

import numpy as np
from numpy.typing import NDArray

from homeleg.foundation.estimate import Basis, Estimate

__all__ = ["undulation"]

_NODES_PER_DEGREE = 4
# EGM96 against newer models and levelled points: 0.3 to 0.8 m in the checks of the tests.
_SD_M = 0.5


def undulation(latitude_rad: float, longitude_rad: float) -> Estimate:
    """Return the height of the geoid above the ellipsoid at a place on earth. [m]."""
    grid_cm = _grid_cm()
    rows, columns = grid_cm.shape
    row = (math.degrees(latitude_rad) + 90.0) * _NODES_PER_DEGREE
    column = (math.degrees(longitude_rad) + 180.0) * _NODES_PER_DEGREE
    south, west = min(math.floor(row), rows - 2), math.floor(column)
    around = np.arange(-1, 3)
    # Beyond a pole the meridian goes on half a turn away.
    lines = south + around
    over = (lines < 0) | (lines >= rows)
    mirrored = np.where(lines < 0, -lines, np.where(lines >= rows, 2 * (rows - 1) - lines, lines))
    across = west + around[np.newaxis, :] + np.where(over, columns // 2, 0)[:, np.newaxis]
    patch_cm = grid_cm[mirrored[:, np.newaxis], across % columns]
    value_cm = _keys(row - south) @ patch_cm @ _keys(column - west)
    return Estimate(value=float(value_cm) / 100.0, sd=_SD_M, basis=Basis.ASSUMED)


def _keys(share: float) -> NDArray[np.float64]:
    """Return the weights of four neighbours at a share of the way from the second to the third."""
    s, s2, s3 = share, share**2, share**3
    return 0.5 * np.array([2 * s2 - s3 - s, 3 * s3 - 5 * s2 + 2, 4 * s2 - 3 * s3 + s, s3 - s2])


@cache
def _grid_cm() -> NDArray[np.int16]:
    """Return the undulations from 90 S, 180 W, as `tools/pack_geoid.py` packed them. [cm]."""
    with (
        resources.files("homeleg.formats").joinpath("data/egm96_15min.npz").open("rb") as stream,
        np.load(stream) as packed,
    ):
        differences_cm: NDArray[np.int16] = packed["differences_cm"]
    rows_cm = np.cumsum(differences_cm, axis=0, dtype=np.int16)
    return np.cumsum(rows_cm, axis=1, dtype=np.int16)
