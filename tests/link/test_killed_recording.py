"""A recording whose process is killed at any moment: a second is lost at most, nothing invented."""

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from homeleg.link.codec import SEEDS
from homeleg.link.recording import read_recording
from homeleg.link.splitter import frames_of
from tests.link.fake_vehicle import FakeVehicle
from tests.link.test_recording import HOME
from tests.link.wire import HURRY, OnTheWire, over_tcp

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="no SIGKILL"),
]
MAIN = "from homeleg.cli.main import main; main()"


@pytest.mark.parametrize("seed", range(8))
def test_a_killed_recording_loses_a_second_at_most(tmp_path: Path, seed: int) -> None:
    path, wire = tmp_path / "flight.rec", OnTheWire(FakeVehicle(), HOME)
    recorded_s = random.Random(seed).uniform(1.2, 4.0)  # noqa: S311 (a moment, not a secret)
    with over_tcp(wire) as port:
        process = subprocess.Popen(  # noqa: S603 (our own interpreter and text)
            [sys.executable, "-c", MAIN, "link", "record", "--port", port, "--out", str(path)],
            stderr=subprocess.DEVNULL,
        )
        try:
            until_s = time.perf_counter() + 30.0
            while not path.exists() or path.stat().st_size < 2000:  # it records
                assert time.perf_counter() < until_s
                time.sleep(0.01)
            time.sleep(recorded_s)
        finally:
            killed_s = time.perf_counter()
            process.send_signal(signal.SIGKILL)
            process.wait()
    whole = read_recording(path.read_bytes())
    each = frames_of(wire.status(), SEEDS)[0]
    # What was told before it listened is dropped. A tenth of a second for each of reading, making
    # durable, and this machine.
    due = sum(1 for told_s in wire.told_s if told_s < killed_s - 1.3)
    dropped = sum(1 for told_s in wire.told_s if told_s < killed_s - recorded_s - 1.0)
    assert due - dropped >= 5
    assert len(whole.records) >= len(each) * (due - dropped)
    # Each frame is one that was sent, whole; what was half written is said to be lost.
    sent = {one.payload for one in each}
    assert {one.payload for kept in whole.records for one in frames_of(kept.raw, SEEDS)[0]} == sent
    assert whole.lost_bytes < len(wire.status()) * 2 * HURRY
