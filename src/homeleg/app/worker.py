"""A process that checks sorties, one at a time, and is ended where an answer is no longer wanted.

A process and not a thread: compiled code hears no wish to stop, a thread in it cannot be ended,
and a fault in it would take the pages along.
"""

import asyncio
import contextlib
import multiprocessing
import os
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from pathlib import Path

from homeleg.desk.kernel_cache import use_kernel_cache
from homeleg.foundation.errors import HomelegError, InputFileError, Problem
from homeleg.verdict.result import Verdict
from homeleg.world.weather import Weather

__all__ = ["Checked", "Refused", "Worker"]

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
class Refused:
    """Why there is no answer."""

    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class _Progress:
    what: str
    share: float


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
        async with self._free:
            pipe = self._started()
            pipe.send((path, quick))
            try:
                return await self._answer(pipe, tell)
            except asyncio.CancelledError:
                await self._drop(pipe)
                raise

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

    def _started(self) -> Connection:
        if self._process is None or self._pipe is None or not self._process.is_alive():
            context = multiprocessing.get_context("spawn")
            self._pipe, theirs = context.Pipe()
            self._process = context.Process(target=_work, args=(theirs, self._nice), daemon=True)
            self._process.start()
            theirs.close()
        return self._pipe

    async def _answer(self, pipe: Connection, tell: Tell) -> Checked | Refused:
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


async def _received(pipe: Connection) -> "Checked | Refused | _Progress":
    """Return the next thing said, without holding up the pages."""
    while not pipe.poll():
        await asyncio.sleep(0.01)
    said: Checked | Refused | _Progress = pipe.recv()
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
        while True:
            asked = pipe.recv()
            if asked is not None:  # else a wish to drop what has been answered by now
                path, quick = asked
                pipe.send(_checked(path, pipe, quick=quick))


def _checked(path: Path, pipe: Connection, *, quick: bool) -> Checked | Refused:
    # Here, after the place of the compiled kernel was chosen.
    from homeleg.desk.check import check_sortie  # noqa: PLC0415

    def tell(what: str, share: float) -> None:
        if pipe.poll():
            raise _DroppedError
        pipe.send(_Progress(what, share))

    try:
        result = check_sortie(path, quick=quick, progress=tell)
    except InputFileError as error:
        return Refused(error.problems)
    except HomelegError as error:
        remedy = "Change the sortie and ask again."
        return Refused((Problem(where=path.name, problem=str(error), remedy=remedy),))
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
    sortie = result.sortie
    return Checked(verdict=result.verdict, weather=sortie.weather, launch_time=sortie.launch_time)
