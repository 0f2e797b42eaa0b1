"""Spans of a day, put together by hand."""

from datetime import UTC, datetime, timedelta

from homeleg.readiness.day import Bar, Holds, Span, common, long_enough, met


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 6, 9, hour, minute, tzinfo=UTC)


def span(begin: int, end: int) -> Span:
    return Span(at(begin), at(end))


def bar(begin: int, end: int, holds: Holds = Holds.MET) -> Bar:
    return Bar(span=span(begin, end), holds=holds)


def test_a_nuisance_or_a_closure_takes_its_hours_out() -> None:
    day = [bar(4, 21), bar(6, 8, Holds.NUISANCE), bar(10, 12, Holds.SHUT)]
    assert met(day) == (span(4, 6), span(8, 10), span(12, 21))


def test_bars_that_meet_are_one_and_a_gap_stays() -> None:
    assert met([bar(4, 6), bar(6, 9), bar(10, 11)]) == (span(4, 9), span(10, 11))


def test_bars_that_lie_over_each_other_are_one() -> None:
    assert met([bar(4, 9), bar(6, 12)]) == (span(4, 12),)


def test_nothing_is_met_where_there_is_no_bar() -> None:
    assert met([]) == ()
    assert met([bar(4, 6, Holds.SHUT)]) == ()


def test_what_all_rows_share() -> None:
    rows = ((span(4, 9), span(12, 20)), (span(8, 14),), (span(0, 13), span(13, 24 - 1)))
    assert common(*rows) == (span(8, 9), span(12, 13), span(13, 14))
    assert common((span(4, 9),), ()) == ()


def test_short_spans_are_left_out() -> None:
    spans = (span(4, 5), Span(at(6), at(6, 20)))
    assert long_enough(spans, timedelta(minutes=21)) == (span(4, 5),)
