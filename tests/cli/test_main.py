"""The command line: exit status, what goes where, and no traceback."""

import errno
import io
import json
import re
import subprocess
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import click
import pytest

from homeleg.cli.commands import cli
from homeleg.cli.main import run
from homeleg.desk import answer, briefing, check, wind_window
from homeleg.foundation.errors import InputFileError, OutOfModelError, Problem
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Status, Verdict

CheckCall = dict[str, Any]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@dataclass(frozen=True)
class FakeResult:
    verdict: Verdict
    sources: tuple[tuple[str, str], ...]
    sortie: Sortie


def json_of(_result: FakeResult, *, given_at: datetime) -> str:
    return json.dumps({"at": str(given_at)})


def write_json(result: FakeResult, path: Path, *, given_at: datetime) -> None:
    path.write_text(json_of(result, given_at=given_at))


@pytest.fixture
def calls() -> list[CheckCall]:
    return []


@pytest.fixture
def desk(
    monkeypatch: pytest.MonkeyPatch,
    make_verdict: Any,
    told: Sortie,
    calls: list[CheckCall],
    tmp_path: Path,
) -> Any:
    """Put a desk in place of the real one: it answers with a word, or raises an error."""

    def answer_with(outcome: Status | Exception) -> None:
        def check_sortie(path: Path, **options: Any) -> FakeResult:
            calls.append({"path": path, **options})
            if isinstance(outcome, Exception):
                raise outcome
            return FakeResult(make_verdict(outcome), (), told)

        # Somebody has settled the kernel's cache already: nothing is made in the tester's home.
        monkeypatch.setenv("NUMBA_CACHE_DIR", str(tmp_path))
        monkeypatch.setattr(check, "check_sortie", check_sortie)
        monkeypatch.setattr(answer, "check_answer_json", json_of)
        monkeypatch.setattr(answer, "write_check_answer", write_json)

    return answer_with


@pytest.mark.parametrize(
    ("word", "status"), [(Status.GO, 0), (Status.MARGINAL, 3), (Status.NO_GO, 4)]
)
def test_exit_status_of_a_word(
    desk: Any, capsys: pytest.CaptureFixture[str], word: Status, status: int
) -> None:
    desk(word)
    assert run(["check", "sortie.toml"]) == status
    captured = capsys.readouterr()
    assert captured.out.startswith(word.value)
    assert captured.err == ""


def test_all_problems_of_the_input_are_printed_as_they_are(
    desk: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    problems = [
        Problem(where="a.toml, line 1, span", problem="100 what?", remedy="Write 1.90 m."),
        Problem(where="a.toml, line 2, mass", problem="5.2 what?", remedy="Write 5.2 kg."),
    ]
    desk(InputFileError(problems))
    assert run(["check", "sortie.toml"]) == 2
    captured = capsys.readouterr()
    assert captured.err == "".join(f"{problem}\n" for problem in problems)
    assert captured.out == ""


def test_out_of_the_model_is_bad_input(desk: Any, capsys: pytest.CaptureFixture[str]) -> None:
    desk(OutOfModelError("the strip lies above 11 km"))
    assert run(["check", "sortie.toml"]) == 2
    assert capsys.readouterr().err == "the strip lies above 11 km\n"


def test_a_fault_of_ours_is_one_line(desk: Any, capsys: pytest.CaptureFixture[str]) -> None:
    desk(RuntimeError("two\nlines"))
    assert run(["check", "sortie.toml"]) == 1
    captured = capsys.readouterr()
    assert captured.err.count("\n") == 1
    assert "RuntimeError: two lines (test_main.py:" in captured.err
    assert "Please report this line" in captured.err
    assert "Traceback" not in captured.err


def test_a_fault_shows_its_traceback_when_asked(
    desk: Any, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOMELEG_DEBUG", "1")
    desk(RuntimeError("broken"))
    assert run(["check", "sortie.toml"]) == 1
    assert "Traceback" in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments",
    [
        ["check"],
        ["check", "sortie.toml", "--members", "many"],
        ["check", "sortie.toml", "--members", "0"],
        ["check", "sortie.toml", "--seed", "-1"],
        ["check", "sortie.toml", "--seed", "4294967296"],
        ["check", "sortie.toml", "--json", ""],
        ["check", "sortie.toml", "--ground-only", "--json", "answer.json"],
        ["check", "sortie.toml", "--json", "no/such/folder/answer.json"],
        ["check", "sortie.toml", "--briefing", "no/such/folder/pages.pdf"],
        ["check", "sortie.toml", "--ground-only", "--briefing", "pages.pdf"],
        ["check", "sortie.toml", "--json", "-", "--field"],
        ["check", "sortie.toml", "--paper", "A5"],
        ["check", "sortie.toml", "--no-such-option"],
        ["no-such-command"],
        ["new", "aircraft"],
    ],
)
def test_bad_usage(desk: Any, capsys: pytest.CaptureFixture[str], arguments: list[str]) -> None:
    desk(Status.GO)
    assert run(arguments) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert "Error: " in captured.err


def test_pages_that_are_there_are_left_as_they_are(
    desk: Any, calls: list[CheckCall], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    desk(Status.GO)
    pages = tmp_path / "pages.pdf"
    pages.write_text("mine")
    assert run(["check", "sortie.toml", "--briefing", str(pages)]) == 2
    assert "such a file already" in capsys.readouterr().err
    assert pages.read_text() == "mine"
    assert calls == []


@pytest.mark.parametrize(("options", "paper"), [([], "A4"), (["--paper", "Letter"], "Letter")])
def test_the_pages_are_written_on_the_paper_asked_for(
    desk: Any,
    calls: list[CheckCall],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    options: list[str],
    paper: str,
) -> None:
    desk(Status.NO_GO)
    written = []
    monkeypatch.setattr(wind_window, "with_wind_window", lambda _result, _progress: "windowed")
    monkeypatch.setattr(briefing, "plan_input", lambda result, path: (result, path))
    monkeypatch.setattr(
        briefing, "write_briefing", lambda given, path, paper: written.append((given, path, paper))
    )
    pages = tmp_path / "pages.pdf"
    assert run(["check", "sortie.toml", "--briefing", str(pages), *options]) == 4
    assert written == [(("windowed", Path("sortie.toml")), pages, paper)]
    assert calls[0]["answer_files"] == [pages]


@pytest.mark.parametrize(
    ("options", "members", "seed", "quick"),
    [
        ([], 2048, None, False),
        (["--quick"], 2048, None, True),
        (["--quick", "--members", "128"], 128, None, True),
        (["--members", "8192", "--seed", "4294967295"], 8192, 4294967295, False),
    ],
)
def test_options_reach_the_desk(
    desk: Any,
    calls: list[CheckCall],
    options: list[str],
    members: int,
    seed: int | None,
    quick: bool,  # noqa: FBT001 (a parameter of the test)
) -> None:
    desk(Status.GO)
    run(["check", "sortie.toml", *options])
    [call] = calls
    assert call["path"] == Path("sortie.toml")
    assert (call["members"], call["seed"], call["quick"]) == (members, seed, quick)


def test_progress_is_wiped_before_the_answer(
    desk: Any, calls: list[CheckCall], monkeypatch: pytest.MonkeyPatch
) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    desk(Status.GO)
    assert run(["check", "sortie.toml"]) == 0
    assert terminal.getvalue().endswith("\r\x1b[K")
    calls[0]["progress"]("flying", 0.25)
    assert terminal.getvalue().endswith("\r\x1b[Kflying 25 %")


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["check", "s.toml", "--members", "x"], "x is no whole number from 16 to 65,536."),
        (["check", "s.toml", "--members", "4"], "4 is no whole number from 16 to 65,536."),
        (
            ["check", "s.toml", "--quick", "--members", "4096"],
            "--quick flies 256 at most, not 4,096",
        ),
        (
            ["recheck", "s.toml", "--wind", "6 m/s from S", "--wind", "3 m/s from S"],
            "it is given 2 times: 6 m/s from S and 3 m/s from S. Once is meant.",
        ),
        (
            ["recheck", "s.toml", "--launch-here", "55", "5", "--launch-here", "55", "6"],
            "it is given 2 times: 55 5 and 55 6.",
        ),
    ],
)
def test_options_that_cannot_be_meant(
    capsys: pytest.CaptureFixture[str], options: list[str], words: str
) -> None:
    assert run(options) == 2
    captured = capsys.readouterr()
    assert words in captured.err
    assert captured.out == ""


def test_help_tells_the_numbers_of_the_desk(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["check", "--help"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert f"Computed flights: {check.DEFAULT_MEMBERS} unless told" in text
    assert f"with --quick at most {check.QUICK_MEMBERS}." in text


def test_json_on_standard_output_is_alone(desk: Any, capsys: pytest.CaptureFixture[str]) -> None:
    desk(Status.MARGINAL)
    assert run(["check", "sortie.toml", "--json", "-"]) == 3
    assert set(json.loads(capsys.readouterr().out)) == {"at"}


def test_json_in_a_file_goes_with_the_text(
    desk: Any, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    desk(Status.GO)
    target = tmp_path / "answer.json"
    assert run(["check", "sortie.toml", "--json", str(target)]) == 0
    assert target.is_file()
    assert capsys.readouterr().out.startswith("GO")


def test_alone_it_opens_the_screens(monkeypatch: pytest.MonkeyPatch) -> None:
    opened = []
    monkeypatch.setattr("homeleg.app.server.serve", lambda *base, **how: opened.append((base, how)))
    assert run([]) == 0
    assert run(["app", "field", "--port", "5000", "--no-browser"]) == 0
    assert [(base, how["port"], how["browser"]) for base, how in opened] == [
        ((None,), None, True),
        ((Path("field"),), 5000, False),
    ]


def test_version_says_how_far_tables_reach(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["--version"]) == 0
    text = capsys.readouterr().out
    assert text.startswith("homeleg ")
    # WMM2025 is published for 2025.0 to 2030.0.
    assert "WMM2025: 2025-01-01 to 2029-12-31" in text


def test_help_imports_neither_numpy_nor_numba() -> None:
    code = (
        "import sys; from homeleg.cli.main import run; run(['--help']); "
        "sys.exit(any(name in sys.modules for name in ('numpy', 'numba')))"
    )
    done = subprocess.run(  # noqa: S603 (our own interpreter and text)
        [sys.executable, "-c", code], check=False, capture_output=True, text=True
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Usage: homeleg")


def test_a_reader_that_went_away_is_no_fault(
    desk: Any, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def gone(*_: object, **__: object) -> None:
        raise BrokenPipeError(errno.EPIPE, "Broken pipe")

    desk(Status.GO)
    monkeypatch.setattr(click, "echo", gone)
    assert run(["check", "sortie.toml"]) == 141
    assert capsys.readouterr().err == ""


def every_command(command: click.Command) -> list[click.Command]:
    inner = command.commands.values() if isinstance(command, click.Group) else ()
    return [command, *(found for child in inner for found in every_command(child))]


def test_every_option_stands_in_the_reference() -> None:
    page = (
        Path(__file__).parents[2].joinpath("docs", "reference-command-line.md").read_text("utf-8")
    )
    options = {
        name
        for command in every_command(cli)
        for parameter in command.params
        for name in parameter.opts
        if name.startswith("--")
    }
    commands = {command.name or "" for command in every_command(cli)} - {cli.name}
    told = set(re.findall(r"--[a-z-]+|[a-z]+", page))
    assert (options | commands) - told == set()


def test_warming_with_nowhere_to_keep_it_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("in the way")
    for name in ("NUMBA_CACHE_DIR", "HOMELEG_CACHE", "XDG_CACHE_HOME", "HOME", "USERPROFILE"):
        monkeypatch.setenv(name, str(tmp_path / "file"))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "file"))
    assert run(["warm"]) == 0
    assert capsys.readouterr().err == (
        "There is nowhere to keep the compiled kernel: nothing was compiled. "
        "Set HOMELEG_CACHE to a folder that you can write.\n"
    )


def test_a_bad_number_of_threads_is_one_error(
    desk: Any, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    desk(Status.GO)
    monkeypatch.setenv("NUMBA_NUM_THREADS", "0")
    assert run(["check", "sortie.toml"]) == 2
    assert capsys.readouterr().err.startswith("NUMBA_NUM_THREADS: 0 is not a number of threads\n")
