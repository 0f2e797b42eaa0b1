"""A picture tied by two points, worked by hand."""

import math

import pytest

from homeleg.world.picture_tie import TieError, tied_by_two

SIZE = (400, 300)


def test_a_picture_with_north_up() -> None:
    # 200 pixels to the right are 100 m east: half a metre a pixel. The pixel (100, 150) is the
    # launch point, so the first pixel lies 50 m west and 75 m north of it.
    tie = tied_by_two(((100.0, 150.0), (300.0, 150.0)), ((0.0, 0.0), (100.0, 0.0)), SIZE)
    assert tie.metres_per_pixel == pytest.approx(0.5)
    assert tie.turned_rad == pytest.approx(0.0)
    first, right, down = tie.corners_m
    assert first == pytest.approx((-50.0, 75.0))
    assert right == pytest.approx((150.0, 75.0))
    assert down == pytest.approx((-50.0, -75.0))


def test_a_picture_with_east_up() -> None:
    # What lies to its right is south of the launch point: its top is east.
    tie = tied_by_two(((0.0, 0.0), (100.0, 0.0)), ((0.0, 0.0), (0.0, -200.0)), SIZE)
    assert math.degrees(tie.turned_rad) == pytest.approx(90.0)
    assert tie.metres_per_pixel == pytest.approx(2.0)
    assert tie.corners_m[2] == pytest.approx((-600.0, 0.0))


def test_what_a_slip_does_is_what_moving_both_points_does() -> None:
    pixels, places = ((50.0, 60.0), (350.0, 240.0)), ((0.0, 0.0), (300.0, -180.0))
    tie = tied_by_two(pixels, places, SIZE)
    # Both points moved in all independent ways by 3 pixels: the root of the sum of squares of what
    # the worst corner does.
    worst = 0.0
    for corner in range(3):
        squares = 0.0
        for point in (0, 1):
            # A slip in x and one in y turn and scale alike: one of them, of 3 pixels, stands.
            moved = [list(pixel) for pixel in pixels]
            moved[point][0] += 3.0
            other = tied_by_two((tuple(moved[0]), tuple(moved[1])), places, SIZE)  # type: ignore[arg-type]
            squares += math.dist(other.corners_m[corner], tie.corners_m[corner]) ** 2
        worst = max(worst, math.sqrt(squares))
    assert tie.slip_m == pytest.approx(worst, rel=0.1)  # the fourth corner is as bad as the first


@pytest.mark.parametrize(
    ("pixels", "places", "words"),
    [
        (((10.0, 10.0), (40.0, 10.0)), ((0.0, 0.0), (100.0, 0.0)), "30 pixels apart"),
        (((10.0, 10.0), (10.0, 10.0)), ((0.0, 0.0), (100.0, 0.0)), "0 pixels apart"),
        (((10.0, 10.0), (300.0, 10.0)), ((0.0, 0.0), (2.0, 0.0)), "2 m apart"),
    ],
)
def test_points_too_near_tie_nothing(
    pixels: tuple[tuple[float, float], tuple[float, float]],
    places: tuple[tuple[float, float], tuple[float, float]],
    words: str,
) -> None:
    with pytest.raises(TieError, match=words):
        tied_by_two(pixels, places, SIZE)
