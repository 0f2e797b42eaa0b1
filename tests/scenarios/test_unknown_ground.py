"""A route over ground that nobody knows is NO-GO, and says where."""

from dataclasses import replace
from pathlib import Path

import pytest

from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, fly
from homeleg.formats.limits_file import read_limits
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.flight_rows import flight_rows
from homeleg.verdict.result import Row, Status
from homeleg.world.ground import GroundByEye

MEMBERS = 200


@pytest.fixture(scope="module")
def sortie() -> Sortie:
    examples = Path(__file__).parents[2] / "examples"
    return read_sortie(examples / "tern-point" / "sortie.toml").sortie


def flown_within(sortie: Sortie, radius_m: float) -> Flown:
    ground = GroundByEye(flat_within_m=5.0, radius_m=radius_m, flat_to_m=radius_m)
    resolved = resolve(replace(sortie, site=replace(sortie.site, ground=ground)))
    return fly(resolved, resolved.departures[0], MEMBERS, 1)


def ground_row(flown: Flown) -> Row:
    rows = flight_rows(Evidence.of(flown, read_limits()))
    return next(row for row in rows if row.limit.slug == "ground.route")


def test_unknown_ground_under_the_drawn_route(sortie: Sortie) -> None:
    # C (540, -140) to D (760, 130) leaves 700 m about the launch point 250 m after C, sampled
    # each 9.95 m.
    row = ground_row(flown_within(sortie, 700.0))
    assert row.status is Status.NO_GO
    assert row.cause == "ground"
    assert row.note == "no ground is known under C to D, from 259 to 348 m along it"


@pytest.mark.parametrize(("blown", "status"), [(2, Status.GO), (3, Status.NO_GO)])
def test_flights_blown_over_unknown_ground(sortie: Sortie, blown: int, status: Status) -> None:
    # More than one in a hundred of 200.
    flown = flown_within(sortie, 1200.0)
    assert not flown.results[:, c.UNKNOWN_GROUND].any()
    flown.results[:blown, c.UNKNOWN_GROUND] = 4.0
    row = ground_row(flown)
    assert row.status is status
    if status is Status.NO_GO:
        assert row.note == "3 of 200 flights are carried over ground that is not known"
