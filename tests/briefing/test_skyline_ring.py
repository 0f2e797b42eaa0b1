"""The skyline ring against places worked by hand."""

import math
from typing import Any

import pytest

from homeleg.briefing.palette import BUFF
from homeleg.briefing.skyline_ring import skyline_ring
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.world.ground import SkylinePoint


def _point(bearing_deg: float, distance_m: float, height_m: float) -> SkylinePoint:
    return SkylinePoint(
        bearing_true_rad=math.radians(bearing_deg),
        distance_m=distance_m,
        height_m=Estimate(value=height_m, sd=5.0, basis=Basis.DECLARED),
    )


def test_a_point_lies_where_it_is_seen(figure_of: Any) -> None:
    # Wind from east is up: north, 90 deg to the left of it, lies at the left. 100 m up at 1,000 m
    # are 5.71 deg, 17.1 beyond the level ring of 150 about 280.
    svg = skyline_ring([_point(0.0, 1000.0, 100.0)], math.radians(90.0), BUFF)
    dots = figure_of(svg).all("circle")
    place = [float(dots[0].attrib[name]) for name in ("cx", "cy")]
    assert place == pytest.approx((280.0 - 167.13, 280.0), abs=0.06)


def test_slopes_change_evenly_between_points(figure_of: Any) -> None:
    # Slopes of 0.1 at 000 and 0.3 at 090: 0.2 at 045, 11.31 deg, 33.9 beyond the level ring.
    points = [_point(0.0, 1000.0, 100.0), _point(90.0, 1000.0, 300.0)]
    figure = figure_of(skyline_ring(points, 0.0, BUFF))
    outline = figure.points(figure.all("polygon")[1])
    x, y = outline[15]  # every 3 deg
    assert math.hypot(x - 280.0, 280.0 - y) == pytest.approx(150.0 + 33.93, abs=0.1)


def test_words_neither_meet_nor_leave(figure_of: Any) -> None:
    figure = figure_of(skyline_ring([_point(200.0, 500.0, 60.0)], math.radians(225.0), BUFF))
    assert figure.overlapping() == []
    assert figure.outside() == []
    assert "200: 7 deg above level at 500 m." in figure.said("desc")
