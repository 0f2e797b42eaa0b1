"""Today at a base: when a sortie can be flown, what is open, and how far each aircraft may go."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from urllib.parse import quote

from homeleg.briefing.day_strip import (
    DAY_LAPTOP,
    DAY_PHONE,
    DayForm,
    DayRow,
    WindRow,
    day_strip,
)
from homeleg.briefing.dial import DialWinds
from homeleg.briefing.palette import BUFF
from homeleg.briefing.reach_bar import reach_bar
from homeleg.desk.base import AircraftEntry, Base, SortieEntry, aircraft_in
from homeleg.desk.face import Face
from homeleg.desk.logbook import Logbook, logbook_of
from homeleg.desk.stop_rule import rule_of
from homeleg.desk.today_open import OpenThing, open_things
from homeleg.desk.today_rows import day_of, light_row, packs_row, permission_row, wind_row
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.readiness.day import Holds, Span, common, long_enough, met
from homeleg.readiness.due import papers_held
from homeleg.readiness.entries import Entry
from homeleg.readiness.packs import packs_of
from homeleg.readiness.reach import Reach, earned_reach
from homeleg.readiness.since import held_back_by
from homeleg.readiness.stop_rule import StopRule, day_flown, stop_reasons
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Status, Verdict

__all__ = ["AircraftReach", "Known", "OpenThing", "Today", "today", "which_sortie"]

_MOST_THINGS = 5
# A flight and its landing, where no check has told how long it takes. Ours.
_UNTOLD_FLIGHT = timedelta(minutes=15)
_PAST = timedelta(hours=12)
_NOT_LOOKED = "Look at which winds would do; then the day shows its blocks."
_WIND_TOO_OLD = "No wind is told for this day: measure it, or take a forecast, then ask again."
_UNDER = "Hours in UTC. In a clear sky, with the wind as told: its spread grows with its age."


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What the checks of this run know of a sortie: its verdict, and the winds looked at."""

    verdict: Verdict | None = None
    looked: tuple[DialWinds, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AircraftReach:
    """An aircraft with its flights and the bar of the reach it has earned, as SVG."""

    name: str
    title: str
    under: str
    bar: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Today:
    """The page: its sentence, the day by its forms, open things, aircraft, and what comes next."""

    sentence: str
    second: str
    figures: tuple[tuple[str, str], ...]
    things: tuple[OpenThing, ...]
    more: int
    aircraft: tuple[AircraftReach, ...]
    troubles: tuple[str, ...]


def which_sortie(entries: tuple[SortieEntry, ...], now: datetime) -> SortieEntry | None:
    """Return the sortie to show when nobody says: the next to launch, else the last that did."""
    ready = [one for one in entries if not one.problems and one.launch_time is not None]
    coming = [
        one for one in ready if one.launch_time is not None and one.launch_time >= now - _PAST
    ]

    def launch(one: SortieEntry) -> datetime:
        return one.launch_time or now

    if coming:
        return min(coming, key=launch)
    return max(ready, key=launch, default=None)


def today(base: Base, entry: SortieEntry, known: Known, now: datetime, face: Face) -> Today:
    """Return the page for a sortie of the base; raises InputFileError where it cannot be read."""
    book, troubles = _book(base)
    held = () if book is None else book.held
    rule, wrong = _rule(base)
    day = _day(read_sortie(entry.path).sortie, known, held, rule, now)
    stopped = _stopped(rule, entry, held, now)
    things_open = [*stopped, *open_things(base, entry, known.verdict, book, now)]
    sentence, second = _sentence(entry, day, known, now, face)
    return Today(
        sentence=f"{stopped[0].words}." if stopped else sentence,
        second=second,
        figures=tuple(
            (name, _figure(day, now, form, name, face))
            for name, form in (("laptop", DAY_LAPTOP), ("phone", DAY_PHONE))
        ),
        things=tuple(things_open[:_MOST_THINGS]),
        more=max(len(things_open) - _MOST_THINGS, 0),
        aircraft=tuple(_reach(one, held, known, entry) for one in aircraft_in(base)),
        troubles=(*troubles, *wrong),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Day:
    """A day's hours, its rows as drawn, what is missing where each does not hold, and the blocks.

    Not `solid`: another question than the wind keeps the window from GO.
    """

    hours: Span
    rows: tuple[DayRow | WindRow, ...]
    conditions: tuple[tuple[str, Sequence[Span]], ...]
    blocks: tuple[Span, ...]
    solid: bool
    wind_stands: bool


def _day(
    sortie: Sortie, known: Known, held: Sequence[Entry], rule: StopRule, now: datetime
) -> _Day:
    """Return the day of a sortie's launch, or this one where that has passed."""
    at = sortie.launch_time if sortie.launch_time >= now - _PAST else now
    hours = day_of(sortie, at)
    light = light_row(resolve(sortie), hours)
    solid = True
    wind, wind_spans = wind_row(sortie, hours, known.looked, (Status.GO,))
    if known.looked is not None and wind.moments and wind.closes_m_s is None:
        solid = False
        wind, wind_spans = wind_row(sortie, hours, known.looked, (Status.GO, Status.MARGINAL))
    permission = permission_row(papers_held(held, now), hours)
    packs = packs_row(packs_of(held), held, hours)
    conditions: list[tuple[str, Sequence[Span]]] = [
        ("no light, or the sun in your eyes", met([bar for line in light.lines for bar in line])),
        ("no wind that would do", wind_spans),
    ]
    if permission.lines:
        conditions.append(("no permission", common(*(met(line) for line in permission.lines))))
    if packs.lines:
        charged = [bar for line in packs.lines for bar in line if bar.holds is Holds.MET]
        conditions.append(("no charged pack", met(charged)))
    ends = rule.ends_at(at)
    if ends is not None:
        before = (Span(hours.begin, ends),) if ends > hours.begin else ()
        conditions.append(("your own rule", before))
    together = common(*(spans for _, spans in conditions))
    return _Day(
        hours=hours,
        rows=(light, wind, permission, packs),
        conditions=tuple(conditions),
        blocks=long_enough(together, _flight_time(known.verdict)),
        solid=solid,
        wind_stands=bool(wind.moments),
    )


def _figure(day: _Day, now: datetime, form: DayForm, name: str, face: Face) -> str:
    rows = [
        replace(row, words=face.text(row.words)) if isinstance(row, WindRow) else row
        for row in day.rows
    ]
    return day_strip(
        day.hours, rows, day.blocks, now, form, BUFF, solid=day.solid, name=f"day-{name}"
    )


def _book(base: Base) -> tuple[Logbook | None, tuple[str, ...]]:
    """Return the logbook of a base, and what is wrong where it cannot be read."""
    try:
        return logbook_of(base), ()
    except InputFileError as error:
        return None, _told(error)


def _told(error: InputFileError) -> tuple[str, ...]:
    return tuple(f"{one.where}: {one.problem}. {one.remedy}" for one in error.problems)


def _rule(base: Base) -> tuple[StopRule, tuple[str, ...]]:
    """Return the rule by which the day ends, and what is wrong where it cannot be read."""
    try:
        return rule_of(base), ()
    except InputFileError as error:
        return StopRule(), tuple(
            f"{one.where}: {one.problem}. {one.remedy}" for one in error.problems
        )


def _stopped(
    rule: StopRule, entry: SortieEntry, held: Sequence[Entry], now: datetime
) -> list[OpenThing]:
    """Return that the day is over by the rule set for it, if it is."""
    reasons = stop_reasons(rule, day_flown(held, now), now)
    words = f"Stop for today: {'; '.join(reasons)}"
    address = f"/sortie/{quote(entry.name)}/turnaround"
    return [OpenThing(words=words, note="your rule", address=address)] if reasons else []


def _flight_time(verdict: Verdict | None) -> timedelta:
    if verdict is None:
        return _UNTOLD_FLIGHT
    return timedelta(seconds=verdict.flight.duration_s.p90)


def _sentence(
    entry: SortieEntry, day: _Day, known: Known, now: datetime, face: Face
) -> tuple[str, str]:
    """Return when it can be flown, and what to know beside it."""
    if not day.wind_stands:
        return f"When can you fly {entry.title}?", _WIND_TOO_OLD
    if known.looked is None:
        return f"When can you fly {entry.title}?", _NOT_LOOKED
    coming = next((one for one in day.blocks if one.end > now), None)
    if coming is not None:
        begin, end = face.moment(coming.begin), face.moment(coming.end)
        on = "" if coming.begin.date() == now.date() else f" on {face.date(coming.begin)}"
        when = f"until {end}" if coming.begin <= now else f"from {begin} to {end}"
        at_best = "" if day.solid else "MARGINAL at best, as its verdict says. "
        return f"You can fly {entry.title}{on} {when}.", f"{at_best}{_UNDER}"
    if day.blocks:
        return f"No more time to fly {entry.title} on this day.", _UNDER
    never = [name for name, spans in day.conditions if not spans]
    why = f"{'; '.join(never)}." if never else "never all at once, and long enough."
    return f"No time to fly {entry.title}: {why}", _UNDER


def _reach(
    one: AircraftEntry, held: Sequence[Entry], known: Known, entry: SortieEntry
) -> AircraftReach:
    """Return the reach of an aircraft: by its flights, and held back by what changed on it."""
    if one.problems:
        return AircraftReach(
            name=one.name, title=one.title, under="cannot be read", bar="", words=""
        )
    record = read_aircraft(one.path)
    changed = held_back_by(held, one.name)
    reach = earned_reach(
        flights=record.flights,
        energies_inside=0,
        place_moved=changed is not None,
        sight_limit_m=0.0,
    )
    step, words = reach.step, _step_words(reach)
    judged = _judged_step(known.verdict) if one.title == entry.aircraft else None
    if judged is not None and changed is None and judged > step:
        step, words = judged, f"step {judged}: as far as the margins allow"
    under = f"{record.flights} {'flight' if record.flights == 1 else 'flights'}"
    if changed is not None:
        under = f"{under}, held back: {changed.change.value}"
    bar = reach_bar(step, words, BUFF, name=f"reach-{one.name}")
    return AircraftReach(name=one.name, title=one.title, under=under, bar=bar, words=words)


def _judged_step(verdict: Verdict | None) -> int | None:
    """Return the step that the verdict found, from its row."""
    if verdict is None:
        return None
    row = next((one for one in verdict.rows if one.limit.slug == "reach.step"), None)
    found = None if row is None else re.match(r"step (\d)", row.note)
    return None if found is None else int(found[1])


def _step_words(reach: Reach) -> str:
    more = f". Next: {reach.next_words}" if reach.next_words else ""
    return f"step {reach.step}: {reach.words}{more}"
