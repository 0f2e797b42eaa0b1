"""The README: commands that CI runs, links that lead somewhere, our caution at the top."""

import re
from pathlib import Path

from homeleg.verdict.cautions import ADVICE

ROOT = Path(__file__).parents[2]
README = ROOT.joinpath("README.md").read_text("utf-8")
BANNED = re.compile(r"\b(safe|safely|guaranteed|certified|approved|legal|perfect)\b", re.IGNORECASE)


def test_ci_finds_each_command_of_the_readme_once() -> None:
    asked = re.findall(r"readme_command '([^']+)'", ROOT.joinpath(".ci", "run").read_text("utf-8"))
    assert len(asked) == 2
    for words in asked:
        [line] = [line for line in README.splitlines() if words in line]
        assert line.startswith("python3 -m venv .venv && ")


def test_links_lead_somewhere() -> None:
    links = re.findall(r"\]\(([^)#:]+)\)", README)
    assert links != []
    assert [link for link in links if not (ROOT / link).exists()] == []


def test_the_advice_stands_at_the_top() -> None:
    flat = " ".join(README.replace("*", "").split())
    assert ADVICE in flat
    assert flat.index(ADVICE) < flat.index("Set up")


def test_no_page_says_more_than_we_know() -> None:
    pages = [ROOT / "README.md", ROOT / "CHANGELOG.md", *ROOT.joinpath("docs").rglob("*.md")]
    assert [(page.name, BANNED.findall(page.read_text("utf-8"))) for page in pages] == [
        (page.name, []) for page in pages
    ]
