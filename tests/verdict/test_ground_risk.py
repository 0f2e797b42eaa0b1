"""The ground risk that is noted with an answer, against figures worked by hand."""

import json
import shutil
from datetime import UTC, datetime
from pathlib import Path

import jsonschema
import pytest

from homeleg.cli.text import check_text
from homeleg.desk.answer import check_answer_json
from homeleg.desk.check import CheckResult, check_sortie
from homeleg.formats.check_json import check_schema
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.verdict.result import Status

EXAMPLES = Path(__file__).parents[2] / "examples"
ROAD = '[{ name = "A77", kind = "road", vertices_m = [[-500, -600], [800, -600], [800, -900]] }]'


def example(folder: Path, people: str) -> Path:
    """Return the sortie of the example with people told, and a road 600 m south."""
    here = folder / "tern-point"
    shutil.copytree(EXAMPLES / "tern-point", here)
    path = here / "sortie.toml"
    text = path.read_text("utf-8")
    path.write_text(text.replace("keep_out = []", f"keep_out = {ROAD}\n{people}"), "utf-8")
    return path


@pytest.fixture(scope="module")
def result(tmp_path_factory: pytest.TempPathFactory) -> CheckResult:
    path = example(tmp_path_factory.mktemp("people"), 'people = "12 per km2"')
    return check_sortie(path, quick=True, members=64)


def test_figures_by_hand(result: CheckResult) -> None:
    # Span 1.90 m, 2.60 kg, 15.5 m/s, 30 deg of bank, items up to 85 m, glide 11.0 (all given).
    risk = result.verdict.ground_risk
    assert risk is not None
    assert risk.speed_m_s == pytest.approx(15.5, abs=0.1)
    # Below 50 people per km2 in the column of 3 m and 35 m/s (SORA 2.5, Table 3).
    assert risk.risk_class == 4
    # 0.6 (2 x 1.25 x 1.8 / tan 35 deg + pi 1.25^2), too slow to slide; and the same at 10 deg.
    assert risk.steep_area_m2 == pytest.approx(6.80, abs=0.01)
    assert risk.gliding_area_m2 == pytest.approx(18.26, abs=0.01)
    # 3 + 3 + 1 + 15.5 + 15.5^2 / (9.80665 tan 30 deg) and 1 + 0.7 x 15.5 + 15.5^2 / (2 x 9.80665).
    assert risk.contingency_beside_m == pytest.approx(64.9, abs=0.7)
    assert risk.contingency_above_m == pytest.approx(24.1, abs=0.3)
    # 109.1 m: 15.5 sqrt(2 x 109.1 / 9.80665) + 0.95, and 11.0 times as far.
    assert risk.falling_m == pytest.approx(74.1, abs=0.7)
    assert risk.gliding_m == pytest.approx(1200.0, abs=10.0)
    assert risk.boundary_margin_m == 250.0
    # B lies at 300 m south, and the road 300 m south of it; the corner is flown a little inside.
    assert risk.people_m == pytest.approx(300.0, abs=30.0)


def test_it_is_noted_and_no_more(result: CheckResult) -> None:
    assert result.verdict.word is Status.GO
    text = " ".join(check_text(result.verdict, result.sortie).split())
    assert "Ground risk, noted only: class 4 before mitigation (12 people per km2" in text
    assert "(boundary 250 m)" in text


def test_it_is_in_the_json(result: CheckResult) -> None:
    answer = json.loads(check_answer_json(result, given_at=datetime(2026, 6, 9, tzinfo=UTC)))
    jsonschema.Draft202012Validator(check_schema()).validate(answer)
    assert answer["ground_risk"]["class"] == 4
    assert answer["ground_risk"]["people_per_km2"] == 12.0


def test_controlled_ground(tmp_path: Path) -> None:
    people = read_sortie(example(tmp_path, 'people = "controlled ground"')).sortie.site.people
    assert people is not None
    assert people.per_km2 is None


@pytest.mark.parametrize(
    "people", ['"12"', '"few"', '"12 per mile"', '"-3 per km2"', '"9e9 per km2"']
)
def test_people_are_told_in_one_way(tmp_path: Path, people: str) -> None:
    with pytest.raises(InputFileError, match="how many people"):
        read_sortie(example(tmp_path, f"people = {people}"))
