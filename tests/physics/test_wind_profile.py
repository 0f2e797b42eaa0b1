import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics.wind_profile import log_law, power_law

heights = st.floats(2.5, 200.0)


@given(st.floats(0.0, 30.0), heights, heights, st.floats(0.0, 0.6), st.floats(0.001, 2.0))
def test_up_and_down_again_is_the_same_wind(
    speed: float, one: float, other: float, exponent: float, roughness: float
) -> None:
    there = power_law(speed, other, one, exponent)
    assert power_law(there, one, other, exponent) == pytest.approx(speed)
    there = log_law(speed, other, one, roughness)
    assert log_law(there, one, other, roughness) == pytest.approx(speed)


def test_no_wind_stays_no_wind() -> None:
    assert np.all(power_law(0.0, np.array([2.0, 100.0]), 10.0, 0.2) == 0.0)
    assert np.all(log_law(0.0, np.array([2.0, 100.0]), 10.0, 0.1) == 0.0)


@pytest.mark.parametrize("height_m", [0.0, -5.0, 501.0, np.nan])
def test_heights_outside_the_power_law_are_refused(height_m: float) -> None:
    with pytest.raises(ValueError, match="height_agl_m"):
        power_law(5.0, height_m, 10.0, 0.2)


@pytest.mark.parametrize(
    ("height_m", "reference_m", "roughness_m", "name"),
    [
        (0.5, 10.0, 1.0, "height over roughness"),
        (10.0, 1.0, 1.0, "reference height"),
        (10.0, 10.0, 0.0, "roughness_length_m"),
        (250.0, 10.0, 0.1, "height_agl_m"),
    ],
)
def test_heights_inside_the_roughness_are_refused(
    height_m: float, reference_m: float, roughness_m: float, name: str
) -> None:
    with pytest.raises(ValueError, match=name):
        log_law(5.0, height_m, reference_m, roughness_m)


def test_an_impossible_exponent_is_refused() -> None:
    with pytest.raises(ValueError, match="exponent"):
        power_law(5.0, 100.0, 10.0, 1.5)
