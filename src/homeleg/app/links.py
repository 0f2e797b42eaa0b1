"""The link that the screens hold open: a thread listens, and between does what it is asked.

A port has one user, so there is one link at a time. What it does is what the command line does.
"""

import traceback
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from enum import Enum
from pathlib import Path
from queue import Empty, Queue
from threading import Event, Lock, Thread

from homeleg.desk.glance_words import GlanceWords, glance_words
from homeleg.desk.link import (
    Aboard,
    Before,
    LoadOrder,
    compare_aboard,
    fetch_aboard,
    load_release,
)
from homeleg.desk.link_line import Line, on_line
from homeleg.desk.listen import Glance, listen
from homeleg.desk.record_link import Kept, LineRecording
from homeleg.formats.settings_map import read_settings_map
from homeleg.foundation.errors import (
    HomelegError,
    InputFileError,
    LoadFailedError,
    Problem,
    RefusedError,
)
from homeleg.link import steady_clock
from homeleg.link.session import Reading
from homeleg.release.declared import ReadAloud

__all__ = ["Given", "Link", "Stage"]

_LOOK_S = 0.1
_HOME_FIRST = {"yes": True, "no": False}


class Stage(Enum):
    """What the link is at; ASKING waits for a person to answer a question of a load."""

    LISTENING = "listening"
    WORKING = "working"
    ASKING = "asking"
    ENDED = "ended"


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """The port, and what a person says of the link and the aircraft on it."""

    port: str
    system: int | None
    present: bool
    home_first: bool | None
    key_file: Path | None = None
    settings_map: Path | None = None


class Link:
    """One open link, and the release compared on it; `turns` counts what pages show anew.

    `before` is what a load asks about, `left` how it failed, `fetched` the file of a route that was
    read, `recorded` what was kept of a recording, in `recorded_in`; `typed` what a person put down
    of the settings.
    """

    def __init__(self, release: Path, given: Given, now: Callable[[], datetime]) -> None:
        """Open it and listen."""
        self.release, self.given = release, given
        self.stage, self.turns, self.doing = Stage.LISTENING, 0, ""
        self.glance: GlanceWords | None = None
        self.heard: tuple[int, ...] = ()
        self.armed: bool | None = None
        self.before: Before | Reading | None = None
        self.aboard: Aboard | None = None
        self.left: LoadFailedError | None = None
        self.fetched: Path | None = None
        self.typed: dict[str, str] = {}
        self.recording: LineRecording | None = None
        self.recorded: Kept | None = None
        self.recorded_in: Path | None = None
        self.problems: tuple[Problem, ...] = ()
        self._now = now
        self._line: Line | None = None
        self._wish: Callable[[Line], None] | None = None
        self._answers: Queue[str] = Queue()
        self._stopped, self._closed, self._recorder = Event(), Event(), Lock()
        self._thread = Thread(target=self._run, name="link", daemon=True)
        self._thread.start()

    @property
    def asks_home_first(self) -> bool:
        """Whether the question is if item 0 is the launch point; else which aircraft it is."""
        return isinstance(self.before, Reading)

    def compare(self, read: ReadAloud) -> None:
        """Have the aircraft's plans read and compared."""

        def compared(line: Line) -> None:
            self.aboard = self.left = None
            now = self._now()
            self.aboard = compare_aboard(line, self.release, read, now=now, members=None)

        self._wish = compared

    def load(self, system: int, read: ReadAloud, *, seen_on_ground: bool) -> None:
        """Have the release loaded into an aircraft, once a person has named it."""
        order = LoadOrder(
            system=system,
            seen_on_ground=seen_on_ground,
            confirm=self._confirmed,
            ask_home_first=self._home_first,
        )

        def loaded(line: Line) -> None:
            self.aboard = self.left = None
            now = self._now()
            self.aboard = load_release(line, self.release, order, read, now=now, members=None)

        self._wish = loaded

    def fetch(self, out: Path) -> None:
        """Have the aircraft's route read and written to a new file."""

        def fetched(line: Line) -> None:
            fetch_aboard(line, out)
            self.fetched = out

        self._wish = fetched

    def answer(self, typed: str) -> None:
        """Take what a person answered to the question of a load."""
        if self.stage is Stage.ASKING:
            self._answers.put(typed)

    def record(self, out: Path) -> None:
        """Begin to record all that is heard to a new file, if the link is open."""
        with self._recorder:
            if self._line is None or self.recording is not None:
                return
            self.recording = LineRecording(self._line, out, self.given.port, self._now())
            self.recorded = self.recorded_in = None
        self.turns += 1

    def end_recording(self, why: str = "") -> None:
        """End the recording, if there is one."""
        with self._recorder:
            if self.recording is None:
                return
            self.recorded_in, self.recorded = self.recording.out, self.recording.end(why)
            self.recording = None
        self.turns += 1

    def stop(self) -> None:
        """Stop what is being done; the link stays open."""
        self._stopped.set()

    def close(self) -> None:
        """Stop all and close the link."""
        self._closed.set()
        self._thread.join()

    def _run(self) -> None:
        """Listen and do what is asked until closed: the life of the thread."""
        given = self.given
        try:
            named = None if given.settings_map is None else read_settings_map(given.settings_map)
            with on_line(
                given.port,
                clock=steady_clock.steady_s,
                heed=self._heed,
                now=self._now(),
                system=given.system,
                present=given.present,
                home_first=given.home_first,
                key_file=given.key_file,
            ) as line:
                line.tell, line.settings_map = self._tell, named
                self._line = line
                while not self._closed.is_set():
                    self._listen(line)
                    self._do_the_wish(line)
        except Exception as error:  # noqa: BLE001 (the pages live on, and say so)
            if not any(str(error) in one.problem for one in self.problems):
                self.problems += _problems_of(error)
            self.end_recording(f"{error}")
        self._line = None
        self.end_recording()
        self._turn(Stage.ENDED)

    def _listen(self, line: Line) -> None:
        held = self.aboard.verified if self.aboard and self.aboard.is_as_released else None
        with suppress(KeyboardInterrupt):
            listen(line, self.release, show=self._show, seconds=None, verified=held)

    def _do_the_wish(self, line: Line) -> None:
        wish, self._wish = self._wish, None
        if wish is None:
            return
        self.before, self.fetched, self.problems = None, None, ()
        self._stopped.clear()
        self._turn(Stage.WORKING)
        try:
            wish(line)
        except KeyboardInterrupt:
            remedy = "Nothing was written into the aircraft."
            self.problems = (Problem(where="The link", problem="stopped", remedy=remedy),)
        except LoadFailedError as error:
            self.left = error
        except HomelegError as error:
            self.problems = _problems_of(error)
        self._turn(Stage.LISTENING)

    def _heed(self) -> None:
        wished = self.stage is Stage.LISTENING and self._wish is not None
        stopped = self.stage is Stage.WORKING and self._stopped.is_set()
        if wished or stopped or self._closed.is_set():
            raise KeyboardInterrupt

    def _confirmed(self, before: Before) -> bool:
        """Return whether a person types the system id of what was read."""
        return self._asked(before).strip() == str(before.reading.system)

    def _home_first(self, reading: Reading) -> bool | None:
        """Return what a person says of item 0; the link keeps it for the next time."""
        said = _HOME_FIRST.get(self._asked(reading))
        if self._line is not None:
            self._line.home_first = said
        return said

    def _asked(self, about: Before | Reading) -> str:
        """Return what a person answers, "" where it is left."""
        self.before = about
        self._answers = Queue()
        self._turn(Stage.ASKING)
        typed = ""
        while not (typed or self._stopped.is_set() or self._closed.is_set()):
            with suppress(Empty):
                typed = self._answers.get(timeout=_LOOK_S)
        self._turn(Stage.WORKING)
        return typed

    def _tell(self, doing: str) -> None:
        self.doing = doing

    def _show(self, glance: Glance) -> None:
        self.glance = glance_words(glance)
        if self.recording is not None and self.recording.failed:
            self.end_recording()
        aircraft = [one for one in glance.stations if one.is_aircraft]
        heard = tuple(sorted({one.system for one in aircraft}))
        armed = None if glance.aircraft is None else glance.aircraft.armed
        if (heard, armed) != (self.heard, self.armed):
            self.heard, self.armed = heard, armed
            self._turn(Stage.LISTENING)

    def _turn(self, stage: Stage) -> None:
        self.stage = stage
        self.turns += 1


def _problems_of(error: Exception) -> tuple[Problem, ...]:
    if isinstance(error, InputFileError | RefusedError):
        return error.problems
    if isinstance(error, HomelegError):
        remedy = "Look at the cable, the radio and the port, and open the link again."
        return (Problem(where="The link", problem=str(error), remedy=remedy),)
    last = traceback.extract_tb(error.__traceback__)[-1]
    what = f"{type(error).__name__}: {error} ({Path(last.filename).name}:{last.lineno})"
    where = "A fault of this program, not of your files"
    return (Problem(where=where, problem=what, remedy="Please report this line."),)
