"""Draws of a sortie: spreads come out as stated, jointly where flights taught them so."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from homeleg.aircraft.record import Learned
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import OutOfModelError
from homeleg.sortie.draws import draw
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def sortie() -> Sortie:
    return read_sortie(EXAMPLES / "tern-point" / "sortie.toml").sortie


def learned(names: tuple[str, ...], relative: list[list[float]], mean: list[float]) -> Learned:
    means = np.array(mean)
    return Learned(
        names=names,
        mean=means,
        covariance=np.array(relative) * np.outer(means, means),
        flights=3,
        valid="2.6 kg, 15 m/s",
        learned_from="three notes",
    )


def test_spreads_are_those_stated(sortie: Sortie) -> None:
    resolved = resolve(sortie)
    draws = draw(resolved, 2048, 1)
    for name, estimate in resolved.inputs.items():
        values = draws.value[name]
        # 2,048 scrambled points: the spread of a normal comes out within a percent.
        assert np.median(values) == pytest.approx(estimate.value, abs=0.01 * estimate.sd + 1e-12)
        if name != "wind_exponent":
            assert np.std(values) == pytest.approx(estimate.sd, rel=0.02, abs=1e-12)


def test_joint_draws_keep_mean_and_covariance(sortie: Sortie) -> None:
    # Drag and efficiency each 10 % uncertain, their ratio known to 2 %: correlation 0.98.
    relative = [[0.01, 0.0098], [0.0098, 0.01]]
    taught = learned(("zero_lift_drag", "efficiency"), relative, [0.040, 0.52])
    aircraft = replace(sortie.aircraft, learned=taught)
    draws = draw(resolve(replace(sortie, aircraft=aircraft)), 4096, 1)
    drag, efficiency = draws.value["zero_lift_drag"], draws.value["efficiency"]
    assert np.median(drag) == pytest.approx(0.040, rel=0.005)
    assert np.median(efficiency) == pytest.approx(0.52, rel=0.005)
    assert np.std(np.log(drag)) == pytest.approx(0.10, rel=0.03)
    assert np.std(np.log(drag / efficiency)) == pytest.approx(0.02, rel=0.05)


def test_a_singular_covariance_is_drawn(sortie: Sortie) -> None:
    taught = learned(("zero_lift_drag", "efficiency"), [[0.01, 0.01], [0.01, 0.01]], [0.040, 0.52])
    aircraft = replace(sortie.aircraft, learned=taught)
    draws = draw(resolve(replace(sortie, aircraft=aircraft)), 512, 1)
    ratio = draws.value["zero_lift_drag"] / draws.value["efficiency"]
    assert np.ptp(ratio) / np.mean(ratio) < 1e-6


def test_an_unknown_learned_name_is_refused(sortie: Sortie) -> None:
    taught = learned(("wing_colour",), [[0.01]], [1.0])
    aircraft = replace(sortie.aircraft, learned=taught)
    with pytest.raises(OutOfModelError, match="wing_colour"):
        resolve(replace(sortie, aircraft=aircraft))


def test_the_same_seed_gives_the_same_draws(sortie: Sortie) -> None:
    resolved = resolve(sortie)
    first, again, more = draw(resolved, 300, 7), draw(resolved, 300, 7), draw(resolved, 900, 7)
    for name, values in first.value.items():
        np.testing.assert_array_equal(values, again.value[name])
        np.testing.assert_array_equal(values, more.value[name][:300])
