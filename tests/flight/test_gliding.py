"""Glides with the motor stopped: against closed forms, hand arithmetic and a plain integration."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.flight import gliding as g
from homeleg.flight import layout as c
from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.physics.glide import glide_ratio_over_ground, sink_rate

Array = NDArray[np.float64]

# The aircraft of the hand-computed cases: 2.60 kg, 0.460 m2, CD0 0.038, k 0.0541, at sea level.
MASS_KG, AREA_M2, CD0, K, RHO = 2.60, 0.460, 0.038, 0.0541, 1.225
WEIGHT_N = MASS_KG * STANDARD_GRAVITY_M_S2
BEST_RATIO = 1.0 / (2.0 * math.sqrt(CD0 * K))  # 11.0: Anderson, Introduction to Flight, ch. 6
BEST_M_S = math.sqrt(2.0 * WEIGHT_N / (RHO * AREA_M2) * math.sqrt(K / CD0))
TOP_M = 120.0
COURSES = 2.0 * math.pi * np.arange(48) / 48
LEVELS = np.linspace(0.0, TOP_M, 31)
TURN_RADIUS_M, TURN_LOSS_M = 20.0, 2.5
NO_OBSTACLES = np.zeros((0, 4))
NOTHING_MARKED = np.zeros((1, 1)), np.array([0.0, 0.0, 1.0])


def glide_ratio(airspeed_m_s: Array) -> Array:
    lift = 2.0 * WEIGHT_N / (RHO * AREA_M2 * airspeed_m_s**2)
    return lift / (CD0 + K * lift**2)


AIRSPEEDS_M_S: Array = BEST_M_S * 1.07 ** np.arange(-3.0, 13.0)
SINKS_M_S = sink_rate(AIRSPEEDS_M_S, glide_ratio(AIRSPEEDS_M_S))
HORIZONTAL_M_S = np.sqrt(AIRSPEEDS_M_S**2 - SINKS_M_S**2)


def winds(east_m_s: float, north_m_s: float, shear: float = 0.0) -> Array:
    """Return the wind of one member, with a share of it missing at the ground."""
    share = 1.0 - shear + shear * (np.arange(c.WIND_NODES) / (c.WIND_NODES - 1))
    return np.stack([east_m_s * share, north_m_s * share])[np.newaxis]


def table(wind: Array) -> Array:
    made: Array = g.glide_table(
        HORIZONTAL_M_S[np.newaxis], SINKS_M_S[np.newaxis], wind, TOP_M, COURSES, LEVELS
    )
    return made


def start(
    east_m: float, north_m: float, up_m: float, heading: float, wind: tuple[float, float] = (0, 0)
) -> Array:
    state = np.zeros((1, c.STATE_COLUMNS))
    state[0, [c.EAST, c.NORTH, c.UP]] = east_m, north_m, up_m
    state[0, c.HEADING], state[0, c.TRUE_AIRSPEED] = heading, BEST_M_S
    state[0, [c.WIND_EAST, c.WIND_NORTH]] = wind
    return state


def ground(nodes_m: Array | None = None) -> tuple[Array, Array]:
    """Return plan and ground: level out to 2 km, or nodes 100 m apart about the launch point."""
    plan = np.zeros(c.PLAN_COLUMNS)
    nodes_m = np.zeros((41, 41)) if nodes_m is None else nodes_m
    half_m = 50.0 * (nodes_m.shape[0] - 1)
    plan[[c.GROUND_EAST, c.GROUND_NORTH]] = -half_m
    plan[c.GROUND_SPACING], plan[c.GROUND_RADIUS] = 100.0, 2000.0
    plan[c.WIND_TOP] = TOP_M
    return plan, nodes_m


GLIDER = np.array([[BEST_M_S, TURN_LOSS_M, TURN_RADIUS_M, 0.0]])


def target(east_m: float, north_m: float, inside_m: float = 0.0) -> Array:
    return np.array([[east_m, north_m, inside_m, 0.0, math.nan]])


def spare(state: Array, wind: Array, to: Array, nodes_m: Array | None = None) -> float:
    found = g.spare_heights(
        state,
        np.zeros(1, dtype=np.int64),
        GLIDER,
        table(wind),
        COURSES,
        LEVELS,
        *ground(nodes_m),
        NO_OBSTACLES,
        to,
    )
    return float(found[0, 0])


def test_still_air_is_the_best_glide_ratio_times_height() -> None:
    reach = table(winds(0.0, 0.0))[0]
    # 11.0 times 120 m on every course.
    assert pytest.approx(11.0, abs=0.05) == BEST_RATIO
    np.testing.assert_allclose(reach[:, -1], BEST_RATIO * TOP_M, rtol=1e-4)


@pytest.mark.parametrize("head_wind_m_s", [-8.0, -4.0, 4.0, 7.0])
def test_wind_along_is_the_closed_form_at_the_best_airspeed(head_wind_m_s: float) -> None:
    fine_m_s = np.linspace(0.8 * BEST_M_S, 2.2 * BEST_M_S, 2000)
    closed = glide_ratio_over_ground(
        fine_m_s, sink_rate(fine_m_s, glide_ratio(fine_m_s)), head_wind_m_s
    )
    reach = table(winds(0.0, -head_wind_m_s))[0, 0]  # the course north
    # Airspeeds 7 % apart: 0.2 % of the distance, more against a strong wind.
    assert reach[-1] == pytest.approx(TOP_M * float(np.max(closed)), rel=0.005)
    assert reach[-1] <= TOP_M * float(np.max(closed)) * (1.0 + 1e-9)


def test_a_wind_that_no_glide_beats_leaves_no_way_against_it() -> None:
    reach = table(winds(0.0, -1.1 * float(AIRSPEEDS_M_S[-1])))[0]
    assert reach[0, -1] == 0.0
    assert reach[24, -1] > BEST_RATIO * TOP_M


def test_spare_height_on_the_way_in_still_air() -> None:
    # Heading there already: 60 m less 330 m over 11.03.
    got_m = spare(start(0.0, 0.0, 60.0, 0.0), winds(0.0, 0.0), target(0.0, 330.0))
    assert got_m == pytest.approx(60.0 - 330.0 / BEST_RATIO, abs=0.05)
    # Out of reach by the same rule.
    got_m = spare(start(0.0, 0.0, 20.0, 0.0), winds(0.0, 0.0), target(0.0, 330.0))
    assert got_m == pytest.approx(20.0 - 330.0 / BEST_RATIO, abs=0.05)


def test_a_turn_back_costs_its_height_and_its_width() -> None:
    # Half a turn: 2.5 m a radian, and 2 x 20 m aside; then 300 m and the 40 m sideways to the
    # point, for which it turns atan(40 / 300) more.
    got_m = spare(start(0.0, 0.0, 80.0, 0.0), winds(0.0, 0.0), target(1e-9, -300.0))
    aside = math.atan2(40.0, 300.0)
    left_m = 80.0 - (math.pi + aside) * TURN_LOSS_M - math.hypot(300.0, 40.0) / BEST_RATIO
    assert got_m == pytest.approx(left_m, abs=0.05)


def test_too_slow_is_paid_for_in_height_and_too_fast_is_not_counted() -> None:
    there = target(0.0, 200.0)
    states = [start(0.0, 0.0, 60.0, 0.0) for _ in range(3)]
    states[1][0, c.TRUE_AIRSPEED] = 7.0
    states[2][0, c.TRUE_AIRSPEED] = 18.0
    level, slow, fast = (spare(state, winds(0.0, 0.0), there) for state in states)
    # (V^2 - 7^2) / 2 g by hand.
    assert level - slow == pytest.approx((BEST_M_S**2 - 49.0) / (2.0 * 9.80665), abs=1e-6)
    assert fast == level


def test_landing_wants_the_turn_into_its_direction_and_a_flare() -> None:
    to = np.array([[0.0, 300.0, 0.0, 3.0, math.pi / 2.0]])
    plain = spare(start(0.0, 0.0, 60.0, 0.0), winds(0.0, 0.0), target(0.0, 300.0))
    landing = spare(start(0.0, 0.0, 60.0, 0.0), winds(0.0, 0.0), to)
    assert plain - landing == pytest.approx(3.0 + math.pi / 2.0 * TURN_LOSS_M, abs=1e-9)


def test_a_place_is_reached_inside_its_edge() -> None:
    state = start(0.0, 0.0, 60.0, 0.0)
    near = spare(state, winds(0.0, 0.0), target(0.0, 330.0, inside_m=40.0))
    assert near == pytest.approx(60.0 - 290.0 / BEST_RATIO, abs=0.05)
    # Above it already: all height is to spare.
    assert spare(state, winds(0.0, 0.0), target(0.0, 30.0, inside_m=40.0)) == 60.0


def test_a_ridge_on_the_way_takes_the_spare() -> None:
    nodes_m = np.zeros((41, 41))
    nodes_m[22, :] = 40.0  # 200 m north, rising from 100 m and down to 300 m
    got_m = spare(start(0.0, 0.0, 60.0, 0.0), winds(0.0, 0.0), target(0.0, 330.0), nodes_m)
    assert got_m == pytest.approx(60.0 - 200.0 / BEST_RATIO - 40.0, abs=0.05)


def test_unknown_ground_is_no_way() -> None:
    nodes_m = np.zeros((41, 41))
    nodes_m[22, :] = np.nan
    there = target(0.0, 330.0)
    assert spare(start(0.0, 0.0, 100.0, 0.0), winds(0.0, 0.0), there, nodes_m) < -1e5


def integrated(state: Array, wind: Array, course: float, distance_m: float) -> float:
    """Return the height after a turn and a glide, stepped through time with a fine choice of speed.

    The plain twin: nothing of the compiled tables is used.
    """
    fine_m_s = np.linspace(0.8 * BEST_M_S, 2.2 * BEST_M_S, 400)
    sinks = sink_rate(fine_m_s, glide_ratio(fine_m_s))
    level = np.sqrt(fine_m_s**2 - sinks**2)
    roots = np.sqrt(TOP_M * (np.arange(c.WIND_NODES) / (c.WIND_NODES - 1)) ** 2)
    east_m, north_m, up_m = state[0, [c.EAST, c.NORTH, c.UP]]
    heading, step_s = state[0, c.HEADING], 0.01
    at_start = state[0, [c.WIND_EAST, c.WIND_NORTH]]
    across = at_start[0] * math.cos(course) - at_start[1] * math.sin(course)
    wanted = course - math.asin(across / BEST_M_S)
    turn = (wanted - heading + math.pi) % (2.0 * math.pi) - math.pi
    rate = math.copysign(BEST_M_S / TURN_RADIUS_M, turn)
    for _ in range(round(turn / rate / step_s)):
        heading += rate * step_s
        east_m += (BEST_M_S * math.sin(heading) + at_start[0]) * step_s
        north_m += (BEST_M_S * math.cos(heading) + at_start[1]) * step_s
        up_m -= abs(rate) * step_s * TURN_LOSS_M
    to_east, to_north = (
        distance_m * math.sin(course) - east_m,
        distance_m * math.cos(course) - north_m,
    )
    along = math.atan2(to_east, to_north)
    up_m -= abs((along - course + math.pi) % (2.0 * math.pi) - math.pi) * TURN_LOSS_M
    left_m = math.hypot(to_east, to_north)
    while left_m > 0.0:
        root = math.sqrt(max(up_m, 2.0))
        east, north = (float(np.interp(root, roots, wind[0, k])) for k in (0, 1))
        with_it = east * math.sin(along) + north * math.cos(along)
        over = east * math.cos(along) - north * math.sin(along)
        ground_m_s = np.sqrt(level**2 - over**2) + with_it
        best = int(np.argmax(ground_m_s / sinks))
        taken_s = min(0.05, left_m / ground_m_s[best])
        left_m -= ground_m_s[best] * taken_s
        up_m -= sinks[best] * taken_s
    return float(up_m)


@pytest.mark.parametrize("course_deg", [20.0, 133.0, 251.0])
@pytest.mark.parametrize("heading_deg", [0.0, 200.0])
def test_against_a_plain_integration(course_deg: float, heading_deg: float) -> None:
    wind = winds(3.0, 4.5, shear=0.5)
    state = start(0.0, 0.0, 100.0, math.radians(heading_deg), wind=(2.9, 4.3))
    course = math.radians(course_deg)
    distance_m = 250.0
    there = target(distance_m * math.sin(course), distance_m * math.cos(course))
    expected_m = integrated(state, wind, course, distance_m)
    # Of some 40 m lost: airspeeds 7 % and courses 7.5 deg apart, levels of 4 m.
    assert spare(state, wind, there) == pytest.approx(expected_m, abs=0.5)


def fan(state: Array, wind: Array, kinds: Array, place: Array) -> Array:
    found: Array = g.fan_out(
        state,
        np.zeros(1, dtype=np.int64),
        GLIDER,
        table(wind),
        COURSES,
        LEVELS,
        *ground(),
        NO_OBSTACLES,
        kinds,
        place,
    )
    return np.asarray(found[0])


def square(half_m: float, kind: int) -> tuple[Array, Array]:
    count = round(2.0 * half_m / 5.0) + 1
    return np.full((count, count), float(kind)), np.array([-half_m, -half_m, 5.0])


@pytest.mark.parametrize(("half_m", "kind"), [(600.0, g.OPEN), (700.0, g.OF_PEOPLE)])
def test_fan_gets_as_far_as_the_glide(half_m: float, kind: int) -> None:
    # 60 m times 11.03 is 662 m straight ahead; the side of the square lies nearer, or farther.
    found = fan(start(0.0, 0.0, 60.0, 0.0), winds(0.0, 0.0), *square(half_m, g.OF_PEOPLE))
    assert found[0] == kind
    if kind == g.OPEN:
        assert found[2] == pytest.approx(half_m, abs=13.0)


def test_fan_is_carried_by_the_wind() -> None:
    # With 6 m/s from behind 60 m are worth over 1,000 m, and the open ground lies down-wind.
    found = fan(start(0.0, 0.0, 60.0, 0.0), winds(0.0, 6.0), *square(700.0, g.OF_PEOPLE))
    assert found[0] == g.OPEN
    assert found[2] > 690.0


def test_water_is_better_than_people_and_worse_than_open_ground() -> None:
    kinds, place = square(700.0, g.OF_PEOPLE)
    kinds[:, :60] = g.LOST  # west of -400 m
    found = fan(start(0.0, 0.0, 60.0, 1.5 * math.pi), winds(0.0, 0.0), kinds, place)
    assert found[0] == g.LOST
    assert found[1] == pytest.approx(-400.0, abs=15.0)


def test_over_unknown_ground_nothing_is_known() -> None:
    assert fan(start(3000.0, 0.0, 60.0, 0.0), winds(0.0, 0.0), *NOTHING_MARKED)[0] == g.UNKNOWN
