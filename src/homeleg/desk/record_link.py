"""Record a link to a file, silent, and turn a recording into columns."""

import csv
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from homeleg import __version__
from homeleg.desk.link_line import Line
from homeleg.formats.text_file import refuse_taken
from homeleg.foundation.errors import InputFileError, LinkError, Problem
from homeleg.link.codec import SEEDS, told_fields
from homeleg.link.live import home_moved_m
from homeleg.link.messages import HomePosition
from homeleg.link.recorder import Recorder
from homeleg.link.recording import Recording, header_line, read_recording, record_of
from homeleg.link.splitter import Frame, frames_of
from homeleg.release.plain_route import PlainPlace

__all__ = ["Kept", "LineRecording", "Written", "export_recording", "record_line"]

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


class LineRecording:
    """Keeps every frame of a line, whatever else is done on it, until it is ended.

    Raises InputFileError where the file cannot be made.
    """

    def __init__(self, line: Line, out: Path, port: str, now: datetime) -> None:
        """Make the file and begin."""
        refuse_taken(out)
        header = header_line(f"homeleg {__version__}", now.isoformat(), port)
        try:
            self._recorder = Recorder(out, header)
        except OSError as error:
            problem, remedy = f"cannot be written: {error.strerror}", "Give another file."
            raise InputFileError(
                [Problem(where=str(out), problem=problem, remedy=remedy)]
            ) from error
        self.out, self.frames = out, 0
        self._line, self._began_s = line, line.clock()
        line.frames.keep = self._keep

    @property
    def failed(self) -> str:
        """Why no more is written, "" as long as it is."""
        error = self._recorder.failed
        return "" if error is None else f"the disk took no more: {error.strerror}"

    def end(self, ended: str = "") -> Kept:
        """Write what waits, close the file, and return what was kept; `ended` says why it ends."""
        self._line.frames.keep = None
        self._recorder.close()
        skipped_bytes = self._line.frames.skipped_bytes
        return Kept(frames=self.frames, skipped_bytes=skipped_bytes, ended=self.failed or ended)

    def _keep(self, frame: Frame) -> None:
        self._recorder.add(record_of(frame, self._line.clock() - self._began_s))
        self.frames += 1


def record_line(
    line: Line,
    out: Path,
    port: str,
    now: datetime,
    *,
    launch: PlainPlace | None = None,
    say_moved: Callable[[float], None] = lambda _: None,
) -> Kept:
    """Record all frames of a line until it is stopped, or the link or the disk ends it.

    Where a released launch point is given, `say_moved` hears at once how far home lies from it [m],
    each time it is told elsewhere. Raises InputFileError where the file cannot be made.
    """
    recording = LineRecording(line, out, port, now)
    line.tell("Recording; Ctrl-C ends it.")
    ended, home = "", None
    try:
        while not recording.failed:
            line.heed()
            for frame in line.frames.read(_LOOK_S):
                told = _home_told(line, frame)
                if told is None or told == home:
                    continue
                home = told
                off_m = home_moved_m(told, launch)
                if off_m is not None:
                    say_moved(off_m)
    except KeyboardInterrupt:
        pass
    except LinkError as error:
        ended = str(error)
    finally:
        kept = recording.end(ended)
    return kept


def _home_told(line: Line, frame: Frame) -> HomePosition | None:
    heard = line.codec.read(frame)
    if heard is None or line.system not in (None, heard.system):
        return None
    return heard.message if isinstance(heard.message, HomePosition) else None


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
