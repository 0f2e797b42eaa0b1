"""Between two flights: what to look at, in order, and whether the day's rule lets another begin."""

from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote

from homeleg.desk.base import Base, SortieEntry
from homeleg.desk.logbook import logbook_of
from homeleg.desk.releases import releases_in, sortie_released
from homeleg.desk.stop_rule import rule_of
from homeleg.readiness.packs import PackState, packs_of
from homeleg.readiness.stop_rule import DayFlown, StopRule, day_flown, stop_reasons

__all__ = ["Step", "Turnaround", "turnaround"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing to look at or do, why, and where in the program, if there."""

    words: str
    why: str
    address: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnaround:
    """The rule with what was flown under it, why the day is over, if it is, and the steps."""

    rule: StopRule
    flown: DayFlown
    stopped: tuple[str, ...]
    steps: tuple[Step, ...]


def turnaround(base: Base, entry: SortieEntry, now: datetime) -> Turnaround:
    """Return what lies between the last flight and the next; raises InputFileError."""
    book = logbook_of(base)
    held = () if book is None else book.held
    rule, flown = rule_of(base), day_flown(held, now)
    return Turnaround(
        rule=rule,
        flown=flown,
        stopped=stop_reasons(rule, flown, now),
        steps=_steps(base, entry, packs_of(held)),
    )


# What to look at between flights: common practice, no source.
def _steps(base: Base, entry: SortieEntry, packs: tuple[PackState, ...]) -> tuple[Step, ...]:
    name = quote(entry.name)
    released = next(
        (
            one
            for one in releases_in(base)
            if (of := sortie_released(base, one)) is not None and of.path == entry.path
        ),
        None,
    )
    note = "" if released is None else f"/release/{released.code}/after"
    again = "" if released is None else f"/release/{released.code}"
    return (
        Step(
            words="Note the flight: minutes, what you found", why="while you remember", address=note
        ),
        Step(
            words="Pack out, feel it",
            why="over 50 °C, swollen or hit: not again, outside, away from all else",
        ),
        Step(
            words="Look it over: propeller, wing, surfaces, tube, mounts",
            why="was the landing hard? Then say so",
            address=f"/aircraft/{quote(entry.record)}/changed",
        ),
        Step(words="Next pack in", why=_packs(packs), address=again),
        Step(
            words="Measure the wind again",
            why="the verdict rests on it",
            address=f"/sortie/{name}/numbers",
        ),
        Step(
            words="The pack was unplugged: make those calls again",
            why="surfaces, heading, position, route aboard",
            address=f"/sortie/{name}/calls",
        ),
    )


def _packs(packs: tuple[PackState, ...]) -> str:
    usable = [pack.name for pack in packs if not pack.swollen]
    return f"in the logbook: {', '.join(usable)}" if usable else "charged, at 15 °C or more"
