"""Flown verdicts of the example sorties, each flown once for all tests that read it."""

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import pytest

from homeleg.desk.check import CheckResult, check_sortie

EXAMPLES = Path(__file__).parents[2] / "examples"


@lru_cache
def _checked(name: str) -> CheckResult:
    return check_sortie(EXAMPLES / name / "sortie.toml", members=1024)


@pytest.fixture(scope="session")
def checked() -> Callable[[str], CheckResult]:
    return _checked
