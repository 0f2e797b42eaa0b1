"""How a row gets its status: the reading of its distribution held against its limits."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.verdict.limits import Limit, Reading, RowKind, Sense
from homeleg.verdict.result import Percentiles, Row, Share, Status

Array = NDArray[np.float64]

__all__ = [
    "EVENT_SHARE",
    "are_beyond",
    "as_printed",
    "judge_event",
    "judge_values",
    "percentiles",
    "wilson",
]

# More flights than this share ending in the same event is a NO-GO.
EVENT_SHARE = 0.01
_WORST = (Status.GO, Status.MARGINAL, Status.NO_GO)
_DECIMALS = {
    "%": 0,
    "m/s": 1,
    "m": 1,
    "deg": 0,
    "V/cell": 2,
    "heights": 0,
    "degC": 0,
    "s": 1,
    "": 2,
    "% MAC": 1,
    "km": 1,
    "ft": 0,
    "min": 0,
    "dB": 1,
}


def as_printed(value: float, unit: str) -> float:
    """Return a value rounded as it is printed in its unit."""
    return round(value, _DECIMALS.get(unit, 2)) + 0.0


def percentiles(values: Array) -> Percentiles:
    """Return the figures that 1 in 10, half and 9 in 10 values stay below."""
    low, middle, high = np.percentile(values, [10.0, 50.0, 90.0])
    return Percentiles(p10=float(low), p50=float(middle), p90=float(high))


def wilson(count: int, of: int) -> Share:
    """Return a share with its Wilson interval, nine in ten on each side.

    E. B. Wilson, J. Am. Stat. Assoc. 22, 209 (1927). MEMORY of the reference, formula derived.
    """
    z2 = NINE_IN_TEN_Z**2
    share = count / of
    centre = (share + z2 / (2 * of)) / (1 + z2 / of)
    half = NINE_IN_TEN_Z / (1 + z2 / of) * np.sqrt(share * (1 - share) / of + z2 / (4 * of**2))
    return Share(
        value=share, low=float(max(centre - half, 0.0)), high=float(min(centre + half, 1.0))
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bounds:
    sense: Sense
    unit: str

    def beyond(self, reading: float, bound: float | None) -> bool:
        """Return whether a reading, as printed, is on the bad side of a bound."""
        if bound is None:
            return False
        reading, bound = as_printed(reading, self.unit), as_printed(bound, self.unit)
        return reading < bound if self.sense is Sense.AT_LEAST else reading > bound

    def status(self, reading: float, want: float | None, hard: float | None) -> Status:
        if self.beyond(reading, hard):
            return Status.NO_GO
        return Status.MARGINAL if self.beyond(reading, want) else Status.GO


def judge_values(
    limit: Limit,
    values: Array,
    *,
    want: float | None = None,
    hard: float | None = None,
    physical_values: Array | None = None,
    cause: str,
    act: str | None = None,
    note: str = "",
) -> Row:
    """Return the row of `values` (members,), in the limit's unit.

    `want` and `hard` replace the limit's own where they depend on the plan; `physical_values` are
    the values held against the physical limit when they are not the same.
    """
    want = limit.want if want is None else want
    hard = limit.hard if hard is None else hard
    bounds = _Bounds(sense=limit.sense, unit=limit.unit)
    spread = percentiles(values)
    adverse = _adverse(limit, values)
    reading = spread.p50
    if limit.reading in (Reading.ADVERSE, Reading.EVENT):
        reading = adverse
    status = bounds.status(reading, want, hard)
    if limit.reading is Reading.BOTH and not bounds.beyond(reading, hard):
        reading = adverse
        status = bounds.status(adverse, want, None)
    if limit.reading is Reading.MEDIAN and limit.physical is not None:
        bare = _adverse(limit, values if physical_values is None else physical_values)
        if bounds.beyond(bare, limit.physical):
            status, reading, hard = Status.NO_GO, bare, limit.physical
    if limit.kind is RowKind.NOTED:
        status = Status.GO
    return Row(
        limit=limit,
        status=status,
        value=spread,
        reading=reading,
        want=want,
        hard=hard,
        shortfall=_shortfall(reading, want, hard, limit.sense),
        share_beyond_hard=_share_beyond(values, hard, limit.sense),
        wind_share=0.0,
        where=None,
        cause=cause,
        act=act,
        note=note,
    )


def judge_event(row: Row, happened: int, of: int, words: str, *, drawn: int | None = None) -> Row:
    """Return `row`, or a NO-GO in its place when too many flights ended in its event.

    `drawn` is of how many those looked at are the first.
    """
    share = wilson(happened, of)
    if share.value <= EVENT_SHARE:
        return row
    first = f" (the first of {drawn:,})" if drawn is not None and of < drawn else ""
    return replace(
        row,
        status=Status.NO_GO,
        shortfall=max(row.shortfall, 1.0) + share.value,
        share_beyond_hard=share,
        note=f"{happened:,} of {of:,} computed flights{first} {words}",
    )


def are_beyond(values: Array, bound: float, sense: Sense) -> NDArray[np.bool_]:
    """Return which values are on the bad side of a bound."""
    return np.asarray(values < bound if sense is Sense.AT_LEAST else values > bound)


def _adverse(limit: Limit, values: Array) -> float:
    spread = percentiles(values)
    return spread.p10 if limit.sense is Sense.AT_LEAST else spread.p90


def _share_beyond(values: Array, hard: float | None, sense: Sense) -> Share | None:
    if hard is None:
        return None
    return wilson(int(np.count_nonzero(are_beyond(values, hard, sense))), values.size)


def _shortfall(reading: float, want: float | None, hard: float | None, sense: Sense) -> float:
    """Return 0 at the want limit and 1 at the hard one, more beyond it."""
    if want is None or hard is None:
        return 0.0
    missing = want - reading if sense is Sense.AT_LEAST else reading - want
    scale = abs(want - hard) or max(abs(want), 1.0)
    return missing / scale
