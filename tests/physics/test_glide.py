"""Properties of glides: still air, wind, energy, refusals."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics import glide

SPEED_M_S = st.floats(8.0, 30.0)
RATIO = st.floats(2.0, 30.0)


@given(SPEED_M_S, RATIO)
def test_over_ground_in_still_air_is_lift_over_drag(speed: float, ratio: float) -> None:
    sink = glide.sink_rate(speed, ratio)
    assert glide.glide_ratio_over_ground(speed, sink, 0.0) == pytest.approx(ratio)


@given(SPEED_M_S, RATIO, st.floats(0.1, 7.0))
def test_head_wind_shortens_and_tail_wind_stretches(
    speed: float, ratio: float, wind: float
) -> None:
    sink = glide.sink_rate(speed, ratio)
    into, still, with_it = glide.glide_ratio_over_ground(speed, sink, np.array([wind, 0.0, -wind]))
    assert into < still < with_it
    assert still - into == pytest.approx(with_it - still)


@given(SPEED_M_S, RATIO, st.floats(0.1, 60.0))
def test_energy_height_falls_by_the_height_glided(
    speed: float, ratio: float, seconds: float
) -> None:
    # at constant airspeed all the energy lost is height: drag times path over weight
    lost_m = glide.sink_rate(speed, ratio) * seconds
    before, after = glide.energy_height(np.array([120.0, 120.0 - lost_m]), speed)
    drag_over_weight = math.sin(math.atan(1.0 / ratio))
    assert before - after == pytest.approx(drag_over_weight * speed * seconds)


@given(st.floats(10.0, 300.0), st.floats(100.0, 5_000.0), SPEED_M_S, st.floats(0.1, 0.9))
def test_splitting_a_leg_changes_nothing(
    power: float, distance: float, ground_speed: float, share: float
) -> None:
    parts = glide.energy_over_ground(
        power, distance * np.array([share, 1.0 - share, 1.0]), ground_speed
    )
    assert parts[0] + parts[1] == pytest.approx(parts[2])


def test_wind_above_the_airspeed_carries_the_glide_backwards() -> None:
    assert glide.glide_ratio_over_ground(10.0, 1.0, 12.0) < 0.0


@pytest.mark.parametrize("ratio", [0.0, -3.0, math.nan])
def test_no_glide_without_lift(ratio: float) -> None:
    with pytest.raises(ValueError, match="glide_ratio holds"):
        glide.sink_rate(12.0, ratio)


def test_sinking_faster_than_flying_is_refused() -> None:
    with pytest.raises(ValueError, match="sink_rate_m_s exceeds"):
        glide.glide_ratio_over_ground(10.0, 10.5, 0.0)


@pytest.mark.parametrize("ground_speed", [0.0, -2.0])
def test_a_leg_that_never_ends_is_refused(ground_speed: float) -> None:
    with pytest.raises(ValueError, match="ground_speed_m_s holds"):
        glide.energy_over_ground(100.0, 1000.0, ground_speed)
