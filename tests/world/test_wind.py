"""Reports of wind combined: by spread and age, whatever their order; and gusts nobody told."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.foundation.estimate import Basis, Estimate
from homeleg.world.weather import Weather, WindReport, WindSource
from homeleg.world.wind import combined_wind, member_winds, profile_speed

AT = datetime(2026, 6, 9, 17, 0, tzinfo=UTC)


def report(
    speed_m_s: float,
    *,
    sd_m_s: float = 0.5,
    from_deg: float = 225.0,
    height_m: float = 10.0,
    hours: float = 0.0,
    gust_m_s: float | None = None,
    gusty: bool | None = None,
) -> WindReport:
    return WindReport(
        source=WindSource.DECLARED,
        speed_m_s=Estimate(value=speed_m_s, sd=sd_m_s, basis=Basis.DECLARED),
        from_true_rad=Estimate(value=math.radians(from_deg), sd=0.2, basis=Basis.DECLARED),
        height_agl_m=height_m,
        gust_m_s=gust_m_s,
        seen=AT - timedelta(hours=hours),
        gusty=gusty,
    )


def air(*reports: WindReport) -> Weather:
    return Weather(
        surface=reports[0],
        layers=reports[1:],
        exponent=Estimate(value=0.16, sd=0.03, basis=Basis.DECLARED),
        temperature_k=Estimate(value=287.15, sd=2.0, basis=Basis.DECLARED),
        pressure_pa=None,
        humidity_fraction=0.65,
        visibility_m=None,
        cloud_base_above_launch_m=None,
    )


REPORTS = st.builds(
    report,
    st.floats(0.0, 25.0),
    sd_m_s=st.floats(0.05, 4.0),
    from_deg=st.floats(200.0, 300.0),
    height_m=st.sampled_from([2.0, 10.0, 90.0]),
    hours=st.floats(0.0, 12.0),
    gust_m_s=st.none() | st.floats(25.0, 40.0),
    gusty=st.none() | st.booleans(),
)
ORDERS = st.lists(REPORTS, min_size=2, max_size=4).flatmap(
    lambda reports: st.tuples(st.just(reports), st.permutations(reports))
)


def test_two_reports_by_hand() -> None:
    # 6 +- 1 and 9 +- 2 at one height: weights 1 and 1/4, so 6.6 m/s +- 1 / sqrt(1.25).
    wind = combined_wind(air(report(6.0, sd_m_s=1.0), report(9.0, sd_m_s=2.0)), AT)
    assert wind.speeds_m_s[0] == pytest.approx(6.6)
    assert wind.speed_sds_m_s[0] == pytest.approx(1.25**-0.5)


@pytest.mark.parametrize(("hours", "sd_m_s"), [(0.0, 0.5), (0.25, 0.781), (1.0, 1.3), (4.0, 2.452)])
def test_age_adds_in_quadrature(hours: float, sd_m_s: float) -> None:
    # sqrt(0.5^2 + 1.44 hours), by hand.
    wind = combined_wind(air(report(5.0, hours=hours)), AT)
    assert wind.speed_sds_m_s[0] == pytest.approx(sd_m_s, abs=5e-4)


def test_a_report_without_age_counts_as_an_hour_old() -> None:
    unknown = replace(report(5.0), seen=None)
    assert combined_wind(air(unknown), AT).speed_sds_m_s[0] == pytest.approx(1.3)


@given(st.lists(REPORTS, min_size=1, max_size=4), REPORTS)
def test_one_more_source_never_widens(reports: list[WindReport], more: WindReport) -> None:
    before = combined_wind(air(*reports), AT)
    after = combined_wind(air(*reports, more), AT)
    kept = np.isin(after.heights_m, before.heights_m)
    assert np.all(after.speed_sds_m_s[kept] <= before.speed_sds_m_s * (1.0 + 1e-9))
    assert np.all(after.direction_sds_rad[kept] <= before.direction_sds_rad * (1.0 + 1e-9))


@given(ORDERS)
def test_order_does_not_matter(orders: tuple[list[WindReport], list[WindReport]]) -> None:
    one, other = (combined_wind(air(*reports), AT) for reports in orders)
    for field in ("heights_m", "speeds_m_s", "speed_sds_m_s", "direction_sds_rad"):
        np.testing.assert_allclose(getattr(one, field), getattr(other, field), rtol=1e-9, atol=1e-9)
    apart = np.angle(np.exp(1j * (one.from_true_rad - other.from_true_rad)))
    np.testing.assert_allclose(apart, 0.0, atol=1e-6)
    assert one.gust_spread_m_s.value == pytest.approx(other.gust_spread_m_s.value)
    assert one.gust_reported == other.gust_reported


@given(st.lists(REPORTS, min_size=1, max_size=3), st.floats(0.0, 24.0), st.integers(0, 2))
def test_older_is_never_tighter(reports: list[WindReport], hours: float, which: int) -> None:
    aged = list(reports)
    place = which % len(aged)
    old = aged[place]
    assert old.seen is not None
    aged[place] = replace(old, seen=old.seen - timedelta(hours=hours))
    fresh, stale = combined_wind(air(*reports), AT), combined_wind(air(*aged), AT)
    assert np.all(stale.speed_sds_m_s >= fresh.speed_sds_m_s * (1.0 - 1e-9))


# WMO/TD-No. 1555: 1.66 in-land and 1.52 off-land over ten minutes (published).
GUSTS = [(None, 0.66 * 8.0, 0.30), (True, 0.66 * 8.0, 0.50), (False, 0.52 * 8.0, 0.30)]


@pytest.mark.parametrize("case", GUSTS, ids=lambda case: f"gusty {case[0]}")
def test_a_gust_nobody_measured_is_never_none(case: tuple[bool | None, float, float]) -> None:
    gusty, spread_m_s, relative = case
    wind = combined_wind(air(report(8.0, gusty=gusty)), AT)
    assert wind.gust_spread_m_s.value == pytest.approx(spread_m_s)
    assert wind.gust_spread_m_s.sd == pytest.approx(relative * spread_m_s)
    assert wind.gust_spread_m_s.is_assumed
    assert wind.gust_reported is (gusty is True)


def test_the_gust_factor_is_taken_at_ten_metres() -> None:
    # 5 m/s at 2 m is 5 * 5^0.16 at 10 m.
    wind = combined_wind(air(report(5.0, height_m=2.0)), AT)
    assert wind.gust_spread_m_s.value == pytest.approx(0.66 * 5.0 * 5.0**0.16)


def test_the_gust_of_the_freshest_report_counts() -> None:
    fresh, old = report(5.0, gust_m_s=7.0), report(9.0, gust_m_s=15.0, hours=3.0)
    assert combined_wind(air(old, fresh), AT).gust_spread_m_s.value == pytest.approx(2.0)


def test_a_wind_aloft_is_drawn_apart() -> None:
    calm = replace(air(report(0.5)), aloft=Estimate(value=1.5, sd=6.0, basis=Basis.ASSUMED))
    profile = combined_wind(calm, AT)
    zeros, two = np.zeros(2), np.full(2, 0.16)
    winds = member_winds(
        profile, np.array([10.0, 100.0]), speed_z=zeros, direction_z=zeros, exponent=two,
        aloft_z=np.array([1.0, -1.0]),
    )  # fmt: skip
    speeds = np.hypot(winds[:, 0], winds[:, 1])
    np.testing.assert_allclose(speeds, [[0.5, 7.5], [0.5, 0.0]], atol=1e-12)
    assert math.hypot(*profile_speed(profile, 100.0)) == pytest.approx(1.5)


def test_no_report_at_all() -> None:
    with pytest.raises(ValueError, match="no wind at all"):
        combined_wind(replace(air(report(1.0)), surface=None), AT)
