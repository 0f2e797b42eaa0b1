"""The come-home ribbon: charge left and charge needed, against hand figures and the rows."""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest

from homeleg.desk.check import CheckResult
from homeleg.verdict.result import Percentiles, Ribbon, Verdict

Checked = Callable[[str], CheckResult]
NAMES = ("tern-point", "corrie-spur", "mesa-alta")


def ribbon_of(verdict: Verdict) -> Ribbon:
    assert verdict.ribbon is not None
    return verdict.ribbon


def at(ribbon: Ribbon, band: tuple[Percentiles, ...], time_s: float) -> float:
    """Return the middle of a band at a time."""
    return float(np.interp(time_s, ribbon.times_s, [one.p50 for one in band]))


def end_of(ribbon: Ribbon, name: str) -> float:
    return next(block.end_s for block in ribbon.legs if block.name == name)


@pytest.mark.parametrize("name", NAMES)
def test_blocks_fill_the_clock(checked: Checked, name: str) -> None:
    ribbon = ribbon_of(checked(name).verdict)
    assert ribbon.legs[0].start_s == ribbon.times_s[0] == 0.0
    assert ribbon.legs[-1].end_s == pytest.approx(ribbon.times_s[-1])
    assert all(one.end_s == two.start_s for one, two in pairwise(ribbon.legs))
    assert all(one < two for one, two in pairwise(ribbon.times_s))
    assert [ribbon.legs[0].name, ribbon.legs[-1].name] == ["launch", "landing"]


@pytest.mark.parametrize("name", NAMES)
def test_it_ends_at_touchdown_with_what_the_flight_lands_with(checked: Checked, name: str) -> None:
    verdict = checked(name).verdict
    ribbon = ribbon_of(verdict)
    last, landing = ribbon.left_fraction[-1], verdict.flight.landing_charge_fraction
    # 64 of the 1,024 flights.
    for ours, all_of_them in ((last.p10, landing.p10), (last.p50, landing.p50)):
        assert ours == pytest.approx(all_of_them, abs=0.01)
    # Between two of the seconds looked at the need runs straight on: a tenth of a point at most.
    assert ribbon.needed_fraction[-1].p90 == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize("name", NAMES)
def test_the_narrowest_place_is_the_row_of_charge(checked: Checked, name: str) -> None:
    verdict = checked(name).verdict
    reading = next(one.reading for one in verdict.rows if one.limit.slug == "home.charge")
    assert reading is not None
    # The row is read from more flights and from the worst of many more seconds.
    assert 100.0 * ribbon_of(verdict).narrowest.margin_fraction == pytest.approx(reading, abs=2.0)


def test_usable_charge_is_that_of_the_pack(checked: Checked) -> None:
    # Hand: 10 Ah, 92 % usable, 97 % of new: 8.92 Ah; nominal 3.7 V a cell, four cells. The middle
    # flight lies within a tenth of a standard deviation of 3 % or so.
    ribbon = ribbon_of(checked("tern-point").verdict)
    assert ribbon.usable_ah == pytest.approx(8.924, rel=0.01)
    assert ribbon.usable_wh == pytest.approx(8.924 * 14.8, rel=0.01)
    assert ribbon.want_fraction == 0.15


class TestDownWindFirst:
    """Hand, of 136 Wh: 27.1 used when the work is done; the way back 50.9, the approach 3.5."""

    @pytest.fixture
    def ribbon(self, checked: Checked) -> Ribbon:
        return ribbon_of(checked("skarv-moor").verdict)

    def test_left_when_the_work_is_done(self, ribbon: Ribbon) -> None:
        done_s = end_of(ribbon, "work")
        assert at(ribbon, ribbon.left_fraction, done_s) == pytest.approx(109.1 / 136.0, abs=0.05)

    def test_needed_when_the_work_is_done(self, ribbon: Ribbon) -> None:
        done_s = end_of(ribbon, "work")
        needed = at(ribbon, ribbon.needed_fraction, done_s)
        assert needed == pytest.approx((50.9 + 3.5) / 136.0, abs=0.05)

    def test_the_need_halves_half_way_back(self, ribbon: Ribbon) -> None:
        start_s, end_s = end_of(ribbon, "work"), end_of(ribbon, "work to return")
        half = at(ribbon, ribbon.needed_fraction, 0.5 * (start_s + end_s))
        assert half == pytest.approx((0.5 * 50.9 + 3.5) / 136.0, abs=0.05)

    def test_the_channel_is_shut(self, ribbon: Ribbon) -> None:
        # Hand: one in ten does not come home, or with 4 % at most.
        assert ribbon.narrowest.margin_fraction == pytest.approx(0.04, abs=0.05)
