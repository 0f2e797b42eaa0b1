"""The program as a person has it: a process of its own, and a browser in front of it.

Chromium is the system's (Debian's package `chromium`); nothing is fetched.
"""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

from homeleg.desk.answer import check_answer_json
from homeleg.desk.base import make_base
from homeleg.desk.check import CheckResult
from homeleg.desk.examples import add_example
from homeleg.desk.release import write_release
from homeleg.formats.sortie_file import SortieFiles
from homeleg.release.canonical import recorded
from homeleg.release.release import Release
from homeleg.verdict.result import Status

_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/\?key=\S+")
_PATIENCE_S = 60.0
_LAPTOP = {"width": 1280, "height": 800}
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

# The office's clock runs on from another moment.
_SET_CLOCK = """
from datetime import datetime
import homeleg.app.office as office
class Clock(datetime):
    began = datetime.now().astimezone()
    @classmethod
    def now(cls, zone=None):
        at = datetime.fromisoformat("{at}")
        return (at + (datetime.now().astimezone() - cls.began)).astimezone(zone)
office.datetime = Clock
"""

OpenPage = Callable[..., Page]
KeepRelease = Callable[[Path], Path]


class Program:
    """`homeleg app` on a base, to be ended and started again; at another time of day if told."""

    def __init__(self, base: Path, notes: Path, clock: datetime | None = None) -> None:
        self.base, self._notes, self._clock = base, notes, clock
        self._process: subprocess.Popen[str] | None = None
        self.door = ""

    @property
    def address(self) -> str:
        return self.door.split("/?")[0]

    def start(self) -> None:
        code = "import sys; from homeleg.cli.main import run; sys.exit(run(sys.argv[1:]))"
        if self._clock is not None:
            code = _SET_CLOCK.format(at=self._clock.isoformat()) + code
        environment = {**os.environ, "XDG_CONFIG_HOME": str(self._notes)}
        self._process = subprocess.Popen(  # noqa: S603 (our own program)
            [sys.executable, "-c", code, "app", str(self.base), "--no-browser"],
            env=environment,
            stderr=subprocess.PIPE,
            text=True,
        )
        assert self._process.stderr is not None
        line = self._process.stderr.readline()
        found = _ADDRESS.search(line)
        assert found, line
        self.door = found[0]

    def kill(self) -> None:
        assert self._process is not None
        self._process.kill()
        self._process.communicate()

    def end(self) -> None:
        """End it as Ctrl-C does."""
        assert self._process is not None
        self._process.send_signal(signal.SIGINT)
        self._process.communicate(timeout=_PATIENCE_S)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def browser(playwright: Playwright) -> Iterator[Browser]:
    assert CHROMIUM, "install Debian's package chromium"
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    arguments = ["--no-sandbox"] if is_root else []
    launched = playwright.chromium.launch(executable_path=CHROMIUM, args=arguments)
    yield launched
    launched.close()


@pytest.fixture(scope="session")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """Return the program on a base with one example, whose answer is there in full."""
    folder = tmp_path_factory.mktemp("program")
    add_example(make_base(folder / "base"), "tern-point")
    running = Program(folder / "base", folder / "notes")
    running.start()
    yield running
    running.end()


@pytest.fixture
def open_page(browser: Browser, program: Program) -> Iterator[OpenPage]:
    """Return what opens a page of the program, let in; a fault or a foreign request fails."""
    contexts: list[BrowserContext] = []
    faults: list[str] = []

    def opened(path: str, *, light: str = "light", of: Program = program, **how: Any) -> Page:
        context = browser.new_context(**{"viewport": _LAPTOP, "color_scheme": "light", **how})
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: faults.append(f"{path}: {error}"))
        page.on(
            "request",
            lambda request: (
                None
                if request.url.startswith((of.address, "blob:", "data:"))
                else faults.append(f"{path} asked for {request.url}")
            ),
        )
        (of.base / "face.toml").write_text(f'light = "{light}"\n')
        page.goto(of.door)
        page.goto(f"{of.address}{path}")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert faults == []


@pytest.fixture
def verdict_page(open_page: OpenPage) -> OpenPage:
    """Return what opens the example's verdict, its full answer there."""

    def opened(**how: Any) -> Page:
        page = open_page("/sortie/tern-point", **how)
        wait_for_full(page)
        return page

    return opened


@pytest.fixture
def keep_release(
    files: SortieFiles, make_verdict: Any, make_release: Callable[..., Release]
) -> KeepRelease:
    """Return what puts a release that does not expire into a base, unless it has one."""

    def keep(folder: Path) -> Path:
        base = make_base(folder)
        for kept in base.releases.glob("*.release.json"):
            return kept
        made = make_release()
        result = CheckResult(verdict=make_verdict(Status.GO), sortie=files.sortie, sources=())
        answer = json.loads(check_answer_json(result, given_at=made.given_at))
        frozen = {**made.frozen, "valid_until": recorded(datetime(2099, 1, 1, tzinfo=UTC))}
        at = str(base.sorties / "tern-point")
        lasting = replace(made, frozen=frozen, answer={**answer, "members": 64}, folder=at)
        path = base.releases / f"{lasting.code}.release.json"
        write_release(lasting, path)
        return path

    return keep


def wait_for_full(page: Page) -> None:
    """Wait until the full answer is shown."""
    page.locator(".plate").wait_for(timeout=1000 * _PATIENCE_S)
    until = time.perf_counter() + 2 * _PATIENCE_S
    while page.locator(".provisional").count():
        assert time.perf_counter() < until, "no full answer"
        page.wait_for_timeout(100)


def in_one_window(page: Page) -> None:
    """What the verdict says, and what to do, is seen whole without scrolling."""
    assert page.evaluate("scrollY") == 0
    parts = (
        ".plate",
        "h1",
        ".ribbon .drawn:visible",
        ".tight > details >> nth=2",
        "#commit",
        ".act",
    )
    for part in parts:
        expect(page.locator(part).first).to_be_visible()  # and not just being laid out anew
        box = page.locator(part).first.bounding_box()
        assert box is not None, part
        assert box["y"] >= 0, part
        assert box["y"] + box["height"] <= page.evaluate("innerHeight"), part
    act, commit = (page.locator(part).bounding_box() for part in (".act", "#commit"))
    assert act is not None
    assert commit is not None
    assert commit["y"] + commit["height"] <= act["y"], "the act lies over the commit numbers"


def tab_to(page: Page, selector: str) -> None:
    """Press the tab key until the first element of a selector has the focus."""
    for _ in range(60):
        page.keyboard.press("Tab")
        if page.evaluate(
            "selector => document.activeElement === document.querySelector(selector)", selector
        ):
            return
    pytest.fail(f"no way to {selector} by the tab key")
