"""What a pilot carries to the field, from flown sorties."""

from pathlib import Path

import numpy as np
import pytest

from homeleg.desk.check import check_sortie
from homeleg.flight import layout as c
from homeleg.flight.ensemble import fly
from homeleg.formats.limits_file import read_limits
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.verdict.commit_circle import CircleLimits, readings
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.result import CommitCircle, Status, Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"
SHORE = EXAMPLES / "tern-point" / "sortie.toml"


@pytest.fixture(scope="module")
def windy_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the shore in a wind that leaves too little over the ground, now and then."""
    folder = tmp_path_factory.mktemp("windy")
    stronger = ('"5.0 m/s from 225", gust = "6.5', '"6.3 m/s from 225", gust = "7.8')
    for file in SHORE.parent.iterdir():
        text = file.read_text("utf-8").replace(*stronger)
        (folder / file.name).write_text(text, "utf-8")
    return folder / "sortie.toml"


@pytest.fixture(scope="module")
def windy(windy_file: Path) -> Verdict:
    return check_sortie(windy_file, quick=True).verdict


def test_a_doubt_of_wind_alone_goes_to_the_circle(windy: Verdict) -> None:
    assert windy.word is Status.MARGINAL
    assert {reason.cause for reason in windy.reasons} == {"wind aloft"}
    assert windy.headline.startswith("MARGINAL, GO to the commit circle: ")


def test_circle_limits_hold_for_other_flights(windy_file: Path, windy: Verdict) -> None:
    # Other draws of the same sortie, each reading the circle with errors of its own: of those that
    # go on fewer than 1 in 10 keep less than the 5 m/s wanted on the route, or do not land.
    commit = windy.commit
    assert isinstance(commit, CommitCircle)
    resolved = resolve(read_sortie(windy_file).sortie)
    flown = fly(resolved, resolved.departures[0], 1024, 77)
    wind = np.hypot(*Evidence.of(flown, read_limits()).wind_at(commit.height_above_launch_m))
    airspeed = commit.true_airspeed_m_s * flown.members[:, c.AIRSPEED_FACTOR]
    errors = np.random.default_rng(78).normal(0.0, 0.5, (1024, 2))
    limits = CircleLimits(
        most_half_difference_m_s=commit.most_half_difference_m_s,
        least_mean_m_s=commit.least_mean_m_s,
        most_mean_m_s=commit.most_mean_m_s,
    )
    going_on = limits.passed(*readings(airspeed, wind, errors))
    missed = (flown.results[:, c.HEADWAY_PLACE] < 5.0) | ~flown.landed
    assert missed[going_on].mean() <= 0.1 < missed.mean()
    assert going_on.mean() > 0.5
