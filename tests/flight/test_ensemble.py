"""Many members: the same bits however they are split, and endings that must happen."""

import pathlib
from dataclasses import replace

import numba
import numpy as np
import pytest

from homeleg.flight import ensemble
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, fly
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie

EXAMPLES = pathlib.Path(__file__).parents[2] / "examples"
MEMBERS = 40


@pytest.fixture(scope="module")
def sortie() -> Sortie:
    return read_sortie(EXAMPLES / "tern-point" / "sortie.toml").sortie


def flown(sortie: Sortie, members: int = MEMBERS, seed: int = 3) -> Flown:
    resolved = resolve(sortie)
    return fly(resolved, resolved.departures[0], members, seed)


def same_bits(one: Flown, other: Flown) -> bool:
    return bool(
        np.array_equal(one.results, other.results)
        and np.array_equal(one.leg_results, other.leg_results, equal_nan=True)
    )


def test_same_bits_on_one_thread_and_on_two(sortie: Sortie) -> None:
    before = numba.get_num_threads()
    try:
        numba.set_num_threads(1)
        alone = flown(sortie)
        numba.set_num_threads(min(2, before))
        together = flown(sortie)
    finally:
        numba.set_num_threads(before)
    assert same_bits(alone, together)


@pytest.mark.parametrize("batch", [3, 39])
def test_same_bits_in_any_batches(
    sortie: Sortie, batch: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_once = flown(sortie)
    monkeypatch.setattr(ensemble, "_BATCH", batch)
    assert same_bits(at_once, flown(sortie))


def test_more_members_never_change_the_earlier_ones(sortie: Sortie) -> None:
    few, many = flown(sortie), flown(sortie, 3 * MEMBERS)
    assert np.array_equal(many.results[:MEMBERS], few.results)
    assert np.array_equal(many.members[:MEMBERS], few.members)


def test_members_added_to_earlier_ones(sortie: Sortie) -> None:
    few, many = flown(sortie), flown(sortie, 2 * MEMBERS)
    resolved = resolve(sortie)
    added = fly(resolved, resolved.departures[0], 2 * MEMBERS, few.seed, earlier=few)
    assert same_bits(added, many)


def test_another_seed_flies_otherwise(sortie: Sortie) -> None:
    one, other = flown(sortie), flown(sortie, seed=4)
    assert not np.any(one.results[:, c.ENERGY] == other.results[:, c.ENERGY])


def test_all_members_of_a_good_day_land(sortie: Sortie) -> None:
    assert flown(sortie).landed.all()


def test_a_weak_throw_is_lost_at_launch(sortie: Sortie) -> None:
    weak = replace(
        sortie.aircraft.takeoff,
        release_speed_m_s=Estimate(value=1.0, sd=0.1, basis=Basis.DECLARED),
        motor_delay_s=1.0,
    )
    day = replace(sortie, aircraft=replace(sortie.aircraft, takeoff=weak))
    assert (flown(day).results[:, c.EVENT] == c.LOST_AT_LAUNCH).all()


def test_a_tiny_pack_is_empty_before_the_end(sortie: Sortie) -> None:
    tiny = replace(sortie.aircraft.battery, capacity_ah=0.3)
    day = replace(sortie, aircraft=replace(sortie.aircraft, battery=tiny))
    results = flown(day).results
    assert (results[:, c.EVENT] == c.PACK_EMPTY).all()
    # 0.3 Ah, 97 % left by age and 92 % usable of it, 3 % of spread on that: four times.
    usable_ah = 0.3 * 0.97 * 0.92
    assert results[:, c.CHARGE_USED] == pytest.approx(usable_ah, rel=0.12)
