"""Somebody with an aircraft and no file: from the first page to a verdict, by mouse or keyboard.

Nothing but the pages is touched, and no request leaves this machine: `open_page` fails on one.
"""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from homeleg.desk.base import make_base
from tests.browser.conftest import OpenPage, Program, tab_to

pytestmark = pytest.mark.browser

# What somebody knows who has the aircraft on the bench and stands on the field.
KNOWN = {
    "plan": "tail-boom pusher",
    "span": "1.8 m",
    "chord": "250 mm",
    "mass": "2.6 kg",
    "pack": "4S 9000 mAh",
    "launch": "hand",
    "name": "Plover",
    "place": "55.0012 N, 5.0034 W, 35 m",
    "field": "large",
    "sign": "wind felt on the face, leaves rustle",
    "from": "SW",
    "gusty": "no",
    "shape": "circuit",
}
MOST_ANSWERS, LEAST_UNKNOWN = 14, 6
MOST_STEPS = 40
QUESTIONS = 16  # of a verdict
# Link, places to come down and people: nobody asks a newcomer for them before the verdict.
MOST_UNANSWERED = 3

Press = Callable[[Page, str], None]


def _click(page: Page, selector: str) -> None:
    page.locator(selector).first.click()


def _tab_and_enter(page: Page, selector: str) -> None:
    tab_to(page, selector)
    page.keyboard.press("Enter")


@pytest.mark.parametrize("press", [_click, _tab_and_enter], ids=["mouse", "keyboard"])
def test_a_newcomer_reaches_a_verdict(open_page: OpenPage, tmp_path: Path, press: Press) -> None:
    base = make_base(tmp_path / "base")
    program = Program(base.folder, tmp_path / "notes")
    program.start()
    try:
        page = open_page("/", of=program)
        press(page, 'a.box[href="/aircraft/new"]')
        page.wait_for_url("**/aircraft/new")
        answered, unknown = _answer_all(page, press)
        assert answered <= MOST_ANSWERS
        assert unknown >= LEAST_UNKNOWN
        expect(page.locator(".plate")).to_be_visible(timeout=60_000)
        marks = page.locator(".tight > details > summary > .mark, #rest > .q > summary > .mark")
        assert marks.count() == QUESTIONS
        said = [marks.nth(number).get_attribute("aria-label") for number in range(QUESTIONS)]
        assert said.count("NOT ANSWERED") <= MOST_UNANSWERED, said
        # What decides is a figure of the flights, and leads to its row.
        row = (page.locator("h1 a").get_attribute("href") or "").removeprefix("#")
        expect(page.locator(f'[id="{row}"] .facts').first).to_contain_text("Limit from")
    finally:
        program.end()


def _answer_all(page: Page, press: Press) -> tuple[int, int]:
    """Answer what is known, take "don't know" for the rest; return how many of each."""
    counts = {"answered": 0, "unknown": 0, "moved on": 0}
    for _ in range(MOST_STEPS):
        if page.locator(".plate, #flying").count():
            return counts["answered"], counts["unknown"]
        assert page.locator(".problems").count() == 0, page.locator("main").inner_text()
        before = page.url

        def is_next(url: str, before: str = before) -> bool:
            return url != before

        counts[_answer(page, press)] += 1
        page.wait_for_url(is_next)
    pytest.fail("no end of questions")


def _answer(page: Page, press: Press) -> str:
    if not page.locator("#answer").count():
        press(page, ".act")
        return "moved on"
    field = page.locator("#answer [name]:not([type=hidden])").first
    name = field.get_attribute("name") or ""
    if name not in KNOWN:
        press(page, "#answer .unknown")
        return "unknown"
    choice = f'#answer button[name="{name}"][value="{KNOWN[name]}"]'
    if page.locator(choice).count():
        press(page, choice)
    else:
        field.focus()
        page.keyboard.type(KNOWN[name])
        page.keyboard.press("Enter")
    return "answered"
