"""Every page of the program, in every light and width: what may never be wrong on any of them.

Accessibility is checked by axe-core (its rules follow WCAG 2.2, A and AA, and best practice), as
packed in axe-playwright-python, with contrast of at least 7:1 (1.4.6). Targets are at least 44 px
high (2.5.5; links inside a sentence may be as high as it), on field screens 60; letters at least
16 px, in sunlight and at the field 18 (DESIGN's own). WCAG numbers from MEMORY.
"""

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

from homeleg.app.application import SCREENS
from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from homeleg.desk.logbook_typed import enter_typed
from homeleg.logbook.store import Laptop
from tests.browser.conftest import KeepRelease, OpenPage, Program
from tests.browser.test_screens import LIGHTS, RULES

pytestmark = pytest.mark.browser

# By route: the address, where it differs. {code} is that of a release.
PAGES = {
    "/": "/",
    "/base": "/base",
    "/first": "/first",
    "/face": "/face",
    "/aircraft/new": "/aircraft/new",
    "/aircraft/{name}": "/aircraft/petrel",
    "/aircraft/{name}/weigh": "/aircraft/petrel/weigh",
    "/aircraft/{name}/changed": "/aircraft/petrel/changed",
    "/sortie/new": "/sortie/new?aircraft=petrel",
    "/sortie/new/reach": "/sortie/new/reach?sortie=tern-point",
    "/sortie/{name}": "/sortie/tern-point",
    "/sortie/{name}/route": "/sortie/tern-point/route",
    "/sortie/{name}/dial": "/sortie/tern-point/dial",
    "/sortie/{name}/ground": "/sortie/tern-point/ground",
    "/sortie/{name}/weather": "/sortie/tern-point/weather",
    "/sortie/{name}/what-if": "/sortie/tern-point/what-if",
    "/sortie/{name}/numbers": "/sortie/tern-point/numbers",
    "/sortie/{name}/again": "/sortie/tern-point/again",
    "/sortie/{name}/calls": "/sortie/tern-point/calls",
    "/sortie/{name}/evening": "/sortie/tern-point/evening",
    "/sortie/{name}/turnaround": "/sortie/tern-point/turnaround",
    "/sortie/{name}/release": "/sortie/tern-point/release",
    "/release/{code}": "/release/{code}",
    "/release/{code}/link": "/release/{code}/link",
    "/release/{code}/after": "/release/{code}/after",
    "/release/{code}/lost": "/release/{code}/lost",
    "/release/{code}/evidence": "/release/{code}/evidence",
    "/compare/{code}": "/compare/{code}",
    "/compare/{code}/aloud": "/compare/{code}/aloud",
    "/logbook": "/logbook",
    "/logbook/{kind}": "/logbook/defect",
    "no such page": "/nowhere",
}
# What is fetched by a page, or taken away as a file.
PARTS = {
    "/aircraft/new/picture",
    "/sortie/{name}/route/board",
    "/sortie/{name}/route/computed",
    "/sortie/{name}/route/relief",
    "/sortie/{name}/underlay",
    "/sortie/{name}/underlay/picture",
    "/sortie/{name}/dial/events",
    "/sortie/{name}/what-if/events",
    "/sortie/{name}/release/progress",
    "/sortie/{name}/events",
    "/release/{code}/link/live",
    "/release/{code}/link/events",
    "/release/{code}/pages/{name}",
    "/release/{code}/export/{kind}",
    "/release/{code}/evidence/progress",
    "/release/{code}/evidence/zip",
    "/release/{code}/lost/progress",
    "/release/{code}/lost/file/{name}",
}
# Pages that are not as they should be yet, each with what is wrong: an xfail that is strict.
KNOWN = {
    "/sortie/{name}": "on a phone the ribbon's link is 28 px high, in sunlight its letters 16 px",
    "/sortie/new/reach": "leads to the verdict, which is not as it should be",
    "/sortie/{name}/dial": "rings and bearings are 14.3 px on a laptop",
}
# Another light changes nothing but colours.
COLOURS = {**RULES, "runOnly": ["cat.color"]}
# A page of 1280 x 800 at 200 % is laid out as one of 640 x 400.
WINDOWS = {"laptop": (1280, 800), "phone": (390, 844), "at 200 %": (640, 400)}
PATIENCE_MS = 240_000

# Letters as drawn: a figure may be drawn smaller than it is written; half a pixel is rounding.
SMALL = """smallest => [...document.querySelectorAll("body *")].filter(one =>
  one.checkVisibility({visibilityProperty: true}) && !one.closest(".unseen, .skip")
  && [...one.childNodes].some(node => node.nodeType === Node.TEXT_NODE && node.textContent.trim())
  && parseFloat(getComputedStyle(one).fontSize)
    * (one.ownerSVGElement ? one.getScreenCTM().a : 1) < smallest - 0.5)
  .map(one => `letters of ${parseFloat(getComputedStyle(one).fontSize)}
    ${one.ownerSVGElement ? one.getScreenCTM().a : ""} in ${one.outerHTML.slice(0, 120)}`)"""
LOW = """lowest => [...document.querySelectorAll("a, button, input, select, textarea, summary")]
  .filter(one => one.checkVisibility() && !one.closest(".skip, [hidden]")
    && one.type !== "hidden" && !one.matches("h1 a") && !(one.matches("p > a, li > a")
      && one.parentNode.textContent.trim() !== one.textContent.trim()))
  .map(one => one.closest("label") ?? one)
  .filter(one => one.getBoundingClientRect().height < lowest - 0.5)
  .map(one => `${one.getBoundingClientRect().height} high: ${one.outerHTML.slice(0, 120)}`)"""
WIDER = "document.documentElement.scrollWidth - innerWidth"


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """Return the program on a base with an example and a logbook."""
    folder = tmp_path_factory.mktemp("full")
    base = make_base(folder / "base")
    add_example(base, "tern-point")
    now = datetime.now(UTC)  # noqa: TID251 (the program goes by its own clock)
    defect = {"aircraft": "petrel", "words": "crack in the tail boom", "by": "Kim"}
    enter_typed(base, Laptop("1f", "field"), now, "defect", defect)
    running = Program(folder / "base", folder / "notes")
    running.start()
    yield running
    running.end()


@pytest.fixture
def release(full: Program, keep_release: KeepRelease) -> Path:
    return keep_release(full.base)


def test_every_route_is_in_a_table() -> None:
    routes = {
        route.path  # type: ignore[attr-defined]
        for routes in SCREENS
        for route in routes
        if "GET" in route.methods  # type: ignore[attr-defined]
    }
    assert routes == PARTS | (PAGES.keys() - {"no such page"})


@pytest.mark.parametrize(
    "address",
    [
        pytest.param(
            address,
            id=route,
            marks=[pytest.mark.xfail(strict=True, reason=KNOWN[route])] if route in KNOWN else [],
        )
        for route, address in PAGES.items()
    ],
)
def test_nothing_is_wrong(open_page: OpenPage, full: Program, release: Path, address: str) -> None:
    code = release.name.split(".")[0]
    page = open_page(address.format(code=code), of=full, has_touch=True)
    faults: list[str] = []
    for light in LIGHTS:
        (full.base / "face.toml").write_text(f'light = "{light}"\n')
        page.reload()
        settled(page)
        # As high as the page is: nothing of it lies under the act then.
        high = max(800, page.evaluate("document.documentElement.scrollHeight"))
        page.set_viewport_size({"width": 1280, "height": high})
        found = Axe().run(page, options=RULES if light == "light" else COLOURS)
        if found.violations_count:
            faults.append(f"{light}: {found.generate_report()}")
        for name, (width, height) in WINDOWS.items():
            page.set_viewport_size({"width": width, "height": height})
            faults += [f"{light}, {name}: {fault}" for fault in faults_here(page, light)]
    assert not faults, "\n".join(faults)


def settled(page: Page) -> None:
    """Wait for what is computed, so that the page shows all it has."""
    page.set_viewport_size({"width": 1280, "height": 800})
    page.wait_for_load_state("load")
    page.locator("#flying").wait_for(state="hidden", timeout=PATIENCE_MS)


def faults_here(page: Page, light: str) -> list[str]:
    at_field = page.locator("body.field").count() > 0
    wider = page.evaluate(WIDER)
    found = [f"{wider} px wider than the window"] if wider > 0 else []
    found += page.evaluate(SMALL, 18 if at_field or light == "sunlight" else 16)
    found += page.evaluate(LOW, 60 if at_field else 44)
    return found
