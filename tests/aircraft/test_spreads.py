import pytest

from homeleg.aircraft.spreads import DEFAULT_RELATIVE_SPREAD, default_sd
from homeleg.foundation.estimate import Basis


# Hand computation from the published table of default spreads, per cent of the value.
@pytest.mark.parametrize(
    ("quantity", "value", "basis", "expected"),
    [
        ("zero_lift_drag", 0.040, Basis.ASSUMED, 0.008),
        ("zero_lift_drag", 0.040, Basis.FROM_GEOMETRY, 0.0048),
        ("zero_lift_drag", 0.040, Basis.FLIGHT, 0.0032),
        ("induced_factor", 0.050, Basis.ASSUMED, 0.006),
        ("induced_factor", 0.050, Basis.FLIGHT, 0.0035),
        ("efficiency", 0.50, Basis.ASSUMED, 0.075),
        ("efficiency", 0.50, Basis.MAKER, 0.05),
        ("efficiency", 0.50, Basis.BENCH, 0.025),
        ("maximum_lift", 1.2, Basis.FROM_GEOMETRY, 0.12),
        ("usable_charge", 10.0, Basis.BENCH, 0.3),
        ("resistance", 0.030, Basis.ASSUMED, 0.015),
        ("resistance", 0.030, Basis.MAKER, 0.009),
        ("mass", 2.0, Basis.BENCH, 0.01),
        ("airspeed_factor", 1.0, Basis.FLIGHT, 0.015),
    ],
)
def test_default_sd(quantity: str, value: float, basis: Basis, expected: float) -> None:
    assert default_sd(quantity, value, basis) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("quantity", "basis", "weaker"),
    [
        ("zero_lift_drag", Basis.BENCH, Basis.FROM_GEOMETRY),
        ("zero_lift_drag", Basis.DECLARED, Basis.FROM_GEOMETRY),
        ("efficiency", Basis.FROM_GEOMETRY, Basis.ASSUMED),
        ("mass", Basis.FROM_GEOMETRY, Basis.ASSUMED),
        ("mass", Basis.DECLARED, Basis.MAKER),
    ],
)
def test_a_basis_that_does_not_exist_is_taken_for_the_next_weaker_one(
    quantity: str, basis: Basis, weaker: Basis
) -> None:
    assert default_sd(quantity, 1.0, basis) == default_sd(quantity, 1.0, weaker)
    assert basis not in DEFAULT_RELATIVE_SPREAD[quantity]


@pytest.mark.parametrize("quantity", [*DEFAULT_RELATIVE_SPREAD, "centre_of_gravity"])
def test_a_better_basis_never_widens(quantity: str) -> None:
    spreads = [default_sd(quantity, 1.0, basis) for basis in Basis]
    assert spreads == sorted(spreads, reverse=True)
    assert spreads[0] > spreads[-1] > 0.0


def test_centre_of_gravity_is_absolute_in_mean_chords() -> None:
    assert default_sd("centre_of_gravity", 0.29, Basis.ASSUMED) == 0.04
    assert default_sd("centre_of_gravity", 0.0, Basis.DECLARED) == 0.03
    assert default_sd("centre_of_gravity", 0.29, Basis.BENCH) == 0.008


def test_a_negative_value_has_a_positive_spread() -> None:
    assert default_sd("mass", -2.0, Basis.MAKER) == pytest.approx(0.06)


def test_an_unknown_quantity_names_the_known_ones() -> None:
    with pytest.raises(ValueError, match=r"'weight'.*mass.*centre_of_gravity"):
        default_sd("weight", 1.0, Basis.BENCH)
