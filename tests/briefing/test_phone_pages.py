"""The pages for a phone: one file each, nothing from outside, small, and calls that add up."""

import re
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from fontTools.ttLib import TTFont
from playwright.sync_api import Page, sync_playwright

from homeleg.aircraft.priors import BodyPlan
from homeleg.briefing.briefing_input import BriefingInput
from homeleg.briefing.calls import calls_of
from homeleg.briefing.calls_page import calls_page
from homeleg.briefing.card_page import card_page
from homeleg.briefing.field_numbers import field_numbers
from homeleg.desk.briefing import write_phone_pages
from homeleg.formats.sortie_fields import TOLD_ITEMS
from homeleg.formats.sortie_file import read_sortie
from homeleg.verdict.cautions import word_caution
from homeleg.verdict.result import Gate, Status, ToDo, TurnBack, WayHome

SORTIE = Path(__file__).parents[2] / "examples" / "tern-point" / "sortie.toml"
FONTS = Path(__file__).parents[2] / "src" / "homeleg" / "briefing" / "fonts"
CHROMIUM = Path("/usr/bin/chromium")
MOST_BYTES = 300_000


@pytest.fixture
def given(make_verdict: Any, make_ribbon: Any) -> BriefingInput:
    gate = Gate(
        name="Far <point>",
        time_s=280.0,
        latest_s=289.0,
        ground_speed_m_s=(6.5, 29.0),
        least_volts=15.62,
        used_ah=0.3,
        most_used_ah=0.349,
    )
    way_home = WayHome(
        worst=None,
        charge=None,
        turn_back=TurnBack(time_s=126.0, leg="E to F", charge_left_fraction=0.6),
        assumed=(),
        motor_stopped=None,
        glide_edge=None,
    )
    verdict = replace(
        make_verdict(Status.MARGINAL), ribbon=make_ribbon(), gates=(gate,), way_home=way_home
    )
    return BriefingInput(name="Skarv & Moor", verdict=verdict, sortie=read_sortie(SORTIE).sortie)


class _Outside(HTMLParser):
    """Collects whatever a page would fetch."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in ("link", "img", "iframe", "object", "embed", "audio", "video"):
            self.found.append(tag)
        self.found += [name for name, _ in attrs if name in ("src", "href", "action", "srcset")]


@pytest.mark.parametrize("page_of", [card_page, calls_page])
def test_one_small_file_that_needs_nothing(given: BriefingInput, page_of: Any) -> None:
    page = page_of(given)
    outside = _Outside()
    outside.feed(page)
    assert outside.found == []
    urls = re.findall(r"url\((.{0,12})", page)
    assert {url[:5] for url in urls} <= {"data:", "#ribb", "#plat"}
    assert "@import" not in page
    assert len(page.encode()) < MOST_BYTES
    assert "Skarv &amp; Moor" in page


def test_card_holds_the_eight_numbers(given: BriefingInput) -> None:
    shown = [
        (one.figure, one.unit, one.words) for one in field_numbers(given.verdict, given.sortie)
    ]
    # The example returns at 85 m above launch; 126 s is 2:06; 0.349 Ah to the ten below is 340 mAh.
    assert shown[-5:] == [
        ("2:06", "", "turn back by, on E to F"),
        ("≥ 6.5", "m/s", "ground speed at Far <point>"),
        ("340", "mAh", "most used at Far <point>"),
        ("15.6", "V", "least at Far <point>, motor on"),
        ("85", "m", "return above launch"),
    ]
    way = given.verdict.way_home
    assert way is not None
    verdict = replace(given.verdict, way_home=replace(way, turn_back=None))
    without = [one.words for one in field_numbers(verdict, given.sortie)]
    assert len(without) == 8
    assert without[-1] == "down by, a slow flight"
    page = card_page(given)
    assert "ground speed at Far &lt;point&gt;" in page
    assert word_caution(Status.MARGINAL) in page
    assert "Plan, not released" in page


def test_a_no_go_card_has_no_numbers(given: BriefingInput) -> None:
    page = card_page(replace(given, verdict=replace(given.verdict, word=Status.NO_GO)))
    assert "This card is not for flying." in page
    assert "<dd>" not in page


@pytest.mark.parametrize("name", ["ClearSans-Regular", "ClearSans-Bold", "B612Mono-Bold"])
def test_cut_faces_are_the_whole_ones(name: str) -> None:
    # Source: the whole face, read by fontTools. What is kept has the same width.
    whole = TTFont(next(FONTS.glob(f"{name}.?tf")))
    cut = TTFont(FONTS / f"{name}.woff")
    signs = cut.getBestCmap()
    kept = {code: cut["hmtx"][glyph] for code, glyph in signs.items()}
    assert kept == {code: whole["hmtx"][whole.getBestCmap()[code]] for code in signs}
    needed = "0123456789 ABCXYZ" if name.startswith("B612") else "0123456789 azAZ°–≥≤→ ñé"
    assert {ord(sign) for sign in needed} <= set(signs)


def test_only_what_is_open_is_called_and_all_where_nothing_is(given: BriefingInput) -> None:
    to_do = (ToDo(item="walk", ask="Walk."), ToDo(item="boundary", ask="Declare."))
    verdict = replace(given.verdict, to_do=to_do)
    assert [call.item for call in calls_of(verdict, BodyPlan.FLYING_WING)] == ["walk"]
    every = calls_of(replace(verdict, to_do=()), BodyPlan.TAIL_BOOM_PUSHER)
    told = {call.item for call in every if not call.option}
    assert told <= set(TOLD_ITEMS)
    assert {"wing", "sense", "pitot", "route_aboard"} <= told


def test_a_flying_wing_has_neither_elevator_nor_rudder(given: BriefingInput) -> None:
    asked = " ".join(call.ask for call in calls_of(given.verdict, BodyPlan.FLYING_WING))
    assert "both rear edges" in asked
    assert "elevator" not in asked
    assert "udder" not in asked


@pytest.fixture(scope="module")
def browser_page() -> Iterator[Page]:
    if not CHROMIUM.exists():
        pytest.skip(f"{CHROMIUM} is not installed")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser.new_page(viewport={"width": 390, "height": 844})
        browser.close()


RIGGED = ("ALL", "NONE OF IT", "NOTHING", "NOTHING")


@pytest.mark.slow
class TestInABrowser:
    def _open(self, page: Page, given: BriefingInput, folder: Path) -> list[str]:
        items = ("wing", "sense", "pack.temperature", "route_aboard")
        to_do = tuple(ToDo(item=item, ask=item) for item in items)
        said = replace(given, verdict=replace(given.verdict, to_do=to_do))
        _, calls = write_phone_pages(said, folder)
        faults: list[str] = []
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("request", lambda one: faults.append(one.url) if "http" in one.url[:5] else None)
        page.goto(calls.as_uri())
        return faults

    def _say(self, page: Page, *answers: str) -> None:
        for answer in answers:
            now = page.locator("section.now")
            if answer.isdigit():
                now.locator("input").fill(answer)
                answer = "TAKE IT"  # noqa: PLW2901
            now.get_by_role("button", name=answer, exact=True).click()

    def test_right_answers_make_the_line(
        self, browser_page: Page, given: BriefingInput, tmp_path: Path
    ) -> None:
        faults = self._open(browser_page, given, tmp_path)
        self._say(browser_page, *RIGGED, "RIGHT", "UP", "NO RUDDER", "GOOD", "18", "GOOD")
        line = " ".join((browser_page.locator("#line").text_content() or "").split())
        told = "--told wing --told sense --told route_aboard"
        assert line == f'{told} --pack-temperature "18 degC"'
        assert browser_page.locator("#open").text_content() == "Nothing is left open."
        assert faults == []

    def test_one_wrong_surface_is_bad_and_unseen_stays_open(
        self, browser_page: Page, given: BriefingInput, tmp_path: Path
    ) -> None:
        self._open(browser_page, given, tmp_path)
        later = "CAN'T SAY YET"
        self._say(browser_page, *RIGGED, "LEFT", "UP", "RIGHT", "GOOD", later, later)
        line = " ".join((browser_page.locator("#line").text_content() or "").split())
        assert line == "--told wing --told sense=bad"
        left = browser_page.locator("#open").text_content()
        assert left == "Still open: pack.temperature, route_aboard."

    def test_unplugging_voids_what_was_seen(
        self, browser_page: Page, given: BriefingInput, tmp_path: Path
    ) -> None:
        self._open(browser_page, given, tmp_path)
        self._say(browser_page, *RIGGED, "RIGHT", "UP")
        browser_page.get_by_role("button", name="Pack was unplugged").click()
        assert browser_page.locator("#void").text_content() == "Void now: calls 5, 6."
        assert browser_page.locator("#count").text_content() == "Call 5 of 10"

    @pytest.mark.parametrize("name", ["card.html", "calls.html"])
    def test_fits_a_phone(
        self, browser_page: Page, given: BriefingInput, tmp_path: Path, name: str
    ) -> None:
        self._open(browser_page, given, tmp_path)
        browser_page.goto((tmp_path / name).as_uri())
        assert browser_page.evaluate("document.documentElement.scrollWidth") <= 390
