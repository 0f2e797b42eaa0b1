"""From a NO-GO flown all the same to its note: signed, printed, compared, learned from, again.

The wind gusts far over what the aircraft can take: the word is NO-GO at any hour of the day.
"""

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from homeleg.desk.base import make_base
from homeleg.desk.calls import keep_answers
from homeleg.desk.examples import add_example
from homeleg.formats.field_answers import FieldAnswers
from homeleg.readiness.told import TOLD_ITEMS
from tests.browser.conftest import OpenPage, Program
from tests.browser.test_screens import PHONE, RULES, ZOOMED

pytestmark = pytest.mark.browser

SORTIE = "/sortie/tern-point/release"
SLOW_MS = 400_000
FIGURES = ("pitot", "speed.pitot", "heading", "position", "route_aboard", "pack.temperature")


@pytest.fixture(scope="module")
def windy(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """Return the program on a sortie with all calls made, in a wind that is too strong."""
    folder = tmp_path_factory.mktemp("windy")
    base = make_base(folder / "base")
    add_example(base, "tern-point")
    path = base.sorties / "tern-point" / "sortie.toml"
    now = datetime.now(UTC)  # noqa: TID251 (the program goes by its own clock)
    told = tuple(item.name for item in TOLD_ITEMS if item.name not in (*FIGURES, "pack.health"))
    measured = FieldAnswers(
        told=told,
        wind="7 m/s from 225 at 2 m",
        gust="12 m/s",
        pack_temperature="18 degC",
        pack_capacity="97 %",
    )
    keep_answers(path, measured, now)
    for item, figure in (("heading", ("error", "2 deg")), ("position", ("distance", "1 m"))):
        keep_answers(path, FieldAnswers(), now, (item, *figure))
    keep_answers(path, FieldAnswers(told=("pitot",)), now)
    running = Program(folder / "base", folder / "notes")
    running.start()
    yield running
    running.end()


@pytest.fixture(scope="module")
def signed() -> dict[str, str]:
    """Hold the address of the release once it was signed."""
    return {}


@pytest.fixture
def released(open_page: OpenPage, windy: Program, signed: dict[str, str]) -> str:
    """Return the address of the release, signed by whichever test comes first."""
    if "address" not in signed:
        signed["address"] = signed_against_the_word(open_page("/", of=windy), windy)
    return signed["address"]


def nothing_in_the_way(page: Page) -> None:
    # At its end, where the act lies under everything: before, it covers what scrolls below it.
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0


def sign(page: Page, **fields: str) -> None:
    for name, words in fields.items():
        page.locator(f"[name={name.replace('_', '-')}]").fill(words)
    page.locator("button.act").click()


def signed_against_the_word(page: Page, windy: Program) -> str:
    """Release a NO-GO from its screen, with all that is refused on the way."""
    page.set_default_timeout(SLOW_MS)
    page.goto(windy.address + SORTIE, timeout=SLOW_MS)
    expect(page.locator("#flown")).to_be_visible()
    nothing_in_the_way(page)
    page.get_by_role("button", name="Stop, sign later").click()
    page.wait_for_url("**/sortie/tern-point")
    page.goto(windy.address + SORTIE, timeout=SLOW_MS)
    expect(page.locator(".plate")).to_have_text("NO-GO", timeout=SLOW_MS)
    nothing_in_the_way(page)
    sign(page, name_0="Kim", name_1="Lee")
    expect(page.get_by_role("alert")).to_contain_text(
        "Change something, or do not fly.", timeout=SLOW_MS
    )
    expect(page.locator("[name=name-0]")).to_have_value("Kim")
    sign(page, reason="no")
    expect(page.get_by_role("alert")).to_contain_text("is no reason")
    sign(page, reason="Search for a lost walker, wind falling.")
    page.wait_for_url(re.compile(r"/release/\w{6}$"), timeout=SLOW_MS)
    expect(page.locator("h1")).to_have_text("Released, not to be launched yet.")
    expect(page.locator("main")).to_contain_text("flown on the decision of Kim")
    expect(page.locator("main")).to_contain_text("does not cover the route aboard")
    nothing_in_the_way(page)
    return page.url.removeprefix(windy.address)


def test_it_is_signed_against_the_word(released: str) -> None:
    assert released.startswith("/release/")


def test_its_paper_is_there(open_page: OpenPage, windy: Program, released: str) -> None:
    page = open_page(released, of=windy)
    page.set_default_timeout(SLOW_MS)
    with page.expect_download(timeout=SLOW_MS) as waited:
        page.get_by_text("Two pages, A4").click()
    assert Path(waited.value.path()).read_bytes().startswith(b"%PDF-")
    assert waited.value.suggested_filename.endswith("A4.pdf")


def test_what_was_fetched_is_compared(
    open_page: OpenPage, windy: Program, released: str, tmp_path: Path
) -> None:
    page = open_page(released, of=windy, **PHONE)
    page.set_default_timeout(SLOW_MS)
    with page.expect_download() as waited:
        page.get_by_role("link", name="CSV").click()
    text = Path(waited.value.path()).read_text("utf-8")
    own, same, lower = (tmp_path / name for name in ("own.csv", "fetched.csv", "lower.csv"))
    own.write_text(text, "utf-8")
    same.write_text(text + "\n\n", "utf-8")  # as another program writes it
    lower.write_text(text.replace(",85", ",55", 1), "utf-8")
    page.get_by_role("link", name="Compare the route aboard").click()
    page.locator("input[type=file]").set_input_files(lower)
    expect(page.locator("textarea")).to_have_value(lower.read_text("utf-8"))
    page.get_by_role("button", name="Compare").click()
    expect(page.locator(".plate")).to_have_text("NOT THE SAME", timeout=SLOW_MS)
    expect(page.locator(".differences")).to_contain_text("pass 30 m lower than you released")
    expect(page.locator(".pair dd").first).to_have_text("85 m above launch")
    nothing_in_the_way(page)
    page.locator("a.act").click()
    nothing_in_the_way(page)
    page.locator("textarea").fill("no route at all")
    page.get_by_role("button", name="Compare").press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("Not compared.", timeout=SLOW_MS)
    expect(page.locator("textarea")).to_have_value("no route at all")
    page.wait_for_load_state()  # only then the page's script hears of a file
    for file, end in ((own, "CANNOT TELL"), (same, "SAME")):
        page.locator("input[type=file]").set_input_files(file)
        expect(page.locator("textarea")).to_have_value(file.read_text("utf-8"))
        page.get_by_role("button", name="Compare").click()
        expect(page.locator(".plate")).to_have_text(end, timeout=SLOW_MS)
        nothing_in_the_way(page)
        page.locator("a.act").click()
        page.wait_for_load_state()
    expect(page.locator("h1")).to_contain_text("Ready to launch until")
    page.get_by_role("button", name="The pack was unplugged").click()
    expect(page.locator(".aboard")).to_contain_text("the pack was unplugged")


def test_the_route_is_read_aloud_by_keys_alone(
    open_page: OpenPage, windy: Program, released: str
) -> None:
    page = open_page(released.replace("/release/", "/compare/") + "/aloud", of=windy, **ZOOMED)
    page.set_default_timeout(SLOW_MS)
    nothing_in_the_way(page)
    count = page.locator("fieldset").count()
    page.locator("[name=line-0]").first.focus()
    for number in range(count):
        page.keyboard.press("Space")
        assert page.locator(f"[name=line-{number}]").first.is_checked()
        page.keyboard.press("Tab")
    page.keyboard.type("Kim Park")
    page.keyboard.press("Enter")
    expect(page.locator("h1")).to_contain_text("Ready to launch until")
    expect(page.locator(".aboard")).to_contain_text("read aloud by Kim Park")


@pytest.mark.parametrize("place", ["", "/after", "/compare", "/aloud"])
@pytest.mark.parametrize("how", [{"light": "dark"}, {"light": "sunlight"}, PHONE, ZOOMED])
def test_at_the_field_all_is_black_on_white_and_large(
    open_page: OpenPage, windy: Program, released: str, place: str, how: dict[str, Any]
) -> None:
    compare = released.replace("/release/", "/compare/")
    path = {"/compare": compare, "/aloud": f"{compare}/aloud"}.get(place, released + place)
    page = open_page(path, of=windy, **how)
    nothing_in_the_way(page)
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
        && parseFloat(getComputedStyle(one).fontSize)
          * (one.ownerSVGElement ? one.getScreenCTM().a : 1) < 17.5)
        .map(one => one.outerHTML.slice(0, 80))"""
    )
    assert small == []
    low = page.evaluate(
        """() => [...document.querySelectorAll("main a, main button, main input:not([type=radio])")]
        .filter(one => one.checkVisibility() && one.getBoundingClientRect().height < 59.5)
        .map(one => one.outerHTML.slice(0, 80))"""
    )
    assert low == []


def test_two_numbers_by_keypad(open_page: OpenPage, windy: Program, released: str) -> None:
    page = open_page(released + "/after", of=windy, **PHONE)
    page.set_default_timeout(SLOW_MS)
    nothing_in_the_way(page)
    for name, keys in (("minutes", "4.6"), ("charge", "99999")):
        for key in keys:
            page.locator(f".keypad[data-for={name}] button[value='{key}']").click()
    page.locator("button.act").click()
    expect(page.get_by_role("alert")).to_contain_text("99999 cannot be", timeout=SLOW_MS)
    expect(page.locator("[name=minutes]")).to_have_value("4.6")
    page.locator("[name=charge]").fill("520")
    page.locator("[name=charge]").press("Enter")
    page.wait_for_load_state()
    if page.locator("[name=accept]").count():  # far from what such a wind foretells
        nothing_in_the_way(page)
        page.locator("[name=accept]").check()
        page.locator("button.act").click()
    expect(page.locator("h1")).to_contain_text("Down in 4:36", timeout=SLOW_MS)
    expect(page.locator(".lesson svg")).to_have_count(2)
    expect(page.locator(".narrow-only svg")).to_be_visible()
    nothing_in_the_way(page)
    page.get_by_label("Found something wrong?").fill("Left aileron horn is loose.")
    page.get_by_role("button", name="Write it down").click()
    expect(page.locator("main")).to_contain_text("Left aileron horn is loose. (")
    windy.kill()
    windy.start()
    page.goto(windy.door)
    page.goto(windy.address + released + "/after")
    expect(page.locator("h1")).to_contain_text("Down in 4:36")
    expect(page.locator(".lesson svg")).to_have_count(2)
    page.get_by_role("button", name="Undo this note").click()
    expect(page.locator("h1")).to_have_text("How long, and how much went back in?")


def test_again_is_one_act(open_page: OpenPage, windy: Program, released: str) -> None:
    page = open_page(released, of=windy)
    page.get_by_role("button", name="Again, next pack").click()
    expect(page.locator("[name=speed]")).to_have_value("7.0")
    nothing_in_the_way(page)
