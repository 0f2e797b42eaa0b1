"""What is computed beside the pages: a verdict to sign, paper, a note, evidence, a search."""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from anyio import from_thread

from homeleg.app.worker import Refused, Worker
from homeleg.desk.field_release import print_release
from homeleg.foundation.errors import Problem
from homeleg.verdict.result import Verdict

__all__ = ["Errand", "Errands", "told"]


@dataclass(slots=True)
class Errand:
    """Something begun, for a page that shows how far it is: what is done, and the share of it.

    `outcome` is what the desk gave, or Refused; None until then.
    """

    task: "asyncio.Task[Any] | None" = None
    what: str = "waiting"
    share: float = 0.0
    outcome: Any = None


def told(errand: Errand | None) -> dict[str, object]:
    """Return what a page that waits for an errand is told; one that was forgotten is done."""
    if errand is None or errand.outcome is not None:
        return {"done": True}
    return {"done": False, "what": errand.what, "share": errand.share}


@dataclass(slots=True)
class Errands:
    """A process of its own, so that nobody waits for a check that follows a sortie.

    Its functions are for the threads in which pages are made.
    """

    worker: Worker = field(default_factory=lambda: Worker(waits=True))
    _printing: dict[Path, "asyncio.Task[Any]"] = field(default_factory=dict)
    _begun: dict[str, Errand] = field(default_factory=dict)

    def do(self, job: Callable[..., Any], *given: Any) -> Any:
        """Return what a function of the desk gives, or Refused."""
        return from_thread.run(self.worker.do, job, *given)

    def begin(self, key: str, job: Callable[..., Any], *given: Any) -> Errand:
        """Begin an errand that nobody waits for, under a key to ask for it by."""
        errand = self._begun[key] = Errand()

        def tell(what: str, share: float) -> None:
            errand.what, errand.share = what, share

        async def work() -> None:
            errand.outcome = await self.worker.do(job, *given, tell=tell)

        async def begin() -> None:
            errand.task = asyncio.create_task(work())

        from_thread.run(begin)
        return errand

    def errand(self, key: str) -> Errand | None:
        """Return what was begun under a key, None where nothing was."""
        return self._begun.get(key)

    def forget(self, key: str) -> None:
        """Forget an errand; what is still computed for it is stopped."""
        errand = self._begun.pop(key, None)

        async def cancel() -> None:
            if errand is not None and errand.task is not None:
                errand.task.cancel()

        from_thread.run(cancel)

    def print(self, release: Path, pages: Path, verdict: Verdict | None, now: datetime) -> None:
        """Begin to make the pages of a release, as its route aboard stands now, into a folder."""

        async def begin() -> None:
            if not self.is_printing(pages):
                job = self.worker.do(print_release, release, pages, verdict, now)
                self._printing[pages] = asyncio.create_task(job)

        from_thread.run(begin)

    def is_printing(self, pages: Path) -> bool:
        """Return whether the paper of that folder is being made."""
        return pages in self._printing and not self._printing[pages].done()

    def printed(self, pages: Path) -> tuple[Problem, ...]:
        """Return, once no paper is being made in that folder, what was wrong with it."""
        if pages not in self._printing:
            return ()

        async def said() -> Any:
            return await self._printing[pages]

        outcome = from_thread.run(said)
        return outcome.problems if isinstance(outcome, Refused) else ()

    def end(self) -> None:
        """End the process."""
        self.worker.end()
