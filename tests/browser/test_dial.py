"""The wind dial in a browser: looked at, typed into, and on to the full check."""

from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from tests.browser.conftest import OpenPage, Program
from tests.browser.test_screens import PHONE, RULES

pytestmark = pytest.mark.browser


def test_from_the_verdict_to_the_dial_and_back(open_page: OpenPage, tmp_path: Path) -> None:
    add_example(make_base(tmp_path / "base"), "tern-point")
    program = Program(tmp_path / "base", tmp_path / "notes")
    program.start()
    try:
        page = open_page("/sortie/tern-point", of=program)
        page.locator(".plate").wait_for(timeout=60_000)
        page.get_by_role("link", name="Which other winds would do").click()
        expect(page.locator(".plate")).to_have_text("GO", timeout=120_000)
        expect(page.locator("h1")).to_contain_text("inside the window")
        found = Axe().run(page, options=RULES)
        assert found.violations_count == 0, found.generate_report()
        page.locator("#speed").fill("12")
        page.keyboard.press("Enter")
        # 12 m/s is most of the cruise airspeed of 15.5 m/s: the headway wanted is 5 m/s.
        expect(page.locator(".plate")).to_have_text("NO-GO", timeout=30_000)
        page.set_viewport_size(PHONE["viewport"])
        wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert wide <= 0
        page.get_by_role("button", name="Check in full").click()
        expect(page.locator(".plate")).to_have_text("NO-GO", timeout=60_000)
        assert page.url.endswith("/sortie/tern-point")
    finally:
        program.end()
