"""`homeleg release` and `homeleg show`: exit status, prompts, and what they say."""

import shutil
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click
import pytest

from homeleg.cli import release as command
from homeleg.cli.main import run
from homeleg.desk import wind_window

pytestmark = pytest.mark.usefixtures("hand_made_check")

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
FEW = ["--members", "32"]


@pytest.fixture
def sortie(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    shutil.copytree(EXAMPLES / "tern-point", tmp_path, dirs_exist_ok=True)
    monkeypatch.setattr(command, "_now", lambda: datetime(2026, 6, 9, 16, 55, tzinfo=UTC))
    return tmp_path / "sortie.toml"


def test_release_and_show(
    sortie: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    two = ["--signed-by", "Kim", "--signed-by", "Lee, observer"]
    assert run(["release", str(sortie), *two, *FEW]) == 0
    [written] = sortie.parent.glob("*.release.json")
    said = capsys.readouterr().out
    code = written.name[:6]
    assert f"Released as {code}, to launch until 2026-06-09 17:50Z" in said
    assert run(["show", str(written)]) == 0
    page = capsys.readouterr().out
    for words in (f"Release {code}", "Lee, observer", "5 D, point: 55.0011672 N", "verified"):
        assert words in page
    assert "expired" not in page
    monkeypatch.setattr(command, "_now", lambda: datetime(2026, 6, 9, 17, 51, tzinfo=UTC))
    assert run(["show", str(written)]) == 0
    assert "has expired" in capsys.readouterr().out
    written.write_text(written.read_text("utf-8").replace('"cm": 8500', '"cm": 5500', 1), "utf-8")
    assert run(["show", str(written)]) == 2
    assert "no release any more" in capsys.readouterr().err


def test_a_refusal_has_its_own_status(sortie: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["release", str(sortie), "--signed-by", "Kim", *FEW]) == 7
    said = capsys.readouterr()
    assert "Release code" in said.out
    assert "read nothing back" in said.err
    assert not list(sortie.parent.glob("*.json"))


def test_one_signer_at_a_terminal_types_what_is_printed(
    sortie: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def typed(text: str, **_: Any) -> str:
        asked.append(text)
        out = capsys.readouterr().out
        code = out.rsplit("Release code ", 1)[1].split()[0]
        assert "Slowest over the ground: 2.1 m/s" in out
        return f"{code} 2.1"

    monkeypatch.setattr(sys.stdin, "isatty", lambda: True)
    monkeypatch.setattr(click, "prompt", typed)
    assert run(["release", str(sortie), "--signed-by", "Kim", *FEW]) == 0
    assert "the release code, then the figure of the tightest row" in asked[0]


def test_a_plan_needs_no_signature(sortie: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = sortie.parent / "evening.json"
    assert run(["release", str(sortie), "--plan", "--out", str(out), *FEW]) == 0
    assert "a plan, not released" in capsys.readouterr().out
    assert run(["show", str(out)]) == 0
    assert capsys.readouterr().out.startswith("Plan, not released: ")


def test_paper_and_phone_pages_are_written_beside(
    sortie: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # The window flies for as long as a check; whether it does is the desk's own test.
    monkeypatch.setattr(wind_window, "with_wind_window", lambda result, _progress: result)
    pages, phone = sortie.parent / "pages.pdf", sortie.parent / "phone"
    phone.mkdir()
    out = ["--out", str(sortie.parent / "evening.json")]
    written = ["--briefing", str(pages), "--phone", str(phone)]
    assert run(["release", str(sortie), "--plan", *out, *written, *FEW]) == 0
    assert pages.read_bytes().startswith(b"%PDF-")
    assert {page.name for page in phone.iterdir()} == {"card.html", "calls.html"}
    assert "Plan, not released" in (phone / "card.html").read_text("utf-8")


@pytest.mark.parametrize(
    "options",
    [
        [],
        ["--plan", "--phone", "no/such/folder"],
        ["--plan", "--briefing", "no/such/folder/pages.pdf"],
        ["--signed-by", ""],
        ["--signed-by", "Kim", "--override-by", "Kim"],
        ["--signed-by", "Kim", "--reason", "It is only a short flight."],
        ["--signed-by", "Kim", "--override-by", "Kim", "--reason", "why not"],
        ["--plan", "--told", "wings"],
        ["--plan", "--wind", "5 from 225"],
    ],
)
def test_usage(sortie: Path, options: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["release", str(sortie), *options, *FEW]) == 2
    assert "Traceback" not in capsys.readouterr().err
    assert not list(sortie.parent.glob("*.json"))
