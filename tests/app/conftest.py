"""A base with an example in it, and a browser's side of the program without a browser."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from homeleg.app.application import application
from homeleg.app.errands import Errand, Errands
from homeleg.app.guard import Guard
from homeleg.app.office import Office
from homeleg.app.worker import Refused, answered
from homeleg.desk.base import Base, make_base
from homeleg.desk.examples import add_example
from homeleg.desk.field_release import print_release
from homeleg.foundation.errors import Problem
from homeleg.verdict.result import Verdict

PORT = 4321
KEY = "a-key-of-these-tests"
OWN = f"http://127.0.0.1:{PORT}"


@pytest.fixture
def base(tmp_path: Path) -> Base:
    """Return a base with one example."""
    made = make_base(tmp_path / "base")
    add_example(made, "tern-point")
    return made


@pytest.fixture
def office(tmp_path: Path, base: Base) -> Office:
    """Return an office with that base open."""
    return Office(user_folder=tmp_path / "notes", offered_folder=tmp_path / "offered", base=base)


class ErrandsHere(Errands):
    """Errands that are run at once and in this process."""

    said: dict[Path, Any]

    def do(self, job: Callable[..., Any], *given: Any) -> Any:
        return answered("This release", lambda: job(*given, progress=lambda *_: None))

    def begin(self, key: str, job: Callable[..., Any], *given: Any) -> Errand:
        errand = self._begun[key] = Errand(outcome=self.do(job, *given))
        return errand

    def forget(self, key: str) -> None:
        self._begun.pop(key, None)

    def print(self, release: Path, pages: Path, verdict: Verdict | None, now: datetime) -> None:
        self.said = {pages: self.do(print_release, release, pages, verdict, now)}

    def is_printing(self, pages: Path) -> bool:
        return False

    def printed(self, pages: Path) -> tuple[Problem, ...]:
        said = self.said.get(pages)
        return said.problems if isinstance(said, Refused) else ()


@pytest.fixture
def errands_here(office: Office) -> None:
    """Have errands run in this process."""
    office.errands = ErrandsHere()


@pytest.fixture
def stranger(office: Office) -> TestClient:
    """Return a client without the key."""
    guarded = Guard(app=application(office), port=PORT, key=KEY, largest_bytes={"/drop/": 1000})
    return TestClient(guarded, base_url=OWN)


@pytest.fixture
def client(stranger: TestClient) -> TestClient:
    """Return a client that was let in, and whose posts come from our own pages."""
    stranger.get("/", params={"key": KEY})
    stranger.headers["origin"] = OWN
    return stranger
