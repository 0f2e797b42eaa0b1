"""Ground and weather told in a browser: by a tap, a key, a file; the sortie's file follows."""

from pathlib import Path

import pytest
from playwright.sync_api import FilePayload, expect

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from tests.browser.conftest import OpenPage, Program

pytestmark = pytest.mark.browser


@pytest.fixture
def sortie(program: Program) -> Path:
    """Return the file of a sortie that nobody else looks at."""
    path = program.base / "sorties" / "bracken-workshop" / "sortie.toml"
    if not path.exists():
        add_example(make_base(program.base), "bracken-workshop")
    return path


def test_a_tap_on_the_ring_is_a_bearing_and_an_angle(open_page: OpenPage, sortie: Path) -> None:
    page = open_page("/sortie/bracken-workshop/ground", has_touch=True)
    ring = page.locator("#ring svg")
    box = ring.bounding_box()
    assert box is not None
    # The ring is 560 wide about 280. Level lies 150 from its middle, and 3 to a degree beyond:
    # 30 beyond it, straight up wind, is 10 degrees.
    scale = box["width"] / 560.0
    ring.tap(position={"x": 280.0 * scale, "y": (280.0 - 180.0) * scale})
    wind_deg = float(page.locator("#ring").get_attribute("data-wind") or "")
    bearing = page.locator("[name=bearing]")
    assert float(bearing.input_value()) == pytest.approx(wind_deg, abs=3.0)
    assert float(page.locator("[name=seen]").input_value()) == pytest.approx(10.0, abs=1.0)
    page.keyboard.type("640")
    page.keyboard.press("Enter")
    expect(page.locator(".points")).to_contain_text("640 m: 10 deg up")
    assert "640 m" in sortie.read_text()


def test_a_file_that_is_no_terrain_is_said_in_place(open_page: OpenPage, sortie: Path) -> None:
    page = open_page("/sortie/bracken-workshop/ground")
    before = sortie.read_bytes()
    none = FilePayload(name="hill.tif", mimeType="image/tiff", buffer=b"no picture")
    page.locator("#file").set_input_files(none)
    expect(page.locator("#dropped")).to_contain_text("hill.tif: cannot be read as terrain")
    assert sortie.read_bytes() == before
    assert not (sortie.parent / "hill.tif").exists()


def test_three_taps_and_the_verdict_follows(open_page: OpenPage, sortie: Path) -> None:
    page = open_page("/sortie/bracken-workshop/weather", has_touch=True)
    for value in ("small trees in leaf sway", "SW", "yes"):
        page.locator(f'label:has(input[value="{value}"])').tap()
    page.get_by_role("button", name="Check with this wind").tap()
    expect(page.locator(".plate")).to_be_visible(timeout=60_000)
    assert page.url.endswith("/sortie/bracken-workshop")
    assert 'sign = "small trees in leaf sway"' in sortie.read_text()
