"""Until when a verdict holds: ageing wind and the setting sun, by hand."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from homeleg.formats.limits_file import read_limits
from homeleg.verdict.judging import judge_values
from homeleg.verdict.result import Percentiles, Row, Status
from homeleg.verdict.validity import valid_until

LAUNCH = datetime(2026, 6, 9, 17, 0, tzinfo=UTC)
LIMITS = read_limits()


def daylight(minutes: float) -> Row:
    return judge_values(LIMITS["sight.daylight"], np.full(20, minutes), cause="light")


@pytest.mark.parametrize(
    ("left_min", "status", "holds_min"),
    [
        (100.0, Status.GO, 70),  # 30 min wanted: 70 later and the row is MARGINAL
        (33.0, Status.GO, 0),  # in whole five minutes
        (20.0, Status.MARGINAL, 20),  # 0 min is its hard limit
        (600.0, Status.GO, 180),  # nobody launches on a wind three hours old
    ],
)
def test_it_ends_where_the_light_would_fail(
    left_min: float, status: Status, holds_min: int
) -> None:
    row = daylight(left_min)
    assert row.status is status
    assert valid_until((row,), 1.0, LAUNCH) - LAUNCH == timedelta(minutes=holds_min)


def test_the_wind_may_end_it_first() -> None:
    # All of the row's variance is the wind's, sd 1 m/s now. From 7 to 5.5 the spread below the
    # middle of 10 may grow 1.5 times: 1.25 (m/s)^2 more variance, at 1.44 an hour: 52 min, so 50.
    wind = replace(
        daylight(0.0),
        limit=LIMITS["headway.ground_speed"],
        status=Status.GO,
        value=Percentiles(p10=7.0, p50=10.0, p90=13.0),
        reading=7.0,
        want=5.5,
        hard=3.0,
        wind_share=1.0,
    )
    until = valid_until((wind, daylight(100.0)), 1.0, LAUNCH)
    assert until - LAUNCH == timedelta(minutes=50)
