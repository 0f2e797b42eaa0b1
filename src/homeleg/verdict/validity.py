"""Until when a verdict holds: the wind's spread grows with its age, the sun goes on to set.

Nothing is flown again. A row's distance from its middle to its reading grows with the share of its
variance that the wind's speed explains, and a later launch leaves as much less daylight; the first
row to reach the limit that keeps its status gives the time.
"""

from datetime import datetime, timedelta

import numpy as np

from homeleg.verdict.limits import Reading, RowKind
from homeleg.verdict.result import Row
from homeleg.world.wind import AGEING_M_S_PER_ROOT_HOUR

__all__ = ["valid_until"]

# However wide the wind already is, nobody launches on one this old. Ours.
_LONGEST = timedelta(hours=3)
_WHOLE = timedelta(minutes=5)
_DAYLIGHT = "sight.daylight"
_MINUTES_PER_HOUR = 60.0


def valid_until(rows: tuple[Row, ...], wind_speed_sd_m_s: float, launch: datetime) -> datetime:
    """Return the latest launch at which ageing wind and daylight leave every row its status."""
    hours = [
        _light_left_h(row) if row.limit.slug == _DAYLIGHT else _hours_left(row, wind_speed_sd_m_s)
        for row in rows
        if row.limit.kind is not RowKind.NOTED and row.limit.reading is Reading.ADVERSE
    ]
    longest = min([timedelta(hours=left) for left in hours], default=_LONGEST)
    return launch + (min(longest, _LONGEST) // _WHOLE) * _WHOLE


def _light_left_h(row: Row) -> float:
    """Return how much later may be launched before the daylight row, in minutes, fails [h]."""
    if row.reading is None or row.bound is None:
        return _LONGEST.total_seconds() / 3600.0
    return max(row.reading - row.bound, 0.0) / _MINUTES_PER_HOUR


def _hours_left(row: Row, wind_speed_sd_m_s: float) -> float:
    """Return how much older the wind may get before the row's reading reaches its bound [h]."""
    bound = row.bound
    longest_h = _LONGEST.total_seconds() / 3600.0
    if row.value is None or row.reading is None or bound is None or row.wind_share <= 0.0:
        return longest_h
    now = row.reading - row.value.p50
    if now == 0.0:
        return longest_h
    factor = (bound - row.value.p50) / now
    if factor <= 1.0:
        return 0.0
    variance_ratio = (factor**2 - 1.0 + row.wind_share) / row.wind_share
    added = (variance_ratio - 1.0) * wind_speed_sd_m_s**2
    return float(np.clip(added / AGEING_M_S_PER_ROOT_HOUR**2, 0.0, longest_h))
