"""Properties of mass and balance: order, datum, round trips, refusals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics import balance

MASS_KG = st.floats(0.05, 5.0)
ARM_M = st.floats(-0.5, 0.5)
CHORD_M = st.floats(0.05, 0.5)


@given(MASS_KG, ARM_M, MASS_KG, ARM_M)
def test_adding_is_weighing_together(total: float, cg: float, mass: float, arm: float) -> None:
    together = balance.centre_of_gravity([total, mass], [cg, arm])
    added = balance.centre_of_gravity_after_adding(total, cg, mass, arm)
    assert added == pytest.approx(together, abs=1e-12)
    back = balance.centre_of_gravity_after_adding(total + mass, added, -mass, arm)
    assert back == pytest.approx(cg, abs=1e-9)


@given(MASS_KG, ARM_M, MASS_KG, ARM_M, ARM_M)
def test_shifting_is_weighing_again(
    rest: float, rest_arm: float, pack: float, arm: float, distance: float
) -> None:
    before = balance.centre_of_gravity([rest, pack], [rest_arm, arm])
    after = balance.centre_of_gravity([rest, pack], [rest_arm, arm + distance])
    shift = balance.centre_of_gravity_shift(pack, distance, rest + pack)
    assert after - before == pytest.approx(shift, abs=1e-12)


@given(st.lists(MASS_KG, min_size=3, max_size=3), st.lists(ARM_M, min_size=3, max_size=3), ARM_M)
def test_moving_the_datum_moves_every_arm_alike(
    masses: list[float], arms: list[float], datum: float
) -> None:
    here = balance.centre_of_gravity(masses, arms)
    there = balance.centre_of_gravity(masses, np.array(arms) + datum)
    assert there - here == pytest.approx(datum, abs=1e-12)
    assert min(arms) - 1e-12 <= here <= max(arms) + 1e-12


@given(CHORD_M, CHORD_M, st.floats(0.5, 4.0))
def test_mean_chord_lies_between_and_on_the_leading_edge(
    root: float, tip: float, span: float
) -> None:
    chord = balance.mean_aerodynamic_chord(root, tip)
    assert min(root, tip) - 1e-12 <= chord <= max(root, tip) + 1e-12
    from_centre, _ = balance.mean_chord_position(root, tip, span, 0.0)
    # the local chord there is the mean chord
    local = root + (tip - root) * from_centre / (span / 2.0)
    assert local == pytest.approx(chord)


def test_rectangular_wing() -> None:
    assert balance.mean_aerodynamic_chord(0.25, 0.25) == pytest.approx(0.25)
    from_centre, leading_edge = balance.mean_chord_position(0.25, 0.25, 2.0, 0.1)
    assert from_centre == pytest.approx(0.5)
    assert leading_edge == pytest.approx(0.05)


def test_a_wing_alone_is_neutral_at_its_aerodynamic_centre() -> None:
    assert balance.neutral_point(0.25, 0.0, 0.9, 0.4) == 0.25


def test_several_loadings_at_once() -> None:
    got = balance.centre_of_gravity([[1.0, 1.0], [1.0, 3.0]], [0.0, 1.0])
    np.testing.assert_allclose(got, [0.5, 0.75])


def test_impossible_loadings_are_refused() -> None:
    with pytest.raises(ValueError, match="total of masses_kg holds -1"):
        balance.centre_of_gravity([1.0, -2.0], [0.0, 0.0])
    with pytest.raises(ValueError, match="moved_mass_kg / total"):
        balance.centre_of_gravity_shift(3.0, 0.1, 2.0)
    with pytest.raises(ValueError, match="total_mass_kg"):
        balance.centre_of_gravity_after_adding(1.0, 0.0, -1.0, 0.0)
    with pytest.raises(ValueError, match="tip_chord_m holds"):
        balance.mean_aerodynamic_chord(0.2, -0.1)
    with pytest.raises(ValueError, match="downwash_gradient holds"):
        balance.neutral_point(0.25, 0.4, 0.9, 40.0)
