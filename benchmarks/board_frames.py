"""How long is a frame of the board while a point of the route is dragged?

`python -m benchmarks.board_frames [SECONDS]` starts the program on a base of its own, with a
terrain of 1,000 by 1,000 nodes under the board and 200 computed flights drawn on it as lines, drags
a point about in Debian's chromium for some seconds, and prints the time from one frame to the next:
half of them take at most p50, 19 in 20 at most p95.
"""

import math
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
import rasterio
from playwright.sync_api import Page, expect, sync_playwright
from rasterio.crs import CRS
from rasterio.transform import from_origin

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from tests.browser.conftest import CHROMIUM, Program

GOAL_MS = 20.0
NODES, STEP_M = 1000, 3.0
LAUNCH = "+proj=tmerc +lat_0=55 +lon_0=-5 +ellps=WGS84 +units=m"
BY_EYE = 'ground = { by_eye = "flat within 5 m", radius = "1200 m" }'
PATIENCE_MS = 600_000
ROUND_S, AWAY_PX = 2.0, 60.0
# From one frame in which the point has moved to the next: one that comes late, or shows the point
# where it was, makes it longer.
WATCH = """() => {
  const leg = document.querySelector("#board polyline.leg");
  let at = 0, points = "";
  window.spans = [];
  const frame = (now) => {
    requestAnimationFrame(frame);
    const moved = leg.getAttribute("points");
    if (moved === points) return;
    if (at) window.spans.push(now - at);
    [at, points] = [now, moved];
  };
  requestAnimationFrame(frame);
}"""


def prepared(folder: Path) -> Path:
    """Return a base with one sortie over a terrain of hills."""
    base = make_base(folder / "base")
    add_example(base, "tern-point")
    sortie = base.sorties / "tern-point" / "sortie.toml"
    text = sortie.read_text()
    sortie.write_text(text.replace(BY_EYE, 'ground = { terrain = "hills.tif" }'))
    half_m = 0.5 * NODES * STEP_M
    along_m = np.linspace(-half_m, half_m, NODES)
    hills_m = 35.0 + 8.0 * np.outer(np.sin(along_m / 170.0), np.sin(along_m / 230.0))
    with rasterio.open(
        sortie.with_name("hills.tif"),
        "w",
        driver="GTiff",
        width=NODES,
        height=NODES,
        count=1,
        dtype="float32",
        crs=CRS.from_proj4(LAUNCH),
        transform=from_origin(-half_m, half_m, STEP_M, STEP_M),
    ) as file:
        file.write(hills_m.astype(np.float32), 1)
        file.update_tags(AREA_OR_POINT="Area")
        file.set_band_unit(1, "m")
    return base.folder


def drawn(page: Page, door: str) -> None:
    """Open the board, and wait until everything that is computed lies on it."""
    page.goto(door)
    page.goto(f"{door.partition('/?')[0]}/sortie/tern-point/route")
    page.locator(".way-back-of").wait_for(timeout=PATIENCE_MS)
    expect(page.locator(".provisional")).to_have_count(0, timeout=PATIENCE_MS)
    page.locator("#each").check()
    data = page.locator("#flown-data").evaluate("one => JSON.parse(one.textContent).drawn")
    relief = page.locator("#board-data").evaluate("one => JSON.parse(one.textContent).relief")
    flights = f"{len(data['tracks'])} flights"
    print(f"{relief['columns']} x {relief['rows']} shades of the ground, {flights}")


def dragged(page: Page, seconds: float) -> list[float]:
    """Drag a point round and round; return the time from each frame to the next [ms]."""
    point = page.locator('.item[data-name="E"] .point')
    point.hover()
    page.mouse.down()
    corner = point.bounding_box() or {}
    x, y = (corner[axis] + 0.5 * corner[side] for axis, side in (("x", "width"), ("y", "height")))
    page.evaluate(WATCH)
    began = time.perf_counter()
    while (passed := time.perf_counter() - began) < seconds:
        turn = 2.0 * math.pi * passed / ROUND_S
        page.mouse.move(x + AWAY_PX * math.sin(turn), y + AWAY_PX * (1.0 - math.cos(turn)))
    return list(page.evaluate("window.spans"))


def main(seconds: float) -> None:
    with tempfile.TemporaryDirectory() as folder:
        program = Program(prepared(Path(folder)), Path(folder))
        program.start()
        try:
            with sync_playwright() as started:
                browser = started.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
                page = browser.new_page(viewport={"width": 1280, "height": 800})
                drawn(page, program.door)
                spans_ms = dragged(page, seconds)
                browser.close()
        finally:
            program.end()
    p50, p95, most = np.percentile(spans_ms, [50, 95, 100])
    words = f"p50 {p50:.1f} ms, p95 {p95:.1f} ms, longest {most:.1f} ms; goal p95 {GOAL_MS:.0f} ms"
    print(f"{len(spans_ms)} frames in {seconds:.0f} s: {words}")


if __name__ == "__main__":
    main(float(sys.argv[1]) if len(sys.argv) > 1 else 15.0)
