"""The page of published checks tells what the published tests compare, all of it and no more."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.published import Published

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "published-checks.md"
MODULES = sorted((ROOT / "tests").glob("*/test_*_published.py"))
# The column of our own values: its last figures are the machine's.
OURS = 3


def rows(page: str) -> list[list[str]]:
    """Return every line of the page, a table's as its cells without our value."""
    lines = [re.split(r"(?<!\\)\|", line.strip("| ")) for line in page.splitlines()]
    return [[cell.strip() for n, cell in enumerate(cells) if n != OURS] for cells in lines]


def quantities(section: str) -> list[str]:
    """Return the quantities of a section, with their unit and without it."""
    told = [cells[0] for cells in rows(section) if len(cells) > 1]
    return told + [re.sub(r" \[[^]]*\]$", "", text) for text in told]


def is_call_of(node: ast.AST, name: str) -> bool:
    """Tell whether it is published(...), published.exactly(...) or a test's own short for one."""
    return any(isinstance(part, ast.Name) and part.id == name for part in ast.walk(node))


def written_in(module: Path) -> list[re.Pattern[str]]:
    """Return each text of a module that calls the fixture, what is filled in left open."""
    tree = ast.parse(module.read_text("utf-8"))
    patterns = []
    for call in ast.walk(tree):
        if not (isinstance(call, ast.Call) and call.args and is_call_of(call.func, "published")):
            continue
        match call.args[0]:
            case ast.Constant(value=str(text)):
                patterns.append(re.compile(re.escape(text)))
            case ast.JoinedStr(values=parts):
                texts = [str(one.value) if isinstance(one, ast.Constant) else None for one in parts]
                patterns.append(
                    re.compile("".join(".*" if text is None else re.escape(text) for text in texts))
                )
            case _:
                pass
    return patterns


@pytest.mark.parametrize("module", MODULES, ids=lambda path: path.stem)
def test_every_module_has_its_section_and_every_check_its_row(module: Path) -> None:
    name = str(module.relative_to(ROOT))
    sections = [part for part in re.split(r"(?m)^## ", PAGE.read_text("utf-8")) if name in part]
    assert len(sections) == 1, "run python tools/published_checks.py"
    told = quantities(sections[0])
    missing = [
        one.pattern for one in written_in(module) if not any(one.fullmatch(text) for text in told)
    ]
    assert missing == [], "run python tools/published_checks.py"


@pytest.mark.parametrize(
    ("ours", "theirs", "holds"),
    [
        (4.24, "4.2", True),
        (4.26, "4.2", False),
        (4.0, "4.00", True),
        (4.006, "4.00", False),
        (1.0e-5, "1.2e-5", False),
        (float("nan"), "4.2", False),
        ([1.0, 2.6], ["1", "2"], False),
        ([1.0], ["1", "2"], False),
    ],
)
def test_half_a_printed_digit_is_the_tolerance(ours: object, theirs: object, holds: bool) -> None:  # noqa: FBT001
    published = Published(lambda _name, _check: None)

    def ask() -> None:
        published("a value", ours, theirs, source="a book")  # type: ignore[arg-type]

    if holds:
        ask()
    else:
        with pytest.raises(AssertionError, match="a value"):
            ask()


def test_a_word_is_the_same_or_is_not() -> None:
    published = Published(lambda _name, _check: None)
    published.exactly("a class", [3, None], [3, None], source="a table")
    with pytest.raises(AssertionError, match="a table has 3, None, we have 4, None"):
        published.exactly("a class", [4, None], [3, None], source="a table")


def test_no_section_is_left_over() -> None:
    named = re.findall(r"(?m)^`(tests/.*)`$", PAGE.read_text("utf-8"))
    assert named == [str(module.relative_to(ROOT)) for module in MODULES]


@pytest.mark.slow
def test_the_page_is_todays(tmp_path: Path) -> None:
    page = tmp_path / "today.md"
    command = [sys.executable, str(ROOT / "tools" / "published_checks.py"), str(page)]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)  # noqa: S603
    assert ran.returncode == 0, ran.stdout + ran.stderr
    assert rows(page.read_text("utf-8")) == rows(PAGE.read_text("utf-8")), (
        "run python tools/published_checks.py"
    )
