"""Standard streams that are closed or full: the exit status holds, and one line says what is so."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

FULL = Path("/dev/full")
# A command line in its own process, with an answer of ours in the place of a computed one.
SAYING = (
    "import homeleg.cli.commands as commands, homeleg.cli.main as main, click\n"
    "from homeleg.cli.streams import answer\n"
    "@commands.cli.command()\n"
    "@click.pass_context\n"
    "def say(context):\n"
    "    answer('GO\\n')\n"
    "    context.exit(3)\n"
)
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="a shell and /dev are needed")


def shell(ends: str, *arguments: str, code: str = SAYING) -> tuple[int, str, str]:
    """Run the command line through a shell that opens and closes streams; status and outputs."""
    done = subprocess.run(  # noqa: S603 (our own interpreter and text)
        [
            "/bin/sh",
            "-c",
            f'"$@" {ends}',
            "sh",
            sys.executable,
            "-c",
            f"{code}main.main()",
            *list(arguments),
        ],
        check=False,
        capture_output=True,
        text=True,
    )
    return done.returncode, done.stdout, done.stderr


def test_the_answer_comes_out() -> None:
    assert shell("", "say") == (3, "GO\n", "")


@pytest.mark.skipif(not FULL.exists(), reason="no full device")
def test_a_full_device_is_one_clear_error() -> None:
    error = "Cannot write the answer: no space left on device.\n"
    assert shell("> /dev/full", "say") == (2, "", error)
    assert shell("> /dev/full", "--help") == (2, "", "Cannot write: no space left on device.\n")


@pytest.mark.skipif(not FULL.exists(), reason="no full device")
def test_a_full_error_stream_leaves_the_status() -> None:
    assert shell("2> /dev/full", "no-such-command") == (2, "", "")
    assert shell("2> /dev/full", "check", "no-such.toml") == (2, "", "")


@pytest.mark.parametrize(
    ("ends", "out"), [(">&-", ""), ("2>&-", "GO\n"), ("<&-", "GO\n"), ("<&- >&- 2>&-", "")]
)
def test_closed_streams_leave_the_status(ends: str, out: str) -> None:
    assert shell(ends, "say") == (3, out, "")


def test_warnings_are_for_those_who_ask(monkeypatch: pytest.MonkeyPatch) -> None:
    code = (
        "import warnings, homeleg.cli.main as main\n"
        "main.run = lambda _: warnings.warn('a hint', RuntimeWarning) or 0\n"
    )
    monkeypatch.setitem(os.environ, "HOMELEG_DEBUG", "")
    assert shell("", code=code) == (0, "", "")
    monkeypatch.setitem(os.environ, "HOMELEG_DEBUG", "1")
    status, _, error = shell("", code=code)
    assert status == 0
    assert "RuntimeWarning: a hint" in error
