"""Today in a browser: what changed told by keyboard alone, and letters large enough on a phone."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from playwright.sync_api import expect

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from homeleg.desk.logbook import enter, open_logbook
from homeleg.logbook.store import Laptop
from homeleg.readiness.entries import Flight
from tests.browser.conftest import OpenPage, Program, tab_to
from tests.browser.test_screens import PHONE

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def flown(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """Return the program on a base whose aircraft flew an hour ago."""
    folder = tmp_path_factory.mktemp("flown")
    base = make_base(folder / "base")
    add_example(base, "tern-point")
    now = datetime.now(UTC)  # noqa: TID251 (the program goes by its own clock)
    laptop = Laptop(id="0123456789abcdef", name="field laptop")
    open_logbook(base, laptop, now)
    flight = Flight(
        aircraft="petrel",
        duration_s=600.0,
        charge_ah=0.8,
        place="Tern Point",
        pilot="Kim",
        release=None,
        pack="pack 1",
    )
    enter(base, laptop, now, flight, at=now - timedelta(hours=1))
    running = Program(folder / "base", folder / "notes")
    running.start()
    yield running
    running.end()


@pytest.mark.parametrize("light", ["light", "sunlight"])
def test_on_a_phone_every_word_of_the_day_is_large_enough(
    open_page: OpenPage, flown: Program, light: str
) -> None:
    page = open_page("/", of=flown, light=light, **PHONE)
    expect(page.locator(".day.phone svg")).to_be_visible()
    expect(page.locator(".day.laptop svg")).to_be_hidden()
    smallest = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll(".day.phone svg text")].map(word =>
          word.getScreenCTM().a * parseFloat(getComputedStyle(word).fontSize)))"""
    )
    assert smallest >= (18.0 if light == "sunlight" else 16.0) - 0.1


def test_what_changed_is_told_by_keyboard_alone(open_page: OpenPage, flown: Program) -> None:
    page = open_page("/", of=flown)
    tab_to(page, "section:has(#open) a.row")
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_have_text("What changed since the last flight?")
    tab_to(page, "[name=HARD_LANDING]")
    page.keyboard.press("Space")
    tab_to(page, "button.act")
    page.keyboard.press("Enter")
    things = page.locator("section:has(#open) .row strong")
    expect(things.first).to_contain_text("The wing: count what holds it")
    told = (flown.base / "sorties" / "tern-point" / "sortie.toml").read_text()
    assert "[told.wing]" not in told
    assert "sense" not in told
