"""Squares to search: which, in which order, and their outlines, drawn by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from homeleg.way_home.search_squares import (
    Outline,
    SearchSquares,
    area_of,
    looks,
    search_squares,
)


def squares(picture: str, side_m: float = 10.0) -> SearchSquares:
    """Squares as drawn, north at the top: each digit is so many parts of all."""
    rows = [[int(sign) for sign in line] for line in reversed(picture.split())]
    share = np.array(rows, dtype=np.float64)
    return SearchSquares(share=share / share.sum(), west_m=0.0, south_m=0.0, side_m=side_m)


def area_m2(outline: Outline) -> float:
    """The shoelace formula."""
    following = [*outline[1:], outline[0]]
    return 0.5 * sum(
        x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(outline, following, strict=True)
    )


def test_the_fewest_squares_hold_a_share() -> None:
    drawn = squares("12 34")  # 3 and 4 below: 7 of 10 parts
    half = area_of(drawn, 0.5)
    assert half.ground_m2 == 200.0
    assert half.share == pytest.approx(0.7)
    [(outer, holes)] = half.outlines
    assert set(outer) == {(0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0)}
    assert holes == ()


def test_a_ring_has_a_hole_and_an_island_within() -> None:
    drawn = squares("1111111 1000001 1000001 1001001 1000001 1000001 1111111")
    area = area_of(drawn, 1.0)
    assert sorted(len(holes) for _, holes in area.outlines) == [0, 1]
    assert area.ground_m2 == 25 * 100.0
    for outer, holes in area.outlines:
        assert area_m2(outer) > 0.0
        assert all(area_m2(hole) == -2500.0 for hole in holes)


def test_squares_that_touch_at_a_corner_are_apart() -> None:
    area = area_of(squares("10 01"), 1.0)
    assert [(len(outer), len(holes)) for outer, holes in area.outlines] == [(4, 0), (4, 0)]


@given(st.lists(st.lists(st.booleans(), min_size=5, max_size=5), min_size=2, max_size=6))
def test_outlines_less_their_holes_are_the_squares(chosen: list[list[bool]]) -> None:
    share = np.array(chosen, dtype=np.float64)
    if not share.any():
        share[0, 0] = 1.0
    drawn = SearchSquares(share=share / share.sum(), west_m=-7.0, south_m=3.0, side_m=2.0)
    area = area_of(drawn, 1.0)
    total = sum(area_m2(outer) + sum(map(area_m2, holes)) for outer, holes in area.outlines)
    assert total == pytest.approx(np.count_nonzero(share) * 4.0)
    assert area.ground_m2 == pytest.approx(total)


def test_looks_come_by_share_and_never_twice() -> None:
    found = looks(squares("90000 00000 00000 00001 00000 30000"), 8)
    assert [round(look.share, 3) for look in found] == [0.692, 0.231, 0.077]
    # The upper left square lies in the three by three about its own middle or beside it.
    assert abs(found[0].north_m - 55.0) <= 10.0
    assert abs(found[1].north_m - 5.0) <= 10.0


def places(count: int, extent_m: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    points = np.random.default_rng(3).uniform(-extent_m, extent_m, (2, count))
    return points[0], points[1]


@pytest.mark.parametrize(("extent_m", "side_m"), [(60.0, 10.0), (600.0, 100.0), (6000.0, 1000.0)])
def test_the_squares_grow_with_the_ground(extent_m: float, side_m: float) -> None:
    # By hand: of squares of a side s over a square of 2 e, 0.9 (2 e / s)^2 hold nine in ten: of the
    # sides there are, the least that keeps that to 250 or fewer.
    east_m, north_m = places(20_000, extent_m)
    made = search_squares(east_m, north_m, np.full(east_m.size, 1.0 / east_m.size))
    assert made.side_m == side_m
    assert made.share.sum() == pytest.approx(1.0)
    inside = area_of(made, 0.9)
    assert inside.share == pytest.approx(0.9, abs=0.01)
    assert inside.ground_m2 == pytest.approx(0.9 * (2.0 * extent_m) ** 2, rel=0.12)
