"""The field's numbers in the same sortie: what is replaced, what is kept, what is refused."""

import hashlib
from datetime import UTC, datetime
from pathlib import Path

import pytest

from homeleg.desk.check import CheckResult
from homeleg.desk.recheck import recheck_sortie
from homeleg.formats.field_answers import FieldAnswers, refuse_bad_answers
from homeleg.formats.sortie_edit import edited_sortie
from homeleg.formats.sortie_file import sortie_from_text
from homeleg.formats.toml_text import TextFile
from homeleg.foundation.errors import InputFileError
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Status

SHORE = Path(__file__).parents[2] / "examples" / "tern-point"
NOW = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)


def edited(answers: FieldAnswers) -> Sortie:
    text = edited_sortie((SHORE / "sortie.toml").read_text("utf-8"), answers, NOW)
    return sortie_from_text(TextFile("sortie.toml", text, "0" * 64), SHORE).sortie


def test_a_new_wind_replaces_the_old_one_whole() -> None:
    wind = edited(FieldAnswers(wind="6 m/s from 250 at 3 m")).weather.surface
    assert wind is not None
    assert (wind.speed_m_s.value, wind.height_agl_m, wind.gust_m_s) == (6.0, 3.0, None)
    assert wind.seen == NOW
    # By hand: 10 % and 0.3 m/s; the 10 deg of the file were those of another instrument.
    assert wind.speed_m_s.sd == pytest.approx(0.9)
    assert wind.from_true_rad.sd == pytest.approx(0.2618, abs=1e-4)


def test_a_wind_without_height_was_held_in_the_hand() -> None:
    sortie = edited(FieldAnswers(wind="6 m/s from 250", gust="9 m/s"))
    assert sortie.weather.surface is not None
    assert sortie.weather.surface.height_agl_m == 2.0
    assert sortie.weather.surface.gust_m_s == 9.0
    # How wind grows with height is the air's, not the instrument's.
    assert sortie.weather.exponent.value == 0.16


def test_a_gust_alone_keeps_the_wind() -> None:
    wind = edited(FieldAnswers(gust="7 m/s")).weather.surface
    assert wind is not None
    assert (wind.speed_m_s.value, wind.gust_m_s, wind.height_agl_m) == (5.0, 7.0, 10.0)


def test_from_another_place_what_was_looked_at_here_is_asked_again() -> None:
    before = {answer.item for answer in edited(FieldAnswers()).told}
    moved = edited(FieldAnswers(launch_here=("54.99", "-5.01"), elevation="35 m AMSL"))
    after = {answer.item for answer in moved.told}
    assert before - after == {"position", "walk", "airspace"}


def test_a_slip_is_told_beside_the_wind_of_long_ago() -> None:
    later = datetime(2026, 6, 11, 12, 0, tzinfo=UTC)
    with pytest.raises(InputFileError) as caught:
        recheck_sortie(SHORE / "sortie.toml", FieldAnswers(pack_temperature="8"), now=later)
    told = [problem.where for problem in caught.value.problems]
    assert len(told) == 2
    assert told[0] == "--wind"
    assert "pack" in told[1]


def test_a_launch_now_on_the_wind_of_long_ago_is_refused() -> None:
    later = datetime(2026, 6, 11, 9, 0, tzinfo=UTC)
    with pytest.raises(InputFileError, match=r"--wind: .* seen 2026-06-09 16:45Z"):
        recheck_sortie(SHORE / "sortie.toml", FieldAnswers(), now=later)


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        (FieldAnswers(wind="6 from 250"), '--wind: "6" has no unit'),
        (FieldAnswers(wind="6 m/s"), "--wind: .* where the wind blows from"),
        (FieldAnswers(wind="6 m/s from 250 at 2"), '--wind: "2" has no unit'),
        (FieldAnswers(wind="90 m/s from 250"), "--wind: .* outside what"),
        (FieldAnswers(wind="6 m/s from 250", gust="5 m/s"), "--gust: a gust of 5.0 m/s is below"),
        (FieldAnswers(pack_temperature="8"), '--pack-temperature: "8" has no unit'),
    ],
)
def test_refused_under_the_option_that_gave_it(answers: FieldAnswers, words: str) -> None:
    with pytest.raises(InputFileError, match=words) as error:
        refuse_bad_answers(answers)
    assert len(error.value.problems) == 1


def test_all_problems_together() -> None:
    with pytest.raises(InputFileError) as error:
        refuse_bad_answers(FieldAnswers(wind="6 from 250", gust="x", pack_temperature="8"))
    assert [problem.where for problem in error.value.problems] == [
        "--wind",
        "--gust",
        "--pack-temperature",
    ]


def recheck(answers: FieldAnswers, now: datetime = NOW) -> CheckResult:
    return recheck_sortie(SHORE / "sortie.toml", answers, now=now, members=64, quick=True)


def test_the_file_stays_and_the_answer_says_what_changed() -> None:
    before = hashlib.sha256((SHORE / "sortie.toml").read_bytes()).hexdigest()
    result = recheck(FieldAnswers(wind="5 m/s from 45 at 10 m", pack_temperature="8 degC"))
    assert hashlib.sha256((SHORE / "sortie.toml").read_bytes()).hexdigest() == before
    assert result.sources[0] == ("sortie.toml", before)
    assert result.verdict.word is Status.NO_GO
    assert [(one.what, one.in_file, one.now) for one in result.changes] == [
        (
            "wind",
            "5.0 m/s gusting 6.5 from 225 at 10 m, seen 16:45Z",
            "5.0 m/s from 045 at 10 m, seen 16:55Z",
        ),
        ("pack temperature", "18 degC", "8 degC"),
    ]


def test_a_late_pilot_launches_now() -> None:
    late = datetime(2026, 6, 9, 17, 20, tzinfo=UTC)
    result = recheck(FieldAnswers(), now=late)
    assert result.sortie.launch_time == late
    assert [one.what for one in result.changes] == ["launch"]
