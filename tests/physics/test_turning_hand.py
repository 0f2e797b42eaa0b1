"""Corners flown in wind, worked by hand: two routes of an aircraft at 15 m/s.

The figures were computed outside this program from plane geometry: an air-mass circle carried by
the wind, crab angles on both legs. Tolerances 1 m and 0.1 s.
"""

import math

import pytest

from homeleg.physics.turning import fly_by_distances, turn_lead_in_still_air, turn_radius
from homeleg.physics.wind_triangle import track_solution, wind_components

Point = tuple[float, float]

# Hot and high: a 120 m leg between a corner of 130 deg and one of 70 deg, wind 6.0 m/s from 270.
Q1, Q2, Q3, Q4 = (-150.0, -50.0), (-375.0, 218.0), (-255.0, 218.0), (-187.0, 30.0)
WEST_WIND = wind_components(6.0, math.radians(270.0))

# A shore at 85 m, true airspeed 15.5 m/s; wind 5.0 m/s at 10 m from 225, exponent 0.16: 7.04 m/s.
C, D, E, F = (540.0, -140.0), (760.0, 130.0), (690.0, 400.0), (380.0, 390.0)
SHORE_WIND = wind_components(5.0 * 8.5**0.16, math.radians(225.0))


def course(start: Point, end: Point) -> float:
    return math.atan2(end[0] - start[0], end[1] - start[1])


def corner(
    before: Point, at: Point, after: Point, sign: int, speed: float, bank_deg: float
) -> tuple[float, float]:
    wind = WEST_WIND if at in (Q2, Q3) else SHORE_WIND
    lead, rollout = fly_by_distances(
        speed, math.radians(bank_deg), course(before, at), course(at, after), sign, *wind
    )
    return float(lead), float(rollout)


@pytest.mark.parametrize(
    ("bank_deg", "after_q2_m", "before_q3_m"), [(45.0, 71.0, 29.0), (30.0, 123.0, 50.0)]
)
def test_short_leg_down_wind(bank_deg: float, after_q2_m: float, before_q3_m: float) -> None:
    _, rollout_m = corner(Q1, Q2, Q3, 1, 15.0, bank_deg)
    lead_m, _ = corner(Q2, Q3, Q4, 1, 15.0, bank_deg)
    assert rollout_m == pytest.approx(after_q2_m, abs=1.0)
    assert lead_m == pytest.approx(before_q3_m, abs=1.0)


def test_short_leg_into_wind() -> None:
    # the same loop the other way round at 15.5 m/s: 12.8 m after Q3, 56.5 m before Q2
    _, rollout_m = corner(Q4, Q3, Q2, -1, 15.5, 30.0)
    lead_m, _ = corner(Q3, Q2, Q1, -1, 15.5, 30.0)
    assert rollout_m == pytest.approx(12.8, abs=1.0)
    assert lead_m == pytest.approx(56.5, abs=1.0)
    ground_speed, _ = track_solution(15.5, course(Q3, Q2), *WEST_WIND)
    straight_s = (120.0 - rollout_m - lead_m) / float(ground_speed)
    assert straight_s - 2.0 == pytest.approx(3.3, abs=0.15)  # 50.7 m, 2 s to settle; 1 m is 0.1 s


def test_straight_flight_left_on_the_shortest_leg_of_the_shore() -> None:
    _, rollout_m = corner(C, D, E, -1, 15.5, 30.0)
    lead_m, _ = corner(D, E, F, -1, 15.5, 30.0)
    ground_speed, _ = track_solution(15.5, course(D, E), *SHORE_WIND)
    assert ground_speed == pytest.approx(17.83, abs=0.01)
    straight_s = (math.dist(D, E) - rollout_m - lead_m) / float(ground_speed)
    assert straight_s - 2.0 == pytest.approx(9.7, abs=0.1)  # 2 s to settle


def test_still_air_lead_of_a_sharp_corner() -> None:
    # 118 deg at 15.5 m/s and 30 deg of bank: radius 42.4 m, lead 70.8 m;
    # at 17.3 m/s 52.9 and 88.1 m; at 22.3 m/s the same bank needs 88 m of radius
    for speed_m_s, radius_m, lead_m in ((15.5, 42.4, 70.8), (17.3, 52.9, 88.1)):
        radius = turn_radius(speed_m_s, math.radians(30.0))
        assert radius == pytest.approx(radius_m, abs=0.05)
        # half a degree of course change and half a printed digit of the radius
        lead = turn_lead_in_still_air(radius, math.radians(118.0))
        assert lead == pytest.approx(lead_m, abs=1.0)
    assert turn_radius(22.3, math.radians(30.0)) == pytest.approx(88.0, abs=0.5)


def test_ground_speeds_and_crab_of_the_shore() -> None:
    # straight legs C-D, D-E, E-F at 85 m
    for start, end, ground_m_s, crab_deg in (
        (C, D, 22.49, 2.6),
        (D, E, 17.83, 23.1),
        (E, F, 9.60, 18.1),
    ):
        ground_speed, crab = track_solution(15.5, course(start, end), *SHORE_WIND)
        assert ground_speed == pytest.approx(ground_m_s, abs=0.01)
        assert abs(math.degrees(crab)) == pytest.approx(crab_deg, abs=0.05)


def course_change(before: Point, at: Point, after: Point) -> float:
    change = course(at, after) - course(before, at)
    return abs(math.remainder(change, math.tau))


def by_rule(speed_m_s: float, changes_rad: tuple[float, ...]) -> float:
    """Return the leads of corners by the still-air rule, at one speed and 30 deg of bank."""
    radius = turn_radius(speed_m_s, math.radians(30.0))
    return sum(float(turn_lead_in_still_air(radius, change)) for change in changes_rad)


def test_leads_of_the_short_leg_by_the_rule() -> None:
    # Corners of 130 and 70 deg at 30 deg of bank: 221 m at (15 + 6) m/s, 113 m in still air; with
    # 2 s to settle 263 and 143 m. At 13.5 m/s EAS, 15.5 TAS, 276 m.
    changes = course_change(Q1, Q2, Q3), course_change(Q2, Q3, Q4)
    assert math.degrees(changes[0]) == pytest.approx(130.0, abs=0.5)
    assert math.degrees(changes[1]) == pytest.approx(70.0, abs=0.5)
    for speed_m_s, leads_m, settled_m in ((21.0, 221.0, 263.0), (15.0, 113.0, 143.0)):
        leads = by_rule(speed_m_s, changes)
        assert leads == pytest.approx(leads_m, abs=1.0)
        assert leads + 2.0 * speed_m_s == pytest.approx(settled_m, abs=1.0)
    assert by_rule(21.5, changes) + 2.0 * 21.5 == pytest.approx(276.0, abs=1.0)


def test_shortest_leg_of_the_shore_by_the_rule() -> None:
    # Each corner at the higher ground speed of its two legs, 22.49 and 17.83 m/s at 30 deg of bank:
    # 153 of 279 m are left after 2 s to settle on the leg at 17.83 m/s, 8.6 s.
    leads = by_rule(22.49, (course_change(C, D, E),))
    leads += by_rule(17.83, (course_change(D, E, F),))
    left_m = math.dist(D, E) - leads - 2.0 * 17.83
    assert math.dist(D, E) == pytest.approx(279.0, abs=0.5)
    assert left_m == pytest.approx(153.0, abs=1.0)
    assert left_m / 17.83 == pytest.approx(8.6, abs=0.06)


def test_first_and_last_leg_of_the_shore() -> None:
    # Launch to A and G to launch, wind at 60 m: 8.84 and 8.93 m/s, crab 0.6 and 5.4 deg.
    wind = wind_components(5.0 * 6.0**0.16, math.radians(225.0))
    launch, a, g = (0.0, 0.0), (-200.0, -190.0), (120.0, 190.0)
    for start, end, ground_m_s, crab_deg in ((launch, a, 8.84, 0.6), (g, launch, 8.93, 5.4)):
        ground_speed, crab = track_solution(15.5, course(start, end), *wind)
        assert ground_speed == pytest.approx(ground_m_s, abs=0.01)
        assert abs(math.degrees(crab)) == pytest.approx(crab_deg, abs=0.06)


def test_straight_home_from_the_farthest_point_of_the_shore() -> None:
    # E, 798 m away, at 8.59 m/s in the wind at 85 m: 93 s, at 103.8 W 2.7 Wh.
    ground_speed, _ = track_solution(15.5, course(E, (0.0, 0.0)), *SHORE_WIND)
    home_s = math.dist(E, (0.0, 0.0)) / float(ground_speed)
    assert ground_speed == pytest.approx(8.59, abs=0.01)
    assert home_s == pytest.approx(93.0, abs=0.5)
    assert 103.8 * home_s / 3600.0 == pytest.approx(2.7, abs=0.05)
