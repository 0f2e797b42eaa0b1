"""What an aircraft does when the link is lost: each declared word, by the legs and the clock.

Times by hand: straight lines by the wind triangle, circles by the seconds told.
"""

import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from homeleg.aircraft.record import AtLaunchPoint, ReturnPath
from homeleg.flight import layout as c
from homeleg.flight.ensemble import fly
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.sortie.resolve import resolve
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.way_home.home_plan import HomePlan, assumed_of, home_plans
from homeleg.way_home.search import depart
from homeleg.world.site import DiversionPoint

SHORE = Path(__file__).parents[2] / "examples" / "tern-point" / "sortie.toml"
# East of the route, the farthest first, as a list of them is written.
FAR, NEAR = (900.0, 300.0), (300.0, 100.0)


def declared(*, points: bool = False, **behaviour: object) -> ResolvedSortie:
    """Return the shore's sortie with this behaviour, and two diversion points if asked for."""
    resolved = resolve(read_sortie(SHORE).sortie)
    sortie, aircraft = resolved.sortie, resolved.sortie.aircraft
    link_loss = replace(aircraft.link_loss, **behaviour)  # type: ignore[arg-type]
    site = sortie.site
    if points:
        named = (("far", FAR), ("near", NEAR))
        site = replace(
            site,
            diversion_points=tuple(
                DiversionPoint(name=name, east_m=at[0], north_m=at[1], height=None)
                for name, at in named
            ),
        )
    sortie = replace(sortie, site=site, aircraft=replace(aircraft, link_loss=link_loss))
    return replace(resolved, sortie=sortie)


def plan_of(resolved: ResolvedSortie) -> HomePlan:
    (plan,) = home_plans(resolved, resolved.departures[0].legs)
    return plan


def seconds_home(resolved: ResolvedSortie) -> float:
    """Return the middle time from 75 s on, link then lost, to touchdown."""
    flown = fly(resolved, resolved.departures[0], 16, 1)
    plans = home_plans(resolved, flown.departure.legs)
    home = depart(flown, plans, np.array([0]), np.array([75.0]), 16)
    assert np.all(home.results[0, :, c.EVENT] == c.LANDED)
    return float(np.median(home.results[0, :, c.DURATION] - home.states[0, :, c.TIME]))


@pytest.fixture(scope="module")
def lands_s() -> float:
    return seconds_home(declared(at_launch_point=AtLaunchPoint.LAND))


class TestAtTheLaunchPoint:
    """The four ends: each by what it adds to a landing at once."""

    @pytest.mark.parametrize("orbit_s", [60.0, 180.0])
    @pytest.mark.parametrize("end", [AtLaunchPoint.ORBIT_LAND, AtLaunchPoint.ORBIT_DESCEND])
    def test_a_told_orbit_takes_what_is_told(
        self, end: AtLaunchPoint, orbit_s: float, lands_s: float
    ) -> None:
        took_s = seconds_home(declared(at_launch_point=end, orbit_s=orbit_s))
        # It leaves its circle anywhere on it, 62 m in radius: 124 m at 8 to 20 m/s. Circling down
        # from 85 to 40 m takes 19 s more, at 0.8 of the climb rate of 3 m/s.
        more_s = orbit_s + (45.0 / 2.4 if end is AtLaunchPoint.ORBIT_DESCEND else 0.0)
        assert took_s - lands_s == pytest.approx(more_s, abs=16.0)

    def test_untold_it_goes_round_once(self, lands_s: float) -> None:
        took_s = seconds_home(declared(at_launch_point=AtLaunchPoint.ORBIT_LAND, orbit_s=None))
        # 2 pi 62 m at 15.5 m/s through the air, stretched by 6 m/s of wind.
        assert took_s - lands_s == pytest.approx(2.0 * math.pi * 62.0 / 15.5, abs=16.0)

    def test_orbit_ends_with_the_pilot_taking_over(self, lands_s: float) -> None:
        waits_s = seconds_home(declared(at_launch_point=AtLaunchPoint.ORBIT, orbit_s=60.0))
        # The hand-over of a route: a minute's orbit for a pilot to get ready, and then some.
        assert waits_s - lands_s > 60.0 + 60.0

    def test_an_untold_end_is_the_dearest_of_all(self) -> None:
        untold_s = seconds_home(declared(at_launch_point=None, orbit_s=None))
        told_s = [
            seconds_home(declared(at_launch_point=end, orbit_s=None)) for end in AtLaunchPoint
        ]
        assert untold_s == max(told_s)
        (words,) = assumed_of(declared(at_launch_point=None, orbit_s=None))
        assert words == (
            "at the launch point: orbits 120 s until the pilot takes over, which costs most"
        )

    def test_circling_down_is_not_held_against_the_ground(self) -> None:
        plan = plan_of(declared(at_launch_point=AtLaunchPoint.ORBIT_DESCEND))
        overhead, circling = plan.ways[0][3:5]
        assert (overhead.height_m, overhead.on_route) == (85.0, True)
        assert (circling.height_m, circling.on_route) == (40.0, False)


class TestPath:
    """Which points are flown over, from where."""

    def test_along_the_points_from_the_nearest_on(self) -> None:
        plan = plan_of(declared(points=True, path=ReturnPath.ALONG_POINTS))
        home_m = plan_of(declared()).corners_from(4, (760.0, 130.0))
        # D lies 221 m from the far point, 461 m from the near one; G the other way about.
        assert plan.corners_from(4, (760.0, 130.0)) == (FAR, NEAR, *home_m)
        assert plan.corners_from(7, (120.0, 190.0)) == (NEAR, *home_m)

    def test_over_the_nearest_then_straight(self) -> None:
        plan = plan_of(declared(points=True, path=ReturnPath.NEAREST_POINT))
        home_m = plan_of(declared()).corners_from(4, (760.0, 130.0))
        assert plan.corners_from(4, (760.0, 130.0)) == (FAR, *home_m)
        assert plan.corners_from(7, (120.0, 190.0)) == (NEAR, *home_m)

    def test_names_are_flown_in_their_order(self) -> None:
        plan = plan_of(declared(points=True, path=("near", "F")))
        home_m = plan_of(declared()).corners_from(4, (760.0, 130.0))
        assert plan.corners_from(4, (760.0, 130.0)) == (NEAR, (380.0, 390.0), *home_m)

    def test_untold_it_is_flown_all_three_ways(self) -> None:
        resolved = declared(points=True, path=None)
        plans = home_plans(resolved, resolved.departures[0].legs)
        assert len({plan.corners_from(4, (760.0, 130.0)) for plan in plans}) == 3
        assert assumed_of(resolved) == ("path: straight and over the diversion points, the worse",)

    def test_each_member_flies_over_the_points_it_is_told(self) -> None:
        straight_s = seconds_home(declared(points=True, path=ReturnPath.STRAIGHT))
        along_s = seconds_home(declared(points=True, path=ReturnPath.ALONG_POINTS))
        # At 75 s it is near C (540, -140), 10 s later on towards D: 310 m from the near point and
        # twice that from the far one. Near point and home are almost in line.
        assert along_s >= straight_s - 5.0


def test_a_point_with_a_height_is_flown_to_at_that_height() -> None:
    resolved = declared(points=True, path=ReturnPath.NEAREST_POINT)
    far, near = resolved.sortie.site.diversion_points
    high = replace(far, height=StatedHeight(140.0, Datum.AMSL))
    site = replace(resolved.sortie.site, diversion_points=(high, near))
    resolved = replace(resolved, sortie=replace(resolved.sortie, site=site))
    # 140 m AMSL over a launch point at 35 m; the other at the return height of 85 m.
    plan = plan_of(resolved)
    assert [way[2].height_m for way in plan.ways] == [105.0, 85.0]
