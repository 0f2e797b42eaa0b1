"""When a flying day ends, by a rule and flights put together by hand."""

from datetime import UTC, datetime, time, timedelta

from homeleg.readiness.stop_rule import DayFlown, StopRule, day_flown, stop_reasons
from tests.readiness.held import START, flight, held

NOTHING = DayFlown(flights=0, flying_s=0.0)


def test_a_day_is_what_was_flown_since_the_last_night() -> None:
    book = held(flight(-20.0), flight(0.0, minutes=10), flight(1.0, "heron", minutes=20))
    flown = day_flown(book, START + timedelta(hours=2))
    assert (flown.flights, flown.flying_s) == (2, 1800.0)
    assert day_flown(book, START + timedelta(hours=9)) == NOTHING
    assert day_flown((), START) == NOTHING


def test_flying_past_midnight_is_one_day() -> None:
    # 12:00 and every five hours: 17:00, 22:00, 03:00.
    book = held(*(flight(hours) for hours in (0.0, 5.0, 10.0, 15.0)))
    assert day_flown(book, START + timedelta(hours=16)).flights == 4


def test_flights_yet_to_come_do_not_count() -> None:
    assert day_flown(held(flight(0.0), flight(3.0)), START + timedelta(hours=1)).flights == 1


def test_each_part_of_the_rule_stops_by_itself() -> None:
    at = datetime(2026, 6, 9, 18, 0, tzinfo=UTC)
    flown = DayFlown(flights=4, flying_s=5400.0)
    before = at - timedelta(minutes=1)
    assert stop_reasons(StopRule(), flown, at) == ()
    assert stop_reasons(StopRule(flights=5, flying_s=5401.0, until=time(18)), flown, before) == ()
    assert stop_reasons(StopRule(flights=4), flown, before) == ("4 flights flown, and you set 4",)
    assert stop_reasons(StopRule(flying_s=5400.0), flown, before) == (
        "90 min flown, and you set 90",
    )
    assert stop_reasons(StopRule(until=time(18)), NOTHING, at) == (
        "it is 18:00Z, and you set 18:00Z",
    )


def test_whether_it_is_set() -> None:
    assert not StopRule().is_set
    assert StopRule(until=time(0)).is_set
    assert StopRule(flights=1).is_set
