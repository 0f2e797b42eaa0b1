"""The board in a browser: dragged, moved by keys, changed in two windows, in every light."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import FilePayload, Locator, Page, expect

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from tests.app.test_underlay import TRACK, png
from tests.browser.conftest import OpenPage, Program
from tests.browser.test_screens import LIGHTS, PHONE, RULES, ZOOMED
from tests.desk.test_bring_in import GPX

pytestmark = pytest.mark.browser

BOARD = "/sortie/tern-point/route"
OVERLAY = (
    '<kml xmlns="http://www.opengis.net/kml/2.2"><GroundOverlay><Icon><href>field.png</href></Icon>'
    "<LatLonBox><north>55.001</north><south>54.999</south><east>-4.998</east><west>-5.002</west>"
    "</LatLonBox></GroundOverlay></kml>"
)
WAYS: list[dict[str, Any]] = [{}, PHONE, ZOOMED]


@pytest.fixture(scope="module")
def own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """Return a program whose route these tests may change."""
    folder = tmp_path_factory.mktemp("board")
    add_example(make_base(folder / "base"), "tern-point")
    running = Program(folder / "base", folder / "notes")
    running.start()
    yield running
    running.end()


@pytest.fixture
def route(own: Program) -> Path:
    """Return the route's file as the example has it."""
    path = own.base / "sorties" / "tern-point" / "route.csv"
    kept = Path(__file__).parents[2] / "examples" / "tern-point" / "route.csv"
    path.write_text(kept.read_text())
    return path


def computed(page: Page) -> Page:
    """Wait until what was computed stands beside the board."""
    page.locator(".way-back-of").wait_for(timeout=180_000)
    return page


def point(page: Page, name: str) -> Locator:
    return page.locator(f'.item[data-name="{name}"]')


def place_of(route: Path, name: str) -> tuple[float, float]:
    cells = next(
        line.split(",") for line in route.read_text().splitlines() if line.startswith(f"{name},")
    )
    return float(cells[2]), float(cells[3])


@pytest.mark.usefixtures("route")
@pytest.mark.parametrize("light", LIGHTS)
def test_the_computed_board_stands_in_nobodys_way(
    open_page: OpenPage, own: Program, light: str
) -> None:
    page = computed(open_page(BOARD, of=own, light=light))
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()


@pytest.mark.usefixtures("route")
@pytest.mark.parametrize("how", WAYS, ids=["laptop", "phone", "zoomed"])
def test_words_of_the_board_do_not_meet(
    open_page: OpenPage, own: Program, how: dict[str, Any]
) -> None:
    page = computed(open_page(BOARD, of=own, **how))
    meeting = page.evaluate(
        """() => {
        const boxes = [...document.querySelectorAll("#board text")].map((one) => ({ words:
          one.textContent, at: one.getBBox() })).filter((one) => one.words !== "plain");
        const meet = (a, b) => a.x < b.x + b.width && b.x < a.x + a.width
          && a.y + 4 < b.y + b.height - 4 && b.y + 4 < a.y + a.height - 4;
        return boxes.flatMap((one, at) => boxes.slice(at + 1).filter((other) =>
          meet(one.at, other.at)).map((other) => [one.words, other.words]));
        }"""
    )
    assert meeting == []
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0


def test_a_point_is_dragged_and_its_sentences_follow(
    open_page: OpenPage, own: Program, route: Path
) -> None:
    page = computed(open_page(BOARD, of=own))
    expect(page.locator(".provisional")).to_have_count(0, timeout=180_000)
    box = point(page, "E").locator(".point").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 30, y - 40, steps=5)
    page.mouse.up()
    expect(page.locator("#said")).to_have_text("Kept.")
    assert place_of(route, "E") != (690.0, 400.0)
    expect(page.locator("#changes-title")).to_have_text(
        re.compile("sentences? changed"), timeout=120_000
    )


def test_arrow_keys_move_a_point_up_wind(open_page: OpenPage, own: Program, route: Path) -> None:
    page = open_page(BOARD, of=own)
    point(page, "E").focus()
    page.keyboard.press("ArrowUp")
    expect(page.locator("#said")).to_have_text("Kept.")
    # 10 m towards 225: 7 m west and 7 m south of (690, 400).
    assert place_of(route, "E") == (683.0, 393.0)
    expect(point(page, "E")).to_be_focused()


def test_bearing_and_distance_are_typed(open_page: OpenPage, own: Program, route: Path) -> None:
    page = open_page(BOARD, of=own)
    point(page, "F").focus()
    page.locator("[name=bearing]").fill("090")
    page.locator("[name=distance]").fill("500")
    page.keyboard.press("Enter")
    expect(page.locator("#said")).to_have_text("Kept.")
    assert place_of(route, "F") == (500.0, 0.0)


def test_the_second_of_two_windows_does_not_overwrite_the_first(
    open_page: OpenPage, own: Program, route: Path
) -> None:
    first, second = open_page(BOARD, of=own), open_page(BOARD, of=own)
    for page, distance in ((first, "700"), (second, "600")):
        point(page, "D").focus()
        page.locator("[name=distance]").fill(distance)
        page.keyboard.press("Enter")
    expect(first.locator("#said")).to_have_text("Kept.")
    both = second.locator("#both")
    expect(both.locator(".there")).to_contain_text("D, 700 m at 080")
    expect(both.locator(".yours")).to_contain_text("D, 600 m at 080")
    kept = place_of(route, "D")
    assert (kept[0] ** 2 + kept[1] ** 2) ** 0.5 == pytest.approx(700.0, abs=1.0)
    both.get_by_role("button", name="Put mine in its place").click()
    expect(second.locator("#said")).to_have_text("Kept.")
    kept = place_of(route, "D")
    assert (kept[0] ** 2 + kept[1] ** 2) ** 0.5 == pytest.approx(600.0, abs=1.0)


@pytest.mark.usefixtures("route")
def test_sunlight_is_black_and_white(open_page: OpenPage, own: Program) -> None:
    page = computed(open_page(BOARD, of=own, light="sunlight"))
    grey = page.evaluate(
        """() => {
        const canvas = document.querySelector("#board canvas");
        const { data } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
        let coloured = 0;
        for (let at = 0; at < data.length; at += 4) {
          if (data[at] !== data[at + 1] || data[at] !== data[at + 2]) coloured += 1;
        }
        return coloured;
        }"""
    )
    assert grey == 0
    small = page.evaluate(
        """() => [...document.querySelectorAll("#board text")].filter((one) =>
        parseFloat(getComputedStyle(one).fontSize) < 18).map((one) => one.textContent)"""
    )
    assert small == []


def test_a_file_dropped_asks_what_its_heights_are_above(
    open_page: OpenPage, own: Program, route: Path
) -> None:
    sortie = route.parent / "sortie.toml"
    before = sortie.read_text()
    page = open_page(BOARD, of=own)
    transfer = page.evaluate_handle(
        """(text) => {
        const transfer = new DataTransfer();
        transfer.items.add(new File([text], "way.gpx"));
        return transfer;
        }""",
        GPX,
    )
    page.dispatch_event("#board", "drop", {"dataTransfer": transfer})
    expect(page.locator("#brought")).to_contain_text("Say below what its heights are above")
    assert sortie.read_text() == before
    page.keyboard.press("Space")  # the first answer has the focus: sea level
    page.get_by_role("button", name="Bring it in so").click()
    expect(page.locator("#brought")).to_contain_text("way.gpx: 2 items.")
    expect(point(page, "A 2")).to_be_visible()
    sortie.write_text(before)


def test_a_file_that_is_none_is_said_once(open_page: OpenPage, own: Program, route: Path) -> None:
    page = open_page(BOARD, of=own)
    page.locator("#bring summary").click()
    page.locator("#bring [name=file]").set_input_files(
        {"name": "way.kml", "mimeType": "text/plain", "buffer": b"no xml"}
    )
    expect(page.locator("#brought")).to_contain_text("way.kml")
    assert route.exists()


def dropped(page: Page, **files: bytes) -> None:
    """Pick files, to be looked at under the board; a name ends after its last underscore."""
    page.locator("#bring").evaluate("one => { one.open = true; }")
    page.locator('.bring label:has([value="under"])').click()
    page.locator("#bring [name=file]").set_input_files(
        [
            FilePayload(name=".".join(name.rsplit("_", 1)), mimeType="", buffer=content)
            for name, content in files.items()
        ]
    )


def becomes(page: Page, place_m: tuple[float, float], colour: list[int]) -> None:
    """The board's canvas takes a colour at a place, once what was dropped is drawn."""
    for _ in range(100):
        if painted(page, *place_m) == colour:
            return
        page.wait_for_timeout(100.0)
    assert painted(page, *place_m) == colour


def painted(page: Page, right: float, up: float) -> list[int]:
    """Return the colour of the board's canvas at a place, metres to the right of and up wind."""
    return list(
        page.evaluate(
            """([right, up]) => {
            const canvas = document.querySelector("#board canvas");
            const rings = [...document.querySelectorAll("#board .ring")];
            const words = [...document.querySelectorAll("#board .distance")].map((one) =>
              Number.parseInt(one.textContent, 10));
            const scale = Number(rings[0].getAttribute("r")) / Math.min(...words);
            const side = canvas.width / canvas.clientWidth;
            const middle = canvas.width / 2;
            return [...canvas.getContext("2d").getImageData(
              Math.round(middle + right * scale * side), Math.round(middle - up * scale * side),
              1, 1).data].slice(0, 3);
            }""",
            [right, up],
        )
    )


@pytest.mark.usefixtures("route")
def test_a_picture_is_tied_by_keys_alone(open_page: OpenPage, own: Program) -> None:
    page = open_page(BOARD, of=own)
    dropped(page, field_png=png(400, 300))
    picture = page.locator("#tie canvas")
    expect(picture).to_be_visible()
    found = Axe().run(page, options=RULES)
    assert found.violations_count == 0, found.generate_report()
    picture.focus()
    page.keyboard.press("Enter")  # the middle of the picture
    page.keyboard.type("launch point")
    picture.focus()
    for _ in range(20):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")
    page.keyboard.type("160 m at 315")
    page.keyboard.press("Enter")
    expect(page.locator("#under-said")).to_contain_text("1.00 m a pixel, its top towards 225")
    expect(page.locator("#tie")).to_be_hidden()
    # Up wind is 225, and so is the top of the picture: it lies upright, black, 400 m by 300 m.
    becomes(page, (150.0, 100.0), [0, 0, 0])
    becomes(page, (150.0, -200.0), [255, 255, 255])
    page.reload()
    expect(page.locator("#under-said")).to_contain_text("1.00 m a pixel")
    page.locator("#bring").evaluate("one => { one.open = true; }")
    page.get_by_role("button", name="Take the picture away").click()
    expect(page.locator("#under-said")).to_have_text("")
    becomes(page, (150.0, 100.0), [255, 255, 255])


@pytest.mark.usefixtures("route")
def test_a_picture_with_its_world_file_and_a_walk(open_page: OpenPage, own: Program) -> None:
    page = open_page(BOARD, of=own)
    # 0.00001 degrees a pixel about 55 N 5 W.
    world = b"1e-5\n0\n0\n-1e-5\n-5.002\n55.0015\n"
    dropped(page, field_pgw=world, field_png=png(400, 300))
    expect(page.locator("#under-said")).to_contain_text("read as degrees, WGS 84")
    becomes(page, (60.0, 60.0), [0, 0, 0])
    dropped(page, walk_gpx=TRACK.encode())
    expect(page.get_by_role("button", name="Take the walked way away")).to_be_visible()
    for name in ("Take the walked way away", "Take the picture away"):
        page.get_by_role("button", name=name).click()
        expect(page.get_by_role("button", name=name)).to_be_hidden()


@pytest.mark.usefixtures("route")
def test_a_picture_laid_by_an_overlay(open_page: OpenPage, own: Program) -> None:
    page = open_page(BOARD, of=own)
    # About the launch point, 55 N 5 W: 0.002 degrees of latitude are 222.6 m, and 0.004 of
    # longitude 255.9 m, at 55 N.
    dropped(page, field_kml=OVERLAY.encode(), field_png=png(400, 300))
    expect(page.locator("#under-said")).not_to_have_text("")
    expect(page.locator("#tie")).to_be_hidden()
    # Its corners lie 170 m from the launch point: due west, not due 225, which is the board's top.
    becomes(page, (40.0, 90.0), [0, 0, 0])
    becomes(page, (-120.0, 120.0), [255, 255, 255])
    dropped(page, field_kml=OVERLAY.replace("LatLonBox", "Region").encode())
    expect(page.locator("#brought")).to_contain_text("has no LatLonBox")
    becomes(page, (40.0, 90.0), [0, 0, 0])
    page.get_by_role("button", name="Take the picture away").click()
    expect(page.locator("#under-said")).to_have_text("")


@pytest.mark.usefixtures("route")
def test_a_picture_that_is_none_is_said(open_page: OpenPage, own: Program) -> None:
    page = open_page(BOARD, of=own)
    dropped(page, field_png=b"no picture")
    expect(page.locator("#brought")).to_contain_text("no whole PNG or JPEG picture")
    expect(page.locator("#tie")).to_be_hidden()
