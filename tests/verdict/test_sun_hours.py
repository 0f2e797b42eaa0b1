"""When the sun stands in the pilot's eyes, over the day of an example."""

import math
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from homeleg.desk.check import limits_of
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.verdict.sun_hours import nearest_to_sun, sun_in_eyes

TERN_POINT = Path(__file__).parents[2] / "examples" / "tern-point" / "sortie.toml"


@pytest.fixture(scope="module")
def resolved() -> ResolvedSortie:
    return resolve(read_sortie(TERN_POINT).sortie)


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 6, 9, hour, minute, tzinfo=UTC)


def test_the_nearest_is_that_worked_by_hand(resolved: ResolvedSortie) -> None:
    # The sortie's case, by hand: sun 268 deg, 30 deg high at 17:00, nearest 37 deg.
    assert math.degrees(nearest_to_sun(resolved, at(17))) == pytest.approx(37.0, abs=2.0)


def test_by_night_there_is_no_sun_in_anybodys_eyes(resolved: ResolvedSortie) -> None:
    assert math.isnan(nearest_to_sun(resolved, at(0)))
    assert not sun_in_eyes(resolved, limits_of(resolved.sortie), [at(0)])[0]


def test_low_behind_the_far_legs_it_is_in_the_eyes(resolved: ResolvedSortie) -> None:
    # At 55 N in June the sun rises in the north-east, about 45 deg, and is at about 65 deg, 12 deg
    # high, two hours later (by hand, from declination 23 deg): behind the leg from D (80 deg) to E
    # (60 deg), 6 deg high, flown for 15 s. At noon it stands in the south, 58 deg high.
    limits = limits_of(resolved.sortie)
    early, noon, launch = sun_in_eyes(resolved, limits, [at(5, 40), at(12, 20), at(17)])
    assert early
    assert not noon
    assert not launch
    assert math.degrees(nearest_to_sun(resolved, at(5, 40))) < 10.0


def test_many_times_at_once_are_each_as_alone(resolved: ResolvedSortie) -> None:
    limits = limits_of(resolved.sortie)
    times = [at(hour) for hour in range(4, 22)]
    alone = [bool(sun_in_eyes(resolved, limits, [time])[0]) for time in times]
    assert np.array_equal(sun_in_eyes(resolved, limits, times), alone)
