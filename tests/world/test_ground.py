"""Ground by eye, its skyline, trees, and unknown ground: cases computed by hand."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.foundation.estimate import Basis, Estimate
from homeleg.world.ground import (
    CanopyArea,
    GroundByEye,
    SkylinePoint,
    Surface,
    TerrainGround,
    bilinear,
    ground_height,
    surface_of,
    tied_to_launch,
    top_height,
    with_two_spreads,
)

NAN = math.nan


def told(value: float, sd: float = 0.0) -> Estimate:
    return Estimate(value=value, sd=sd, basis=Basis.DECLARED)


def point(bearing_deg: float, distance_m: float, height_m: float, sd: float = 0.0) -> SkylinePoint:
    return SkylinePoint(
        bearing_true_rad=math.radians(bearing_deg),
        distance_m=distance_m,
        height_m=told(height_m, sd),
    )


def by_eye(
    *skyline: SkylinePoint, flat_to_m: float = 0.0, highest_m: float | None = None
) -> GroundByEye:
    return GroundByEye(
        flat_within_m=5.0,
        radius_m=1000.0,
        flat_to_m=flat_to_m,
        skyline=skyline,
        highest_m=highest_m,
    )


def surface(heights: list[list[float]], spacing_m: float = 10.0) -> Surface:
    nodes_m = np.array(heights)
    return Surface(
        heights_above_launch_m=nodes_m,
        canopy_m=np.zeros_like(nodes_m),
        east_m=0.0,
        north_m=0.0,
        spacing_m=spacing_m,
        radius_m=math.inf,
        error_m=told(0.0, 3.0),
    )


FOUR = np.array([[0.0, 10.0], [20.0, 70.0]])


@pytest.mark.parametrize(
    ("column", "row", "expected"),
    [
        (0.0, 0.0, 0.0),
        (1.0, 1.0, 70.0),
        (0.25, 0.0, 2.5),
        # 0.75 (0.5 x 0 + 0.5 x 10) + 0.25 (0.5 x 20 + 0.5 x 70) = 3.75 + 11.25
        (0.5, 0.25, 15.0),
        (1.01, 0.0, NAN),
        (0.0, -0.01, NAN),
        (NAN, 0.5, NAN),
    ],
)
def test_bilinear_by_hand(column: float, row: float, expected: float) -> None:
    got = bilinear(FOUR, np.array(column), np.array(row))
    assert got == pytest.approx(expected, abs=1e-12, nan_ok=True)


def test_one_void_neighbour_that_weighs_makes_unknown() -> None:
    void = np.array([[1.0, NAN], [3.0, 4.0]])
    assert math.isnan(bilinear(void, np.array(0.001), np.array(0.0)))
    assert math.isnan(bilinear(void, np.array(0.9), np.array(0.999)))
    # On the western nodes and on the northern edge the void has no weight.
    assert bilinear(void, np.array(0.0), np.array(0.5)) == 2.0
    assert bilinear(void, np.array(0.5), np.array(1.0)) == 3.5


@given(st.floats(-5.0, 5.0), st.floats(-5.0, 5.0), st.floats(0.0, 2.0), st.floats(0.0, 3.0))
def test_bilinear_gives_a_plane_back(a: float, b: float, column: float, row: float) -> None:
    plane = np.array([[a * i + b * j for i in range(3)] for j in range(4)])
    got = bilinear(plane, np.array(column), np.array(row))
    assert got == pytest.approx(a * column + b * row, abs=1e-9)


def test_flat_ground_is_level_to_its_radius_and_unknown_beyond() -> None:
    flat = surface_of(by_eye(flat_to_m=1000.0), ())
    assert flat.heights_above_launch_m.shape == (2, 2)
    assert ground_height(flat, 600.0, -799.0) == 0.0
    assert math.isnan(ground_height(flat, 600.0, 801.0))
    assert flat.error_m.sd == pytest.approx(3.04, abs=0.005)  # 5 / 1.645


def test_ground_reaches_the_line_of_sight_over_the_skyline() -> None:
    # 80 m at 800 m: a slope of one in ten, before the point, at it, and hidden behind it.
    rising = surface_of(by_eye(point(90.0, 800.0, 80.0)), ())
    east_m = np.array([100.0, 400.0, 800.0, 950.0])
    assert ground_height(rising, east_m, 0.0) == pytest.approx([10.0, 40.0, 80.0, 95.0], abs=1e-9)


def test_two_spreads_are_added_to_a_skyline_point() -> None:
    rising = surface_of(by_eye(point(90.0, 800.0, 60.0, sd=10.0)), ())
    assert ground_height(rising, 400.0, 0.0) == pytest.approx(40.0, abs=1e-9)


def test_between_skyline_points_the_slope_changes_evenly_with_bearing() -> None:
    # One in ten to the north, level to the east: one in twenty half way between.
    rising = surface_of(by_eye(point(0.0, 500.0, 50.0), point(90.0, 700.0, 0.0)), ())
    assert ground_height(rising, 300.0, 300.0) == pytest.approx(math.hypot(300, 300) / 20, abs=1e-9)
    assert ground_height(rising, 0.0, 400.0) == pytest.approx(40.0, abs=1e-9)
    # The other way round from east to north, 270 degrees: a third of the way is 180 degrees.
    assert ground_height(rising, 0.0, -300.0) == pytest.approx(300.0 / 30.0, abs=1e-9)


def test_skyline_below_the_launch_point_never_lowers_the_ground() -> None:
    assert ground_height(surface_of(by_eye(point(90.0, 800.0, -40.0)), ()), 700.0, 0.0) == 0.0


def test_the_flat_stays_flat_and_the_ground_beyond_may_rise_at_once() -> None:
    stepped = surface_of(by_eye(point(90.0, 800.0, 80.0), flat_to_m=300.0), ())
    assert ground_height(stepped, 290.0, 0.0) == 0.0
    assert ground_height(stepped, 300.0, 0.0) == pytest.approx(30.0, abs=1e-9)


def test_the_highest_ground_of_a_map_ends_the_rise() -> None:
    capped = surface_of(by_eye(point(90.0, 500.0, 50.0), highest_m=70.0), ())
    assert ground_height(capped, 600.0, 0.0) == pytest.approx(60.0, abs=1e-9)
    assert ground_height(capped, 900.0, 0.0) == pytest.approx(70.0, abs=1e-9)
    # Lower than a point of the skyline, it must be wrong there: the point counts.
    low = surface_of(by_eye(point(90.0, 500.0, 50.0), highest_m=20.0), ())
    assert ground_height(low, 900.0, 0.0) == pytest.approx(50.0, abs=1e-9)


def test_without_a_skyline_all_ground_beyond_the_flat_is_as_high_as_the_highest() -> None:
    step = surface_of(by_eye(flat_to_m=400.0, highest_m=70.0), ())
    assert ground_height(step, 380.0, 0.0) == 0.0
    assert ground_height(step, 400.0, 0.0) == 70.0
    assert ground_height(step, 0.0, -900.0) == 70.0


WOOD = ((200.0, -50.0), (400.0, -50.0), (400.0, 50.0), (200.0, 50.0))


def test_trees_stand_on_the_ground_inside_their_corners() -> None:
    wood = CanopyArea(height_m=told(18.0, 1.0), vertices_m=WOOD)
    grown = surface_of(by_eye(flat_to_m=1000.0), (wood,))
    assert top_height(grown, 300.0, 0.0) == 20.0  # two spreads on top
    assert ground_height(grown, 300.0, 0.0) == 0.0
    assert top_height(grown, 150.0, 0.0) == 0.0
    # Its edge is at full height: nodes next to it are raised too.
    assert top_height(grown, 200.0, 0.0) == 20.0
    assert top_height(grown, 400.0, 49.9) == 20.0


def test_trees_over_all_begin_at_the_clearing() -> None:
    trees = CanopyArea(height_m=told(12.0), clearing_m=150.0)
    grown = surface_of(by_eye(flat_to_m=1000.0), (trees,))
    assert top_height(grown, 0.0, 130.0) == 0.0
    assert top_height(grown, 0.0, 150.0) == 12.0
    assert math.isnan(top_height(grown, 0.0, 1001.0))


def test_overlapping_woods_are_as_high_as_the_higher() -> None:
    woods = tuple(CanopyArea(height_m=told(h), vertices_m=WOOD) for h in (20.0, 8.0))
    assert top_height(surface_of(by_eye(flat_to_m=1000.0), woods), 300.0, 0.0) == 20.0


def test_trees_on_unknown_ground_do_not_make_it_known() -> None:
    bare = surface([[0.0, NAN, 0.0], [0.0, 0.0, 0.0], [0.0, 0.0, 0.0]])
    ground = TerrainGround(surface=bare, files=("t.tif",))
    grown = surface_of(ground, (CanopyArea(height_m=told(5.0), clearing_m=1.0),))
    assert math.isnan(top_height(grown, 10.0, 0.0))
    assert top_height(grown, 20.0, 20.0) == 5.0


def test_an_obstacle_is_taken_for_its_height_and_two_spreads() -> None:
    assert with_two_spreads(told(45.0, 3.0)) == 51.0


def test_terrain_is_shifted_to_pass_through_the_launch_point() -> None:
    tied = tied_to_launch(surface([[6.0, 6.0, 6.0], [6.0, 6.0, 6.0]], spacing_m=50.0))
    # Nothing left of the six metres at the launch point, half at 50 m, all of it at 100 m.
    assert tied.heights_above_launch_m[0] == pytest.approx([0.0, 3.0, 6.0], abs=1e-12)


def test_a_launch_point_on_unknown_ground_shifts_nothing() -> None:
    bare = surface([[NAN, 6.0], [6.0, 6.0]])
    assert tied_to_launch(bare) is bare


def test_a_surface_must_have_cells() -> None:
    with pytest.raises(ValueError, match="two by two"):
        surface([[1.0, 2.0]])
    with pytest.raises(ValueError, match="not above 0"):
        replace(surface([[1.0, 2.0], [3.0, 4.0]]), spacing_m=0.0)
