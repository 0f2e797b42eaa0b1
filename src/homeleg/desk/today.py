"""Today at a base: when a sortie can be flown, what is open, and how far each aircraft may go."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from urllib.parse import quote

from homeleg.briefing.day_strip import DAY_LAPTOP, DAY_PHONE, day_strip
from homeleg.briefing.dial import DialWinds
from homeleg.briefing.palette import BUFF
from homeleg.briefing.reach_bar import reach_bar
from homeleg.desk.base import AircraftEntry, Base, SortieEntry, aircraft_in
from homeleg.desk.calls import Stands, field_calls
from homeleg.desk.face import Face
from homeleg.desk.logbook import Logbook, logbook_of
from homeleg.desk.logbook_view import logbook_view
from homeleg.desk.releases import ReleaseEntry, releases_in
from homeleg.desk.route_aboard import aboard_of
from homeleg.desk.stop_rule import rule_of
from homeleg.desk.today_rows import day_of, light_row, packs_row, permission_row, wind_row
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.readiness.asked import is_asked
from homeleg.readiness.day import Holds, Span, common, long_enough, met
from homeleg.readiness.due import papers_held
from homeleg.readiness.entries import Entry, Flight, things
from homeleg.readiness.packs import packs_of
from homeleg.readiness.reach import Reach, earned_reach
from homeleg.readiness.since import held_back_by, last_landing
from homeleg.readiness.stop_rule import StopRule, day_flown, stop_reasons
from homeleg.sortie.resolve import resolve
from homeleg.verdict.result import Status, Verdict

__all__ = ["AircraftReach", "Known", "OpenThing", "Today", "today", "which_sortie"]

_MOST_THINGS = 5
# A flight and its landing, where no check has told how long it takes. Ours.
_UNTOLD_FLIGHT = timedelta(minutes=15)
_PAST = timedelta(hours=12)
_NOT_LOOKED = "Look at which winds would do; then the day shows its blocks."
_UNDER = "Hours in UTC. In a clear sky, with the wind as told: its spread grows with its age."
_FIRST_CALLS = {
    "wing": "The wing: count what holds it, pull each tip",
    "sense": "Every surface: see which way it moves",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What the checks of this run know of a sortie: its verdict, and the winds looked at."""

    verdict: Verdict | None = None
    looked: tuple[DialWinds, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenThing:
    """Something still to do, what is known of it, and where it is done."""

    words: str
    note: str
    address: str


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
    sortie = read_sortie(entry.path).sortie
    resolved = resolve(sortie)
    book, troubles = _book(base)
    held = () if book is None else book.held
    at = sortie.launch_time if sortie.launch_time >= now - _PAST else now
    day = day_of(sortie, at)
    light = light_row(resolved, day)
    solid = True
    wind, wind_spans = wind_row(sortie, day, known.looked, (Status.GO,))
    if known.looked is not None and wind.moments and wind.closes_m_s is None:
        # Another question keeps it from GO at the hour of its launch.
        solid = False
        wind, wind_spans = wind_row(sortie, day, known.looked, (Status.GO, Status.MARGINAL))
    permission = permission_row(papers_held(held, now), day)
    packs = packs_row(packs_of(held), held, day, now)
    rows = [
        ("no light, or the sun in your eyes", met(light.lines[0])),
        ("no wind that would do", wind_spans),
    ]
    if permission.lines:
        rows.append(("no permission", common(*(met(line) for line in permission.lines))))
    if packs.lines:
        charged = [bar for line in packs.lines for bar in line if bar.holds is Holds.MET]
        rows.append(("no charged pack", met(charged)))
    rule, wrong = _rule(base)
    ends = rule.ends_at(at)
    if ends is not None:
        rows.append(("your own rule", (Span(day.begin, ends),) if ends > day.begin else ()))
    blocks = long_enough(common(*(spans for _, spans in rows)), _flight_time(known.verdict))
    shown = (light, wind, permission, packs)
    stopped = _stopped(rule, entry, held, now)
    things_open = [*stopped, *_open(base, entry, known, book, now)]
    sentence, second = _sentence(entry, rows, blocks, now, face)
    if known.looked is None:
        sentence, second = f"When can you fly {entry.title}?", _NOT_LOOKED
    elif not solid and blocks:
        second = f"MARGINAL at best, as its verdict says. {second}"
    if stopped:
        sentence = f"{stopped[0].words}."
    return Today(
        sentence=sentence,
        second=second,
        figures=tuple(
            (name, day_strip(day, shown, blocks, now, form, BUFF, solid=solid, name=f"day-{name}"))
            for name, form in (("laptop", DAY_LAPTOP), ("phone", DAY_PHONE))
        ),
        things=tuple(things_open[:_MOST_THINGS]),
        more=max(len(things_open) - _MOST_THINGS, 0),
        aircraft=tuple(_reach(one, held, known, entry) for one in aircraft_in(base)),
        troubles=(*troubles, *wrong),
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
    entry: SortieEntry,
    rows: Sequence[tuple[str, Sequence[Span]]],
    blocks: Sequence[Span],
    now: datetime,
    face: Face,
) -> tuple[str, str]:
    """Return when it can be flown, and what to know beside it."""
    coming = next((one for one in blocks if one.end > now), None)
    if coming is not None:
        begin, end = face.moment(coming.begin), face.moment(coming.end)
        day = "" if coming.begin.date() == now.date() else f" on {face.date(coming.begin)}"
        when = f"until {end}" if coming.begin <= now else f"from {begin} to {end}"
        return f"You can fly {entry.title}{day} {when}.", _UNDER
    if blocks:
        return f"No more time to fly {entry.title} on this day.", _UNDER
    never = [name for name, spans in rows if not spans]
    why = f"{'; '.join(never)}." if never else "never all at once, and long enough."
    return f"No time to fly {entry.title}: {why}", _UNDER


def _open(
    base: Base, entry: SortieEntry, known: Known, book: Logbook | None, now: datetime
) -> Iterator[OpenThing]:
    """Give what is open, what loses aircraft most first."""
    aircraft, held = entry.record, (() if book is None else book.held)
    if is_asked(held, aircraft):
        landed = last_landing(held, aircraft)
        note = "its record says so" if landed is None else _ago(landed, now)
        yield OpenThing(
            words="What changed since the last flight?",
            note=note,
            address=f"/aircraft/{quote(aircraft)}/changed",
        )
    items = () if book is None else logbook_view(book, now).open
    noted = [
        (item.stops, OpenThing(words=item.words, note=item.kind, address="/logbook"))
        for item in items
        if item.kind != "change"
    ]
    yield from (thing for stops, thing in noted if stops)
    yield from _calls(entry, known.verdict, now)
    yield from _aboard(base, entry, now)
    yield from _packs(held)
    yield from (thing for stops, thing in noted if not stops)


def _calls(entry: SortieEntry, verdict: Verdict | None, now: datetime) -> Iterator[OpenThing]:
    """Give the calls to make: wing and surfaces by themselves, the others by their count."""
    to_do = set() if verdict is None else {one.item for one in verdict.to_do}
    still = [
        one.item for one in field_calls(entry.path, to_do, now) if one.stands is not Stands.GOOD
    ]
    address = f"/sortie/{quote(entry.name)}/calls"
    for item, words in _FIRST_CALLS.items():
        if item in still:
            yield OpenThing(words=words, note="at the field", address=f"{address}?item={item}")
    others = [item for item in still if item not in _FIRST_CALLS]
    if others:
        count = "1 more call" if len(others) == 1 else f"{len(others)} more calls"
        yield OpenThing(words=f"{count} to make", note="at the field", address=address)


def _aboard(base: Base, entry: SortieEntry, now: datetime) -> Iterator[OpenThing]:
    """Give the route that is released and not proven aboard."""
    for one in releases_in(base):
        if one.release is None or one.release.has_expired(now) or not _is_of(one, entry):
            continue
        if not aboard_of(one.release, one.path, now).is_same:
            address = f"/release/{one.code}"
            yield OpenThing(
                words="Is this route aboard?", note=f"release {one.code}", address=address
            )
        return


def _is_of(one: ReleaseEntry, entry: SortieEntry) -> bool:
    if one.release is None:
        return False
    path = one.path.parent / one.release.folder / one.release.files[0].name
    return path.resolve() == entry.path.resolve()


def _packs(held: Sequence[Entry]) -> Iterator[OpenThing]:
    """Give the packs that were flown and not charged again."""
    for pack in packs_of(held):
        flown = [(at, one) for at, one in things(held, Flight) if one.pack == pack.name]
        if flown and flown[-1][1].charge_ah is None:
            words = f"{pack.name}: charge it, and note what it took"
            yield OpenThing(words=words, note=f"flown {flown[-1][0].at:%H:%M}", address="/logbook")


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


def _ago(at: datetime, now: datetime) -> str:
    days = (now.date() - at.date()).days
    since = {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")
    return f"landed {at.day} {at:%B}, {since}"
