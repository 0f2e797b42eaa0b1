"""What if: an input changed, both verdicts side by side, taken and taken back; in two windows."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from tests.browser.conftest import OpenPage, Program
from tests.browser.test_screens import RULES

pytestmark = pytest.mark.browser

VERDICT = "/sortie/tern-point"
SAVED = "Count what holds the wing"  # the first call comes after the numbers
PATIENCE_MS = 300_000


@pytest.fixture
def own(tmp_path: Path) -> Iterator[Program]:
    """Return a program whose files a test may change."""
    add_example(make_base(tmp_path / "base"), "tern-point")
    running = Program(tmp_path / "base", tmp_path / "notes")
    running.start()
    yield running
    running.end()


@pytest.fixture
def sortie(own: Program) -> Path:
    return own.base / "sorties" / "tern-point" / "sortie.toml"


def flown(page: Page, **typed: str) -> None:
    """Type what would be different, and wait until both are flown."""
    for name, text in typed.items():
        page.locator(f"#turn [name={name}]").fill(text)
    page.keyboard.press("Enter")
    expect(page.locator(".side .plate")).to_have_count(2, timeout=PATIENCE_MS)


def test_more_wind_is_flown_taken_and_taken_back(
    open_page: OpenPage, own: Program, sortie: Path
) -> None:
    before = sortie.read_bytes()
    page = open_page(f"{VERDICT}/what-if", of=own)
    flown(page, speed="8", gust="11")
    # The way home at 15.5 m/s: in 5 m/s at the ground it makes headway, in 8 less than is wanted.
    assert page.locator(".side .plate").all_inner_texts() == ["GO", "NO-GO"]
    stands, turned = (page.locator(".side").nth(side).bounding_box() for side in (0, 1))
    assert stands is not None
    assert turned is not None
    assert stands["x"] + stands["width"] <= turned["x"]
    assert abs(stands["y"] - turned["y"]) < 1.0
    headway = page.locator("table.changed tbody tr", has_text="Least ground speed")
    expect(headway).to_contain_text("GO → NO-GO")
    stated = headway.locator("td > span:last-child").all_inner_texts()
    stands_m_s, turned_m_s = (float(text.split()[0]) for text in stated)
    assert turned_m_s < 5.0 < stands_m_s
    listed = page.locator("table.changed td:first-of-type .mark").count()
    words = page.locator("p.note").inner_text()
    told = re.fullmatch(r"The other (\d+) of (\d+) questions read as before\.", words)
    assert told is not None
    assert int(told[2]) - int(told[1]) == listed
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()
    assert sortie.read_bytes() == before
    page.get_by_role("button", name="Take this").click()
    expect(page.locator(".plate").first).to_have_text("NO-GO", timeout=PATIENCE_MS)
    assert '"8 m/s from 225"' in sortie.read_text()
    page.locator("form.made button").click()
    expect(page.locator(".plate").first).to_have_text("GO", timeout=PATIENCE_MS)
    assert sortie.read_bytes() == before


def test_the_second_of_two_windows_sees_both_before_one_is_written(
    open_page: OpenPage, own: Program, sortie: Path
) -> None:
    first, second = (open_page(f"{VERDICT}/numbers", of=own) for _ in range(2))
    for page, speed, then in ((first, "5.5", SAVED), (second, "6.2", "Not saved: sortie.toml")):
        page.locator("[name=speed]").fill(speed)
        page.locator("[name=speed]").press("Enter")
        expect(page.locator("h1")).to_contain_text(then)
    assert '"5.5 m/s from 225"' in sortie.read_text()
    row = second.locator("table.versions tr.both", has_text="surface_wind")
    expect(row.locator('[data-name="The file now"]')).to_contain_text("5.5 m/s")
    expect(row.locator('[data-name="Yours"]')).to_contain_text("6.2 m/s")
    found = Axe().run(second, options=RULES)
    assert found.violations_count == 0, found.generate_report()
    second.get_by_role("button", name="Write mine over it").click()
    expect(second.locator("h1")).to_contain_text(SAVED)
    assert '"6.2 m/s from 225"' in sortie.read_text()
