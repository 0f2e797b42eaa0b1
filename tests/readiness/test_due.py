"""What is due, with every count and date worked out by hand."""

from datetime import date, timedelta

import pytest

from homeleg.readiness.due import day_after_months, maintenance_due, open_defects, papers_held
from homeleg.readiness.entries import (
    Defect,
    Deferral,
    Done,
    Entry,
    Maintenance,
    Paper,
    PaperKind,
    Withdrawal,
)
from tests.readiness.held import START, entry, flight, held

NOW = START + timedelta(days=30)  # 2026-07-09 12:00Z


def work(
    flights: int | None = None, minutes: float | None = None, months: int | None = None
) -> Entry:
    return entry(
        Maintenance(
            aircraft="petrel",
            task="change the servo horns",
            every_flights=flights,
            every_s=None if minutes is None else 60.0 * minutes,
            every_months=months,
        ),
        0,
    )


def done(about: Entry, hours: float) -> Entry:
    return entry(Done(by="Kim", words=""), hours, about)


@pytest.mark.parametrize(("flown", "left", "is_due"), [(1, 1, False), (2, 0, True), (3, -1, True)])
def test_maintenance_by_flights(flown: int, left: int, is_due: bool) -> None:  # noqa: FBT001
    flights = [flight(hours) for hours in range(1, flown + 1)]
    [one] = maintenance_due(held(work(flights=2), *flights, flight(9, "heron")), NOW)
    assert (one.flights_left, one.is_due) == (left, is_due)


def test_maintenance_by_hours_counts_from_the_last_time() -> None:
    task = work(minutes=15)
    [one] = maintenance_due(held(task, flight(1), flight(2)), NOW)
    assert (one.left_s, one.is_due) == (-300.0, True)
    [one] = maintenance_due(held(task, flight(1), flight(2), done(task, 3), flight(4)), NOW)
    assert (one.left_s, one.is_due) == (300.0, False)


def test_maintenance_by_months_is_due_on_its_day() -> None:
    task = work(months=1)
    [one] = maintenance_due(held(task), NOW)
    assert (one.day, one.is_due) == (date(2026, 7, 9), True)
    [one] = maintenance_due(held(task), NOW - timedelta(days=1))
    assert one.is_due is False


@pytest.mark.parametrize(
    ("day", "months", "then"),
    [
        (date(2026, 1, 31), 1, date(2026, 2, 28)),
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2026, 12, 15), 1, date(2027, 1, 15)),
        (date(2026, 6, 9), 24, date(2028, 6, 9)),
    ],
)
def test_months_end_on_a_day_that_exists(day: date, months: int, then: date) -> None:
    assert day_after_months(day, months) == then


def crack(hours: float = 0.0) -> Entry:
    return entry(Defect(aircraft="petrel", words="crack in the tail boom", by="Kim"), hours)


def deferral(about: Entry, until: date | None = None, flights: int | None = None) -> Entry:
    limit = "no more than 10 minutes"
    thing = Deferral(by="Kim", until=until, flights=flights, limitation=limit)
    return entry(thing, 1, about)


def test_a_defect_is_open_until_it_is_put_right() -> None:
    found = crack()
    [one] = open_defects(held(found), NOW)
    assert (one.defect.words, one.deferral) == ("crack in the tail boom", None)
    assert open_defects(held(found, done(found, 2)), NOW) == ()


@pytest.mark.parametrize(
    ("until", "ended"), [(date(2026, 7, 8), True), (date(2026, 7, 9), False), (None, False)]
)
def test_a_deferral_ends_after_its_last_day(until: date | None, ended: bool) -> None:  # noqa: FBT001
    found = crack()
    [one] = open_defects(held(found, deferral(found, until)), NOW)
    assert one.deferral_ended is ended


@pytest.mark.parametrize(("flown", "ended"), [(1, False), (2, True)])
def test_a_deferral_ends_with_its_flights(flown: int, ended: bool) -> None:  # noqa: FBT001
    found = crack()
    before = flight(0.5)
    flights = [flight(hours) for hours in range(2, 2 + flown)]
    [one] = open_defects(held(found, before, deferral(found, flights=2), *flights), NOW)
    assert one.deferral_ended is ended


def test_what_is_said_of_a_withdrawn_defect_is_gone_with_it() -> None:
    found = crack()
    gone = entry(Withdrawal(by="Kim", reason="paint"), 2, found)
    assert held(found, deferral(found), gone) == ()


def paper(until: date | None, number: str = "12", hours: float = 0.0) -> Entry:
    kind = PaperKind.INSURANCE
    thing = Paper(kind=kind, holder="petrel", number=number, until=until, conditions=())
    return entry(thing, hours)


def test_a_paper_holds_through_its_last_day() -> None:
    [one] = papers_held(held(paper(date(2026, 7, 9))), NOW)
    assert (one.days_left, one.has_ended) == (0, False)
    [one] = papers_held(held(paper(date(2026, 7, 8))), NOW)
    assert (one.days_left, one.has_ended) == (-1, True)
    [one] = papers_held(held(paper(None)), NOW)
    assert (one.days_left, one.has_ended) == (None, False)


def test_a_renewed_paper_takes_the_place_of_the_old_one() -> None:
    old = paper(date(2026, 7, 1))
    [same_number] = papers_held(held(old, paper(date(2027, 7, 1), hours=1)), NOW)
    assert same_number.paper.until == date(2027, 7, 1)
    [new_number] = papers_held(held(old, paper(date(2027, 7, 1), "13", 1)), NOW)
    assert new_number.paper.number == "13"
    both_ended = papers_held(held(old, paper(date(2026, 7, 2), "13", 1)), NOW)
    assert [one.paper.number for one in both_ended] == ["12", "13"]
