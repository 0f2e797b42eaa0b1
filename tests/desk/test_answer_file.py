"""The file for an answer is refused before anything is flown where it must not be written."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from homeleg.desk.check import check_sortie
from homeleg.foundation.errors import InputFileError

EXAMPLE = Path(__file__).parents[2] / "examples" / "corrie-spur"
SOURCES = ("sortie.toml", "ousel.toml", "route.csv", "terrain.tif")


def by_symbolic_link(target: Path, link: Path) -> None:
    link.symlink_to(target)


def by_hard_link(target: Path, link: Path) -> None:
    link.hardlink_to(target)


@pytest.fixture
def sortie(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    def flown(*_: object, **__: object) -> None:
        raise AssertionError("flown before the answer's file was looked at")

    monkeypatch.setattr("homeleg.desk.check.fly", flown)
    shutil.copytree(EXAMPLE, tmp_path, dirs_exist_ok=True)
    return tmp_path / "sortie.toml"


@pytest.mark.parametrize("name", SOURCES)
def test_a_file_that_was_read_is_not_replaced(sortie: Path, name: str) -> None:
    with pytest.raises(InputFileError, match=f"this is {name}, which was read"):
        check_sortie(sortie, answer_files=[sortie.parent / "." / name])


@pytest.mark.parametrize("lead", [by_symbolic_link, by_hard_link])
def test_neither_through_another_name(sortie: Path, lead: Callable[[Path, Path], None]) -> None:
    link = sortie.with_name("answer.json")
    lead(sortie.with_name("route.csv"), link)
    with pytest.raises(InputFileError, match=r"answer\.json: this is route\.csv, which was read"):
        check_sortie(sortie, answer_files=[link])


def test_what_cannot_be_written_is_refused(sortie: Path) -> None:
    with pytest.raises(InputFileError, match="cannot be written"):
        check_sortie(sortie, answer_files=[sortie / "answer.json"])


def test_an_older_answer_may_be_replaced(sortie: Path) -> None:
    older = sortie.with_name("answer.json")
    older.write_text("{}")
    with pytest.raises(AssertionError, match="flown before"):
        check_sortie(sortie, answer_files=[older])
