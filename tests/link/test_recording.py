"""Recordings: what was heard comes back, a cut tail is told and never invented."""

import json
import random
import zlib
from contextlib import nullcontext
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.cli import link as cli_link
from homeleg.cli.main import run
from homeleg.desk import record_link
from homeleg.desk.link_line import on_line
from homeleg.link import messages as m
from homeleg.link import steady_clock
from homeleg.link.codec import SEEDS, Codec
from homeleg.link.recorder import Recorder
from homeleg.link.recording import header_line, read_recording, record_of
from homeleg.link.splitter import Frame, frames_of
from tests.link.fake_vehicle import FakeVehicle
from tests.link.test_command import aircraft
from tests.link.wire import OnTheWire, in_hand

HEADER = header_line("homeleg", "2026-06-09T17:00:00+00:00", "tcp:127.0.0.1:1")
HOME = m.HomePosition(latitude_e7=550_000_000, longitude_e7=-50_000_000, height_amsl_mm=40_000)


def frames(count: int) -> list[Frame]:
    codec = Codec()
    sent = [
        codec.write(m.Request(to_system=7, to_component=1, plan=0, sequence=k, precise=True))
        for k in range(count)
    ]
    return frames_of(b"".join(sent), SEEDS)[0]


def recording(count: int) -> bytes:
    return HEADER + b"".join(record_of(one, 0.5 * k) for k, one in enumerate(frames(count)))


def test_what_was_heard_comes_back() -> None:
    told = read_recording(recording(5))
    assert [one.raw for one in told.records] == [one.raw for one in frames(5)]
    assert [one.time_s for one in told.records] == [0.0, 0.5, 1.0, 1.5, 2.0]
    assert told.header["started_utc"] == "2026-06-09T17:00:00+00:00"
    assert told.lost_bytes == 0


def test_a_record_by_hand() -> None:
    # The form that is documented, put together without the code under test.
    kept = frames(1)[0].raw
    body = (1_500_000).to_bytes(8, "little") + b"\x01" + len(kept).to_bytes(2, "little") + kept
    by_hand = body + zlib.crc32(body).to_bytes(4, "little")
    assert record_of(frames(1)[0], 1.5) == by_hand


@given(st.integers(0, 400))
def test_a_cut_tail_is_lost_and_nothing_else(cut: int) -> None:
    whole = recording(8)
    told = read_recording(whole[: max(len(whole) - cut, len(HEADER))])
    one = len(record_of(frames(1)[0], 0.0))
    left = max(len(whole) - cut, len(HEADER)) - len(HEADER)
    # Trailing zeros of a payload are left out, so that the first record is shorter than the others.
    assert [one.raw for one in told.records] == [one.raw for one in frames(8)][: len(told.records)]
    assert told.lost_bytes < one + 2
    assert (
        sum(len(record_of(f, 0.0)) for f in frames(8)[: len(told.records)])
        == left - told.lost_bytes
    )


@given(st.integers(0, 10_000), st.integers(1, 255))
def test_a_changed_byte_ends_what_is_read(at: int, change: int) -> None:
    whole = bytearray(recording(6))
    at = len(HEADER) + at % (len(whole) - len(HEADER))
    whole[at] ^= change
    told = read_recording(bytes(whole))
    assert [one.raw for one in told.records] == [one.raw for one in frames(6)][: len(told.records)]
    assert len(told.records) < 6
    assert told.lost_bytes > 0


def test_signatures_and_keys_are_not_kept() -> None:
    key = random.Random(3).randbytes(32)  # noqa: S311 - a key of a test
    signed = frames_of(Codec(key=key, signing_time=9).write(m.RequestList(
        to_system=7, to_component=1, plan=0)), SEEDS)[0][0]  # fmt: skip
    assert signed.signed
    kept = record_of(signed, 0.0)
    assert signed.raw[-6:] not in kept
    told = read_recording(HEADER + kept).records[0]
    assert frames_of(told.raw, SEEDS)[0][0].payload == signed.payload
    setup = Frame(raw=b"", version=2, message_id=256, system=1, component=1, sequence=0,
                  payload=key, signed=False)  # fmt: skip
    assert record_of(setup, 0.0) == b""


def test_the_recorder_writes_all_and_refuses_what_is_there(tmp_path: Path) -> None:
    path = tmp_path / "a.rec"
    recorder = Recorder(path, HEADER)
    for k, frame in enumerate(frames(300)):
        recorder.add(record_of(frame, 0.01 * k))
    recorder.close()
    assert recorder.failed is None
    assert len(read_recording(path.read_bytes()).records) == 300
    with pytest.raises(FileExistsError):
        Recorder(path, HEADER)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device of Linux that is always full")
def test_a_full_disk_ends_the_recording(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    recorder = Recorder(tmp_path / "a.rec", HEADER)
    full = Path("/dev/full").open("wb", buffering=0)  # noqa: SIM115 - the recorder closes it
    recorder._file.close()
    recorder._file = full
    recorder.add(b"x")
    recorder.close()
    assert recorder.failed is not None
    assert recorder.failed.strerror == "No space left on device"


def test_from_the_wire_to_columns(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, out = tmp_path / "flight.rec", tmp_path / "flight.csv"

    def heed() -> None:
        if steady_clock.steady_s() > 3.5:
            raise KeyboardInterrupt

    with in_hand(OnTheWire(FakeVehicle(), HOME)) as port:
        now = datetime(2026, 6, 9, 17, tzinfo=UTC)
        with on_line(port, now=now, clock=steady_clock.steady_s, heed=heed) as line:
            kept = record_link.record_line(line, path, port, now)
    assert kept.frames >= 4
    assert kept.ended == ""
    path.write_bytes(path.read_bytes()[:-3])
    assert run(["link", "series", str(path), "--out", str(out)]) == 0
    said = capsys.readouterr().out
    assert f"of {kept.frames - 1} frames" in said
    assert "are no whole record: they are lost." in said
    rows = out.read_text("utf-8").splitlines()
    assert rows[0] == "time_s,system,component,message,field,value"
    assert any(row.endswith(",7,1,HOME_POSITION,latitude,550000000") for row in rows)


def test_home_that_was_moved_is_said_at_once_and_again_where_it_moves_on(
    released: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: Any
) -> None:
    wire = aircraft(released, loaded=True)
    launch = wire.home

    def heed() -> None:
        now_s = steady_clock.steady_s()
        # 1e-7 degree of latitude is 11.1 mm by hand: 400 steps are 4.4 m, 1000 are 11 m.
        steps = 0 if now_s < 2.0 else 400 if now_s < 4.0 else 1000 if now_s < 7.0 else 2000
        wire.home = replace(launch, latitude_e7=launch.latitude_e7 + steps)
        if now_s > 10.0:
            raise KeyboardInterrupt

    monkeypatch.setattr(cli_link, "held_back", lambda: nullcontext(heed))
    with in_hand(wire) as port:
        out = str(tmp_path / "flight.rec")
        assert run(["link", "record", str(released), "--port", port, "--out", out]) == 0
    said = capsys.readouterr().err.splitlines()
    assert [line[:34] for line in said if line.startswith("HOME")] == [
        "HOME MOVED: it lies 11 m from the ",
        "HOME MOVED: it lies 22 m from the ",
    ]


def test_what_is_no_recording_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "a.rec"
    path.write_text(json.dumps({"format": "another"}) + "\n")
    assert run(["link", "series", str(path), "--out", str(tmp_path / "o.csv")]) == 2
    assert "does not say that it is homeleg/recording/1" in capsys.readouterr().err
