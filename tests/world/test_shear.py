"""How wind grows with height: classes by sky and sun, and a calm dawn that hides a strong wind."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeleg.foundation.estimate import Basis, Estimate
from homeleg.physics.stability import StabilityClass
from homeleg.world.shear import SkyState, air_classes, shear_exponent, wind_aloft
from homeleg.world.weather import Weather, WindReport, WindSource
from homeleg.world.wind import combined_wind, member_winds

PLACE = math.radians(55.0), math.radians(-5.0)
# At 55 N 5 W on 9 June the sun rises at 03:38 and sets at 21:00 UTC (almanac).
DAWN = datetime(2026, 6, 9, 3, 45, tzinfo=UTC)
NOON = datetime(2026, 6, 9, 13, 0, tzinfo=UTC)
CLEAR = SkyState(eighths=0, ceiling_m=9_000.0)
UNKNOWN = SkyState(eighths=None, ceiling_m=None)


def test_the_class_told_counts_half_and_its_neighbours_a_quarter() -> None:
    # Clear noon in June, sun 58 degrees up: insolation 3; 4 m/s is 8 kt: class C.
    weights = air_classes(NOON, *PLACE, CLEAR, 4.0)
    told = {air.name: weight for air, weight in weights.items() if weight}
    assert told == {"B": 0.25, "C": 0.5, "D": 0.25}


def test_a_clear_calm_night_is_stable() -> None:
    # 1 m/s is 2 kt, index -2: class 7, counted as F; E is beside it, and what lies beyond is F.
    weights = air_classes(DAWN, *PLACE, CLEAR, 1.0)
    assert weights[StabilityClass.F] == 0.75
    assert weights[StabilityClass.E] == 0.25


def test_the_air_follows_the_sun() -> None:
    # An hour and a half after sunrise half of the weight is still the night's.
    weights = air_classes(DAWN + timedelta(minutes=90), *PLACE, CLEAR, 1.0)
    assert weights[StabilityClass.F] + weights[StabilityClass.E] == pytest.approx(0.5)


def test_low_overcast_is_neutral_by_day_and_night() -> None:
    low = SkyState(eighths=8, ceiling_m=300.0)
    # Class D; beside it C by day and E by night, the other side of it stays with it.
    for at, beside in ((DAWN, StabilityClass.E), (NOON, StabilityClass.C)):
        weights = air_classes(at, *PLACE, low, 3.0)
        assert weights[StabilityClass.D] == 0.75
        assert weights[beside] == 0.25


@settings(max_examples=25)
@given(st.integers(0, 23), st.floats(0.0, 20.0), st.none() | st.integers(0, 8))
def test_weights_add_up(hour: int, wind_m_s: float, eighths: int | None) -> None:
    at = NOON.replace(hour=hour)
    sky = SkyState(eighths=eighths, ceiling_m=None)
    weights = air_classes(at, *PLACE, sky, wind_m_s)
    assert sum(weights.values()) == pytest.approx(1.0)
    # What is not told widens: each way the sky can be has its place in what is unknown.
    unknown = air_classes(at, *PLACE, UNKNOWN, wind_m_s)
    assert all(unknown[air] > 0.0 for air, weight in weights.items() if weight)


def night(wind_10m_m_s: float, sky: SkyState = CLEAR) -> Weather:
    """Return a dawn with a wind just measured at 10 m, and nothing told of the exponent."""
    classes = air_classes(DAWN, *PLACE, sky, wind_10m_m_s)
    exponent = shear_exponent(classes, Basis.DECLARED)
    return Weather(
        surface=WindReport(
            source=WindSource.ANEMOMETER,
            speed_m_s=Estimate(value=wind_10m_m_s, sd=0.3, basis=Basis.DECLARED),
            from_true_rad=Estimate(value=0.0, sd=0.26, basis=Basis.DECLARED),
            height_agl_m=10.0,
            gust_m_s=None,
            seen=DAWN,
        ),
        layers=(),
        exponent=exponent,
        temperature_k=Estimate(value=280.0, sd=2.0, basis=Basis.DECLARED),
        pressure_pa=None,
        humidity_fraction=0.8,
        visibility_m=None,
        cloud_base_above_launch_m=None,
        aloft=wind_aloft(classes, exponent, wind_10m_m_s),
    )


def nine_in_ten_at_100_m(weather: Weather) -> float:
    profile = combined_wind(weather, DAWN)
    numbers = np.random.default_rng(1).random((4, 4000))
    z = np.vectorize(NormalDist().inv_cdf)(numbers)
    winds = member_winds(
        profile,
        np.array([100.0]),
        speed_z=z[0],
        direction_z=z[1],
        exponent=profile.exponent.drawn(z[2]),
        aloft_z=z[3],
    )
    return float(np.quantile(np.hypot(winds[:, 0, 0], winds[:, 1, 0]), 0.9))


@pytest.mark.parametrize("wind_m_s", [0.0, 0.5, 1.0, 2.0])
def test_a_calm_dawn_does_not_hide_a_strong_wind(wind_m_s: float) -> None:
    # 6 to 10 m/s at Cabauw, 9.6 m/s on average in Iowa (published): 9 in 10 at 100 m is 10 m/s,
    # within what 4000 draws can tell.
    assert nine_in_ten_at_100_m(night(wind_m_s)) == pytest.approx(10.0, abs=0.6)


def test_the_power_law_alone_would_hide_it() -> None:
    alone = nine_in_ten_at_100_m(replace(night(0.0), aloft=None))
    assert alone < 2.0


def test_a_windy_night_follows_its_power_law() -> None:
    # 3 m/s is 6 kt, index -2: class F again, so 3 * 10^0.55 = 10.6 m/s in the middle.
    weather = night(3.0)
    assert weather.aloft is None
    assert weather.exponent.value == pytest.approx(0.54, abs=0.02)
    assert nine_in_ten_at_100_m(weather) > 11.0


@pytest.mark.parametrize("sky", [CLEAR, UNKNOWN], ids=["clear", "unknown"])
def test_more_wind_below_is_never_less_wind_aloft(sky: SkyState) -> None:
    # Up to 3 m/s; beyond, the published classes step towards neutral air.
    winds_m_s = np.arange(0.0, 3.1, 0.25)
    speeds = [nine_in_ten_at_100_m(night(wind_m_s, sky)) for wind_m_s in winds_m_s]
    assert np.all(np.diff(speeds) > -0.3)
    assert min(speeds) > 9.4


def test_an_unknown_sky_at_dawn_counts_as_stable_enough() -> None:
    assert night(1.0, UNKNOWN).aloft is not None
    assert night(1.0, SkyState(eighths=8, ceiling_m=300.0)).aloft is None
