"""A release file for the tests of the link, and a clock that hurries."""

import time
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from homeleg.desk import compare as desk_compare
from homeleg.desk.check import CheckResult
from homeleg.desk.release import write_release
from homeleg.link import steady_clock
from homeleg.release.canonical import recorded
from homeleg.release.release import Release
from tests.link.wire import HURRY


@pytest.fixture
def released(tmp_path: Path, make_release: Callable[..., Release]) -> Path:
    made = make_release()
    until = recorded(datetime(2099, 1, 1, tzinfo=UTC))
    verdict: Any = made.frozen["verdict"]
    rows = [{"slug": row["slug"], "status": "GO"} for row in verdict["rows"]]
    frozen = {**made.frozen, "valid_until": until}
    path = tmp_path / "r.json"
    answer = {**made.answer, "members": 64, "rows": rows}
    write_release(replace(made, frozen=frozen, answer=answer), path)
    return path


@pytest.fixture(autouse=True)
def hand_made(monkeypatch: pytest.MonkeyPatch, make_verdict: Any) -> None:
    def check(files: Any, **_: Any) -> CheckResult:
        return CheckResult(verdict=make_verdict(), sortie=files.sortie, sources=())

    monkeypatch.setattr(desk_compare, "check_read_sortie", check)
    monkeypatch.setattr(steady_clock, "steady_s", lambda: HURRY * time.perf_counter())
