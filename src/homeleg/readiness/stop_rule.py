"""When a flying day ends: a rule that its owner set, before anybody was tired.

Most that goes wrong on a long day goes wrong near its end (common practice, no source): the rule is
set in the evening and only read at the field.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta

from homeleg.readiness.entries import Entry, Flight, things

__all__ = ["DayFlown", "StopRule", "day_flown", "stop_reasons"]

# Flights of one flying day lie no farther apart than this; a night is longer. Ours.
_NIGHT = timedelta(hours=6)


@dataclass(frozen=True, slots=True, kw_only=True)
class StopRule:
    """The most flights and the most flying of a day, and the clock time after which none begins.

    None where it does not go by that.
    """

    flights: int | None = None
    flying_s: float | None = None
    until: time | None = None

    @property
    def is_set(self) -> bool:
        """Whether it stops anything at all."""
        return any(one is not None for one in (self.flights, self.flying_s, self.until))

    def ends_at(self, day: datetime) -> datetime | None:
        """Return when it ends the flying of a day, by the clock time."""
        if self.until is None:
            return None
        return datetime.combine(day.astimezone(UTC).date(), self.until, UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class DayFlown:
    """What was flown in one go of flying: flights, and the time in the air."""

    flights: int
    flying_s: float


def day_flown(held: Sequence[Entry], now: datetime) -> DayFlown:
    """Return what was flown since the last night; `held` are entries as `standing` returns them."""
    count, flying_s, before = 0, 0.0, now
    for entry, flight in reversed(things(held, Flight)):
        landed = entry.at + timedelta(seconds=flight.duration_s)
        if entry.at > now:
            continue
        if before - landed > _NIGHT:
            break
        count, flying_s, before = count + 1, flying_s + flight.duration_s, min(before, entry.at)
    return DayFlown(flights=count, flying_s=flying_s)


def stop_reasons(rule: StopRule, flown: DayFlown, now: datetime) -> tuple[str, ...]:
    """Return why no further flight begins today by the rule; none where one may."""
    reasons = []
    if rule.flights is not None and flown.flights >= rule.flights:
        flights = "1 flight" if flown.flights == 1 else f"{flown.flights} flights"
        reasons.append(f"{flights} flown, and you set {rule.flights}")
    if rule.flying_s is not None and flown.flying_s >= rule.flying_s:
        reasons.append(
            f"{flown.flying_s / 60.0:.0f} min flown, and you set {rule.flying_s / 60.0:.0f}"
        )
    ends = rule.ends_at(now)
    if ends is not None and now >= ends:
        reasons.append(f"it is {now.astimezone(UTC):%H:%M}Z, and you set {ends:%H:%M}Z")
    return tuple(reasons)
