import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics import turbulence

heights = st.floats(turbulence.DRYDEN_LOWEST_M, turbulence.DRYDEN_HIGHEST_M)


@given(heights, st.floats(0.0, 25.0))
def test_horizontal_is_never_the_weaker_one(height: float, wind: float) -> None:
    vertical = turbulence.vertical_gust_sd(wind)
    assert turbulence.horizontal_gust_sd(height, wind) >= vertical * (1.0 - 1e-12)
    assert turbulence.horizontal_scale_length(height) >= height * (1.0 - 1e-12)


@given(heights, heights)
def test_turbulence_calms_and_stretches_with_height(one: float, other: float) -> None:
    pair = np.array([min(one, other), max(one, other)])
    low_sd, high_sd = turbulence.horizontal_gust_sd(pair, 8.0)
    assert high_sd <= low_sd * (1.0 + 1e-12)
    low_m, high_m = turbulence.horizontal_scale_length(pair)
    assert high_m >= low_m * (1.0 - 1e-12)


@pytest.mark.parametrize("height_m", [0.0, 3.0, 304.9, np.nan])
def test_heights_outside_the_model_are_refused(height_m: float) -> None:
    with pytest.raises(ValueError, match="height_agl_m"):
        turbulence.horizontal_scale_length(height_m)
    with pytest.raises(ValueError, match="height_agl_m"):
        turbulence.vertical_scale_length(height_m)


def test_an_unknown_averaging_period_names_the_known_ones() -> None:
    with pytest.raises(ValueError, match="60, 120, 180, 600, 3600"):
        turbulence.gust_from_mean(5.0, 300.0)
