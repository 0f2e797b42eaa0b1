"""The answer that follows a sortie's files: quick, full, anew on a change, stopped, refused."""

import asyncio
from collections.abc import Callable
from contextlib import aclosing
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from homeleg.app.checks import Checks, Event
from homeleg.app.worker import Checked, Refused, Sought, Worker
from homeleg.desk.base import Base
from homeleg.foundation.errors import Problem
from homeleg.verdict.result import Status


def answer(word: Status) -> Any:
    return SimpleNamespace(verdict=SimpleNamespace(word=word))


QUICK, FULL = answer(Status.GO), answer(Status.GO)
PROBLEM = Problem(where="sortie.toml", problem="torn", remedy="Mend it.")


class FakeWorker:
    """Answers at once, or never; finds that there is no change, or goes on looking."""

    def __init__(self, said: Any, *, ever: bool = True, finds: bool = True) -> None:
        self.said, self.ever, self.asked, self.dropped = said, ever, 0, 0
        self.finds, self.sought = finds, 0

    async def seek(self, path: Path, *, tell: Callable[[str, float], None]) -> Sought:
        self.sought += 1
        tell("looking at changes", 0.5)
        if not self.finds:
            await self._for_ever()
        return Sought(None)

    async def _for_ever(self) -> None:
        try:
            await asyncio.sleep(30.0)
        except asyncio.CancelledError:
            self.dropped += 1
            raise

    async def check(self, path: Path, *, quick: bool, tell: Callable[[str, float], None]) -> Any:
        self.asked += 1
        tell("flying", 0.5)
        if not self.ever:
            await self._for_ever()
        return self.said


def follow(
    checks: Checks, base: Base, until: str, and_then: Callable[[Event], None] | None = None
) -> list[str]:
    """Return the kinds of what is said, quiet left out, up to one kind."""
    path = base.sorties / "tern-point" / "sortie.toml"

    async def listen() -> list[str]:
        said = []
        async with asyncio.timeout(5.0), aclosing(checks.follow(path, base.aircraft)) as events:
            async for event in events:
                if and_then is not None:
                    and_then(event)
                if event.kind != "quiet":
                    said.append(event.kind)
                if event.kind == until:
                    return said
        return said

    return asyncio.run(listen())


def test_a_quick_answer_then_the_full_one(base: Base) -> None:
    quick, full = FakeWorker(QUICK), FakeWorker(FULL)
    checks = Checks(quick=quick, full=full)  # type: ignore[arg-type]  # fakes
    said = follow(checks, base, "full")
    assert [kind for kind in said if kind != "progress"] == ["begun", "quick", "full"]
    standing: Any = checks.standing(base.sorties / "tern-point" / "sortie.toml")
    assert (standing.answer, standing.full, full.sought) == (FULL, True, 0)
    # Somebody else who looks at the same files hears the answer that there is.
    assert follow(checks, base, "full") == ["begun", "full"]
    assert (quick.asked, full.asked) == (1, 1)


@pytest.mark.parametrize("changed", ["sorties/tern-point/route.csv", "aircraft/petrel.toml"])
def test_a_changed_file_is_checked_anew_and_the_old_check_dropped(base: Base, changed: str) -> None:
    quick, full = FakeWorker(QUICK), FakeWorker(FULL, ever=False)
    checks = Checks(quick=quick, full=full)  # type: ignore[arg-type]  # fakes

    def change(event: Event) -> None:
        if event.kind == "quick" and quick.asked == 1:
            with (base.folder / changed).open("a") as file:
                file.write("\n")
        if event.kind == "quick" and quick.asked == 2:
            checks.stop(base.sorties / "tern-point" / "sortie.toml")

    follow(checks, base, "stopped", change)
    assert quick.asked == 2
    assert full.dropped >= 1


def test_a_stopped_check_leaves_the_quick_answer(base: Base) -> None:
    checks = Checks(quick=FakeWorker(QUICK), full=FakeWorker(FULL, ever=False))  # type: ignore[arg-type]  # fakes
    path = base.sorties / "tern-point" / "sortie.toml"

    def stop(event: Event) -> None:
        if event.kind == "quick":
            checks.stop(path)

    assert follow(checks, base, "stopped", stop)[-1] == "stopped"
    standing: Any = checks.standing(path)
    assert (standing.answer, standing.full) == (QUICK, False)


def test_a_change_is_looked_for_once_where_there_is_no_go(base: Base) -> None:
    full = FakeWorker(answer(Status.NO_GO))
    checks = Checks(quick=FakeWorker(QUICK), full=full)  # type: ignore[arg-type]  # fakes
    said = follow(checks, base, "change")
    assert [kind for kind in said if kind != "progress"] == ["begun", "quick", "full", "change"]
    standing: Any = checks.standing(base.sorties / "tern-point" / "sortie.toml")
    assert standing.change == Sought(None)
    assert follow(checks, base, "full") == ["begun", "full"]
    assert (full.asked, full.sought) == (1, 1)


def test_looking_for_a_change_can_be_stopped(base: Base) -> None:
    full = FakeWorker(answer(Status.NO_GO), finds=False)
    checks = Checks(quick=FakeWorker(QUICK), full=full)  # type: ignore[arg-type]  # fakes
    path = base.sorties / "tern-point" / "sortie.toml"

    def stop(event: Event) -> None:
        if event.words.startswith("change"):
            checks.stop(path)

    assert follow(checks, base, "stopped", stop)[-1] == "stopped"
    standing: Any = checks.standing(path)
    assert (standing.answer, standing.full, standing.change) == (full.said, True, None)
    # It is not begun again by somebody else who looks.
    assert follow(checks, base, "stopped") == ["begun", "stopped"]
    assert (full.sought, full.dropped) == (1, 1)


def test_what_is_refused_keeps_the_last_answer(base: Base) -> None:
    quick = FakeWorker(QUICK)
    checks = Checks(quick=quick, full=FakeWorker(FULL))  # type: ignore[arg-type]  # fakes
    follow(checks, base, "full")
    quick.said = Refused((PROBLEM,))
    path = base.sorties / "tern-point" / "sortie.toml"
    path.write_text(path.read_text() + "\n")
    assert follow(checks, base, "refused")[-1] == "refused"
    standing: Any = checks.standing(path)
    assert (standing.answer, standing.refused) == (FULL, Refused((PROBLEM,)))


@pytest.mark.slow
def test_a_process_answers_refuses_and_is_ended(base: Base) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    worker = Worker(waits=False)
    told: list[str] = []

    async def ask() -> Checked | Refused:
        return await worker.check(path, quick=True, tell=lambda what, _share: told.append(what))

    async def dropped() -> None:
        task = asyncio.create_task(worker.check(path, quick=False, tell=lambda *_: None))
        await asyncio.sleep(0.5)
        task.cancel()
        with pytest.raises(asyncio.CancelledError):
            async with asyncio.timeout(3.0):
                await task

    try:
        answer = asyncio.run(ask())
        assert isinstance(answer, Checked)
        assert answer.verdict.provisional
        assert "flying" in told
        asyncio.run(dropped())
        path.write_text("[torn")
        refused = asyncio.run(ask())
        assert isinstance(refused, Refused)
        assert "sortie.toml, line 1" in refused.problems[0].where
    finally:
        worker.end()


def test_the_last_full_answer_is_kept_beside_the_next(base: Base) -> None:
    path = base.sorties / "tern-point" / "sortie.toml"
    route = path.parent / "route.csv"
    full = FakeWorker(FULL)
    checks = Checks(quick=FakeWorker(QUICK), full=full)  # type: ignore[arg-type]  # fakes
    follow(checks, base, "full")
    for number in range(2):  # a second change before the first has its full answer
        full.said, full.ever = answer(Status.MARGINAL), number == 1
        route.write_text(route.read_text() + "\n")
        follow(checks, base, "full" if number else "quick")
        standing: Any = checks.standing(path)
        assert standing.before is FULL
        assert standing.full == bool(number)
