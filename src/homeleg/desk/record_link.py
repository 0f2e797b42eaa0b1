"""Record a link to a file, silent, and turn a recording into columns."""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from homeleg import __version__
from homeleg.desk.link import Line
from homeleg.formats.text_file import refuse_taken
from homeleg.foundation.errors import InputFileError, LinkError, Problem
from homeleg.link.codec import SEEDS, told_fields
from homeleg.link.recorder import Recorder
from homeleg.link.recording import Recording, header_line, read_recording, record_of
from homeleg.link.splitter import frames_of

__all__ = ["Kept", "Written", "export_recording", "record_line"]

_LOOK_S = 0.1
_HEADER = ("time_s", "system", "component", "message", "field", "value")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What was recorded: frames, bytes that belong to none, and why it ended."""

    frames: int
    skipped_bytes: int
    ended: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was read of a recording: frames, rows written, bytes lost at its end."""

    frames: int
    rows: int
    lost_bytes: int


def record_line(line: Line, out: Path, port: str, now: datetime) -> Kept:
    """Record all frames of a line until it is stopped, or the link or the disk ends it.

    Raises InputFileError where the file cannot be made.
    """
    refuse_taken(out)
    try:
        recorder = Recorder(out, header_line(f"homeleg {__version__}", now.isoformat(), port))
    except OSError as error:
        remedy = "Give another file with --out."
        problem = f"cannot be written: {error.strerror}"
        raise InputFileError([Problem(where=str(out), problem=problem, remedy=remedy)]) from error
    count = 0

    def keep() -> None:
        nonlocal count
        began_s = line.clock()
        while recorder.failed is None:
            line.heed()
            for frame in line.frames.read(_LOOK_S):
                recorder.add(record_of(frame, line.clock() - began_s))
                count += 1

    try:
        ended = _ended(keep)
    finally:
        recorder.close()
    if recorder.failed is not None:
        ended = f"the disk took no more: {recorder.failed.strerror}"
    return Kept(frames=count, skipped_bytes=line.frames.skipped_bytes, ended=ended)


def _ended(keep: Callable[[], None]) -> str:
    """Run a recording and return in words why it ended."""
    try:
        keep()
    except KeyboardInterrupt:
        return ""
    except LinkError as error:
        return str(error)
    return ""


def export_recording(path: Path, out: Path) -> Written:
    """Write every field of every message of a recording as a row of a new CSV file.

    Raises InputFileError for what is no recording.
    """
    recording = _read(path)
    refuse_taken(out)
    rows = 0
    with out.open("x", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(_HEADER)
        for record in recording.records:
            for frame in frames_of(record.raw, SEEDS)[0]:
                who = (f"{record.time_s:.6f}", frame.system, frame.component)
                for message, field, value in told_fields(frame):
                    writer.writerow((*who, message, field, value))
                    rows += 1
    return Written(frames=len(recording.records), rows=rows, lost_bytes=recording.lost_bytes)


def _read(path: Path) -> Recording:
    remedy = "A recording is made with homeleg link record."
    try:
        return read_recording(path.read_bytes())
    except OSError as error:
        problem = f"cannot be read: {error.strerror}"
        raise InputFileError([Problem(where=str(path), problem=problem, remedy=remedy)]) from error
    except ValueError as error:
        raise InputFileError(
            [Problem(where=str(path), problem=str(error), remedy=remedy)]
        ) from error
