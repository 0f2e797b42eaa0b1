"""A what-if that is asked for, flown as long as somebody looks at its page."""

import asyncio
from collections.abc import AsyncGenerator, Mapping
from dataclasses import dataclass
from pathlib import Path

from homeleg.app.checks import Event
from homeleg.app.worker import Refused, Worker
from homeleg.desk.check import CheckResult
from homeleg.desk.face import Face
from homeleg.desk.what_if import WhatIf, fly_what_if

__all__ = ["AskedWhatIf", "flown_events"]

_QUIET_S = 0.1


@dataclass(slots=True)
class AskedWhatIf:
    """What was typed, the answer that may stand on the sortie as it is, and what came of it."""

    typed: Mapping[str, str]
    before: CheckResult | None = None
    said: WhatIf | Refused | None = None


async def flown_events(
    asked: AskedWhatIf, path: Path, face: Face, worker: Worker
) -> AsyncGenerator[Event]:
    """Fly it, unless that was done, and say how far it has come; broken off with its listener."""
    events: asyncio.Queue[Event] = asyncio.Queue()

    async def fly() -> None:
        if asked.said is None:
            asked.said = await worker.do(
                fly_what_if,
                path,
                asked.typed,
                face,
                asked.before,
                tell=lambda what, share: events.put_nowait(
                    Event("progress", f"{what}|{share:.3f}")
                ),
            )
        events.put_nowait(Event("done"))

    task = asyncio.create_task(fly())
    try:
        while True:
            try:
                async with asyncio.timeout(_QUIET_S):
                    event = await events.get()
            except TimeoutError:
                event = Event("quiet")
            yield event
            if event.kind == "done":
                return
    finally:
        task.cancel()
