"""Clearance over a valley, from terrain: a route worked by hand.

Home at 310 m; the valley floor rises 28 m over 1,400 m to the east, and all items are 80 m above
home: 52 m over the floor at the farthest. Terrain is right within 8 m, nine times in ten, and the
barometer drifts by 4 m: sd sqrt((8 / 1.645)^2 + 4^2) = 6.3 m, so 44 m at 9 in 10. The tops of the
trees on the spur, 372 + 18 m, are as high as the straight line home at 390 m.
"""

from pathlib import Path

import numpy as np
import pytest

from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, fly
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.world.ground import ground_height, top_height

SORTIE = Path(__file__).parents[2] / "examples" / "corrie-spur" / "sortie.toml"


@pytest.fixture(scope="module")
def flown() -> Flown:
    resolved = resolve(read_sortie(SORTIE).sortie)
    return fly(resolved, resolved.departures[0], 512, 1)


@pytest.mark.parametrize(
    ("east_m", "north_m", "ground_m", "top_m"),
    [
        (0.0, 0.0, 0.0, 0.0),
        (1400.0, 0.0, 28.0, 28.0),
        (700.0, -600.0, 14.0, 14.0),
        (620.0, 0.0, 62.0, 80.0),
        (500.0, 0.0, 32.0, 50.0),
        (620.0, -200.0, 37.0, 55.0),
    ],
)
def test_ground_is_that_of_the_formulas(
    flown: Flown, east_m: float, north_m: float, ground_m: float, top_m: float
) -> None:
    surface = flown.resolved.surface
    # Heights in the file are rounded to 0.1 m; cells of 5 m cut 0.25 x 2.5 m off the crest.
    near = 0.75 if east_m == 620.0 else 0.1
    assert ground_height(surface, east_m, north_m) == pytest.approx(ground_m, abs=near)
    assert top_height(surface, east_m, north_m) == pytest.approx(top_m, abs=near)


def test_clearance_of_the_route(flown: Flown) -> None:
    low, middle = np.percentile(flown.results[:, c.GROUND_PLACE], [10.0, 50.0])
    # Whole metres by hand, half a metre; another half for the sample of 512 flights.
    assert middle == pytest.approx(52.0, abs=1.0)
    assert low == pytest.approx(44.0, abs=1.0)


def test_the_tightest_place_is_the_far_end_of_the_valley(flown: Flown) -> None:
    assert np.median(flown.results[:, c.GROUND_PLACE + 3]) == pytest.approx(1400.0, abs=60.0)


def test_the_flights_are_held_against_tree_tops(flown: Flown) -> None:
    _, _, ground_m, _ = flown.surroundings
    assert ground_m.max() == pytest.approx(80.0, abs=0.75)
