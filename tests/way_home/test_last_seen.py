"""Where an example's aircraft may lie, from where it was seen last."""

import math
from pathlib import Path

import numpy as np
import pytest

from homeleg.aircraft.performance import best_glide_eas
from homeleg.flight.ensemble import Flown, fly, member_aircraft
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.way_home.last_seen import End, Ends, LastSeen, ends_of, height_as_planned

EXAMPLES = Path(__file__).parents[2] / "examples"
SEEN = LastSeen(east_m=690.0, north_m=400.0, height_m=85.0, after_s=120.0)


def flown_of(example: str, members: int = 32) -> Flown:
    resolved = resolve(read_sortie(EXAMPLES / example / "sortie.toml").sortie)
    return fly(resolved, resolved.departures[0], members, resolved.sortie.seed)


@pytest.fixture(scope="module")
def tern() -> Flown:
    return flown_of("tern-point")


def far_m(ends: Ends, east_m: float, north_m: float) -> float:
    return float(np.max(np.hypot(ends.east_m - east_m, ends.north_m - north_m)))


def test_the_same_seed_gives_the_same_bits_and_another_others(tern: Flown) -> None:
    first, again, other = (ends_of(tern, SEEN, list(End), seed) for seed in (1, 1, 2))
    assert first.east_m.tobytes() == again.east_m.tobytes()
    assert first.north_m.tobytes() == again.north_m.tobytes()
    assert first.east_m.tobytes() != other.east_m.tobytes()


def test_glides_lie_within_the_best_glide_and_the_drift(tern: Flown) -> None:
    # By hand: no farther than height times the best ratio, from a middle blown away with the
    # strongest wind for as long as the slowest sink takes; 40 m for the fix it was seen by.
    ends = ends_of(tern, SEEN, [End.GLIDE], 1)
    aircraft = member_aircraft(tern.resolved, tern.draws)
    best_eas, ratio = best_glide_eas(aircraft)
    slowest_m_s = float(np.min(np.asarray(best_eas) / np.asarray(ratio))) * 0.9
    strongest_m_s = float(np.max(np.hypot(tern.winds[:, 0], tern.winds[:, 1])))
    reach_m = 85.0 * float(np.max(ratio)) + strongest_m_s * 85.0 / slowest_m_s + 40.0
    assert 0.5 * 85.0 * 11.0 < far_m(ends, 690.0, 400.0) < reach_m
    # Headings are even: the middle lies down wind (it blows from 225), not up wind.
    assert np.mean(ends.east_m) > 690.0
    assert np.mean(ends.north_m) > 400.0


def test_circling_ones_lie_down_wind(tern: Flown) -> None:
    ends = ends_of(tern, SEEN, [End.SPIRAL], 1)
    towards = np.degrees(np.arctan2(ends.east_m - 690.0, ends.north_m - 400.0))
    assert np.median(towards) == pytest.approx(45.0, abs=20.0)
    assert far_m(ends, 690.0, 400.0) < far_m(ends_of(tern, SEEN, [End.GLIDE], 1), 690.0, 400.0)


def test_those_that_land_at_the_landing_point_are_left_out(tern: Flown) -> None:
    ends = ends_of(tern, SEEN, list(End), 1)
    assert ends.landed_share == 1.0
    assert ends.by_end == {End.GLIDE: 0.5, End.SPIRAL: 0.5, End.HOME: 0.0}
    assert ends.weight.sum() == pytest.approx(1.0)
    none = ends_of(tern, SEEN, [End.HOME], 1)
    assert none.weight.size == 0


def test_height_as_planned_is_that_of_the_route_there(tern: Flown) -> None:
    assert height_as_planned(tern, 100.0) == pytest.approx(85.0, abs=6.0)


def test_how_far_it_gets_straight_on(tern: Flown) -> None:
    # By hand, scenario figures: 136 Wh usable at 103.8 W are 1.31 h; 15.5 m/s through the air and
    # 7 m/s of wind aloft make 106 km; nine in ten, some wind more: 10 % above that.
    ends = ends_of(tern, SEEN, [End.GLIDE], 1)
    assert 95e3 < ends.straight_on_m < 135e3


@pytest.mark.slow
def test_a_way_home_into_a_spur_ends_on_it() -> None:
    # The case was drawn up so that the straight way home at 80 m touches the trees on the spur,
    # 620 m east of the launch point.
    flown = flown_of("corrie-spur", 64)
    seen = LastSeen(east_m=1370.0, north_m=0.0, height_m=80.0, after_s=120.0)
    ends = ends_of(flown, seen, [End.HOME], 1)
    assert ends.weight.size > 0.25 * 64
    assert np.median(ends.east_m) == pytest.approx(620.0, abs=60.0)
    assert math.isclose(ends.landed_share, 1.0 - ends.weight.size / 64)
