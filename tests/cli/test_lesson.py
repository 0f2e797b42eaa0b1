"""The lesson runs as printed: its commands, its changes to files, and its words of verdict."""

import re
import shlex
from dataclasses import dataclass
from pathlib import Path

import pytest

from homeleg.cli.answering import EXIT_BY_WORD
from homeleg.cli.main import run
from homeleg.formats.sortie_file import read_sortie

LESSON = Path(__file__).parents[2].joinpath("docs", "how-to-check-a-sortie.md").read_text("utf-8")
BLOCK = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True)
class Step:
    """A block of the lesson: a command with the word it promises, or a change to a file."""

    kind: str
    text: str

    @property
    def is_flown(self) -> bool:
        return self.kind == "sh" and "check" in self.text and "--ground-only" not in self.text


STEPS = [Step(kind, text) for kind, text in BLOCK.findall(LESSON)]


def follow(step: Step) -> None:
    if step.kind == "sh":
        command, _, word = step.text.replace("\\\n", "").partition("#")
        program, *arguments = shlex.split(command)
        assert program == "homeleg"
        assert run(arguments) == EXIT_BY_WORD[word.strip() or "GO"]
    elif step.kind == "diff":
        change(step.text)


def change(diff: str) -> None:
    """Put each run of + lines in the place of the - line before it, which must stand alone."""
    header, *lines = diff.splitlines()
    path = Path(header.removeprefix("--- "))
    text = path.read_text("utf-8")
    for old, new in re.findall(r"^-(.*\n)((?:\+.*\n)+)", "\n".join(lines) + "\n", re.MULTILINE):
        found = re.findall(rf"^{re.escape(old.strip())}.*\n", text, re.MULTILINE)
        assert len(found) == 1, old
        text = text.replace(found[0], re.sub(r"^\+", "", new, flags=re.MULTILINE))
    path.write_text(text, "utf-8")


def test_files_of_the_lesson_can_be_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    for step in STEPS:
        if not step.is_flown:
            follow(step)
    sortie = read_sortie(Path("sortie.toml")).sortie
    assert sortie.aircraft.flights == 5
    assert sortie.weather.surface is not None
    assert sortie.weather.surface.speed_m_s.value == 2.5
    assert sortie.aircraft.speeds.cruise is not None
    assert sortie.aircraft.speeds.cruise.value_m_s == 18.0
    assert sortie.aircraft.speeds.climb is not None
    assert sortie.aircraft.speeds.climb.value_m_s == 14.0


def test_the_lesson_ends_with_go() -> None:
    words = [step.text.partition("#")[2].strip() for step in STEPS if step.is_flown]
    assert words == ["NO-GO", "MARGINAL", "GO"]


@pytest.mark.slow
def test_the_lesson_gives_the_words_it_prints(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for step in STEPS:
        follow(step)
    assert "GO; 18 to do at the field" in capsys.readouterr().out
    assert "The word is GO, and eighteen things are still to do at the field" in LESSON
