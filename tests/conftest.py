"""A verdict made by hand, for the tests of everything that shows one."""

import hashlib
import math
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any, Protocol

import pytest
from hypothesis import settings

from homeleg.desk.kernel_cache import use_kernel_cache
from homeleg.desk.plain import plain_of
from homeleg.formats.sortie_file import SortieFiles, read_sortie
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.readiness.told import TOLD_ITEMS, is_open
from homeleg.release.frozen import frozen_of
from homeleg.release.release import CarriedFile, Release, Stage
from homeleg.release.signing import Signature
from homeleg.route.geometry import LegKind
from homeleg.sortie.assumptions import Assumption
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.limits import Limit, Question, Reading, RowKind, Sense
from homeleg.verdict.result import (
    AircraftSummary,
    Answer,
    CommitCircle,
    Contribution,
    Contributions,
    Explained,
    FlightSummary,
    Gate,
    LegSummary,
    MeasureNext,
    Percentiles,
    Place,
    Reason,
    Row,
    Share,
    Status,
    ToDo,
    Verdict,
)
from homeleg.world.weather import Weather, WindReport, WindSource
from tests.published import Published

# How long an example takes is the machine's, not the code's.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
# Before any test imports numba: a kernel compiled from older sources is never used again.
use_kernel_cache()

LAUNCH = datetime(2026, 6, 9, 17, 0, tzinfo=UTC)


@pytest.fixture
def published(record_property: Callable[[str, object], None]) -> Published:
    """Return what asserts a published value and reports it with its source."""
    return Published(record_property)


class MakeVerdict(Protocol):
    def __call__(self, word: Status = ..., legs: int = ...) -> Verdict: ...


def _same(value: float) -> Percentiles:
    return Percentiles(p10=value, p50=value, p90=value)


def _limit(question: Question, slug: str, title: str, unit: str) -> Limit:
    return Limit(
        slug=slug,
        question=question,
        title=title,
        kind=RowKind.FLOWN,
        unit=unit,
        sense=Sense.AT_LEAST,
        reading=Reading.ADVERSE,
        want=None,
        hard=None,
        physical=None,
        extra={},
        source="our own",
    )


def _headway(status: Status) -> Row:
    return Row(
        limit=_limit(Question.HEADWAY, "headway.ground_speed", "Slowest over the ground", "m/s"),
        status=status,
        value=Percentiles(p10=2.1, p50=4.0, p90=5.9),
        reading=2.1,
        want=5.0,
        hard=3.0,
        shortfall=1.45,
        share_beyond_hard=Share(value=0.22, low=0.21, high=0.23),
        wind_share=0.0,
        where=Place(
            leg="B to launch point",
            time_s=1150.0,
            east_m=7000.0,
            north_m=0.0,
            height_above_launch_m=90.0,
        ),
        cause="wind aloft",
        act="Come home at 20.5 m/s. Costs 470 mAh on a middle day.",
        note="",
    )


def _reserve() -> Row:
    return Row(
        limit=_limit(Question.RESERVE, "reserve.charge", "Charge left at touchdown", "%"),
        status=Status.GO,
        value=Percentiles(p10=91.0, p50=92.0, p90=93.0),
        reading=91.0,
        want=20.0,
        hard=15.0,
        shortfall=-14.2,
        share_beyond_hard=None,
        wind_share=0.0,
        where=None,
        cause="charge",
        act=None,
        note="",
    )


def _leg(number: int) -> LegSummary:
    return LegSummary(
        start=f"P{number}",
        end=f"P{number + 1}",
        kind=LegKind.TRACK,
        ground_speed_m_s=Percentiles(p10=15.9, p50=17.3, p90=18.6),
        crab_rad=_same(math.radians(23.0)),
        time_s=_same(19.0),
        energy_j=_same(3600.0),
        clearance_m=Percentiles(p10=61.0, p50=70.0, p90=79.0),
    )


@pytest.fixture
def make_verdict() -> MakeVerdict:
    """Return a maker of verdicts: two rows, of which headway decides the word."""

    def make(word: Status = Status.NO_GO, legs: int = 8) -> Verdict:
        headway = _headway(word)
        reason = Reason(
            row="headway.ground_speed",
            title="Slowest over the ground",
            status=word,
            cause="wind aloft",
            value=2.1,
            unit="m/s",
            act="Come home at 20.5 m/s. Costs 470 mAh on a middle day.",
        )
        return Verdict(
            word=word,
            headline=f"{word.value}. Too slow on the way back: 2.1 m/s over the ground, want 5.",
            summary="Of 2,048 computed flights 1,761 landed with the reserve, 287 below it.",
            valid_until=None,
            provisional=False,
            reasons=() if word is Status.GO else (reason,),
            answers=(
                Answer(question=Question.RESERVE, status=Status.GO, row="reserve.charge"),
                Answer(question=Question.HEADWAY, status=word, row="headway.ground_speed"),
            ),
            rows=(_reserve(), headway),
            to_do=(ToDo(item="sense", ask="Move each surface and say which way it went."),),
            flight=FlightSummary(
                duration_s=_same(319.0),
                energy_j=_same(38_160.0),
                charge_used_ah=_same(0.745),
                landing_charge_fraction=Percentiles(p10=0.91, p50=0.92, p90=0.93),
                legs=tuple(_leg(number) for number in range(legs)),
            ),
            way_home=None,
            ribbon=None,
            aircraft=AircraftSummary(
                mass_kg=2.6,
                centre_of_gravity_fraction=0.285,
                envelope_fraction=(0.25, 0.32),
                static_margin_fraction=None,
                stall_speed_eas_m_s=8.87,
                cruise_eas_m_s=15.5,
                best_glide_speed_eas_m_s=10.6,
                best_glide_ratio=11.0,
                cruise_power_w=103.8,
                density_kg_m3=1.224,
                density_altitude_m=30.0,
            ),
            assumptions=(
                Assumption(
                    key="weather.temperature", value=287.15, sd=2.0, unit="K", basis="assumed"
                ),
            ),
            commit=CommitCircle(
                height_above_launch_m=90.0,
                true_airspeed_m_s=15.5,
                bank_rad=math.radians(20.0),
                turns=2,
                most_half_difference_m_s=8.4,
                least_mean_m_s=14.0,
                most_mean_m_s=17.0,
                duration_s=54.6,
                charge_ah=0.111,
                rows=("headway.ground_speed",),
                go_on=Share(value=0.873, low=0.86, high=0.88),
                missed_of_those=Share(value=0.05, low=0.04, high=0.06),
            ),
            gates=(
                Gate(
                    name="P3",
                    time_s=95.0,
                    latest_s=104.0,
                    ground_speed_m_s=(14.2, 19.9),
                    least_volts=15.31,
                    used_ah=0.251,
                    most_used_ah=1.456,
                ),
                Gate(
                    name="P4, orbit done",
                    time_s=195.0,
                    latest_s=204.0,
                    ground_speed_m_s=None,
                    least_volts=15.2,
                    used_ah=0.401,
                    most_used_ah=None,
                ),
            ),
            contributions=(
                Contributions(
                    row="headway.ground_speed",
                    r2=0.9,
                    explained=Explained.REGRESSION,
                    inputs=(Contribution(input="wind_speed", share=0.71),),
                ),
            ),
            measure_next=(
                MeasureNext(
                    input="wind_speed",
                    how="anemometer at launch",
                    minutes=3,
                    row="headway.ground_speed",
                    share=0.42,
                ),
            ),
            departure="leaves along 225 deg",
            endings=(("landed", 1972), ("ran out of charge", 76)),
            with_reserve=1972,
            members=2048,
            seed=1,
            maiden=None,
        )

    return make


@pytest.fixture
def maiden_verdict(make_verdict: MakeVerdict) -> Verdict:
    """Return the verdict on an aircraft that never flew, with its maiden flight."""
    return replace(make_verdict(Status.NO_GO), maiden=make_verdict(Status.GO))


@pytest.fixture
def weather() -> Weather:
    """Return a wind seen a quarter of an hour before the launch of these tests."""
    return Weather(
        surface=WindReport(
            source=WindSource.ANEMOMETER,
            speed_m_s=Estimate(value=5.0, sd=0.8, basis=Basis.DECLARED),
            from_true_rad=Estimate(
                value=math.radians(225.0), sd=math.radians(10.0), basis=Basis.DECLARED
            ),
            height_agl_m=10.0,
            gust_m_s=6.5,
            seen=datetime(2026, 6, 9, 16, 45, tzinfo=UTC),
        ),
        layers=(),
        exponent=Estimate(value=0.16, sd=0.03, basis=Basis.DECLARED),
        temperature_k=Estimate(value=287.15, sd=2.0, basis=Basis.DECLARED),
        pressure_pa=None,
        humidity_fraction=0.65,
        visibility_m=None,
        cloud_base_above_launch_m=None,
    )


@pytest.fixture
def told(files: SortieFiles, weather: Weather, launch_time: datetime) -> Sortie:
    """Return the sortie that a verdict made by hand is on, in the wind of these tests."""
    return replace(files.sortie, weather=weather, launch_time=launch_time)


@pytest.fixture
def launch_time() -> datetime:
    """Return the launch time of these tests."""
    return LAUNCH


TERN_POINT = Path(__file__).parent.parent / "examples" / "tern-point" / "sortie.toml"
RELEASED_AT = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)
RELEASED_UNTIL = datetime(2026, 6, 9, 17, 50, tzinfo=UTC)
KIM = Signature(name="Kim", role="pilot", read_back=True)


@pytest.fixture(scope="session")
def files() -> SortieFiles:
    return read_sortie(TERN_POINT)


@pytest.fixture
def make_release(files: SortieFiles, make_verdict: Any) -> Callable[..., Release]:
    def make(verdict: Verdict | None = None) -> Release:
        verdict = verdict or make_verdict(Status.GO)
        frozen = frozen_of(files.sortie, plain_of(files.sortie), verdict, (), RELEASED_UNTIL)
        return Release(
            stage=Stage.RELEASE,
            frozen=frozen,
            given_at=RELEASED_AT,
            signatures=(KIM,),
            override=None,
            answer={
                "schema": "homeleg/check/1",
                "headline": verdict.headline,
                "cautions": ["The pilot in command decides."],
                "to_do": [],
            },
            files=tuple(
                CarriedFile(
                    name=name, text=text.text, sha256=hashlib.sha256(text.text.encode()).hexdigest()
                )
                for name, text in files.texts
            ),
            folder=".",
        )

    return make


@pytest.fixture
def hand_made_check(monkeypatch: pytest.MonkeyPatch, make_verdict: MakeVerdict) -> None:
    """Put a verdict made by hand in place of the flown one wherever a release asks for it.

    Its told items are those that are open in the sortie; the tightest row reads 2.1 m/s.
    """

    from homeleg.desk.check import CheckResult  # noqa: PLC0415 (brings numba: its cache first)

    def check(files: SortieFiles, **_: Any) -> CheckResult:
        sortie = files.sortie
        names = {"pitot": "speed.pitot"}
        told = {names.get(answer.item, answer.item): answer for answer in sortie.told}
        verdict = replace(
            make_verdict(Status.GO),
            provisional=False,
            valid_until=sortie.launch_time + timedelta(minutes=70),
            to_do=tuple(
                ToDo(item=item.name, ask=item.ask)
                for item in TOLD_ITEMS
                if is_open(item, told.get(item.name), sortie.launch_time)
            ),
        )
        return CheckResult(verdict=verdict, sortie=sortie, sources=files.sources)

    monkeypatch.setattr("homeleg.desk.release.check_read_sortie", check)
