"""Properties of the polar: optima are optima, symmetry, refusals."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics import polar

CD0 = st.floats(0.015, 0.08)
K = st.floats(0.02, 0.15)
CL0 = st.floats(-0.2, 0.4)
WEIGHT_N = st.floats(5.0, 100.0)
AREA_M2 = st.floats(0.1, 1.5)
AROUND = np.array([0.97, 1.0, 1.03])


@given(CD0, K, CL0)
def test_no_neighbour_glides_better(cd0: float, k: float, cl0: float) -> None:
    cl, ratio = polar.best_glide(cd0, k, cl0)
    neighbours = cl * AROUND / polar.drag_coefficient(cl * AROUND, cd0, k, cl0)
    assert neighbours[1] == pytest.approx(ratio)
    assert np.argmax(neighbours) == 1


@given(CD0, K, CL0)
def test_no_neighbour_sinks_less(cd0: float, k: float, cl0: float) -> None:
    cl, factor = polar.minimum_sink(cd0, k, cl0)
    neighbours = (cl * AROUND) ** 1.5 / polar.drag_coefficient(cl * AROUND, cd0, k, cl0)
    assert neighbours[1] == pytest.approx(factor)
    assert np.argmax(neighbours) == 1


@given(WEIGHT_N, AREA_M2, CD0, K, CL0, st.floats(-15.0, 20.0), st.floats(0.0, 20.0))
def test_no_neighbour_goes_farther_on_the_energy(
    weight: float, area: float, cd0: float, k: float, cl0: float, headwind: float, standing: float
) -> None:
    best = polar.best_range_speed(weight, area, 1.225, cd0, k, cl0, headwind, standing)
    assert best > max(headwind, 0.0)
    made_good = np.asarray(best - headwind) * AROUND
    speed = made_good[made_good + headwind > 0.1] + headwind
    drag_n = polar.drag_force(speed, 1.0, weight, area, cd0, k, cl0)
    joule_per_m = (polar.level_power(speed, drag_n) + standing) / (speed - headwind)
    assert np.argmin(joule_per_m) == joule_per_m.size - 2


@given(WEIGHT_N, AREA_M2, CD0, K, st.floats(0.5, 1.3))
def test_best_range_in_calm_air_is_best_glide(
    weight: float, area: float, cd0: float, k: float, density: float
) -> None:
    cl, _ = polar.best_glide(cd0, k, 0.0)
    glide_m_s = polar.airspeed_at_lift_coefficient(cl, weight, area) * np.sqrt(1.225 / density)
    best = polar.best_range_speed(weight, area, density, cd0, k, 0.0, 0.0, 0.0)
    assert best == pytest.approx(glide_m_s)


@given(WEIGHT_N, AREA_M2, CD0, K, CL0, st.floats(0.5, 5.0))
def test_best_range_speed_rises_with_head_wind(
    weight: float, area: float, cd0: float, k: float, cl0: float, step: float
) -> None:
    winds = np.array([-step, 0.0, step, 2.0 * step])
    speeds = polar.best_range_speed(weight, area, 1.225, cd0, k, cl0, winds, 4.0)
    assert np.all(np.diff(speeds) > 0.0)


@given(WEIGHT_N, st.floats(1.0, 1.5), AREA_M2, st.floats(0.6, 1.8))
def test_more_mass_never_lowers_stall_speed(
    weight: float, factor: float, area: float, cl_max: float
) -> None:
    light, heavy = polar.stall_speed_eas(np.array([weight, factor * weight]), area, cl_max)
    assert heavy >= light
    assert heavy == pytest.approx(light * np.sqrt(factor))


@given(st.floats(0.5, 3.0), WEIGHT_N, st.floats(8.0, 30.0), AREA_M2)
def test_lift_coefficient_and_airspeed_undo_each_other(
    load: float, weight: float, speed: float, area: float
) -> None:
    cl = polar.lift_coefficient(load, weight, speed, area)
    assert polar.airspeed_at_lift_coefficient(cl, load * weight, area) == pytest.approx(speed)


@given(CD0, K, CL0, st.floats(0.0, 1.0))
def test_polar_is_even_about_its_least_drag(cd0: float, k: float, cl0: float, off: float) -> None:
    both = polar.drag_coefficient(np.array([cl0 - off, cl0 + off]), cd0, k, cl0)
    assert both[0] == pytest.approx(both[1])
    assert np.min(both) >= cd0


def test_arrays_broadcast() -> None:
    speeds = polar.best_range_speed(
        25.0, 0.46, np.array([1.0, 1.2]), 0.038, 0.054, 0.0, np.zeros((3, 1)), 4.0
    )
    assert speeds.shape == (3, 2)


def test_impossible_aircraft_are_refused() -> None:
    with pytest.raises(ValueError, match="zero_lift_drag holds 0"):
        polar.drag_coefficient(0.5, 0.0, 0.05, 0.0)
    with pytest.raises(ValueError, match=r"induced_factor holds -0\.05"):
        polar.best_glide(0.03, -0.05, 0.0)
    with pytest.raises(ValueError, match="wing_area_m2 holds 0"):
        polar.lift_coefficient(1.0, 25.0, 15.0, 0.0)
    with pytest.raises(ValueError, match="equivalent_airspeed_m_s holds 0"):
        polar.drag_force(0.0, 1.0, 25.0, 0.46, 0.038, 0.054, 0.0)
    with pytest.raises(ValueError, match="lift_coefficient holds nan"):
        polar.stall_speed_eas(25.0, 0.46, np.nan)
    with pytest.raises(ValueError, match="standing_power_w holds -1"):
        polar.best_range_speed(25.0, 0.46, 1.2, 0.038, 0.054, 0.0, 0.0, -1.0)
