"""Unknown ground under drawn legs and lines home, by hand."""

import math

import numpy as np
import pytest

from homeleg.foundation.estimate import Basis, Estimate
from homeleg.route.geometry import Leg, LegKind
from homeleg.sortie.unknown_ground import unknown_on_ways_home, unknown_under
from homeleg.world.ground import Surface


def surface(heights: list[list[float]], radius_m: float = math.inf) -> Surface:
    """Return nodes 100 m apart from 500 m west and 500 m south of the launch point."""
    nodes_m = np.array(heights)
    return Surface(
        heights_above_launch_m=nodes_m,
        canopy_m=np.zeros_like(nodes_m),
        east_m=-500.0,
        north_m=-500.0,
        spacing_m=100.0,
        radius_m=radius_m,
        error_m=Estimate(value=0.0, sd=1.0, basis=Basis.DECLARED),
    )


def leg(
    start_m: tuple[float, float],
    end_m: tuple[float, float],
    kind: LegKind = LegKind.TRACK,
    radius_m: float = 0.0,
) -> Leg:
    return Leg(
        start="A",
        end="B",
        kind=kind,
        start_m=start_m,
        end_m=end_m,
        height_m=80.0,
        airspeed_eas_m_s=15.0,
        bank_rad=0.5,
        radius_m=radius_m,
    )


KNOWN = [[0.0] * 11 for _ in range(11)]
HOLED = [row.copy() for row in KNOWN]
HOLED[5][8] = math.nan  # 300 m east of the launch point


def straight(_leg: int, _place_m: tuple[float, float]) -> list[tuple[tuple[float, float], ...]]:
    return [((0.0, 0.0),)]


def test_known_ground_has_no_stretch() -> None:
    legs = [leg((-400.0, 0.0), (400.0, 0.0))]
    assert unknown_under(legs, surface(KNOWN)) == []
    assert unknown_on_ways_home(legs, surface(KNOWN), straight) == []


def test_a_void_under_a_leg_is_named_with_its_distance() -> None:
    # The void weighs in the open square from 200 to 400 m east: 610 to 790 m along the leg.
    stretches = unknown_under([leg((-400.0, 0.0), (450.0, 0.0))], surface(HOLED))
    assert [(s.leg, s.from_m, s.to_m) for s in stretches] == [("A to B", 610.0, 790.0)]
    assert stretches[0].words == "A to B, from 610 to 790 m along it"
    assert stretches[0].points_m[:, 0].min() == 210.0


def test_ground_beyond_the_radius_is_unknown() -> None:
    stretches = unknown_under([leg((0.0, 0.0), (0.0, 400.0))], surface(KNOWN, radius_m=250.0))
    assert [(s.from_m, s.to_m) for s in stretches] == [(260.0, 400.0)]


def test_lines_home_cross_what_the_leg_passes_by() -> None:
    # North to south, 450 m east: only lines home within 98 m of due west meet the void, whose
    # square reaches 100 m to each side at 200 to 400 m east: |north| / 450 x 200 < 100.
    passing = leg((450.0, 300.0), (450.0, -300.0))
    assert unknown_under([passing], surface(HOLED)) == []
    (stretch,) = unknown_on_ways_home([passing], surface(HOLED), straight)
    # 225 m to each side of due west of the launch point, in steps of 10 m on the leg.
    assert stretch.from_m == pytest.approx(80.0, abs=10.0)
    assert stretch.to_m == pytest.approx(520.0, abs=10.0)


def test_all_of_an_orbit_is_looked_at() -> None:
    orbit = leg((0.0, 0.0), (0.0, 0.0), LegKind.ORBIT, radius_m=300.0)
    (stretch,) = unknown_under([orbit], surface(HOLED))
    assert np.hypot(*stretch.points_m.T) == pytest.approx(300.0, abs=1e-9)
    # Bearings within asin(100 / 300) of due east.
    north_m = stretch.points_m[:, 1]
    assert 90.0 < north_m.max() < 100.0
    assert -100.0 < north_m.min() < -90.0


def test_the_climb_out_is_not_drawn() -> None:
    climb = leg((0.0, 0.0), (20_000.0, 0.0), LegKind.CLIMB_OUT)
    assert unknown_under([climb], surface(KNOWN)) == []
