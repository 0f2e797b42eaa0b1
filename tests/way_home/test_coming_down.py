"""Descents onto the ground: glides, drift, circles and slopes worked by hand."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeleg.flight import layout as c
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.way_home.coming_down import CameDown, Descents, come_down
from homeleg.world.ground import Surface

HEIGHT_M, FORWARD_M_S, SINK_M_S = 85.0, 11.0, 1.0
G_M_S2 = 9.80665


def surface(slope_east: float = 0.0, radius_m: float = 5000.0, trees_m: float = 0.0) -> Surface:
    """Ground that rises evenly to the east, level with the launch point there."""
    across = np.linspace(-5000.0, 5000.0, 101)
    heights_m = np.broadcast_to(slope_east * across, (101, 101)).copy()
    return Surface(
        heights_above_launch_m=heights_m,
        canopy_m=np.full_like(heights_m, trees_m),
        east_m=-5000.0,
        north_m=-5000.0,
        spacing_m=100.0,
        radius_m=radius_m,
        error_m=Estimate(value=0.0, sd=0.0, basis=Basis.DECLARED),
    )


def down(
    ground: Surface,
    headings_deg: Any,
    *,
    bank_deg: float = 0.0,
    wind: Any = (0, 0),
    height_m: float = HEIGHT_M,
) -> CameDown:
    headings = np.radians(np.atleast_1d(np.asarray(headings_deg, dtype=np.float64)))
    one = np.ones_like(headings)
    winds = np.empty((headings.size, 2, c.WIND_NODES))
    winds[:, 0], winds[:, 1] = wind
    descents = Descents(
        east_m=0.0 * one,
        north_m=0.0 * one,
        height_m=height_m * one,
        heading_rad=headings,
        bank_rad=math.radians(bank_deg) * one,
        airspeed_m_s=FORWARD_M_S * one,
        sink_m_s=SINK_M_S * one,
        winds=winds,
        wind_top_m=150.0,
    )
    return come_down(descents, ground)


def test_in_calm_air_it_lies_on_the_circle_of_height_times_glide_ratio() -> None:
    # By hand: 85 m of height at 11 m forward for each metre down is 935 m, on every heading.
    headings_deg = np.arange(0.0, 360.0, 15.0)
    came = down(surface(), headings_deg)
    assert np.hypot(came.east_m, came.north_m) == pytest.approx(935.0, abs=1e-6)
    there_deg = np.degrees(np.arctan2(came.east_m, came.north_m)) % 360.0
    assert there_deg == pytest.approx(headings_deg, abs=1e-6)


@settings(max_examples=20)
@given(east=st.floats(-10.0, 10.0), north=st.floats(-10.0, 10.0), heading=st.floats(0.0, 359.0))
def test_a_steady_wind_shifts_it_by_wind_times_height_over_sink(
    east: float, north: float, heading: float
) -> None:
    # By hand: 85 m at 1 m/s down take 85 s, in which the air moves 85 times its speed.
    calm, blown = down(surface(), heading), down(surface(), heading, wind=(east, north))
    assert blown.east_m - calm.east_m == pytest.approx(85.0 * east, abs=1e-6)
    assert blown.north_m - calm.north_m == pytest.approx(85.0 * north, abs=1e-6)


def test_a_circling_one_drifts_with_the_wind_and_stays_within_its_circle() -> None:
    # By hand: radius V^2 / (g tan 45 deg) = 12.34 m; drift 84 s x 5 m/s = 420 m north-east.
    radius_m = FORWARD_M_S**2 / G_M_S2
    component = 5.0 / math.sqrt(2.0)
    headings_deg = np.arange(0.0, 360.0, 30.0)
    blown = (component, component)
    came = down(surface(), headings_deg, bank_deg=45.0, wind=blown, height_m=84.0)
    off_m = np.hypot(came.east_m - 84.0 * component, came.north_m - 84.0 * component)
    assert np.all(off_m <= 2.0 * radius_m + 1e-6)
    # The angle turned is g t / V; the chord of that arc is 2 R sin(half of it).
    turned_rad = G_M_S2 * 84.0 / FORWARD_M_S
    assert off_m == pytest.approx(abs(2.0 * radius_m * math.sin(0.5 * turned_rad)), abs=1e-6)


def test_left_and_right_are_mirror_images() -> None:
    right, left = down(surface(), 0.0, bank_deg=20.0), down(surface(), 0.0, bank_deg=-20.0)
    assert left.east_m == pytest.approx(-right.east_m)
    assert left.north_m == pytest.approx(right.north_m)


def test_rising_ground_is_met_where_glide_and_slope_cross() -> None:
    # By hand: 85 - x / 11 = x / 20 at x = 603.2 m; with trees of 18 m, 85 - x / 11 = x / 20 + 18
    # at x = 475.5 m. Falling ground to the west: 85 - x / 11 = -x / 20 at x = 2077.8 m.
    rising = surface(slope_east=0.05)
    assert down(rising, 90.0).east_m == pytest.approx(603.226, abs=1e-3)
    assert down(rising, 270.0).east_m == pytest.approx(-2077.778, abs=1e-3)
    wooded = surface(slope_east=0.05, trees_m=18.0)
    assert down(wooded, 90.0).east_m == pytest.approx(475.484, abs=1e-3)


def test_beyond_known_ground_the_last_height_is_taken_and_told() -> None:
    # By hand: up to 300 m it rose to 15 m at most (looked at every 22 m: 14.3 m at 286 m); from
    # there 85 - x / 11 = 14.3 at x = 777.7 m.
    came = down(surface(slope_east=0.05, radius_m=300.0), [90.0])
    assert came.unknown.tolist() == [True]
    assert came.east_m == pytest.approx(777.7, abs=1e-6)
    assert not down(surface(), 90.0).unknown.any()


def test_what_is_on_the_ground_already_stays_there() -> None:
    came = down(surface(trees_m=90.0), 90.0)
    assert came.east_m.tolist() == came.north_m.tolist() == [0.0]
