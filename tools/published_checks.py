# ruff: noqa: INP001
"""Write docs/published-checks.md: run the published tests and print what they compared.

    python tools/published_checks.py [ANOTHER FILE]

A row of the page is the object that the test asserts (tests/published.py): nothing is typed twice.
"""

import ast
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "published-checks.md"
sys.path.insert(0, str(ROOT))

from tests.published import Check  # noqa: E402 (the tests are no installed package)

INTRODUCTION = """# Published checks

What the formulas and readers are held against: figures that others printed, computed or measured.
Each row is one quantity of one source: how many values of it are checked, and of those the one that
lies furthest off for its tolerance. FOUND: read there, or where it is quoted; COMPUTED: made with
another program or by hand, apart from this one; MEMORY: recalled. Half its last printed digit is
the usual tolerance; another one has its reason beside it. A row that does not hold is a known gap.

The tests wrote this page (`python tools/published_checks.py`); a test fails when a row is missing
or left over.
"""
HEADER = """| quantity | values | theirs | ours | within | why that much | holds |
|---|---:|---:|---:|---:|---|---|
"""


class Gathered:
    """The checks of a run, by the module that made them."""

    def __init__(self) -> None:
        self.of_module: dict[str, list[Check]] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keep what a finished test reported."""
        if report.when == "call":
            module = report.nodeid.partition("::")[0]
            told = [check for name, check in report.user_properties if name == "published"]
            self.of_module.setdefault(module, []).extend(
                Check(**check)  # type: ignore[arg-type]
                for check in told
            )


def modules() -> list[Path]:
    """Return the modules of published tests, in the order of the page."""
    return sorted((ROOT / "tests").glob("*/test_*_published.py"))


def gathered() -> dict[str, list[Check]]:
    """Run the published tests and return what each module compared."""
    plugin = Gathered()
    paths = [str(path.relative_to(ROOT)) for path in modules()]
    options = ["-q", "-p", "no:randomly", "-m", "", f"--rootdir={ROOT}"]
    if pytest.main([*options, *paths], plugins=[plugin]) is not pytest.ExitCode.OK:
        raise SystemExit("A published test fails: the page is left as it was.")
    return plugin.of_module


def page(of_module: dict[str, list[Check]]) -> str:
    """Return the whole page."""
    sections = [_section(*one) for one in sorted(of_module.items())]
    rows = "".join(sections).count("| yes |\n"), "".join(sections).count("| no |\n")
    count = sum(check.values for checks in of_module.values() for check in checks)
    summary = f"{sum(rows)} rows of {count:,} values; {rows[1]} of the rows does not hold.\n"
    return "\n".join([INTRODUCTION, summary, *sections])


def _section(module: str, checks: list[Check]) -> str:
    docstring = ast.get_docstring(ast.parse((ROOT / module).read_text("utf-8"))) or module
    title = docstring.partition("\n")[0].rstrip(".")
    by_source: dict[str, list[Check]] = {}
    for check in checks:
        by_source.setdefault(check.source, []).append(check)
    parts = [f"## {title}\n\n`{module}`\n"]
    parts += [f"{source}\n\n{HEADER}{_rows(found)}" for source, found in by_source.items()]
    return "\n".join(parts)


def _rows(checks: list[Check]) -> str:
    by_quantity: dict[tuple[str, str], list[Check]] = {}
    for check in checks:
        by_quantity.setdefault((check.quantity, check.unit), []).append(check)
    return "".join(_row(found) for found in by_quantity.values())


def _row(checks: list[Check]) -> str:
    worst = max(checks, key=lambda check: check.share_of_tolerance)
    cells = [
        worst.quantity + (f" [{worst.unit}]" if worst.unit else ""),
        str(sum(check.values for check in checks)),
        worst.theirs,
        worst.ours,
        worst.within,
        worst.because,
        "yes" if worst.holds else "no",
    ]
    return "| " + " | ".join(cell.replace("|", "\\|") for cell in cells) + " |\n"


def main() -> None:
    """Write the page, or what it would be today to another file."""
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else PAGE
    target.write_text(page(gathered()), "utf-8")


if __name__ == "__main__":
    main()
