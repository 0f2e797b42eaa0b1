import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.physics import propeller

densities = st.floats(0.5, 1.5)
areas = st.floats(0.005, 0.5)
airspeeds = st.floats(0.0, 60.0)


@given(st.floats(0.0, 500.0), densities, areas, airspeeds)
def test_thrust_and_disk_power_are_inverse(
    thrust: float, density: float, area: float, airspeed: float
) -> None:
    power = propeller.disk_power(thrust, density, area, airspeed)
    back = propeller.thrust_from_disk_power(power, density, area, airspeed)
    assert back == pytest.approx(thrust, rel=1e-9, abs=1e-9)


@given(st.floats(0.0, 1e4), densities, areas, airspeeds)
def test_disk_power_and_thrust_are_inverse(
    power: float, density: float, area: float, airspeed: float
) -> None:
    thrust = propeller.thrust_from_disk_power(power, density, area, airspeed)
    assert propeller.disk_power(thrust, density, area, airspeed) == pytest.approx(
        power, rel=1e-9, abs=1e-9
    )


@given(st.floats(1.0, 1e3), densities, areas, airspeeds, st.floats(0.1, 10.0))
def test_the_same_power_pulls_less_when_faster(
    power: float, density: float, area: float, airspeed: float, faster: float
) -> None:
    slow = propeller.thrust_from_disk_power(power, density, area, airspeed)
    fast = propeller.thrust_from_disk_power(power, density, area, airspeed + faster)
    assert fast < slow


def test_arrays_and_no_power_at_rest() -> None:
    thrust = propeller.thrust_from_disk_power(
        np.array([0.0, 0.0, 50.0]), 1.2, 0.05, np.array([0.0, 20.0, 0.0])
    )
    assert thrust.shape == (3,)
    assert list(thrust[:2]) == [0.0, 0.0]
    assert thrust[2] > 0.0


@pytest.mark.parametrize(
    ("power", "density", "area", "airspeed"),
    [
        (-1.0, 1.2, 0.05, 10.0),
        (np.nan, 1.2, 0.05, 10.0),
        (10.0, 0.0, 0.05, 10.0),
        (10.0, 1.2, -0.05, 10.0),
        (10.0, 1.2, 0.05, -1.0),
    ],
)
def test_impossible_inputs_are_refused(
    power: float, density: float, area: float, airspeed: float
) -> None:
    with pytest.raises(ValueError, match="valid is"):
        propeller.thrust_from_disk_power(power, density, area, airspeed)


def test_a_windmill_has_no_efficiency() -> None:
    with pytest.raises(ValueError, match="power_coefficient"):
        propeller.efficiency(0.9, -0.01, -0.002)
    with pytest.raises(ValueError, match="thrust_n"):
        propeller.induced_velocity(-1.0, 1.2, 0.05, 10.0)
