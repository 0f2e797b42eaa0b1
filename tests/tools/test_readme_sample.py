"""The sample in the README is what the program prints today."""

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]
NUMBER = re.compile(r"\d[\d,]*(?:\.\d+)?")
# The last figures move with the machine's arithmetic and with each small change of the model; more
# than this is another answer.
LARGEST_CHANGE, LEAST_CHANGE = 0.10, 2.0


@pytest.fixture(scope="module")
def tool() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "readme_sample", ROOT / "tools" / "readme_sample.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def words(sample: str) -> list[str]:
    """Return the words with every figure taken out, however the lines are broken."""
    return NUMBER.sub("#", sample).split()


def figures(sample: str) -> list[float]:
    return [float(text.replace(",", "")) for text in NUMBER.findall(sample)]


def is_near(one: float, other: float) -> bool:
    return abs(one - other) <= max(LARGEST_CHANGE * abs(other), LEAST_CHANGE)


def test_the_marks_are_found(tool: ModuleType) -> None:
    sample = tool.sample_in((ROOT / "README.md").read_text("utf-8"))
    assert sample.startswith("GO")
    assert sample.endswith("Walk it.\n")


def test_without_marks_it_says_so(tool: ModuleType) -> None:
    with pytest.raises(SystemExit, match="the marks"):
        tool.sample_in("# Homeleg\n")


@pytest.mark.slow
def test_the_sample_is_todays(tool: ModuleType) -> None:
    shown = tool.sample_in((ROOT / "README.md").read_text("utf-8"))
    today = tool.todays_sample()
    assert words(shown) == words(today), "run python tools/readme_sample.py"
    far = [pair for pair in zip(figures(shown), figures(today), strict=True) if not is_near(*pair)]
    assert far == [], "run python tools/readme_sample.py"
