"""Sobol points against SciPy, bit for bit; scrambles by the stratification they must keep."""

import numpy as np
import pytest
from scipy.stats import qmc

from homeleg.sortie.sobol import (
    GREATEST_DIMENSION,
    SCRAMBLE_SIZE,
    scrambled_points,
    sobol_points,
)


# SciPy 1.17 stats.qmc.Sobol, unscrambled, 32 bits: an independent implementation.
@pytest.mark.parametrize("count", [1, 2, 7, 256, 1024])
def test_points_are_scipys(count: int) -> None:
    expected = qmc.Sobol(GREATEST_DIMENSION, scramble=False, bits=32).random(1024)[:count]
    got = sobol_points(count, GREATEST_DIMENSION) / 2.0**32
    np.testing.assert_array_equal(got, expected)


def test_more_dimensions_than_there_are() -> None:
    with pytest.raises(ValueError, match="there are 1 to"):
        sobol_points(8, GREATEST_DIMENSION + 1)


@pytest.mark.parametrize("seed", [0, 1, 99])
def test_each_scramble_puts_one_point_in_each_interval(seed: int) -> None:
    points = scrambled_points(4 * SCRAMBLE_SIZE, GREATEST_DIMENSION, seed)
    for scramble in points.reshape(4, SCRAMBLE_SIZE, GREATEST_DIMENSION):
        cells = np.floor(scramble * SCRAMBLE_SIZE).astype(int)
        assert all(
            len(set(cells[:, dimension])) == SCRAMBLE_SIZE
            for dimension in range(GREATEST_DIMENSION)
        )


def test_first_two_dimensions_stay_a_net() -> None:
    # Dimensions 1 and 2 of Sobol's sequence are a (0, 8, 2)-net: every elementary box of area
    # 1/256 holds exactly one of 256 points, and a nested scramble keeps that.
    points = scrambled_points(SCRAMBLE_SIZE, 2, 5)
    for power in range(9):
        boxes = np.floor(points * [2**power, 2 ** (8 - power)]).astype(int)
        assert len({tuple(box) for box in boxes}) == SCRAMBLE_SIZE


def test_more_points_never_change_the_earlier_ones() -> None:
    few, many = scrambled_points(300, 5, 3), scrambled_points(2048, 5, 3)
    np.testing.assert_array_equal(few, many[:300])


def test_scrambles_and_seeds_differ() -> None:
    points = scrambled_points(2 * SCRAMBLE_SIZE, 3, 1)
    assert not np.array_equal(points[:SCRAMBLE_SIZE], points[SCRAMBLE_SIZE:])
    assert not np.array_equal(points, scrambled_points(2 * SCRAMBLE_SIZE, 3, 2))
