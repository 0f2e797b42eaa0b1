"""The flown way home against a closed form, and the two-stage search against brute force."""

import math
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.aircraft.performance import level_electrical_power
from homeleg.aircraft.record import ReturnPath
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, fly
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.foundation.estimate import Estimate
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.physics.wind_triangle import track_solution
from homeleg.sortie.resolve import resolve
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.way_home.home_plan import assumed_of, home_plans
from homeleg.way_home.search import clearance, depart, search_way_home
from homeleg.world.site import DiversionPoint
from homeleg.world.wind import profile_speed

EXAMPLES = Path(__file__).parents[2] / "examples"


def resolved_example(name: str) -> ResolvedSortie:
    return resolve(read_sortie(EXAMPLES / name / "sortie.toml").sortie)


def without_spread(resolved: ResolvedSortie) -> ResolvedSortie:
    """Return the sortie with every input at its middle, and no gusts."""
    inputs = {
        name: Estimate(value=one.value, sd=0.0, basis=one.basis)
        for name, one in resolved.inputs.items()
    }
    no_gust = replace(resolved.wind.gust_spread_m_s, value=0.0, sd=0.0)
    inputs["gust_spread"] = no_gust
    wind = replace(
        resolved.wind,
        speed_sds_m_s=np.zeros_like(resolved.wind.speed_sds_m_s),
        direction_sds_rad=np.zeros_like(resolved.wind.direction_sds_rad),
        gust_spread_m_s=no_gust,
        gust_reported=True,
    )
    return replace(resolved, inputs=inputs, wind=wind)


Home = tuple[ResolvedSortie, NDArray[np.float64], NDArray[np.float64]]


@pytest.fixture(scope="module")
def home() -> Home:
    """Return one flight home from the far point of the moor, without spread."""
    resolved = without_spread(resolved_example("skarv-moor"))
    flown = fly(resolved, resolved.departures[0], 1, 1)
    plans = home_plans(resolved, flown.departure.legs)
    departures = depart(flown, plans, np.array([0]), np.array([600.0]), 1)
    return resolved, departures.states[0, 0], departures.results[0, 0]


def test_energy_and_time_of_a_straight_line(home: Home) -> None:
    resolved, state, result = home
    height_m = home_plans(resolved, resolved.departures[0].legs)[0].height_m
    distance_m = math.hypot(state[c.EAST], state[c.NORTH])
    course = math.atan2(-state[c.EAST], -state[c.NORTH])
    airspeed = resolved.speeds.home_eas_m_s
    thinner = resolved.density_kg_m3 * (1.0 - resolved.density_lapse_1_m * height_m)
    true_m_s = airspeed * math.sqrt(1.225 / thinner)
    ground_m_s, _ = track_solution(true_m_s, course, *profile_speed(resolved.wind, height_m))
    straight_s = distance_m / float(ground_m_s)
    power_w = float(level_electrical_power(resolved.aircraft, airspeed, thinner))
    weight_n = float(resolved.aircraft.mass_kg) * STANDARD_GRAVITY_M_S2
    climb_m = max(height_m - state[c.UP], 0.0)
    climb_j = weight_n * climb_m / float(resolved.aircraft.climb_efficiency)
    # Overhead circle and pattern: two minutes at cruise power, as planned by hand.
    closed_j = power_w * (straight_s + 120.0) + climb_j
    assert result[c.EVENT] == c.LANDED
    taken_j = result[c.ENERGY]
    assert taken_j == pytest.approx(closed_j, rel=0.03)
    assert result[c.DURATION] - state[c.TIME] == pytest.approx(straight_s + 120.0, rel=0.06)


def test_headway_is_the_wind_triangle(home: Home) -> None:
    # Hand: 15.5 - 11.5 m/s against the wind at 90 m.
    assert home[2][c.HEADWAY_PLACE] == pytest.approx(4.0, abs=0.1)


def flown_home(**declared: object) -> Home:
    """Return one flight home from the shore at 75 s, without spread, as declared."""
    resolved = without_spread(resolved_example("tern-point"))
    aircraft = resolved.sortie.aircraft
    link_loss = replace(aircraft.link_loss, **declared)  # type: ignore[arg-type]
    sortie = replace(resolved.sortie, aircraft=replace(aircraft, link_loss=link_loss))
    resolved = replace(resolved, sortie=sortie)
    flown = fly(resolved, resolved.departures[0], 1, 1)
    plans = home_plans(resolved, flown.departure.legs)
    departures = depart(flown, plans, np.array([0]), np.array([75.0]), 1)
    return resolved, departures.states[0, 0], departures.results[0, 0]


def straight_s(resolved: ResolvedSortie, *places_m: tuple[float, float]) -> float:
    """Return the seconds straight lines take at the return height, by the wind triangle."""
    wind = profile_speed(resolved.wind, 85.0)
    true_m_s = resolved.speeds.home_eas_m_s * resolved.tas_per_eas
    total = 0.0
    for (east, north), (to_east, to_north) in pairwise(places_m):
        course = math.atan2(to_east - east, to_north - north)
        ground_m_s, _ = track_solution(true_m_s, course, *wind)
        total += math.hypot(to_east - east, to_north - north) / float(ground_m_s)
    return total


def test_a_path_over_a_point_takes_its_two_lines_and_a_turn() -> None:
    resolved, state, straight = flown_home(path=ReturnPath.STRAIGHT)
    _, _, over_f = flown_home(path=("F",))
    here_m, f_m, home_m = (state[c.EAST], state[c.NORTH]), (380.0, 390.0), (0.0, 0.0)
    longer_s = straight_s(resolved, here_m, f_m, home_m) - straight_s(resolved, here_m, home_m)
    # F is overflown: half a turn of 42 m radius and the way back to the line, some seconds more.
    assert over_f[c.EVENT] == straight[c.EVENT] == c.LANDED
    assert over_f[c.DURATION] - straight[c.DURATION] == pytest.approx(longer_s, abs=10.0)
    assert longer_s > 20.0


def test_climbing_first_takes_the_climb() -> None:
    higher = StatedHeight(175.0, Datum.ABOVE_LAUNCH)
    resolved, state, first = flown_home(climb_first=True, return_height=higher)
    _, _, on_the_way = flown_home(climb_first=False, return_height=higher)
    climb_s = (175.0 - state[c.UP]) / resolved.speeds.climb_rate_m_s
    # It leaves its circle of 62 m radius anywhere on it: a diameter at 9 m/s against the wind.
    assert first[c.EVENT] == on_the_way[c.EVENT] == c.LANDED
    assert first[c.DURATION] - on_the_way[c.DURATION] == pytest.approx(climb_s, abs=14.0)
    assert climb_s > 30.0


def test_what_is_not_told_is_flown_each_way() -> None:
    resolved = resolved_example("tern-point")
    aircraft = resolved.sortie.aircraft
    untold = replace(aircraft.link_loss, climb_first=None, return_height=None, path=None)
    sortie = replace(resolved.sortie, aircraft=replace(aircraft, link_loss=untold))
    resolved = replace(resolved, sortie=sortie)
    plans = home_plans(resolved, resolved.departures[0].legs)
    # Up to the highest of the route, first or on the way; or at the height of the leg it leaves.
    assert [plan.by_leg for plan in plans] == [False, False, True]
    assert len(assumed_of(resolved)) == 3


def brute_force(flown: Flown, members: int, every_s: float) -> NDArray[np.float64]:
    """Return the lowest tenth percentiles over all seconds: charge left, clearance, headway."""
    plans = home_plans(flown.resolved, flown.departure.legs)
    last_s = float(np.median(flown.results[:, c.DURATION])) - plans[0].after_s
    usable = flown.members[:members, c.USABLE]
    lowest = np.full(3, np.inf)
    for start in np.arange(0.0, last_s, 40.0 * every_s):
        seconds = np.arange(start, min(start + 40.0 * every_s, last_s), every_s)
        departures = depart(flown, plans, np.zeros(seconds.size, dtype=np.int64), seconds, members)
        clear = clearance(flown, departures)
        for k, values in enumerate(
            (departures.charge_left(usable), clear, departures.column(c.HEADWAY_PLACE))
        ):
            lowest[k] = min(lowest[k], lowest_tenth(values))
    return lowest


def lowest_tenth(values: NDArray[np.float64]) -> float:
    """Return the lowest tenth percentile of any second that half the members fly from.

    Members already down stand above all others, as in the rows.
    """
    flown = np.isfinite(values).mean(axis=1) >= 0.5
    filled = np.where(np.isfinite(values), values, np.inf)
    low = np.percentile(filled, 10.0, axis=1, method="lower")
    return float(np.min(low[flown], initial=np.inf))


def compare_with_brute_force(resolved: ResolvedSortie, count: int) -> NDArray[np.float64]:
    """Hold the search among `count` members against every second; return what is the worst."""
    flown = fly(resolved, resolved.departures[0], count, 1)
    search = search_way_home(flown)
    assert search is not None
    second = search.worst
    members = second.flying.shape[1]
    usable = flown.members[:members, c.USABLE]
    clear = clearance(flown, second)
    found = [
        lowest_tenth(values)
        for values in (second.charge_left(usable), clear, second.column(c.HEADWAY_PLACE))
    ]
    brute = brute_force(flown, members, 1.0)
    assert found[0] == pytest.approx(brute[0], abs=0.005)
    assert found[1] == pytest.approx(brute[1], abs=1.0)
    assert found[2] == pytest.approx(brute[2], abs=0.1)
    return brute


@pytest.mark.slow
@pytest.mark.parametrize("name", ["tern-point", "mesa-alta", "corrie-spur"])
def test_two_stages_find_what_brute_force_finds(name: str) -> None:
    compare_with_brute_force(resolved_example(name), 256)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("path", "clear_m"),
    [
        # From "head" to the landing point (-119, -43) over the crest at 620 m east, 69 m south of
        # the launch point: tree tops at 390 m, as high as the line. From "shoulder" 202 m south:
        # 372 - 0.25 (202 - 100) + 18 = 364.4 m, 25.6 below it. Nine in ten have 8.1 m less.
        (ReturnPath.NEAREST_POINT, -8.1),
        (ReturnPath.ALONG_POINTS, 17.5),
    ],
)
def test_two_stages_find_the_point_that_leads_over_the_ridge(
    path: ReturnPath, clear_m: float
) -> None:
    # "bend" leads along the valley, the others over the spur. Four times on the way another
    # point becomes the nearest, and what the way home costs jumps there.
    resolved = resolved_example("corrie-spur")
    sortie, aircraft = resolved.sortie, resolved.sortie.aircraft
    points = {"bend": (620.0, -480.0), "head": (1500.0, -100.0), "shoulder": (980.0, -280.0)}
    site = replace(
        sortie.site,
        diversion_points=tuple(
            DiversionPoint(name=name, east_m=at[0], north_m=at[1], height=None)
            for name, at in points.items()
        ),
    )
    aircraft = replace(aircraft, link_loss=replace(aircraft.link_loss, path=path))
    resolved = replace(resolved, sortie=replace(sortie, site=site, aircraft=aircraft))
    _, worst_m, _ = compare_with_brute_force(resolved, 128)
    assert worst_m == pytest.approx(clear_m, abs=1.0)
