"""From nothing to an answer: new files, a check, its JSON."""

import json
from datetime import UTC, datetime
from pathlib import Path

import jsonschema
import pytest

from homeleg.desk.answer import check_answer_json, write_check_answer
from homeleg.desk.check import check_sortie
from homeleg.desk.new import new_aircraft, new_sortie
from homeleg.desk.starting_files import AIRCRAFT_ASKS, SORTIE_ASKS
from homeleg.desk.warm import compile_kernel
from homeleg.formats.check_json import check_schema
from homeleg.verdict.result import Status

pytestmark = pytest.mark.slow

NOW = datetime(2026, 6, 9, 16, 47, 12, tzinfo=UTC)


def checked(folder: Path, flights: str, plan: str = "tail-boom pusher") -> Path:
    aircraft, sortie = folder / "petrel.toml", folder / "sortie.toml"
    answers = {ask.option: ask.example for ask in AIRCRAFT_ASKS}
    new_aircraft(aircraft, {**answers, "flights": flights, "plan": plan})
    options = {ask.option: ask.example for ask in SORTIE_ASKS}
    del options["wind-seen"], options["launch-time"]
    new_sortie(sortie, aircraft, options, now=NOW)
    return sortie


@pytest.mark.parametrize("flights", ["0", "2", "20"])
@pytest.mark.parametrize(
    "plan", ["tail-boom pusher", "front motor with tail", "flying wing", "long-span glider type"]
)
def test_a_new_sortie_gets_an_answer(tmp_path: Path, flights: str, plan: str) -> None:
    result = check_sortie(checked(tmp_path, flights, plan), members=64, quick=True)
    answer = json.loads(check_answer_json(result, given_at=NOW))
    jsonschema.Draft202012Validator(check_schema()).validate(answer)
    assert result.verdict.word in (Status.GO, Status.MARGINAL, Status.NO_GO)
    assert [source["name"] for source in answer["inputs"]] == [
        "sortie.toml",
        "petrel.toml",
        "route.csv",
    ]


def test_the_answer_is_written_as_it_is_told(tmp_path: Path) -> None:
    result = check_sortie(checked(tmp_path, "5"), members=64, quick=True)
    target = tmp_path / "answer.json"
    write_check_answer(result, target, given_at=NOW)
    assert target.read_text("utf-8") == check_answer_json(result, given_at=NOW)


def test_warming_compiles_without_leaving_anything() -> None:
    told: list[str] = []
    compile_kernel(now=NOW, progress=lambda what, _: told.append(what))
    assert told != []
