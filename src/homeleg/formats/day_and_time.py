"""Times that tell a day of the month, or only the clock, and which day is meant."""

import re
from datetime import UTC, datetime, timedelta

from homeleg.foundation.stated_text import parse_time
from homeleg.foundation.units import TextError, shown

__all__ = ["nearest_time", "time_after"]

_MONTHS = 12
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})(?::(\d{2}))?\s*(Z|UTC)?", re.IGNORECASE)


def nearest_time(day: int, hour: int, minute: int, near: datetime) -> datetime:
    """Return the time on a day of that number, 1 to 31, that lies nearest to another. [UTC]."""
    times = []
    for shift in (-2, -1, 0, 1):
        year, month = divmod(near.year * _MONTHS + near.month - 1 + shift, _MONTHS)
        try:
            times.append(datetime(year, month + 1, day, hour, minute, tzinfo=UTC))
        except ValueError:  # that month has no such day
            continue
    return min(times, key=lambda time: abs(time - near))


def time_after(text: str, earliest: datetime) -> datetime:
    """Return a date and time, or the first such clock time from `earliest` on; raises TextError.

    Clock times are UTC and must say so.
    """
    clock = _CLOCK.fullmatch(text.strip())
    if clock is None:
        return parse_time(text)
    hour, minute, second = (int(part or 0) for part in clock.groups()[:3])
    if clock.group(4) is None:
        raise TextError(
            f"{shown(text)} does not say in which time zone", 'Write "17:02Z" (Z: UTC).'
        )
    if hour > 23 or max(minute, second) > 59:
        raise TextError(f"{shown(text)} is no time of day", 'Write it as "17:02Z" (Z: UTC).')
    found = earliest.astimezone(UTC).replace(hour=hour, minute=minute, second=second)
    return found if found >= earliest else found + timedelta(days=1)
