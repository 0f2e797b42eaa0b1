"""The program ended from outside in the middle of a load: the aircraft is told before it goes."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from http.cookiejar import CookieJar
from pathlib import Path
from typing import Any
from urllib.parse import urlencode
from urllib.request import HTTPCookieProcessor, OpenerDirector, Request, build_opener

import pytest

from homeleg.desk.answer import check_answer_json
from homeleg.desk.base import Base
from homeleg.desk.check import CheckResult
from homeleg.desk.release import write_release
from homeleg.formats.sortie_file import SortieFiles
from homeleg.release.canonical import recorded
from homeleg.release.release import Release
from homeleg.verdict.result import Status
from tests.link.test_command import aircraft
from tests.link.test_stopping import Mute
from tests.link.wire import over_tcp

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="no signals to send from outside"),
]
MAIN = "import sys; from homeleg.cli.main import run; sys.exit(run(sys.argv[1:]))"


@pytest.fixture
def release(
    base: Base, files: SortieFiles, make_verdict: Any, make_release: Callable[..., Release]
) -> Path:
    result = CheckResult(verdict=make_verdict(Status.GO), sortie=files.sortie, sources=())
    made = make_release()
    frozen = {**made.frozen, "valid_until": recorded(datetime(2099, 1, 1, tzinfo=UTC))}
    answer = json.loads(check_answer_json(result, given_at=made.given_at))
    lasting = replace(made, frozen=frozen, answer=answer)
    path = base.releases / f"{lasting.code}.release.json"
    write_release(lasting, path)
    return path


@pytest.fixture
def program(base: Base, tmp_path: Path) -> Iterator[subprocess.Popen[str]]:
    process = subprocess.Popen(  # noqa: S603 (our own interpreter and text)
        [sys.executable, "-c", MAIN, "app", str(base.folder), "--no-browser"],
        env={**os.environ, "XDG_CONFIG_HOME": str(tmp_path / "notes")},
        stderr=subprocess.PIPE,
        text=True,
    )
    yield process
    process.kill()
    process.communicate()


class Browser:
    """Let in by the address that the program told; posts as its own pages do."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        assert process.stderr is not None
        found = re.search(r"(http://127\.0\.0\.1:\d+)/\?key=\S+", process.stderr.readline())
        assert found
        self.origin = found[1]
        self.opener: OpenerDirector = build_opener(HTTPCookieProcessor(CookieJar()))
        self.opener.open(found[0]).read()

    def get(self, path: str) -> str:
        return str(self.opener.open(self.origin + path).read().decode())

    def post(self, path: str, **form: str) -> None:
        body = urlencode(form).encode()
        self.opener.open(Request(self.origin + path, body, {"Origin": self.origin})).read()  # noqa: S310

    def wait(self, path: str, words: str) -> None:
        until_s = time.perf_counter() + 60.0
        while words not in self.get(path):
            assert time.perf_counter() < until_s, words
            time.sleep(0.1)


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM", "SIGHUP"])
def test_a_load_is_cancelled_before_the_program_goes(
    release: Path, program: subprocess.Popen[str], name: str
) -> None:
    vehicle = Mute()
    wire = aircraft(release, loaded=False)
    wire.vehicle = vehicle
    browser = Browser(program)
    address = f"/release/{release.name.split('.')[0]}/link"
    with over_tcp(wire) as port:
        browser.post(f"{address}/open", port=port, home_first="no")
        browser.wait(address, "System 7 is heard.")
        browser.post(f"{address}/load")
        browser.wait(address, "Type its system id")
        browser.post(f"{address}/answer", answer="7")
        assert vehicle.silent.wait(20.0)
        program.send_signal(getattr(signal, name))
        assert vehicle.cancelled.wait(10.0)
        program.communicate(timeout=20)
