"""A known aircraft at a saved site on a new day: from the first page to a signed release.

Counted is what a person does: each click, each field that is typed. The time is printed, not held:
most of it is this machine's, flying.
"""

import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

from homeleg.desk.base import Base, make_base
from homeleg.desk.examples import add_example
from homeleg.desk.field_release import Typed, release_here
from homeleg.desk.logbook import enter
from homeleg.desk.logbook_laptop import laptop_of
from homeleg.desk.release import candidate
from homeleg.formats.field_answers import FieldAnswers
from homeleg.readiness.entries import Flight
from tests.browser.conftest import OpenPage, Program
from tests.browser.test_screens import PHONE, RULES, ZOOMED

pytestmark = pytest.mark.browser

SLOW_MS = 600_000
AGAIN = "/sortie/tern-point/again"
YESTERDAY = datetime(2026, 6, 9, 17, 30, tzinfo=UTC)
TODAY = datetime(2026, 6, 10, 10, 0, tzinfo=UTC)
MOST_ACTIONS = 25
SEEN = {
    "wing": ("ALL", "NONE OF IT", "NOTHING", "NOTHING"),
    "sense": ("RIGHT", "UP", "RIGHT", "GOOD"),
    "speed.pitot": ("GOOD",),
    "walk": ("GOOD",),
    "airspace": ("GOOD",),
    "settings": ("GOOD",),
    "crew": ("GOOD",),
    "papers": ("GOOD",),
}
MEASURED = {"speed": "5", "from": "225", "gust": "6.5", "pack": "18"}
FIGURES = {"heading-0": "3", "position-0": "2"}


@pytest.fixture(scope="module")
def morning(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """Return the program on the morning after a flight, on the base of that day."""
    folder = tmp_path_factory.mktemp("morning")
    base = make_base(folder / "base")
    add_example(base, "tern-point")
    flight = Flight(
        aircraft="petrel",
        duration_s=272.0,
        charge_ah=0.469,
        place="Tern Point",
        pilot="Kim Reed",
        release=None,
        pack=None,
    )
    released_yesterday(base)
    enter(base, laptop_of(folder / "notes" / "homeleg"), YESTERDAY, flight)
    running = Program(folder / "base", folder / "notes", TODAY)
    running.start()
    yield running
    running.end()


def released_yesterday(base: Base) -> None:
    """Sign the release that was flown on yesterday, as its screen does."""
    path, now = (
        base.sorties / "tern-point" / "sortie.toml",
        datetime(2026, 6, 9, 16, 52, tzinfo=UTC),
    )
    made = candidate(path, FieldAnswers(), now=now, members=256)
    figure = made.read_back.figure.split()[0]
    typed = Typed(people=[("Kim Reed", "")], code=made.draft.code, figure=figure)
    release_here(base, made, typed, now)


class Hands:
    """What a person does on a page, counted."""

    def __init__(self, page: Page) -> None:
        self.page, self.actions = page, 0

    def click(self, where: Locator) -> None:
        self.actions += 1
        where.click()

    def type(self, name: str, text: str) -> None:
        self.actions += 1
        self.page.locator(f"[name='{name}']").fill(text)

    def answer(self, name: str, words: str) -> None:
        box = self.page.locator(f"label:has(input[name='{name}'][value='{words}'])")
        self.click(box)


def calls_answered(hands: Hands) -> None:
    """Answer every call that is asked; one that this test does not know of is a miss."""
    names = hands.page.eval_on_selector_all(
        ".call-of-day input[type=radio]:not([name=changed])",
        "all => [...new Set(all.map(one => one.name))]",
    )
    for name in names:
        item, number = name.rsplit("-", 1)
        hands.answer(name, SEEN[item][int(number)])
    for name, figure in FIGURES.items():
        hands.type(name, figure)


def test_at_most_25_actions_to_a_signed_release(
    open_page: OpenPage, morning: Program, capsys: pytest.CaptureFixture[str]
) -> None:
    page = open_page("/", of=morning)
    page.set_default_timeout(SLOW_MS)
    began, hands = time.perf_counter(), Hands(page)
    hands.click(page.locator("a.act"))
    expect(page.locator("h1")).to_have_text("Tern Point, again today.")
    hands.answer("changed", "NOTHING")
    for name, figure in MEASURED.items():
        hands.type(name, figure)
    calls_answered(hands)
    typed_s = time.perf_counter() - began
    hands.click(page.locator("button.act"))
    expect(page.locator(".plate")).to_have_text("GO", timeout=SLOW_MS)
    expect(page.locator("main")).not_to_contain_text("to do before the release")
    code = "".join(page.locator(".code").inner_text().split())
    asked = page.locator("label:has([name=figure])").inner_text().removeprefix("The figure at: ")
    row = page.locator("li.row.call", has_text=asked.strip())
    figure = row.locator("b.deciding").inner_text().split()[0]
    expect(page.locator("[name=name-0]")).to_have_value("Kim Reed")  # as yesterday
    hands.type("code", code)
    hands.type("figure", figure)
    hands.click(page.locator("button.act"))
    page.wait_for_url("**/release/*", timeout=SLOW_MS)
    expect(page.locator("main")).to_contain_text("Kim Reed")
    whole_s = time.perf_counter() - began
    with capsys.disabled():
        words = (
            f"{hands.actions} actions, {whole_s:.0f} s; {typed_s:.0f} s of them before the flights"
        )
        sys.stdout.write(f"\n{words}\n")
    assert hands.actions <= MOST_ACTIONS


@pytest.mark.parametrize("how", [{}, PHONE, ZOOMED], ids=["laptop", "phone", "zoomed"])
def test_the_page_of_the_day_can_be_read(
    open_page: OpenPage, morning: Program, how: dict[str, object]
) -> None:
    page = open_page(AGAIN, of=morning, **how)
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0


def test_by_keyboard_alone_and_a_slip_is_mended(open_page: OpenPage, morning: Program) -> None:
    page = open_page(AGAIN, of=morning)
    page.locator("[name=speed]").focus()
    page.keyboard.type("windy")
    page.keyboard.press("Tab")
    page.keyboard.type("225")
    page.keyboard.press("Enter")
    expect(page.locator("#wrong-speed, #wrong-changed").first).to_be_visible()
    expect(page.locator("[name=from]")).to_have_value("225")
