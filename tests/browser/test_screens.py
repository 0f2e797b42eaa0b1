"""The screens in a browser: lights, widths, zoom, keyboard, touch, and for a reader of screens.

Accessibility is checked by axe-core (its rules follow WCAG 2.2, A and AA, and best practice), as
packed in axe-playwright-python. Contrast of at least 7:1 is WCAG 2.2, 1.4.6 (MEMORY); targets of
44 px are 2.5.5, ours at the act are 60.
"""

from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from tests.browser.conftest import OpenPage, in_one_window, tab_to

pytestmark = pytest.mark.browser

PAGES = (
    "/",
    "/base",
    "/aircraft/petrel/changed",
    "/sortie/tern-point/evening",
    "/sortie/tern-point/turnaround",
    "/face",
    "/sortie/tern-point",
    "/sortie/tern-point/ground",
    "/sortie/tern-point/weather",
    "/sortie/tern-point/route",
    "/nowhere",
    "/aircraft/new",
)
LIGHTS = ("light", "dark", "sunlight")
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "is_mobile": True,
}
# A page of 1280 x 800 at 200 % is laid out as one of 640 x 400.
ZOOMED: dict[str, Any] = {"viewport": {"width": 640, "height": 400}, "device_scale_factor": 2}
RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "wcag2aaa", "best-practice"],
    "rules": {"color-contrast-enhanced": {"enabled": True}},
}


def ready(page: Page) -> None:
    if page.url.endswith("/sortie/tern-point"):
        page.locator(".plate").wait_for(timeout=60_000)


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("path", PAGES)
def test_nothing_stands_in_a_readers_way(open_page: OpenPage, path: str, light: str) -> None:
    page = open_page(path, light=light)
    ready(page)
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("how", [PHONE, ZOOMED], ids=["phone", "zoomed"])
def test_nothing_is_cut_off_at_the_side(
    open_page: OpenPage, path: str, how: dict[str, Any]
) -> None:
    page = open_page(path, **how)
    ready(page)
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("how", [{}, PHONE, ZOOMED], ids=["laptop", "phone", "zoomed"])
def test_no_letter_is_small(open_page: OpenPage, path: str, how: dict[str, Any]) -> None:
    page = open_page(path, **how)
    ready(page)
    # As drawn: a figure may be drawn smaller than it is written.
    small = page.evaluate(
        """() => [...document.querySelectorAll("body *")].filter(one => one.checkVisibility()
        && [...one.childNodes].some(node => node.nodeType === Node.TEXT_NODE
          && node.textContent.trim())
        && parseFloat(getComputedStyle(one).fontSize)
          * (one.ownerSVGElement ? one.getScreenCTM().a : 1) < 15.5)
        .map(one => one.textContent)"""
    )
    assert small == []


@pytest.mark.parametrize("light", ["light", "sunlight"])
def test_the_verdict_is_in_one_window(verdict_page: OpenPage, light: str) -> None:
    in_one_window(verdict_page(light=light))


def test_the_act_is_as_wide_as_a_phone(verdict_page: OpenPage) -> None:
    box = verdict_page(**PHONE).locator(".act").bounding_box()
    assert box is not None
    assert box["height"] >= 60
    assert box["width"] >= 390 - 2 * 16


def test_sunlight_is_black_and_white_and_large(verdict_page: OpenPage) -> None:
    page = verdict_page(light="sunlight")
    inks = page.evaluate(
        """() => [...new Set([...document.querySelectorAll("body *")].filter(one =>
        one.checkVisibility()).flatMap(one => {
          const style = getComputedStyle(one);
          return [style.color, style.backgroundColor, style.fill, style.stroke];
        }).filter(ink => ink.startsWith("rgb")))]"""
    )
    assert set(inks) <= {"rgb(0, 0, 0)", "rgb(255, 255, 255)", "rgba(0, 0, 0, 0)"}
    small = page.evaluate(
        """() => [...document.querySelectorAll("main *, header *")].filter(one =>
        one.checkVisibility() && [...one.childNodes].some(node =>
          node.nodeType === Node.TEXT_NODE && node.textContent.trim())
        && !one.closest("svg") && parseFloat(getComputedStyle(one).fontSize) < 18)
        .map(one => one.outerHTML.slice(0, 80))"""
    )
    assert small == []


def test_by_keyboard_alone_to_a_row_and_another_axis(verdict_page: OpenPage) -> None:
    page = verdict_page()
    ribbon = page.locator('.drawn.laptop[data-unit="Wh"]')
    expect(ribbon).to_be_hidden()
    tab_to(page, "#axis-mAh")
    page.keyboard.press("ArrowRight")
    expect(ribbon).to_be_visible()
    tab_to(page, ".tight > details > summary")
    page.keyboard.press("Enter")
    expect(page.locator(".tight > details[open] .facts").first).to_be_visible()
    tab_to(page, "#rest > summary")
    page.keyboard.press("Enter")
    expect(page.locator("#rest .q").first).to_be_visible()


def test_by_keyboard_alone_from_the_base_to_a_verdict(open_page: OpenPage) -> None:
    page = open_page("/base")
    tab_to(page, "a.act")
    page.keyboard.press("Enter")
    expect(page.locator(".plate")).to_be_visible(timeout=60_000)


def test_a_tap_unfolds_a_row(verdict_page: OpenPage) -> None:
    page = verdict_page(has_touch=True)
    page.locator(".tight > details > summary").first.tap()
    expect(page.locator(".tight > details[open] .facts").first).to_be_visible()
