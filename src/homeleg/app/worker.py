"""A process that checks sorties, one at a time, and is ended where an answer is no longer wanted.

A process and not a thread: compiled code hears no wish to stop, a thread in it cannot be ended,
and a fault in it would take the pages along.
"""

import asyncio
import contextlib
import hashlib
import multiprocessing
import os
import traceback
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import Enum
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import TYPE_CHECKING, Any

from homeleg.desk.kernel_cache import use_kernel_cache
from homeleg.foundation.errors import HomelegError, InputFileError, Problem, RefusedError
from homeleg.verdict.result import Verdict
from homeleg.world.weather import Weather

if TYPE_CHECKING:
    from homeleg.briefing.dial import DialWinds
    from homeleg.desk.amend import Proposal
    from homeleg.desk.check import CheckResult
    from homeleg.formats.sortie_file import SortieFiles

__all__ = ["Checked", "Looked", "Refused", "Sought", "Tell", "Worker", "answered"]

_NICE = 5
_PATIENCE_S = 0.3
# A quick check is over before a new process would be ready; the first may have to compile.
_PATIENCE_WITH_QUICK_S = 120.0

Tell = Callable[[str, float], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """The answer of a check, with the air it rests on."""

    verdict: Verdict
    weather: Weather
    launch_time: datetime


@dataclass(frozen=True, slots=True)
class Sought:
    """The change that was looked for; None where none was found."""

    proposal: "Proposal | None"


@dataclass(frozen=True, slots=True)
class Looked:
    """The winds that were looked at, those likely and the one told, at a height above ground."""

    winds: "DialWinds"
    height_agl_m: float

    @property
    def key(self) -> str:
        """What tells these winds from others."""
        return hashlib.sha256(repr(self.winds).encode()).hexdigest()[:12]


@dataclass(frozen=True, slots=True)
class Refused:
    """Why there is no answer; a person may `insist` where it is only far from what was thought."""

    problems: tuple[Problem, ...]
    insist: bool = False


@dataclass(frozen=True, slots=True)
class _Progress:
    what: str
    share: float


class _Ask(Enum):
    QUICK = "a quick answer"
    FULL = "the full one"
    CHANGE = "the change that mends it"
    WINDOW = "the wind window"


Said = Checked | Sought | Looked | Refused


class _DroppedError(Exception):
    """The answer is no longer wanted."""


class Worker:
    """One process, started when first needed and again after it was ended."""

    def __init__(self, *, waits: bool) -> None:
        """Begin with no process; one that `waits` leaves the processors to what is quicker."""
        self._nice = _NICE if waits else 0
        self._patience_s = _PATIENCE_S if waits else _PATIENCE_WITH_QUICK_S
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._free = asyncio.Lock()

    async def check(self, path: Path, *, quick: bool, tell: Tell) -> Checked | Refused:
        """Return the answer on a sortie file; `tell` hears of the progress.

        Where the caller is cancelled, the process is asked to drop the check, and ended if it does
        not at once.
        """
        said: Checked | Refused
        said = await self._asked(_Ask.QUICK if quick else _Ask.FULL, path, tell)
        return said

    async def seek(self, path: Path, *, tell: Tell) -> Sought | Refused:
        """Return the change that mends a sortie, judged as `check` does in full."""
        said: Sought | Refused = await self._asked(_Ask.CHANGE, path, tell)
        return said

    async def look(self, path: Path, *, tell: Tell) -> Looked | Refused:
        """Return what other winds would do to a sortie."""
        said: Looked | Refused = await self._asked(_Ask.WINDOW, path, tell)
        return said

    async def do(
        self, job: Callable[..., Any], *given: Any, tell: Tell = lambda _what, _share: None
    ) -> Any:
        """Return what a function of the desk gives, or Refused; it takes `progress` as well."""
        return await self._asked(job, given, tell)

    def start(self) -> None:
        """Start the process, so that the first check finds it ready."""
        self._started()

    def end(self) -> None:
        """End the process."""
        if self._process is not None:
            self._process.kill()
            self._process.join()
        if self._pipe is not None:
            self._pipe.close()
        self._process = self._pipe = None

    async def _asked(self, ask: _Ask | Callable[..., Any], given: Any, tell: Tell) -> Any:
        """Return what the process says to an ask, which tells what kind of answer that is."""
        async with self._free:
            pipe = self._started()
            pipe.send((ask, given))
            try:
                return await self._answer(pipe, tell)
            except asyncio.CancelledError:
                await self._drop(pipe)
                raise

    def _started(self) -> Connection:
        if self._process is None or self._pipe is None or not self._process.is_alive():
            context = multiprocessing.get_context("spawn")
            self._pipe, theirs = context.Pipe()
            self._process = context.Process(target=_work, args=(theirs, self._nice), daemon=True)
            self._process.start()
            theirs.close()
        return self._pipe

    async def _answer(self, pipe: Connection, tell: Tell) -> Said:
        """Return what comes after the progress."""
        while True:
            try:
                said = await _received(pipe)
            except (EOFError, OSError):
                self.end()
                problem = "the computation ended without an answer"
                return Refused(
                    (Problem(where="This sortie", problem=problem, remedy="Ask again."),)
                )
            if not isinstance(said, _Progress):
                return said
            tell(said.what, said.share)

    async def _drop(self, pipe: Connection) -> None:
        """Have the process drop its check; end it where it goes on computing."""
        try:
            pipe.send(None)
            async with asyncio.timeout(self._patience_s):
                await self._answer(pipe, lambda _what, _share: None)
        except (TimeoutError, OSError):
            self.end()


async def _received(pipe: Connection) -> Said | _Progress:
    """Return the next thing said, without holding up the pages."""
    while not pipe.poll():
        await asyncio.sleep(0.01)
    said: Said | _Progress = pipe.recv()
    return said


def _work(pipe: Connection, nice: int) -> None:
    """Check what is asked for until the other end goes away: the life of the process."""
    use_kernel_cache()
    if hasattr(os, "nice"):
        os.nice(nice)
    with contextlib.suppress(EOFError, OSError, KeyboardInterrupt):
        if not nice:  # ready before the first question
            from homeleg.desk.warm import compile_kernel  # noqa: PLC0415

            compile_kernel(now=datetime.now(UTC), progress=None)
        bench = _Bench(pipe)
        while True:
            asked = pipe.recv()
            if asked is not None:  # else a wish to drop what has been answered by now
                pipe.send(_said(bench, *asked))


class _Bench:
    """What the process works with: the line to the pages, and the last full check."""

    def __init__(self, pipe: Connection) -> None:
        self._pipe = pipe
        self._last: tuple[SortieFiles, CheckResult] | None = None

    def answer(self, ask: _Ask, path: Path) -> Checked | Sought | Looked:
        """Return what is asked for; raises what checking raises, and _DroppedError."""
        # Here, after the place of the compiled kernel was chosen.
        from homeleg.briefing.dial_winds import dial_winds  # noqa: PLC0415
        from homeleg.desk.amend import propose  # noqa: PLC0415
        from homeleg.desk.check import check_read_sortie  # noqa: PLC0415
        from homeleg.desk.wind_window import look_at_winds  # noqa: PLC0415
        from homeleg.formats.sortie_file import read_sortie  # noqa: PLC0415

        files = read_sortie(path)
        follows = ask in (_Ask.CHANGE, _Ask.WINDOW)
        if follows and self._last is not None and self._last[0].sources == files.sources:
            result = self._last[1]
        else:
            result = check_read_sortie(files, quick=ask is _Ask.QUICK, progress=self._tell)
        if ask is _Ask.CHANGE:
            return Sought(propose(files, result, path.parent, progress=self._tell))
        if ask is _Ask.WINDOW:
            window = look_at_winds(result, self._tell)
            return Looked(dial_winds(window, result.sortie), window.height_agl_m)
        if ask is _Ask.FULL:
            self._last = files, result
        return Checked(
            verdict=result.verdict,
            weather=files.sortie.weather,
            launch_time=files.sortie.launch_time,
        )

    def do(self, job: Callable[..., Any], given: Sequence[Any]) -> Any:
        """Return what a function of the desk gives."""
        return job(*given, progress=self._tell)

    def _tell(self, what: str, share: float) -> None:
        if self._pipe.poll():
            raise _DroppedError
        self._pipe.send(_Progress(what, share))


def _said(bench: _Bench, ask: _Ask | Callable[..., Any], given: Any) -> Any:
    if isinstance(ask, _Ask):
        return answered(given.name, lambda: bench.answer(ask, given))
    return answered("This release", lambda: bench.do(ask, given))


def answered(name: str, work: Callable[[], Any]) -> Any:
    """Return what work gives, or in words why it gives nothing."""
    try:
        return work()
    except (InputFileError, RefusedError) as error:
        return Refused(error.problems, insist=isinstance(error, RefusedError))
    except HomelegError as error:
        remedy = "Change the sortie and ask again."
        return Refused((Problem(where=name, problem=str(error), remedy=remedy),))
    except _DroppedError:
        return Refused(())
    except Exception as error:  # noqa: BLE001 (the pages live on, and say so)
        last = traceback.extract_tb(error.__traceback__)[-1]
        what = f"{type(error).__name__}: {error} ({Path(last.filename).name}:{last.lineno})"
        problem = Problem(
            where="A fault of this program, not of your files",
            problem=what,
            remedy="Please report this line.",
        )
        return Refused((problem,))
