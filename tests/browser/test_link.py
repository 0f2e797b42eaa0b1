"""The link in a browser, against a fake vehicle: its stages for every reader and width."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from homeleg.formats.release_file import read_release
from tests.browser.conftest import KeepRelease, OpenPage, Program
from tests.browser.test_screens import PHONE, RULES
from tests.link.test_command import aircraft
from tests.link.wire import OnTheWire, over_tcp

pytestmark = pytest.mark.browser
PATIENCE_MS = 30_000


@pytest.fixture
def release(program: Program, keep_release: KeepRelease) -> Path:
    return keep_release(program.base)


@pytest.fixture
def wire(release: Path) -> OnTheWire:
    return aircraft(release, loaded=True)


@pytest.fixture
def at_the_link(
    open_page: OpenPage, program: Program, release: Path, wire: OnTheWire
) -> Iterator[Callable[..., Page]]:
    """Return what opens the page of the link and hears the aircraft."""
    with over_tcp(wire) as port:

        def opened(**how: Any) -> Page:
            address = f"/release/{read_release(release).code}/link"
            page = open_page(address, **how)
            own = {"Origin": program.address}
            page.request.post(f"{program.address}{address}/close", headers=own)
            page.reload()
            clean(page)
            page.locator("#port").fill(port)
            page.get_by_role("button", name="Listen").click()
            expect(page.locator("h1")).to_have_text("System 7 is heard.", timeout=PATIENCE_MS)
            return page

        yield opened


def clean(page: Page) -> None:
    """Nothing in a reader's way, nothing cut off at the side."""
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0


def large(page: Page) -> None:
    """Whatever is touched is 60 pixels high, and nothing of it stays under the act."""
    small = page.evaluate("""() => {
      const touched = "main a, main button, main input, main summary, main label:has(input), .act";
      const seen = [...document.querySelectorAll(touched)].filter((one) => one.checkVisibility());
      const whole = seen.filter((one) => one.matches("label") || !one.closest("label"));
      return whole.filter((one) => one.getBoundingClientRect().height < 59.5)
        .map((one) => `${one.outerHTML.slice(0, 90)} ${one.getBoundingClientRect().height}`);
    }""")
    assert small == []
    page.evaluate("scrollTo(0, document.body.scrollHeight)")
    covered = page.evaluate("""() => {
      const act = document.querySelector(".act")?.getBoundingClientRect();
      const seen = [...document.querySelectorAll("main a, main button, main input, main summary")];
      return seen.filter((one) => act && one.checkVisibility())
        .filter((one) => one.getBoundingClientRect().bottom > act.top + 1
          && one.getBoundingClientRect().top < act.bottom)
        .map((one) => one.outerHTML.slice(0, 90));
    }""")
    assert covered == []
    page.evaluate("scrollTo(0, 0)")


def read_aloud(page: Page) -> None:
    page.get_by_label("Return height").fill("85 m above launch")
    page.get_by_label("From a lost link").fill("10 s")
    page.get_by_label("Who reads").fill("Kim")
    page.get_by_role("radio", name="orbit, then land", exact=True).check()


@pytest.mark.parametrize("how", [{}, PHONE], ids=["laptop", "phone"])
def test_from_the_port_to_same_and_live(
    at_the_link: Callable[..., Page], how: dict[str, Any]
) -> None:
    page = at_the_link(**how)
    expect(page.locator("#age")).not_to_have_text("NO DATA", timeout=PATIENCE_MS)
    clean(page)
    large(page)
    read_aloud(page)
    page.get_by_role("button", name="Fetch and compare").click()
    page.locator(".end").wait_for(timeout=PATIENCE_MS)
    expect(page.locator("#verified")).to_contain_text("verified", timeout=PATIENCE_MS)
    clean(page)
    large(page)
    page.get_by_role("link", name="Live").click()
    expect(page.locator("#verified")).to_contain_text("verified", timeout=PATIENCE_MS)
    clean(page)
    large(page)
    page.get_by_role("button", name="Record").click()
    expect(page.locator("#recording")).not_to_have_text("0", timeout=PATIENCE_MS)
    clean(page)
    page.get_by_role("button", name="End the recording").click()
    expect(page.locator("main")).to_contain_text("messages in recordings/")


def test_a_load_is_named_first(at_the_link: Callable[..., Page], wire: OnTheWire) -> None:
    wire.vehicle.plans = {0: [], 1: [], 2: []}
    page = at_the_link(**PHONE)
    page.get_by_text("Load the release into it").click()
    page.get_by_role("button", name="Load it").click()
    page.get_by_role("button", name="No", exact=True).wait_for(timeout=PATIENCE_MS)
    clean(page)
    large(page)
    page.get_by_role("button", name="No", exact=True).click()
    page.get_by_label("Type its system id").wait_for(timeout=PATIENCE_MS)
    clean(page)
    large(page)
    page.get_by_role("button", name="Leave it as it is").click()
    expect(page.locator("main")).to_contain_text("not confirmed", timeout=PATIENCE_MS)
    clean(page)
