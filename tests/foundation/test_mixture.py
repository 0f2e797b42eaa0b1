"""Mixtures of normal distributions, drawn by one standard normal number."""

from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.mixture import mixture_of

WEIGHTS = st.dictionaries(st.floats(0.0, 0.6), st.floats(0.01, 1.0), min_size=1, max_size=4)


def test_a_single_part_is_a_normal_estimate() -> None:
    mixture = mixture_of({0.15: 2.0}, 0.03, Basis.ASSUMED)
    z = np.linspace(-4.0, 4.0, 81)
    plain = Estimate(value=0.15, sd=0.03, basis=Basis.ASSUMED)
    np.testing.assert_allclose(mixture.drawn(z), plain.drawn(z), atol=2e-5)
    assert mixture.value == pytest.approx(0.15, abs=1e-6)
    assert mixture.sd == pytest.approx(0.03)


def test_two_parts_far_apart_by_hand() -> None:
    # A quarter about 0.1 and three quarters about 0.5: the spread between them is 0.4 sqrt(3) / 4.
    mixture = mixture_of({0.1: 1.0, 0.5: 3.0}, 0.01, Basis.ASSUMED)
    assert mixture.sd == pytest.approx((0.01**2 + (0.1 * 3.0**0.5) ** 2) ** 0.5)
    # The 1/8 quantile is the middle of the first part, the 5/8 quantile that of the second.
    z = np.array([NormalDist().inv_cdf(share) for share in (0.125, 0.625)])
    np.testing.assert_allclose(mixture.drawn(z), [0.1, 0.5], atol=1e-4)


@given(WEIGHTS, st.floats(0.005, 0.1))
def test_draws_rise_and_have_the_told_spread(weights: dict[float, float], part_sd: float) -> None:
    mixture = mixture_of(weights, part_sd, Basis.DECLARED)
    inverse = NormalDist().inv_cdf
    z = np.array([inverse((number + 0.5) / 4000) for number in range(4000)])
    values = mixture.drawn(z)
    assert np.all(np.diff(values) >= 0.0)
    assert float(mixture.drawn(np.zeros(1))[0]) == mixture.value
    assert float(np.std(values)) == pytest.approx(mixture.sd, rel=0.01)


@pytest.mark.parametrize("weights", [{}, {0.1: 0.0}, {0.1: -1.0, 0.2: 2.0}])
def test_no_mixture_without_weights(weights: dict[float, float]) -> None:
    with pytest.raises(ValueError, match="not a mixture"):
        mixture_of(weights, 0.03, Basis.ASSUMED)
