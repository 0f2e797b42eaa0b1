"""The pages of a check and of a release: the right mark, the right name, one whole file."""

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from homeleg.desk.briefing import plan_input, release_input, write_briefing
from homeleg.desk.check import CheckResult
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.release.release import CarriedFile, Release, Stage
from homeleg.release.signing import Override, Signature
from homeleg.verdict.result import Status

SORTIE = Path(__file__).parents[2] / "examples" / "tern-point" / "sortie.toml"


@pytest.fixture
def result(make_verdict: Any) -> CheckResult:
    sortie = read_sortie(SORTIE).sortie
    return CheckResult(verdict=make_verdict(Status.NO_GO), sortie=sortie, sources=())


def _release(stage: Stage, override: Override | None = None) -> Release:
    return Release(
        stage=stage,
        frozen={"route": "a route"},
        given_at=datetime(2026, 6, 9, 16, 50, tzinfo=UTC),
        signatures=(Signature(name="Kim Park", role="pilot", read_back=True),),
        override=override,
        answer={},
        files=(CarriedFile(name="sortie.toml", text="", sha256=""),),
        folder="sorties/tern-point",
    )


def test_a_check_is_marked_as_a_plan(result: CheckResult) -> None:
    given = plan_input(result, SORTIE)
    assert (given.mark, given.code, given.name) == ("Plan, not released", None, "tern-point")
    assert plan_input(result, Path("evening-loop.toml")).name == "evening-loop"


def test_a_release_brings_code_names_and_who_flies_against_it(result: CheckResult) -> None:
    release = _release(Stage.RELEASE, Override(name="Kim Park", reason="a ferry over water"))
    given = release_input(result, release, contacts=[("Tower", "0000 555 0141")])
    assert (given.mark, given.name) == ("Release", "tern-point")
    assert given.spaced_code.replace(" ", "") == release.code
    assert given.signatures == ("Kim Park, pilot",)
    assert given.override == "Kim Park flies against NO-GO: a ferry over water"
    assert given.contacts == (("Tower", "0000 555 0141"),)


def test_a_plan_of_a_release_stays_a_plan(result: CheckResult) -> None:
    assert not release_input(result, _release(Stage.PLAN)).released


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_writes_a_whole_pdf_over_an_older_one(
    result: CheckResult, tmp_path: Path, paper: str
) -> None:
    path = tmp_path / "pages.pdf"
    path.write_text("older")
    write_briefing(plan_input(result, SORTIE), path, paper=paper)
    content = path.read_bytes()
    assert content.startswith(b"%PDF-")
    assert content.rstrip().endswith(b"%%EOF")
    assert [entry.name for entry in tmp_path.iterdir()] == ["pages.pdf"]


def test_a_folder_that_takes_no_file_is_named(result: CheckResult, tmp_path: Path) -> None:
    with pytest.raises(InputFileError, match="nowhere"):
        write_briefing(plan_input(result, SORTIE), tmp_path / "nowhere" / "pages.pdf")
