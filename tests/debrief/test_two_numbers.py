"""Two numbers to a better known aircraft: held to Bayes by weights, and to what must be so."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from homeleg.debrief.two_numbers import (
    LEARNED,
    POWER_FLOOR,
    TwoNumbers,
    lesson,
    prediction,
)
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, fly
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import OutOfModelError
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.sortie.draws import draw
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie

TERN_POINT = Path(__file__).parents[2] / "examples" / "tern-point" / "sortie.toml"
MEMBERS = 512


def flown(sortie: Sortie, members: int = MEMBERS) -> Flown:
    resolved = resolve(sortie)
    return fly(resolved, resolved.departures[0], members, 3)


@pytest.fixture(scope="module")
def sortie() -> Sortie:
    """Return a sortie whose aircraft is little known."""
    read = read_sortie(TERN_POINT).sortie
    aircraft = read.aircraft
    aero = replace(
        aircraft.aerodynamics,
        zero_lift_drag=Estimate(value=0.038, sd=0.0076, basis=Basis.ASSUMED),
        airspeed_factor=Estimate(value=1.0, sd=0.05, basis=Basis.ASSUMED),
    )
    efficiency = Estimate(value=0.50, sd=0.075, basis=Basis.ASSUMED)
    propulsion = replace(aircraft.propulsion, efficiency=efficiency)
    changed = replace(aircraft, aerodynamics=aero, propulsion=propulsion)
    return replace(read, aircraft=changed)


@pytest.fixture(scope="module")
def before(sortie: Sortie) -> Flown:
    return flown(sortie)


def currents(ensemble: Flown) -> Any:
    used = ensemble.results[:, c.CHARGE_USED] - ensemble.members[:, c.CHARGE_AT_START]
    return used / ensemble.results[:, c.DURATION]


def observed(ensemble: Flown, factor: float) -> TwoNumbers:
    """Return a flight that took this much more than the middle one."""
    duration_s = float(np.median(ensemble.results[:, c.DURATION]))
    middle = float(np.median(currents(ensemble)))
    return TwoNumbers(duration_s=duration_s, charge_ah=factor * middle * duration_s)


def taught(sortie: Sortie, ensemble: Flown, seen: TwoNumbers) -> Sortie:
    learned = lesson(ensemble, seen, valid="test", learned_from="test")
    return replace(sortie, aircraft=replace(sortie.aircraft, learned=learned))


@pytest.mark.slow
def test_it_is_bayes_as_weights_have_it(sortie: Sortie) -> None:
    # The same posterior by importance weights on a larger ensemble, without any straight line:
    # every flight weighs as likely as it makes the observation.
    seen = observed(flown(sortie), 1.12)
    many = flown(sortie, 4096)
    # The meters' doubt written out: charger 3 %, filling 0.5 % of 10 Ah, watch 5 s; and 0.5 % of
    # the charge stays in the cells.
    doubt = np.sqrt(0.03**2 + (0.005 * 10.0 / seen.charge_ah) ** 2 + (5.0 / seen.duration_s) ** 2)
    off = np.log(currents(many)) - np.log(0.995 * seen.charge_ah / seen.duration_s)
    weights = np.exp(-0.5 * (off / doubt) ** 2)
    weights /= weights.sum()
    after = draw(resolve(taught(sortie, flown(sortie), seen)), 4096, 5).value
    for name in ("zero_lift_drag", "efficiency", "induced_factor"):
        values = np.log(many.draws.value[name])
        mean = float(weights @ values)
        sd = float(np.sqrt(weights @ (values - mean) ** 2))
        # The line is a line: a tenth of the spread is what it may be off.
        assert np.log(after[name]).mean() == pytest.approx(mean, abs=0.12 * sd), name
        assert np.log(after[name]).std() == pytest.approx(sd, rel=0.12), name
    apart = np.log(many.draws.value["zero_lift_drag"] / many.draws.value["efficiency"])
    spread = np.sqrt(weights @ (apart - weights @ apart) ** 2)
    together = np.log(after["zero_lift_drag"] / after["efficiency"]).std()
    assert together == pytest.approx(spread, rel=0.12)
    # Power is known better than drag and efficiency apart.
    assert together < 0.6 * np.log(many.draws.value["zero_lift_drag"]).std() * np.sqrt(2.0)


def test_a_prediction_sharpens_and_moves_towards_what_was_seen(
    sortie: Sortie, before: Flown
) -> None:
    seen = observed(before, 1.15)
    first = prediction(before, seen)
    assert first.low_ah < first.middle_ah < first.high_ah
    assert first.sigmas > 0.0
    second = prediction(flown(taught(sortie, before, seen)), seen)
    assert 0.0 < second.sigmas < first.sigmas
    assert second.high_ah - second.low_ah < 0.7 * (first.high_ah - first.low_ah)


def test_what_was_foretold_only_sharpens(sortie: Sortie, before: Flown) -> None:
    after = taught(sortie, before, observed(before, 1.0 / 0.995))
    learned = after.aircraft.learned
    assert learned is not None
    middle = [resolve(sortie).inputs[name].value for name in LEARNED]
    share = sortie.pack.capacity_fraction.value
    expected = [*middle[:-1], middle[-1] / share]
    np.testing.assert_allclose(learned.mean, expected, rtol=0.02)


@pytest.mark.slow
def test_mean_power_is_never_known_beyond_the_floor(sortie: Sortie, before: Flown) -> None:
    ensemble, now = before, sortie
    for _ in range(12):
        now = taught(now, ensemble, observed(before, 1.0))
        ensemble = flown(now, 128)
    assert now.aircraft.learned is not None
    assert now.aircraft.learned.flights == 12
    # What the learned inputs leave of doubt in the mean current: refly with nothing else drawn.
    z = np.stack([np.log(ensemble.draws.value[name]) for name in LEARNED], axis=1)
    y = np.log(currents(ensemble))
    design = np.column_stack([np.ones(y.size), z])
    fit, *_ = np.linalg.lstsq(design, y, rcond=None)
    assert np.std(design @ fit) > 0.8 * POWER_FLOOR


def test_a_pack_that_gave_more_holds_more(sortie: Sortie) -> None:
    small = replace(sortie.aircraft.battery, capacity_ah=0.5)
    aircraft = replace(sortie.aircraft, battery=small)
    packed = replace(sortie, aircraft=aircraft)
    ensemble = flown(packed)
    usable_ah = float(np.median(ensemble.draws.value["usable_charge"]))
    duration_s = float(np.median(ensemble.results[:, c.DURATION]))
    seen = TwoNumbers(duration_s=duration_s, charge_ah=1.08 * usable_ah)
    after = draw(resolve(taught(packed, ensemble, seen)), 512, 1).value["usable_charge"]
    assert np.median(after) > 1.02 * usable_ah
    less = TwoNumbers(duration_s=duration_s, charge_ah=0.7 * usable_ah)
    same = draw(resolve(taught(packed, ensemble, less)), 512, 1).value["usable_charge"]
    assert np.median(same) == pytest.approx(usable_ah, rel=0.02)


def test_a_learned_charge_is_of_a_new_pack(sortie: Sortie, before: Flown) -> None:
    after = taught(sortie, before, observed(before, 1.0))
    worn = replace(
        after.pack, capacity_fraction=Estimate(value=0.485, sd=0.0, basis=Basis.DECLARED)
    )
    new_ah = resolve(after).inputs["usable_charge"].value
    worn_ah = resolve(replace(after, pack=worn)).inputs["usable_charge"].value
    assert worn_ah == pytest.approx(0.5 * new_ah)  # 0.485 against the 0.97 of the example


def test_too_few_landings_teach_nothing(sortie: Sortie) -> None:
    few = flown(sortie, 32)
    with pytest.raises(OutOfModelError, match="too few to learn from"):
        lesson(few, observed(few, 1.0), valid="test", learned_from="test")
