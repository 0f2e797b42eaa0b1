"""Shades of the ground: what faces the light is lighter, what is not known is not drawn."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.desk.relief import Relief, shades_of
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.world.ground import Surface


def relief(heights_m: NDArray[np.float64], spacing_m: float = 10.0) -> Relief:
    return shades_of(
        Surface(
            heights_above_launch_m=heights_m,
            canopy_m=np.zeros_like(heights_m),
            east_m=-100.0,
            north_m=-200.0,
            spacing_m=spacing_m,
            radius_m=5000.0,
            error_m=Estimate(value=0.0, sd=1.0, basis=Basis.DECLARED),
        )
    )


def shades(of: Relief) -> NDArray[np.uint8]:
    return np.frombuffer(of.shades, dtype=np.uint8).reshape(of.rows, of.columns)


NORTH, EAST = (10.0 * axis for axis in np.meshgrid(np.arange(9.0), np.arange(7.0), indexing="ij"))


def test_slopes_that_face_north_west_are_light() -> None:
    level = shades(relief(np.zeros((9, 7))))[4, 3]
    facing = shades(relief(0.1 * (EAST - NORTH)))[4, 3]  # falls to the north-west
    turned = shades(relief(0.1 * (NORTH - EAST)))[4, 3]
    assert facing < level < turned


def test_a_known_slope_by_lamberts_law() -> None:
    # Rising 0.1 to the south-east, drawn three times as steep: 0.3 in each axis. The normal
    # (-0.3, 0.3, 1) meets the light (-1, 1, sqrt 2) / 2 at cos = (0.3 + 0.7071) / sqrt(1.18).
    lit = (0.3 + math.sqrt(0.5)) / math.sqrt(1.18)
    expected = max(round(255.0 * (0.2 + math.sqrt(0.5) - lit)), 1)
    assert shades(relief(0.1 * (EAST - NORTH)))[4, 3] == expected


def test_unknown_ground_has_no_shade_and_north_is_first() -> None:
    heights_m = np.zeros((9, 7))
    heights_m[0, 2] = np.nan  # the southern row
    found = shades(relief(heights_m))
    assert found[8, 2] == 0
    assert np.all(found[:6] > 0)


def test_corners_are_those_of_pixels() -> None:
    found = relief(np.zeros((9, 7)))
    # Nodes from -100 to -40 east and -200 to -120 north, 10 m apart, half a pixel more outside.
    assert found.corners_m == ((-105.0, -115.0), (-35.0, -115.0), (-105.0, -205.0))


@pytest.mark.parametrize(("nodes", "kept"), [(1000, 1000), (1001, 501), (2500, 834)])
def test_a_large_terrain_is_thinned(nodes: int, kept: int) -> None:
    found = relief(np.zeros((nodes, 3)))
    assert found.rows == kept
    assert len(found.shades) == found.rows * found.columns
