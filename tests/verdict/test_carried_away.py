"""Where the wind carries the aircraft away, the wind is named before what follows from it."""

import numpy as np
import pytest

from homeleg.formats.limits_file import read_limits
from homeleg.verdict.judge import deciding_row
from homeleg.verdict.judging import judge_event, judge_values
from homeleg.verdict.result import Row


def wind_row(carried_away: int) -> Row:
    """Return the row of wind aloft when so many of 256 flights meet more than their airspeed."""
    share = carried_away / 256
    row = judge_values(read_limits()["headway.wind_aloft"], np.full(1, share), cause="wind aloft")
    return judge_event(row, carried_away, 256, "meet a wind as strong as their airspeed")


@pytest.mark.parametrize(
    ("carried_away", "first"),
    # A tenth of 256 is 25.6: then the bad nine in ten is carried away.
    [(26, "headway.wind_aloft"), (25, "inside.boundary"), (0, "inside.boundary")],
)
def test_what_decides(carried_away: int, first: str) -> None:
    # 2,380 m outside a boundary whose want is 10 m and hard limit 0 m: far the greater shortfall.
    outside = judge_values(
        read_limits()["inside.boundary"], np.full(256, -2380.0), cause="boundary"
    )
    decides = deciding_row([outside, wind_row(carried_away)])
    assert decides is not None
    assert decides.limit.slug == first
