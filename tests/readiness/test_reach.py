"""The steps of reach and the expiry of told items."""

from datetime import UTC, datetime, timedelta

import pytest

from homeleg.readiness.reach import earned_reach
from homeleg.readiness.told import TOLD_ITEMS, ToldAnswer, is_open

NOW = datetime(2026, 6, 9, 17, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("flights", "energies_inside", "place_moved", "step", "limit_m"),
    [
        (0, 0, False, 0, 200.0),
        (1, 2, False, 0, 200.0),
        (2, 0, False, 1, 400.0),
        (3, 0, False, 2, 961.0),
        (5, 1, False, 2, 961.0),
        (5, 2, False, 3, None),
        (50, 2, True, 1, 400.0),
    ],
)
def test_steps(
    flights: int, energies_inside: int, *, place_moved: bool, step: int, limit_m: float | None
) -> None:
    reach = earned_reach(
        flights=flights,
        energies_inside=energies_inside,
        place_moved=place_moved,
        sight_limit_m=961.0,
    )
    assert (reach.step, reach.limit_m) == (step, limit_m)
    assert reach.only_by_pilot is (step < 2)


def answer(item: str, seen: datetime | None) -> ToldAnswer:
    return ToldAnswer(item=item, good=True, numbers={}, seen=seen)


@pytest.mark.parametrize("item", TOLD_ITEMS, ids=lambda item: item.name)
def test_an_answer_stands_for_its_time_and_no_longer(item: object) -> None:
    told = next(one for one in TOLD_ITEMS if one is item)
    in_time = NOW - told.stands_for
    assert not is_open(told, answer(told.name, in_time), NOW)
    assert is_open(told, answer(told.name, in_time - timedelta(seconds=1)), NOW)


def test_no_answer_or_no_time_is_open() -> None:
    assert is_open(TOLD_ITEMS[0], None, NOW)
    assert is_open(TOLD_ITEMS[0], answer(TOLD_ITEMS[0].name, None), NOW)
