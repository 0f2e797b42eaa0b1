"""The wind window: its grid, its air, what closes a direction, how it is stopped."""

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from homeleg.desk.check import check_sortie, limits_of
from homeleg.desk.wind_window import with_wind_window
from homeleg.formats.limits_file import read_limits
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.sortie import Sortie
from homeleg.verdict import wind_window as module
from homeleg.verdict.judging import judge_event, judge_values
from homeleg.verdict.limits import Question
from homeleg.verdict.result import Row, Status, WindWindow
from homeleg.verdict.wind_window import wind_window, window_speeds, with_surface_wind

SHORE = Path(__file__).parents[2] / "examples" / "tern-point" / "sortie.toml"


@pytest.mark.parametrize(
    ("cruise", "step"),
    # 0.6 x 15.5 / 8 = 1.16, 0.6 x 20 / 8 = 1.5, 0.6 x 3 / 8 = 0.2: to the nearest half, not zero.
    [(15.5, 1.0), (20.0, 1.5), (3.0, 0.5)],
)
def test_eight_even_speeds(cruise: float, step: float) -> None:
    assert window_speeds(cruise) == pytest.approx(step * np.arange(1, 9))


@pytest.fixture(scope="module")
def shore() -> Sortie:
    return read_sortie(SHORE).sortie


def test_the_air_of_a_point(shore: Sortie) -> None:
    # 5.0 gusting 6.5 was told, so 2.0 gusts 2.6; spread, height and age are those of the report.
    told = shore.weather.surface
    layer = replace(shore.weather.reports[0], height_agl_m=100.0)
    windy = with_surface_wind(replace(shore.weather, layers=(layer,)), 2.0, math.pi)
    assert told is not None
    assert windy.surface is not None
    assert windy.layers == ()
    assert windy.surface.speed_m_s.value == 2.0
    assert windy.surface.gust_m_s == pytest.approx(2.6)
    assert windy.surface.from_true_rad.value == math.pi
    assert (windy.surface.speed_m_s.sd, windy.surface.height_agl_m, windy.surface.seen) == (
        told.speed_m_s.sd,
        told.height_agl_m,
        told.seen,
    )


def row(slug: str, reading: float, cause: str) -> Row:
    return judge_values(read_limits()[slug], np.full(20, reading), cause=cause)


@pytest.fixture
def window(monkeypatch: pytest.MonkeyPatch, shore: Sortie) -> Callable[..., WindWindow]:
    """Return a window over rows made by hand for each wind."""

    def made(decide: Callable[[float, float], Row | None], **options: Any) -> WindWindow:
        def deciding(sortie: Sortie, *_: object) -> Row | None:
            wind = sortie.weather.surface
            assert wind is not None
            return decide(math.degrees(wind.from_true_rad.value), wind.speed_m_s.value)

        monkeypatch.setattr(module, "_deciding", deciding)
        monkeypatch.setattr(module, "fly", lambda *_: None)
        monkeypatch.setattr(module, "tight_shares", lambda *_: np.zeros(8))
        verdict: Any = SimpleNamespace(rows=())
        return wind_window(shore, verdict, limits_of(shore), **options)

    return made


def test_a_direction_closed_by_the_wind_stays_closed(window: Callable[..., WindWindow]) -> None:
    asked = []

    def decide(from_deg: float, speed: float) -> Row | None:
        asked.append((from_deg, speed))
        if speed < 3.0:
            return None
        return row("headway.ground_speed", 4.0 if speed < 5.0 else 2.0, "wind aloft")

    found = window(decide)
    assert len(found.points) == 16 * 8
    north = [point for point in found.points if point.from_true_rad == 0.0]
    assert [point.status for point in north] == [
        *[Status.GO] * 2,
        *[Status.MARGINAL] * 2,
        *[Status.NO_GO] * 4,
    ]
    assert [point.question for point in north] == [*[None] * 2, *[Question.HEADWAY] * 6]
    assert len(asked) == 16 * 5


def test_what_more_wind_may_mend_is_asked_again(window: Callable[..., WindWindow]) -> None:
    def decide(_: float, speed: float) -> Row | None:
        return row("in.distance", 150.0, "strip") if speed < 4.0 else None

    north = [point.status for point in window(decide).points[:8]]
    assert north == [*[Status.NO_GO] * 3, *[Status.GO] * 5]


def test_a_gust_at_release_closes_no_stronger_wind(window: Callable[..., WindWindow]) -> None:
    def decide(_: float, speed: float) -> Row | None:
        return row("away.speed", 0.1, "gust") if speed < 2.0 else None

    north = [point.status for point in window(decide).points[:8]]
    assert north == [Status.NO_GO, *[Status.GO] * 7]


@pytest.mark.parametrize(
    ("lost", "status"),
    # Wilson, z = 1.2816: of 32 flights 1 is 0.9 to 9.8 in 100, on both sides of the limit of one in
    # a hundred; 2 are 2.6 to 14.
    [(0, Status.GO), (1, Status.MARGINAL), (2, Status.NO_GO)],
)
def test_one_flight_of_few_leaves_it_open(lost: int, status: Status) -> None:
    judged = judge_event(row("away.speed", 1.2, "gust"), lost, 32, "touch the ground")
    assert module._as_far_as_known(judged).status is status


def test_it_tells_how_far_and_can_be_stopped(window: Callable[..., WindWindow]) -> None:
    heard: list[float] = []

    def stop_half_way(share: float) -> None:
        heard.append(share)
        if share >= 0.5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        window(lambda *_: None, progress=stop_half_way)
    assert heard == [number / 128 for number in range(1, 65)]


@pytest.mark.slow
def test_the_window_of_the_shore() -> None:
    # The strip is used along 225 alone: from behind it nothing goes. Into it 5 m/s is GO, as
    # checked; 8 m/s at 10 m is 11.3 at 85 m, and 15.5 less that, 9 in 10, below 3 m/s.
    result = with_wind_window(check_sortie(SHORE, quick=True))
    window = result.verdict.wind_window
    assert window is not None
    assert window.members == 32
    points = {
        (math.degrees(point.from_true_rad), point.speed_m_s): point for point in window.points
    }
    assert all(points[45.0, speed].status is Status.NO_GO for speed in range(2, 9))
    assert points[45.0, 5.0].question in (Question.AWAY, Question.IN)
    assert points[225.0, 5.0].status is Status.GO
    assert points[225.0, 8.0].question is Question.HEADWAY
    assert points[225.0, 8.0].status is not Status.GO
