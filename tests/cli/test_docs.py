"""The pages: each can be found from the index, its links lead somewhere, its constants hold."""

import re
from pathlib import Path

import pytest

from homeleg.formats.limits_file import read_limits
from homeleg.verdict.limits import Question

DOCS = Path(__file__).parents[2] / "docs"
PAGES = sorted(DOCS.rglob("*.md"))
LINK = re.compile(r"\]\(([^)#:]+)(#[^)]*)?\)")
DECISION = re.compile(r"^- \[(\d+)\. .*\]\(decisions/(.*)\)$", re.MULTILINE)
CONSTANT = re.compile(r"^\| `(\w+)/` `(\w+)` \| ([\d.]+)", re.MULTILINE)
CONSTANTS = CONSTANT.findall(DOCS.joinpath("methods.md").read_text("utf-8"))


def links(page: Path) -> set[Path]:
    return {
        page.parent.joinpath(target).resolve()
        for target, _ in LINK.findall(page.read_text("utf-8"))
    }


def test_every_page_is_linked_from_the_index() -> None:
    index = DOCS / "README.md"
    assert set(PAGES) - {index} - links(index) == set()


def test_decisions_stand_in_the_order_of_their_numbers() -> None:
    listed = DECISION.findall((DOCS / "README.md").read_text("utf-8"))
    files = sorted(path.name for path in (DOCS / "decisions").glob("*.md"))
    assert [name for _, name in listed] == files
    assert [int(number) for number, _ in listed] == [int(name[:4]) for name in files]


def test_the_readme_leads_to_the_index() -> None:
    assert DOCS / "README.md" in links(DOCS.parent / "README.md")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(DOCS)))
def test_links_of_pages_lead_somewhere(page: Path) -> None:
    assert [target for target in links(page) if not target.exists()] == []


@pytest.mark.parametrize("question", list(Question))
def test_each_question_is_listed_with_its_rows(question: Question) -> None:
    text = (DOCS / "how-to-check-a-sortie.md").read_text("utf-8")
    [line] = [line for line in text.splitlines() if line.startswith(f"| {question.title} |")]
    rows = [slug for slug, limit in read_limits().items() if limit.question is question]
    assert re.findall(r"`([^`]+)`", line) == rows


def test_the_table_of_constants_was_found() -> None:
    assert len(CONSTANTS) >= 20


@pytest.mark.parametrize(("room", "name", "printed"), CONSTANTS)
def test_methods_print_the_constants_of_the_code(room: str, name: str, printed: str) -> None:
    definition = re.compile(rf"^_?{name} = ([\d.e]+)\b", re.MULTILINE)
    sources = DOCS.parent.joinpath("src", "homeleg", room).glob("*.py")
    [value] = [
        found for source in sources for found in definition.findall(source.read_text("utf-8"))
    ]
    assert float(value) == float(printed)
