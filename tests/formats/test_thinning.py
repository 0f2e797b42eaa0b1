"""A walked line thinned: what turns it stays, and nothing moves farther than was said."""

import math
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from homeleg.formats.thinning import places_that_matter

PLACES = st.lists(st.tuples(st.floats(-500, 500), st.floats(-500, 500)), min_size=1, max_size=40)


def test_a_square_walked_at_every_metre() -> None:
    side = [(float(k), 0.0) for k in range(100)]
    square = [
        *side,
        *((100.0, float(k)) for k in range(100)),
        *((100.0 - k, 100.0) for k in range(100)),
    ]
    wobbling = [(east + 0.3 * (k % 2), north) for k, (east, north) in enumerate(square)]
    kept = [wobbling[k] for k in places_that_matter(wobbling, 1.0)]
    assert len(kept) == 4
    for corner in ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (1.0, 100.0)):
        assert min(math.dist(corner, place) for place in kept) < 1.5


@given(PLACES)
def test_every_place_is_near_the_line_that_is_left(places: list[tuple[float, float]]) -> None:
    kept = places_that_matter(places, 5.0)
    assert kept[0] == 0
    assert kept[-1] == len(places) - 1
    for start, end in pairwise(kept):
        for place in places[start : end + 1]:
            assert _distance_m(places[start], places[end], place) <= 5.0 + 1e-9


def _distance_m(
    start: tuple[float, float], end: tuple[float, float], place: tuple[float, float]
) -> float:
    """By trying a thousand points of the line, not by the formula under test."""
    return min(
        math.dist(place, (start[0] + t * (end[0] - start[0]), start[1] + t * (end[1] - start[1])))
        for t in (k / 1000 for k in range(1001))
    ) - 1e-3 * math.dist(start, end)
