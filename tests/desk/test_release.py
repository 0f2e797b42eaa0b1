"""A sortie released, brought to the field as a plan, and flown again with the next pack."""

import json
import shutil
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import jsonschema
import pytest

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from homeleg.desk.logbook import enter, logbook_path
from homeleg.desk.release import (
    candidate,
    opened,
    release_path,
    sign,
    sortie_of_release,
    write_release,
)
from homeleg.formats.field_answers import FieldAnswers
from homeleg.formats.release_file import release_schema
from homeleg.formats.sortie_edit import edited_sortie
from homeleg.foundation.errors import InputFileError, RefusedError
from homeleg.logbook.store import Laptop
from homeleg.readiness.entries import Defect, Deferral
from homeleg.release.release import Stage
from homeleg.release.signing import signature_of

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
NOW = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)
TWO = (signature_of("Kim"), signature_of("Lee, observer"))
NOTHING = FieldAnswers()
FEW = 32


@pytest.fixture
def sortie(tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLES / "tern-point", tmp_path, dirs_exist_ok=True)
    return tmp_path / "sortie.toml"


@pytest.mark.slow
def test_a_flown_release_is_the_same_wherever_it_is_made(sortie: Path, tmp_path: Path) -> None:
    made = sign(candidate(sortie, NOTHING, now=NOW, members=FEW), TWO, now=NOW)
    path = tmp_path / "first.json"
    write_release(made, path)
    sortie.unlink()
    answers = FieldAnswers(launch="2026-06-09 17:00Z")
    assert sign(candidate(path, answers, now=NOW, members=FEW), TWO, now=NOW).code == made.code


@pytest.mark.usefixtures("hand_made_check")
def test_a_defect_stops_a_release_until_it_is_put_right_or_deferred(tmp_path: Path) -> None:
    base = make_base(tmp_path / "base")
    made = candidate(add_example(base, "tern-point"), NOTHING, now=NOW, members=FEW)
    laptop = Laptop(id="AAAAAA", name="field")
    other = Defect(aircraft="dunlin", words="Wing tip is split.", by="Kim")
    enter(base, laptop, NOW, other)
    assert sign(made, TWO, now=NOW).code == made.draft.code
    found = enter(base, laptop, NOW, Defect(aircraft="petrel", words="Horn is loose.", by="Kim"))
    with pytest.raises(RefusedError, match=r"loose\.: nobody has put it right"):
        sign(made, TWO, now=NOW)
    deferred = Deferral(by="Lee", until=NOW.date(), flights=None, limitation="gentle turns")
    enter(base, laptop, NOW, deferred, about=found)
    assert sign(made, TWO, now=NOW).code == made.draft.code
    tomorrow = NOW + timedelta(days=1)
    with pytest.raises(RefusedError, match="it was deferred, and that has ended"):
        sign(made, TWO, now=tomorrow)
    logbook_path(base).write_text("no database")
    with pytest.raises(InputFileError):
        sign(made, TWO, now=NOW)


@pytest.mark.usefixtures("hand_made_check")
def test_a_release_carries_all_it_rests_on(sortie: Path, tmp_path: Path) -> None:
    made = candidate(sortie, NOTHING, now=NOW, members=FEW)
    release = sign(made, TWO, now=NOW)
    path = release_path(release, sortie)
    write_release(release, path)
    jsonschema.validate(json.loads(path.read_text("utf-8")), release_schema())
    elsewhere = tmp_path / "elsewhere" / "r.json"
    elsewhere.parent.mkdir()
    shutil.copy(path, elsewhere)
    for name in ("petrel.toml", "route.csv", "sortie.toml"):
        (tmp_path / name).unlink()
    back = sortie_of_release(opened(elsewhere), elsewhere).sortie
    assert back.route == made.result.sortie.route
    assert replace(back, aircraft=made.result.sortie.aircraft) == made.result.sortie
    # Same inputs and time, same bytes.
    again = candidate(elsewhere, FieldAnswers(launch="2026-06-09 17:00Z"), now=NOW, members=FEW)
    assert sign(again, TWO, now=NOW).code == release.code
    with pytest.raises(InputFileError, match="such a file already"):
        write_release(release, path)


@pytest.mark.usefixtures("hand_made_check")
def test_a_plan_becomes_a_release_at_the_field(sortie: Path, tmp_path: Path) -> None:
    evening = NOW - timedelta(hours=20)
    answers = FieldAnswers(launch="2026-06-09 17:00Z")
    plan = candidate(sortie, answers, now=evening, members=FEW).draft
    assert plan.stage is Stage.PLAN
    with pytest.raises(RefusedError, match="said to have been seen at 16:50Z"):
        sign(candidate(sortie, answers, now=evening, members=FEW), TWO, now=evening)
    path = tmp_path / "plan.json"
    write_release(plan, path)
    told = ("wing", "sense", "walk", "crew")
    at_field = replace(answers, wind="4 m/s from 230", pack_temperature="19 degC", told=told)
    release = sign(candidate(path, at_field, now=NOW, members=FEW), TWO, now=NOW)
    assert release.stage is Stage.RELEASE
    assert release.code != plan.code
    assert release.route == plan.route


@pytest.mark.usefixtures("hand_made_check")
def test_the_next_pack_is_one_act_and_knows_nothing_of_the_last(
    sortie: Path, tmp_path: Path
) -> None:
    first = sign(candidate(sortie, NOTHING, now=NOW, members=FEW), TWO, now=NOW)
    path = tmp_path / "first.json"
    write_release(first, path)
    later = NOW + timedelta(minutes=25)
    bare = FieldAnswers(another_pack=True, wind="5.5 m/s from 235", gust="7 m/s")
    with pytest.raises(RefusedError) as refused:
        sign(candidate(path, bare, now=later, members=FEW), TWO, now=later)
    assert "4 to do at the field, 3 of them before the release" in str(refused.value)
    told = replace(
        bare,
        pack_temperature="21 degC",
        pack_charged="100 %",
        pack_capacity="95 %",
        pack_resistance="1.2",
        told=("position",),
    )
    second = sign(candidate(path, told, now=later, members=FEW), TWO, now=later)
    assert second.route == first.route
    assert second.code != first.code
    # The launch is ten minutes from now where nobody says when.
    assert second.frozen["sortie"]["launch_time"] == "2026-06-09T17:30:00Z"  # type: ignore[index,call-overload]
    assert [item["item"] for item in second.answer["to_do"]] == ["route_aboard"]


@pytest.mark.usefixtures("hand_made_check")
def test_one_signer_reads_back(sortie: Path) -> None:
    made = candidate(sortie, NOTHING, now=NOW, members=FEW)
    with pytest.raises(RefusedError, match="read nothing back"):
        sign(made, TWO[:1], now=NOW)
    with pytest.raises(RefusedError, match="code is not that of this release"):
        sign(made, TWO[:1], now=NOW, read_back="XXXXXX 1")
    [signature] = sign(
        made, TWO[:1], now=NOW, read_back=f"{made.draft.code} {made.read_back.figure}"
    ).signatures
    assert signature.read_back


@pytest.mark.usefixtures("hand_made_check")
def test_another_ground_file_is_not_the_one_released(tmp_path: Path) -> None:
    shutil.copytree(EXAMPLES / "corrie-spur", tmp_path, dirs_exist_ok=True)
    made = candidate(tmp_path / "sortie.toml", NOTHING, now=NOW, members=16)
    path = tmp_path / "plan.json"
    write_release(made.draft, path)
    assert sortie_of_release(opened(path), path).sortie.route.items
    changed = (tmp_path / "terrain.tif").read_bytes() + b"\0"
    (tmp_path / "terrain.tif").write_bytes(changed)
    with pytest.raises(InputFileError, match="not the ground file that was released"):
        sortie_of_release(opened(path), path)


def test_answers_keep_the_rest_of_the_text() -> None:
    text = (EXAMPLES / "tern-point" / "sortie.toml").read_text("utf-8") + "# the end\n"
    edited = edited_sortie(text, FieldAnswers(told=("walk=bad",), wind="3 m/s from 90"), NOW)
    before, after = text.splitlines(), edited.splitlines()
    assert len(before) == len(after)
    different = [new for old, new in zip(before, after, strict=True) if old != new]
    assert [line.split(" ")[0] for line in different] == ["surface_wind", "walk"]
    assert 'answer = "bad", seen = "2026-06-09 16:55Z"' in different[1]


def test_a_told_item_that_does_not_exist_is_refused() -> None:
    with pytest.raises(InputFileError, match="nearest is wing"):
        edited_sortie("", FieldAnswers(told=("wings",)), NOW)


def test_a_wind_is_not_made_up_where_none_was_answered() -> None:
    text = '[weather]\nmetar = "EGPF 091650Z 22010KT"\n'
    edited = edited_sortie(text, FieldAnswers(temperature="14 degC"), NOW)
    assert "surface_wind" not in edited
