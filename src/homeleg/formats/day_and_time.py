"""The times of reports that tell a day of the month and nothing more."""

from datetime import UTC, datetime

__all__ = ["nearest_time"]

_MONTHS = 12


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
