"""Heights above the ellipsoid in a sortie: AMSL by the geoid, and said so."""

from pathlib import Path
from typing import Protocol

import pytest

from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.heights import Datum
from homeleg.sortie.assumptions import assumptions_of
from homeleg.sortie.resolve import resolve

# The geoid at 52 N 5 E: 43.42 m (EGM96), COMPUTED from two published grids that agree to 0.01 m
# (reference/geoid_checks.csv). 10 km away it differs by 0.2 m in the median, 3.5 m at the most.
GEOID_M = 43.42
MOVED = ('["55.0000 N", "5.0000 W"]', '["52.0000 N", "5.0000 E"]')


class EditExample(Protocol):
    def __call__(self, file: str, *changes: tuple[str, str]) -> Path: ...


def test_elevation_top_and_items(edit_example: EditExample) -> None:
    edit_example("route.csv", (",70,launch", ",148.42,ellipsoid"))
    path = edit_example(
        "sortie.toml",
        MOVED,
        ('elevation = "35 m AMSL"', 'elevation = "78.42 m ellipsoid"'),
        ('top = "118 m above launch"', 'top = "203.42 m ellipsoid"'),
    )
    sortie = read_sortie(path).sortie
    assert sortie.site.elevation_amsl_m == pytest.approx(78.42 - GEOID_M, abs=0.1)
    height = sortie.route.items[2].height
    assert height is not None
    assert height.above is Datum.AMSL
    assert height.value_m == pytest.approx(148.42 - GEOID_M, abs=0.15)
    assert sortie.site.boundary is not None
    assert sortie.site.boundary.top.above is Datum.AMSL
    assert sortie.site.boundary.top.value_m == pytest.approx(203.42 - GEOID_M, abs=0.1)
    (geoid,) = [one for one in assumptions_of(resolve(sortie)) if one.key == "geoid"]
    assert geoid.value == pytest.approx(GEOID_M, abs=0.1)
    assert (geoid.sd, geoid.unit, geoid.basis) == (0.5, "m", "assumed")


def test_no_geoid_where_nobody_asks_for_it(edit_example: EditExample) -> None:
    sortie = read_sortie(edit_example("sortie.toml", MOVED)).sortie
    assert sortie.site.geoid_m is None
    assert "geoid" not in [one.key for one in assumptions_of(resolve(sortie))]
