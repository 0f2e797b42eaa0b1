"""The rows of a day: light and sun, the wind told, permissions and packs."""

import re
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta

import numpy as np

from homeleg.briefing.day_strip import DayRow, WindRow
from homeleg.briefing.dial import DialWinds
from homeleg.desk.check import limits_of
from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.physics.sun import SUNRISE_RAD, days_since_2000, sun_elevation
from homeleg.readiness.day import Bar, Holds, Span, met
from homeleg.readiness.due import PaperHeld
from homeleg.readiness.entries import Entry, Flight, PaperKind, things
from homeleg.readiness.packs import PackState
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Status
from homeleg.verdict.sun_hours import sun_in_eyes
from homeleg.world.weather import WindSource
from homeleg.world.wind import combined_wind, member_winds

__all__ = ["day_of", "light_row", "packs_row", "permission_row", "wind_row"]

_STEP = timedelta(minutes=5)
_HALF_DAY = timedelta(hours=12)
_HOUR = timedelta(hours=1)
# A wind told says little of the hours beyond. Ours.
_WIND_STANDS = timedelta(hours=12)
_HOURS = re.compile(r"(not )?(?:from )?(\d{1,2})(?::(\d{2}))?Z? to (\d{1,2})(?::(\d{2}))?Z\b")
_MOST_PACKS = 4


def day_of(sortie: Sortie, at: datetime) -> Span:
    """Return the hours of the day about a time at the sortie's place: an hour more than the light.

    Where the sun does not rise or does not set it is all of 24 hours about noon.
    """
    times = _times(Span(at - _HALF_DAY, at + _HALF_DAY))
    noon = times[int(np.argmax(_elevations(sortie, times)))]
    whole = Span(noon - _HALF_DAY, noon + _HALF_DAY)
    times = _times(whole)
    up = _elevations(sortie, times) > SUNRISE_RAD
    if up.all() or not up.any():
        return Span(_hour_before(whole.begin), _hour_before(whole.end) + _HOUR)
    light = [time for time, is_up in zip(times, up, strict=True) if is_up]
    return Span(_hour_before(light[0] - _HOUR), _hour_before(light[-1] + _HOUR) + _HOUR)


def light_row(resolved: ResolvedSortie, day: Span) -> DayRow:
    """Return the daylight in which a flight may be, and when the sun stands in the pilot's eyes."""
    sortie = resolved.sortie
    times = _times(day)
    limits = limits_of(sortie)
    up = _elevations(sortie, times) > SUNRISE_RAD
    eyes = sun_in_eyes(resolved, limits, times) & up
    spare = timedelta(minutes=limits["sight.daylight"].want or 0.0)
    dazzled = [
        Bar(span=span, holds=Holds.NUISANCE, words="sun in eyes") for span in _spans(times, eyes)
    ]
    lit = [
        Bar(span=Span(span.begin, _land_by(span, day, spare)), holds=Holds.MET)
        for span in _spans(times, up)
        if _land_by(span, day, spare) > span.begin
    ]
    clear = met([*lit, *dazzled])
    longest = max(clear, key=lambda span: span.length, default=None)
    bars = [
        Bar(span=span, holds=Holds.MET, words=_light_words(lit, day) if span is longest else "")
        for span in clear
    ]
    lines = ((*bars, *dazzled),) if bars or dazzled else ()
    return DayRow(name="Light and sun", lines=lines, without="the sun is down all day")


def _land_by(span: Span, day: Span, spare: timedelta) -> datetime:
    """Return until when a flight may be in this light; all of it where the sun does not set."""
    return span.end if span.end >= day.end else span.end - spare


def _light_words(lit: Sequence[Bar], day: Span) -> str:
    end = lit[-1].span.end
    return "daylight" if end >= day.end else f"daylight, land by {end:%H:%M}"


def wind_row(
    sortie: Sortie, day: Span, looked: tuple[DialWinds, float] | None, statuses: Sequence[Status]
) -> tuple[WindRow, tuple[Span, ...]]:
    """Return the wind as told with its spread growing, and when nine in ten lie in the window.

    `looked` are the winds that were looked at and their height; without them no window is known.
    The window is where every wind has one of `statuses`.
    """
    height_m = 10.0 if looked is None else looked[1]
    reports = sortie.weather.reports
    seen = max((one.seen for one in reports if one.seen is not None), default=sortie.launch_time)
    # What is foretold for an hour says as much of one before it as of one after it.
    foretold = all(one.source is WindSource.LAYER for one in reports)
    begin = seen - _WIND_STANDS if foretold else seen
    times = [one for one in _times(day) if begin <= one <= seen + _WIND_STANDS]
    moments = tuple((one, *_speeds(sortie, seen + abs(one - seen), height_m)) for one in times)
    closes = None
    if looked is not None and times:
        from_rad = float(combined_wind(sortie.weather, times[0]).from_true_rad[0])
        closes = looked[0].edge_at_m_s(statuses, from_rad)
    inside = [closes is not None and high <= closes for _, _, _, high in moments]
    name = f"Wind at {height_m:.0f} m"
    words = _wind_words(seen, day, closes, bool(moments))
    closes = closes or None  # no line where no wind would do
    row = WindRow(
        name=name, under="8 in 10 inside", moments=moments, closes_m_s=closes, words=words
    )
    return row, _spans(times, np.array(inside, dtype=np.bool_))


def permission_row(papers: Sequence[PaperHeld], day: Span) -> DayRow:
    """Return what the papers of the logbook allow on this day.

    A condition such as "07:00Z to 20:00Z" opens those hours alone; "not 10:00Z to 12:00Z" shuts.
    """
    lines: list[tuple[Bar, ...]] = []
    for one in papers:
        kind, until = one.paper.kind, one.paper.until
        if until is not None and until < day.begin.date():
            words = f"{kind.value} of {one.paper.holder} ended {until.day} {until:%B}"
            lines.append((Bar(span=day, holds=Holds.SHUT, words=words),))
        elif kind is PaperKind.PERMISSION:
            lines.append(tuple(_allowed(one, day)))
    return DayRow(name="Permission", lines=tuple(lines), without="none in the logbook")


def packs_row(packs: Sequence[PackState], held: Sequence[Entry], day: Span) -> DayRow:
    """Return which packs are charged: those whose last flight was put back by the charger."""
    lines = []
    for pack in packs[:_MOST_PACKS]:
        flown = [(entry, one) for entry, one in things(held, Flight) if one.pack == pack.name]
        bar = _pack_bar(pack, flown[-1] if flown else None, day)
        lines.append((bar,))
    return DayRow(name="Packs charged", lines=tuple(lines), without="none in the logbook")


def _pack_bar(pack: PackState, last: tuple[Entry, Flight] | None, day: Span) -> Bar:
    if pack.swollen:
        return Bar(span=day, holds=Holds.SHUT, words=f"{pack.name}: swollen, do not use it")
    if last is not None and last[1].charge_ah is None:
        words = f"{pack.name}: flown {last[0].at:%H:%M}, nothing put back"
        begin = max(last[0].at, day.begin)
        shut = Span(begin, day.end) if begin < day.end else day
        return Bar(span=shut, holds=Holds.SHUT, words=words)
    charged = day.begin if last is None else max(last[0].written_at, day.begin)
    since = "" if charged == day.begin else f", charged {charged:%H:%M}"
    span = Span(min(charged, day.end - _STEP), day.end)
    return Bar(span=span, holds=Holds.MET, words=f"{pack.name}{since}")


def _allowed(one: PaperHeld, day: Span) -> Iterator[Bar]:
    """Give the bars of one permission."""
    found = [found for words in one.paper.conditions for found in _HOURS.finditer(words)]
    opens = [_hours(match, day) for match in found if not match.group(1)]
    for span in [span for spans in opens for span in spans] or [day]:
        yield Bar(span=span, holds=Holds.MET, words=f"{one.paper.holder}, {one.paper.number}")
    for match in found:
        if match.group(1):
            for span in _hours(match, day):
                yield Bar(span=span, holds=Holds.SHUT, words=match.group(0))


def _hours(match: re.Match[str], day: Span) -> list[Span]:
    """Return the spans of a day between two clock times, UTC."""
    _, *parts = match.groups()
    begin_h, begin_min, end_h, end_min = (int(part or 0) for part in parts)
    if max(begin_h, end_h) > 24 or max(begin_min, end_min) > 59:
        return []
    spans = []
    first = day.begin.astimezone(UTC).replace(hour=0, minute=0, second=0, microsecond=0)
    for date in (first - timedelta(days=1), first, first + timedelta(days=1)):
        begin = date + timedelta(hours=begin_h, minutes=begin_min)
        end = date + timedelta(hours=end_h, minutes=end_min)
        end = end if end > begin else end + timedelta(days=1)
        if max(begin, day.begin) < min(end, day.end):
            spans.append(Span(max(begin, day.begin), min(end, day.end)))
    return spans


def _speeds(sortie: Sortie, at: datetime, height_m: float) -> tuple[float, float, float]:
    """Return low, middle and high of the wind's speed at a time and height."""
    profile = combined_wind(sortie.weather, at)
    speeds = member_winds(
        profile,
        np.array([height_m]),
        speed_z=np.array([-NINE_IN_TEN_Z, 0.0, NINE_IN_TEN_Z]),
        direction_z=np.zeros(3),
        exponent=np.full(3, profile.exponent.value),
    )
    low, middle, high = np.hypot(speeds[:, 0, 0], speeds[:, 1, 0])
    return float(low), float(middle), float(high)


def _wind_words(seen: datetime, day: Span, closes: float | None, shown: bool) -> str:  # noqa: FBT001
    if not shown:
        return f"wind told {seen.day} {seen:%B}, {seen:%H:%M}: measure it anew"
    if closes is None:
        return "which winds would do: not looked at yet"
    if closes <= 0.0:
        return "no wind from there would do"
    return f"this sortie's window closes at {closes:.1f} m/s"


def _times(span: Span) -> list[datetime]:
    count = int(span.length / _STEP)
    return [span.begin + number * _STEP for number in range(count + 1)]


def _elevations(
    sortie: Sortie, times: Sequence[datetime]
) -> "np.ndarray[tuple[int], np.dtype[np.float64]]":
    site = sortie.site
    days = np.array([days_since_2000(at) for at in times])
    return np.asarray(sun_elevation(site.latitude_rad, site.longitude_rad, days))


def _spans(
    times: Sequence[datetime], holds: "np.ndarray[tuple[int], np.dtype[np.bool_]]"
) -> tuple[Span, ...]:
    """Return the spans over which something holds at every step."""
    found: list[Span] = []
    begin: datetime | None = None
    for time, it_holds in zip(times, holds.tolist(), strict=True):
        if it_holds and begin is None:
            begin = time
        if not it_holds and begin is not None:
            found.append(Span(begin, time))
            begin = None
    if begin is not None and times and begin < times[-1]:
        found.append(Span(begin, times[-1]))
    return tuple(found)


def _hour_before(at: datetime) -> datetime:
    return at.replace(minute=0, second=0, microsecond=0)
