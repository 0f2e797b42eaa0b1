"""How a row gets its status: readings, margins, events, intervals. Figures by hand."""

import numpy as np
import pytest

from homeleg.verdict.judging import as_printed, judge_event, judge_values, percentiles, wilson
from homeleg.verdict.limits import Limit, Question, Reading, RowKind, Sense
from homeleg.verdict.result import Status

# 1 to 11: tenth percentile 2, median 6, ninetieth 10.
LADDER = np.arange(1.0, 12.0)


def limit(
    sense: Sense,
    reading: Reading,
    want: float | None,
    hard: float | None,
    physical: float | None = None,
    kind: RowKind = RowKind.FLOWN,
) -> Limit:
    return Limit(
        slug="test.row",
        question=Question.SPEED,
        title="Test",
        kind=kind,
        unit="m/s",
        sense=sense,
        reading=reading,
        want=want,
        hard=hard,
        physical=physical,
        extra={},
        source="by hand",
    )


def status(of: Limit, values: np.ndarray[tuple[int], np.dtype[np.float64]] = LADDER) -> Status:
    return judge_values(of, values, cause="").status


def test_percentiles() -> None:
    spread = percentiles(LADDER)
    assert (spread.p10, spread.p50, spread.p90) == (2.0, 6.0, 10.0)


@pytest.mark.parametrize(
    ("sense", "want", "hard", "expected"),
    [
        (Sense.AT_LEAST, 2.0, 1.0, Status.GO),
        (Sense.AT_LEAST, 3.0, 2.0, Status.MARGINAL),
        (Sense.AT_LEAST, 4.0, 3.0, Status.NO_GO),
        (Sense.AT_MOST, 10.0, 12.0, Status.GO),
        (Sense.AT_MOST, 9.0, 10.0, Status.MARGINAL),
        (Sense.AT_MOST, 8.0, 9.0, Status.NO_GO),
    ],
)
def test_adverse_reads_the_bad_tail(
    sense: Sense, want: float, hard: float, expected: Status
) -> None:
    assert status(limit(sense, Reading.ADVERSE, want, hard)) is expected


def test_a_margin_is_read_in_the_middle_and_its_physical_limit_adverse() -> None:
    assert status(limit(Sense.AT_LEAST, Reading.MEDIAN, 6.0, 5.0, physical=2.0)) is Status.GO
    assert status(limit(Sense.AT_LEAST, Reading.MEDIAN, 6.0, 5.0, physical=2.1)) is Status.NO_GO


def test_both_reads_want_adverse_and_hard_in_the_middle() -> None:
    assert status(limit(Sense.AT_LEAST, Reading.BOTH, 2.0, 6.0)) is Status.GO
    assert status(limit(Sense.AT_LEAST, Reading.BOTH, 3.0, 6.0)) is Status.MARGINAL
    assert status(limit(Sense.AT_LEAST, Reading.BOTH, 2.0, 7.0)) is Status.NO_GO


def test_noted_never_counts() -> None:
    noted = limit(Sense.AT_LEAST, Reading.MEDIAN, 20.0, None, kind=RowKind.NOTED)
    assert status(noted) is Status.GO


def test_equal_at_the_printed_precision_meets_the_limit() -> None:
    assert as_printed(4.96, "m/s") == 5.0
    assert status(limit(Sense.AT_LEAST, Reading.MEDIAN, 5.0, 3.0), np.full(5, 4.96)) is Status.GO
    low = status(limit(Sense.AT_LEAST, Reading.MEDIAN, 5.0, 3.0), np.full(5, 4.94))
    assert low is Status.MARGINAL


# E. B. Wilson 1927, by hand with z = 1.2816: z^2 = 1.6424.
# 0 of 200: upper end z^2 / (n + z^2) = 1.6424 / 201.6424 = 0.008145, clear of 1 %.
# 10 of 100: centre (0.1 + 0.008212) / 1.016424 = 0.10646, half width
# 1.2816 / 1.016424 * sqrt(0.0009 + 0.00004106) = 0.03868.
def test_wilson_interval() -> None:
    assert wilson(0, 200).high == pytest.approx(0.008145, abs=5e-7)
    assert wilson(0, 200).low == pytest.approx(0.0, abs=1e-12)
    share = wilson(10, 100)
    assert share.low == pytest.approx(0.0678, abs=5e-5)
    assert share.high == pytest.approx(0.1451, abs=5e-5)


def test_an_event_in_more_than_one_flight_in_a_hundred_is_no_go() -> None:
    row = judge_values(limit(Sense.AT_LEAST, Reading.ADVERSE, 1.0, 0.5), LADDER, cause="")
    assert judge_event(row, 1, 100, "did it") is row
    worse = judge_event(row, 2, 100, "did it")
    assert worse.status is Status.NO_GO
    assert worse.note == "2 of 100 computed flights did it"


def test_shortfall_is_nothing_at_want_and_one_at_hard() -> None:
    at_want = judge_values(limit(Sense.AT_LEAST, Reading.ADVERSE, 2.0, 1.0), LADDER, cause="")
    at_hard = judge_values(limit(Sense.AT_LEAST, Reading.ADVERSE, 3.0, 2.0), LADDER, cause="")
    assert at_want.shortfall == pytest.approx(0.0)
    assert at_hard.shortfall == pytest.approx(1.0)


def test_flights_that_are_the_first_of_more_are_called_so() -> None:
    row = judge_values(limit(Sense.AT_LEAST, Reading.ADVERSE, 1.0, 0.5), LADDER, cause="")
    few = judge_event(row, 364, 768, "touch the ground", drawn=2048)
    assert few.note == "364 of 768 computed flights (the first of 2,048) touch the ground"
    assert (
        judge_event(row, 30, 2048, "stall", drawn=2048).note == "30 of 2,048 computed flights stall"
    )
