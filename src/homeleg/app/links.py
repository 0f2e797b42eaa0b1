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
from threading import Event, Thread

from homeleg.desk.glance_words import GlanceWords, glance_words
from homeleg.desk.link import (
    Aboard,
    Before,
    Line,
    LoadOrder,
    compare_aboard,
    load_release,
    on_line,
)
from homeleg.desk.listen import Glance, listen
from homeleg.foundation.errors import HomelegError, InputFileError, Problem, RefusedError
from homeleg.link import steady_clock
from homeleg.release.declared import ReadAloud

__all__ = ["Given", "Link", "Stage"]

_LOOK_S = 0.1


class Stage(Enum):
    """What the link is at; ASKING waits for a person to name the aircraft."""

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


class Link:
    """One open link, and the release compared on it; `turns` counts what pages show anew."""

    def __init__(self, release: Path, given: Given, now: Callable[[], datetime]) -> None:
        """Open it and listen."""
        self.release, self.given = release, given
        self.stage, self.turns, self.doing = Stage.LISTENING, 0, ""
        self.glance: GlanceWords | None = None
        self.heard: tuple[int, ...] = ()
        self.before: Before | None = None
        self.aboard: Aboard | None = None
        self.problems: tuple[Problem, ...] = ()
        self._now = now
        self._wish: Callable[[Line], Aboard] | None = None
        self._typed: Queue[str] = Queue()
        self._stopped, self._closed = Event(), Event()
        self._thread = Thread(target=self._run, name="link", daemon=True)
        self._thread.start()

    def compare(self, read: ReadAloud) -> None:
        """Have the aircraft's plans read and compared."""
        self._wish = lambda line: compare_aboard(
            line, self.release, read, now=self._now(), members=None
        )

    def load(self, system: int, read: ReadAloud, *, seen_on_ground: bool) -> None:
        """Have the release loaded into an aircraft, once a person has named it."""
        order = LoadOrder(system=system, seen_on_ground=seen_on_ground, confirm=self._confirmed)
        self._wish = lambda line: load_release(
            line, self.release, order, read, now=self._now(), members=None
        )

    def confirm(self, typed: str) -> None:
        """Take the system id that a person typed."""
        if self.stage is Stage.ASKING:
            self._typed.put(typed)

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
            with on_line(
                given.port,
                clock=steady_clock.steady_s,
                heed=self._heed,
                now=self._now(),
                system=given.system,
                present=given.present,
                home_first=given.home_first,
            ) as line:
                line.tell = self._tell
                while not self._closed.is_set():
                    self._listen(line)
                    self._do_the_wish(line)
        except Exception as error:  # noqa: BLE001 (the pages live on, and say so)
            if not any(str(error) in one.problem for one in self.problems):
                self.problems += _problems_of(error)
        self._turn(Stage.ENDED)

    def _listen(self, line: Line) -> None:
        held = self.aboard.verified if self.aboard and self.aboard.is_as_released else None
        with suppress(KeyboardInterrupt):
            listen(line, self.release, show=self._show, seconds=None, verified=held)

    def _do_the_wish(self, line: Line) -> None:
        wish, self._wish = self._wish, None
        if wish is None:
            return
        self.aboard, self.before, self.problems = None, None, ()
        self._stopped.clear()
        self._turn(Stage.WORKING)
        try:
            self.aboard = wish(line)
        except KeyboardInterrupt:
            remedy = "Nothing was written into the aircraft."
            self.problems = (Problem(where="The link", problem="stopped", remedy=remedy),)
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
        self.before = before
        self._typed = Queue()
        self._turn(Stage.ASKING)
        typed = ""
        while not (typed or self._stopped.is_set() or self._closed.is_set()):
            with suppress(Empty):
                typed = self._typed.get(timeout=_LOOK_S)
        self._turn(Stage.WORKING)
        return typed.strip() == str(before.reading.system)

    def _tell(self, doing: str) -> None:
        self.doing = doing

    def _show(self, glance: Glance) -> None:
        self.glance = glance_words(glance)
        aircraft = [one for one in glance.stations if one.is_aircraft]
        heard = tuple(sorted({one.system for one in aircraft}))
        if heard != self.heard:
            self.heard = heard
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
