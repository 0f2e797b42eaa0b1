"""The logbook in a browser: a defect entered by keyboard, every light, a phone, 200 %."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from homeleg.desk.logbook_typed import enter_typed
from homeleg.logbook.store import Laptop
from tests.browser.conftest import OpenPage, Program, tab_to
from tests.browser.test_screens import LIGHTS, PHONE, RULES, ZOOMED

pytestmark = pytest.mark.browser

PAGES = ("/logbook", "/logbook/defect", "/logbook/pack", "/logbook/paper", "/logbook/flight")


@pytest.fixture(scope="module")
def keeping(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """Return the program on a base whose logbook holds one entry of nearly every kind."""
    folder = tmp_path_factory.mktemp("keeping")
    base = make_base(folder / "base")
    add_example(base, "tern-point")
    now = datetime.now(UTC)  # noqa: TID251 (the program goes by its own clock)
    soon = (now + timedelta(days=9)).date().isoformat()
    flown = (now - timedelta(hours=2)).isoformat()
    kept: tuple[tuple[str, dict[str, str]], ...] = (
        ("pack", {"pack": "B2", "aircraft": "petrel", "cycles": "41", "temperature": "21 degC"}),
        ("flight", {"aircraft": "petrel", "minutes": "9.5", "pilot": "Kim", "at": flown}),
        ("defect", {"aircraft": "petrel", "words": "crack in the tail boom", "by": "Kim"}),
        ("event", {"aircraft": "petrel", "what": "hard landing", "by": "Kim"}),
        ("maintenance", {"aircraft": "petrel", "task": "new servo horns", "flights": "1"}),
        ("paper", {"kind": "insurance", "holder": "petrel", "number": "77", "until": soon}),
    )
    for kind, fields in kept:
        enter_typed(base, Laptop("1f", "field"), now, kind, fields)
    running = Program(folder / "base", folder / "notes")
    running.start()
    yield running
    running.end()


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("path", PAGES)
def test_nothing_stands_in_a_readers_way(
    open_page: OpenPage, keeping: Program, path: str, light: str
) -> None:
    page = open_page(path, of=keeping, light=light)
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("how", [PHONE, ZOOMED], ids=["phone", "zoomed"])
def test_nothing_is_cut_off_at_the_side(
    open_page: OpenPage, keeping: Program, path: str, how: dict[str, object]
) -> None:
    page = open_page(path, of=keeping, **how)
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0


def test_in_sunlight_every_word_is_large(open_page: OpenPage, keeping: Program) -> None:
    page = open_page("/logbook", of=keeping, light="sunlight", **PHONE)
    smallest = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll("main *")]
             .filter(one => [...one.childNodes].some(t => t.nodeType === 3 && t.data.trim()))
             .map(one => parseFloat(getComputedStyle(one).fontSize)))"""
    )
    assert smallest >= 18.0
    heights = page.locator("main .small.box").evaluate_all(
        "all => all.map(one => one.getBoundingClientRect().height)"
    )
    assert min(heights) >= 60.0


def test_a_defect_is_entered_by_keyboard_and_put_right(
    open_page: OpenPage, keeping: Program
) -> None:
    page = open_page("/logbook", of=keeping)
    tab_to(page, ".act")
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_have_text("What was found wrong?")
    tab_to(page, "input[name=words]")
    page.keyboard.type("left aileron horn is loose")
    page.keyboard.press("Enter")
    opened = page.locator(".open > li", has_text="left aileron horn is loose")
    expect(opened).to_be_visible()
    opened.get_by_role("link", name="Put right").click()
    page.locator("input[name=words]").fill("glued")
    page.locator("button.act").click()
    expect(opened).to_have_count(0)
    expect(page.locator(".entries")).to_contain_text("Done (Kim), glued.")


def test_what_is_missing_is_told_beside_what_was_typed(
    open_page: OpenPage, keeping: Program
) -> None:
    page = open_page("/logbook/paper", of=keeping, **PHONE)
    page.locator("[name=holder]").fill("petrel")
    page.locator("[name=until]").fill("31.3.27")
    page.locator("button.act").click()
    expect(page.get_by_role("alert")).to_contain_text("Last day")
    expect(page.locator("[name=holder]")).to_have_value("petrel")
    expect(page.locator("[name=until]")).to_have_attribute("aria-invalid", "true")
