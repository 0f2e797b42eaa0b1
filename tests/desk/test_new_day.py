"""A new day: what is of today is asked again, nothing of the last one counts as seen now."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from homeleg.desk.new_day import NewDay, keep_new_day, new_day
from homeleg.desk.typed_number import FieldsError
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.sortie import Sortie

# The example's launch is on 9 June at 17:00Z, its answers of 16:40Z and 16:50Z.
NOW = datetime(2026, 6, 10, 10, 2, tzinfo=UTC)
MEASURED = {"speed": "6,5", "from": "240", "gust": "9", "pack": "16"}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = add_example(make_base(tmp_path / "base"), "tern-point")
    path.write_text(f"# Ours, and it stays.\n{path.read_text()}")
    return path


def right(asked: NewDay) -> dict[str, list[str]]:
    """Return an answer to each call that makes it good."""
    return {
        call.item: ["2" if one.unit else one.right[0] for one in call.calls] for call in asked.calls
    }


def kept(path: Path, said: dict[str, list[str]] | None = None, **typed: str) -> Sortie:
    asked = new_day(path, (), NOW)
    fields = {**asked.offered, **MEASURED, **typed}
    keep_new_day(path, asked, fields, right(asked) if said is None else said, "m/s", NOW)
    return read_sortie(path).sortie


def test_all_of_yesterday_is_asked_and_the_rest_named(path: Path) -> None:
    asked = new_day(path, (), NOW)
    items = [call.item for call in asked.calls]
    assert {"wing", "sense", "speed.pitot", "heading", "position", "walk"} <= set(items)
    assert {"airspace", "settings", "crew"} <= set(items)
    assert [one.item for one in asked.stand] == ["papers"]  # stand for a day, told 17 h ago
    assert "speed" not in asked.offered
    assert "pack" not in asked.offered
    assert asked.offered["launch"] == "10:15"
    assert asked.wind == "5.0 m/s"


def test_the_same_evening_nothing_is_asked_twice(path: Path) -> None:
    asked = new_day(path, (), datetime(2026, 6, 9, 17, 10, tzinfo=UTC))
    assert asked.calls == ()


def test_an_answer_of_last_night_is_one_of_another_day(path: Path) -> None:
    # Told at 22:00Z, asked at 08:00Z: ten hours, which an answer of its day would outlive.
    path.write_text(path.read_text().replace("2026-06-09 16:", "2026-06-09 22:"))
    path.write_text(path.read_text().replace("2026-06-09 17:00Z", "2026-06-09 23:00Z"))
    morning = datetime(2026, 6, 10, 8, 0, tzinfo=UTC)
    assert "walk" in [call.item for call in new_day(path, (), morning).calls]


def test_one_save_makes_it_of_today(path: Path) -> None:
    sortie = kept(path)
    wind, told = sortie.weather.surface, {one.item: one for one in sortie.told}
    assert wind is not None
    assert (wind.speed_m_s.value, wind.gust_m_s, wind.seen) == (6.5, 9.0, NOW)
    assert wind.height_agl_m == 10.0  # as the last time, in sight
    assert sortie.pack.temperature_k is not None
    assert sortie.pack.temperature_k.value == pytest.approx(273.15 + 16.0)
    assert sortie.launch_time == datetime(2026, 6, 10, 10, 15, tzinfo=UTC)
    assert {told[item].good for item in ("wing", "sense", "pitot", "walk", "crew")} == {True}
    assert told["heading"].seen == NOW
    assert told["papers"].seen == datetime(2026, 6, 9, 16, 40, tzinfo=UTC)
    assert path.read_text().startswith("# Ours, and it stays.\n")
    # All is made: asked again, nothing is open but what comes after the release.
    assert new_day(path, (), NOW + timedelta(minutes=1)).calls == ()


def test_what_is_left_out_is_open_whatever_it_said_before(path: Path) -> None:
    told = {one.item for one in kept(path, said={}).told}
    assert not told & {"wing", "sense", "pitot", "heading", "position", "walk", "crew"}
    assert "papers" in told


def test_one_wrong_answer_is_enough(path: Path) -> None:
    said = {"sense": ["", "DOWN", "", ""], "wing": ["ALL", "", "", ""]}
    told = {one.item: one.good for one in kept(path, said=said).told}
    assert told["sense"] is False
    assert "wing" not in told


def test_an_answer_that_is_none_of_the_boxes_counts_as_none(path: Path) -> None:
    assert "crew" not in {one.item for one in kept(path, said={"crew": ["SURELY"]}).told}


def test_reports_of_another_day_go(path: Path) -> None:
    line = 'metar = "METAR XXXX 091650Z 25012KT 8000 FEW030 14/08 Q1016"\n'
    path.write_text(path.read_text().replace("[weather]\n", f"[weather]\n{line}"))
    sortie = kept(path, visibility="6", cloud="700")
    assert "METAR" not in path.read_text()
    assert len(sortie.weather.reports) == 1
    assert sortie.weather.visibility_m == 6000.0
    assert sortie.weather.cloud_base_above_launch_m == 700.0


def test_a_figure_that_is_far_off_is_kept_as_it_is(path: Path) -> None:
    asked = new_day(path, (), NOW)
    kept(path, said={**right(asked), "heading": ["-25"]})
    assert '"-25 deg"' in path.read_text()


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"speed": ""}, "speed"),
        ({"speed": "calm"}, "speed"),
        ({"from": "370"}, "from"),
        ({"gust": "4"}, "gust"),
        ({"pack": ""}, "pack"),
        ({"pack": "99"}, "pack"),
        ({"charged": "0"}, "charged"),
        ({"temperature": "x"}, "temperature"),
        ({"visibility": "-1"}, "visibility"),
        ({"launch": "noon"}, "launch"),
        ({"launch": ""}, "launch"),
    ],
)
def test_a_slip_is_told_at_its_field_and_nothing_is_kept(
    path: Path, typed: dict[str, str], field: str
) -> None:
    before = path.read_bytes()
    with pytest.raises(FieldsError) as refused:
        kept(path, None, **typed)
    assert list(refused.value.wrong) == [field]
    assert path.read_bytes() == before


def test_a_figure_that_is_none_is_told_at_its_call(path: Path) -> None:
    before = path.read_bytes()
    with pytest.raises(FieldsError) as refused:
        kept(path, said={"heading": ["north"]})
    assert list(refused.value.wrong) == ["heading-0"]
    assert path.read_bytes() == before


def test_a_launch_that_has_passed_is_soon(path: Path) -> None:
    assert kept(path, launch="10:00").launch_time == NOW + timedelta(minutes=10)
