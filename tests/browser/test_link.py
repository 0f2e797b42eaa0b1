"""The link in a browser, against a fake vehicle: its stages for every reader and width."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from starlette.testclient import TestClient

from homeleg.app.application import application
from homeleg.app.office import Office
from homeleg.desk.base import make_base
from homeleg.desk.release import write_release
from homeleg.formats.release_file import read_release
from homeleg.release.canonical import recorded
from tests.browser.conftest import OpenPage, Program
from tests.browser.test_screens import PHONE, RULES
from tests.link.test_command import aircraft
from tests.link.wire import OnTheWire, over_tcp

TWO = {"name-0": "Kim", "role-0": "pilot", "name-1": "Lee", "role-1": "observer"}
pytestmark = pytest.mark.browser
PATIENCE_MS = 30_000


@pytest.fixture
def release(program: Program, hand_made_check: None, tmp_path: Path) -> Path:
    """Return a release in the base of the program, signed on its screens, that does not expire."""
    base = make_base(program.base)
    kept = list(base.releases.glob("*.release.json"))
    if kept:
        return kept[0]
    office = Office(user_folder=tmp_path, offered_folder=tmp_path, base=base)
    office.now = lambda: datetime(2026, 6, 9, 16, 55, tzinfo=UTC)
    client = TestClient(application(office))
    client.get("/sortie/tern-point/release")
    client.post("/sortie/tern-point/release", data=TWO)
    (short,) = base.releases.glob("*.release.json")
    made = read_release(short)
    short.unlink()
    frozen = {**made.frozen, "valid_until": recorded(datetime(2099, 1, 1, tzinfo=UTC))}
    lasting = replace(made, frozen=frozen, folder=str(base.releases / made.folder))
    path = base.releases / f"{lasting.code}.release.json"
    write_release(lasting, path)
    return path


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


@pytest.mark.parametrize("how", [{}, PHONE], ids=["laptop", "phone"])
def test_from_the_port_to_same_and_live(
    at_the_link: Callable[..., Page], how: dict[str, Any]
) -> None:
    page = at_the_link(**how)
    expect(page.locator("#age")).not_to_have_text("NO DATA", timeout=PATIENCE_MS)
    clean(page)
    page.get_by_label("Return height").fill("85 m above launch")
    if page.get_by_label("From a lost link").count():
        page.get_by_label("From a lost link").fill("10 s")
    page.get_by_role("button", name="Fetch and compare").click()
    page.locator(".end").wait_for(timeout=PATIENCE_MS)
    expect(page.locator("#verified")).to_contain_text("verified", timeout=PATIENCE_MS)
    clean(page)
    page.get_by_role("link", name="Live").click()
    expect(page.locator("#verified")).to_contain_text("verified", timeout=PATIENCE_MS)
    clean(page)


def test_a_load_is_named_first(at_the_link: Callable[..., Page], wire: OnTheWire) -> None:
    wire.vehicle.plans = {0: wire.vehicle.plans[0][:2], 1: [], 2: []}
    page = at_the_link(**PHONE)
    page.get_by_text("Load the release into it").click()
    page.get_by_role("button", name="Load it").click()
    page.get_by_label("Type its system id").wait_for(timeout=PATIENCE_MS)
    clean(page)
    page.get_by_role("button", name="Leave it as it is").click()
    expect(page.locator("main")).to_contain_text("not confirmed", timeout=PATIENCE_MS)
    clean(page)
