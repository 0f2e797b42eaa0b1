"""Checks that follow a sortie's files: a quick answer, then the full one, anew on a change."""

import asyncio
import os
from collections.abc import AsyncGenerator, Callable, Coroutine
from dataclasses import dataclass, field
from pathlib import Path

from homeleg.app.worker import Checked, Looked, Refused, Sought, Tell, Worker
from homeleg.verdict.result import Status

__all__ = ["Checks", "Event", "Standing"]

_LOOK_EVERY_S = 0.1
_KEPT = 32

Stamp = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class Event:
    """What a page hears: its kind, and the words or share that go with it."""

    kind: str
    words: str = ""


@dataclass(slots=True)
class Standing:
    """How far the answer on a sortie has come, for the state of its files.

    `change` is what was found to mend it: None as long as it is looked for, or where nothing needs
    mending. `looked` is what other winds would do, where somebody asked. `before` is the last full
    answer for another state of the files.
    """

    stamp: Stamp
    answer: Checked | None = None
    refused: Refused | None = None
    stopped: bool = False
    full: bool = False
    change: Sought | None = None
    looked: Looked | None = None
    before: Checked | None = None

    @property
    def seeks(self) -> bool:
        """Whether a change is still to be looked for."""
        to_mend = self.answer is not None and self.answer.verdict.word is not Status.GO
        return self.full and to_mend and self.change is None and not self.stopped


@dataclass(slots=True)
class Checks:
    """The two processes that check, and how far each sortie's answer has come."""

    quick: Worker = field(default_factory=lambda: Worker(waits=False))
    full: Worker = field(default_factory=lambda: Worker(waits=True))
    _standing: dict[Path, Standing] = field(default_factory=dict)

    def standing(self, path: Path) -> Standing | None:
        """Return how far the answer on a sortie file has come, whatever state it was for."""
        return self._standing.get(path)

    def stop(self, path: Path) -> None:
        """Have what is computed on a sortie stopped; the answer that there is stays."""
        if path in self._standing:
            self._standing[path].stopped = True

    def end(self) -> None:
        """End both processes."""
        self.quick.end()
        self.full.end()

    def follow(self, path: Path, beside: Path) -> AsyncGenerator[Event]:
        """Say what happens to the answer on a sortie file, for as long as somebody listens.

        `beside` is the folder of the aircraft files, whose changes count too.
        """
        return self._followed(path, beside, self._check)

    def follow_winds(self, path: Path, beside: Path) -> AsyncGenerator[Event]:
        """Say what happens to the look at other winds, in the same way."""
        return self._followed(path, beside, self._look)

    async def _followed(
        self,
        path: Path,
        beside: Path,
        work: Callable[[Path, Standing, asyncio.Queue[Event]], Coroutine[None, None, None]],
    ) -> AsyncGenerator[Event]:
        while True:
            stamp = _stamp(path, beside)
            standing = self._begun(path, stamp)
            events: asyncio.Queue[Event] = asyncio.Queue()
            task = asyncio.create_task(work(path, standing, events))
            try:
                yield Event("begun")
                while _stamp(path, beside) == stamp:
                    if standing.stopped and not task.done():
                        task.cancel()
                        yield Event("stopped")
                    yield await _next(events)
            finally:
                task.cancel()

    def _begun(self, path: Path, stamp: Stamp) -> Standing:
        """Return the standing for this state of the files: that there is, or a fresh one."""
        standing = self._standing.get(path)
        if standing is None or standing.stamp != stamp or standing.refused:
            fresh = Standing(stamp)
            if standing is not None:
                fresh.answer = standing.answer
                fresh.before = standing.answer if standing.full else standing.before
            standing = self._standing[path] = fresh
            while len(self._standing) > _KEPT:
                self._standing.pop(next(iter(self._standing)))
        return standing

    async def _check(self, path: Path, standing: Standing, events: asyncio.Queue[Event]) -> None:
        """Check quickly, then in full, look for a change where that is no GO, and say so."""
        if standing.full or standing.stopped:
            events.put_nowait(Event("full"))
        elif not await self._answer(path, standing, events):
            return
        if standing.seeks:
            said = await self.full.seek(path, tell=_telling(events, "change"))
            standing.change = said if isinstance(said, Sought) else Sought(None)
            events.put_nowait(Event("change"))

    async def _look(self, path: Path, standing: Standing, events: asyncio.Queue[Event]) -> None:
        """Look at other winds, unless that was done, and say so."""
        if standing.looked is None:
            tell = _telling(events, "winds")
            tell("starting", 0.0)
            said = await self.full.look(path, tell=tell)
            if isinstance(said, Refused):
                standing.refused = said
                events.put_nowait(Event("refused"))
                return
            standing.looked = said
        events.put_nowait(Event("winds", standing.looked.key))

    async def _answer(self, path: Path, standing: Standing, events: asyncio.Queue[Event]) -> bool:
        """Check quickly, then in full; return whether there is an answer."""
        for worker, name in ((self.quick, "quick"), (self.full, "full")):
            tell = _telling(events, name)
            tell("starting", 0.0)
            said = await worker.check(path, quick=worker is self.quick, tell=tell)
            if isinstance(said, Refused):
                standing.refused = said
                events.put_nowait(Event("refused"))
                return False
            standing.answer, standing.full = said, name == "full"
            events.put_nowait(Event(name))
        return True


def _telling(events: asyncio.Queue[Event], name: str) -> Tell:
    """Return what puts the progress of one computation among the events."""
    return lambda what, share: events.put_nowait(Event("progress", f"{name}|{what}|{share:.3f}"))


async def _next(events: asyncio.Queue[Event]) -> Event:
    """Return the next event, or after a moment that it is quiet."""
    try:
        async with asyncio.timeout(_LOOK_EVERY_S):
            return await events.get()
    except TimeoutError:
        return Event("quiet")


def _stamp(path: Path, beside: Path) -> Stamp:
    """Return names, sizes and times of the files that a sortie may be read from."""
    found = []
    for folder in {path.parent, beside}:
        try:
            with os.scandir(folder) as entries:
                for entry in entries:
                    if entry.is_file() and not entry.name.startswith("."):
                        status = entry.stat()
                        found.append((entry.path, status.st_size, status.st_mtime_ns))
        except OSError:
            continue  # a folder that has gone has no files
    return tuple(sorted(found))
