"""Hulls and distances to outlines, by hand on a square, a notch and a circle."""

import math

import numpy as np
import pytest

from homeleg.world.outline import distance_outside, hull_of_circles

SQUARE = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))
# The square with a notch cut into its top, down to the middle.
NOTCHED = (*SQUARE[:3], (6.0, 10.0), (5.0, 5.0), (4.0, 10.0), SQUARE[3])


@pytest.mark.parametrize(
    ("east_m", "north_m", "outside_m"),
    [
        (5.0, 4.0, -4.0),
        (9.0, 5.0, -1.0),
        (13.0, 5.0, 3.0),
        (13.0, 14.0, 5.0),
        (5.0, -2.0, 2.0),
    ],
)
def test_square(east_m: float, north_m: float, outside_m: float) -> None:
    got_m = distance_outside(SQUARE, np.array([east_m]), np.array([north_m]))
    assert got_m[0] == pytest.approx(outside_m)


def test_inside_a_notch_is_outside() -> None:
    # From (5, 9) the slanted edges lie 0.8 / sqrt(1.04) m away.
    got_m = distance_outside(NOTCHED, np.array([5.0]), np.array([9.0]))
    assert got_m[0] == pytest.approx(0.8 / math.sqrt(1.04))


def test_nowhere_stays_nowhere() -> None:
    assert np.isnan(distance_outside(SQUARE, np.array([np.nan]), np.array([np.nan])))[0]


def test_hull_leaves_out_what_lies_within() -> None:
    points = [(0.0, 0.0, 0.0), (10.0, 0.0, 0.0), (10.0, 10.0, 0.0), (0.0, 10.0, 0.0)]
    hull = hull_of_circles([*points, (4.0, 4.0, 0.0), (5.0, 0.0, 0.0)])
    assert set(hull) == set(SQUARE)


def test_hull_of_a_circle_and_a_point() -> None:
    # Tangents from (-100, 0) to a circle of 50 m about the origin touch it at 60 degrees. Corners
    # lie around the circle, by 0.1 % of its radius at most.
    hull = hull_of_circles([(0.0, 0.0, 50.0), (-100.0, 0.0, 0.0)])
    east_m = np.array([60.0, 0.0, -100.0, -25.0, -100.0])
    north_m = np.array([0.0, 0.0, 10.0, 50.0 * math.sin(math.pi / 3.0), 0.0])
    expected_m = [10.0, -50.0, 10.0 * math.cos(math.pi / 6.0), 0.0, 0.0]
    got_m = distance_outside(hull, east_m, north_m)
    assert got_m == pytest.approx(expected_m, abs=0.05)


def test_hull_of_a_line() -> None:
    hull = hull_of_circles([(0.0, 0.0, 0.0), (100.0, 0.0, 0.0)])
    got_m = distance_outside(hull, np.array([50.0, 130.0]), np.array([20.0, 40.0]))
    assert got_m == pytest.approx([20.0, 50.0])
