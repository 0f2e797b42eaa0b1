"""The ground under one way home, against a spur and a shore worked by hand."""

import numpy as np
import pytest

from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.way_home.home_plan import home_plans
from homeleg.way_home.way_back import WayBack, way_back
from tests.way_home.test_declared_behaviours import SHORE

SPUR = SHORE.parent.parent / "corrie-spur" / "sortie.toml"
WP6 = (1400.0, 0.0, 80.0)


def back_from(resolved: ResolvedSortie, leg: int, from_m: tuple[float, float, float]) -> WayBack:
    (plan,) = home_plans(resolved, resolved.departures[0].legs)
    return way_back(resolved, plan, leg, from_m)


@pytest.fixture(scope="module")
def spur() -> WayBack:
    return back_from(resolve(read_sortie(SPUR).sortie), 6, WP6)


def test_the_line_leads_from_the_place_to_the_landing(spur: WayBack) -> None:
    assert spur.line_m[0] == WP6[:2]
    # It lands on 127 m along a strip towards 250.
    assert np.hypot(*spur.line_m[-1]) < 200.0
    assert spur.distances_m[0] == 0.0
    assert spur.distances_m[-1] == pytest.approx(
        np.hypot(*np.subtract(spur.line_m[0], spur.line_m[-1])), abs=0.1
    )


def test_the_tree_tops_of_the_spur_stand_at_the_return_height(spur: WayBack) -> None:
    # 372 m of ground and 18 m of trees over a launch point at 310 m: 80 m, the return height. The
    # spur falls by a quarter of the distance from it, so a point of the line may miss 2 m of it.
    assert np.max(spur.tops_m) == pytest.approx(80.0, abs=3.0)
    assert spur.height_m == 80.0
    assert not spur.heights_m[spur.heights_m != 80.0].size


def test_spreads_are_nine_in_ten(spur: WayBack) -> None:
    # LE90 of 8 m is 4.9 m, a barometer 4 m; 1.28 of each.
    assert spur.spread_m[-1] == pytest.approx(1.2816 * 4.9, abs=0.1)
    assert spur.own_spread_m == pytest.approx(1.2816 * 4.0, abs=0.01)


def test_what_is_left_is_least_over_the_spur(spur: WayBack) -> None:
    worst = int(np.argmin(spur.spare_m))
    east_m = spur.line_m[-1][0] + (1400.0 - spur.line_m[-1][0]) * worst / 160.0
    assert east_m == pytest.approx(620.0, abs=20.0)
    assert spur.spare_m[worst] < 0.0


def test_it_circles_up_where_it_begins_too_low() -> None:
    resolved = resolve(read_sortie(SHORE).sortie)
    back = back_from(resolved, 7, (120.0, 190.0, 60.0))
    assert back.heights_m[-1] == 60.0
    assert np.all(back.heights_m[:-1] == 85.0)
    assert not back.begins_level
