"""Clock times and the day they are of."""

from datetime import UTC, datetime

import pytest

from homeleg.formats.day_and_time import time_after
from homeleg.foundation.units import TextError

LAUNCH = datetime(2026, 6, 9, 23, 50, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("23:52Z", datetime(2026, 6, 9, 23, 52, tzinfo=UTC)),
        ("23:50:30 z", datetime(2026, 6, 9, 23, 50, 30, tzinfo=UTC)),
        ("0:03 UTC", datetime(2026, 6, 10, 0, 3, tzinfo=UTC)),
        ("2026-06-10 01:00+02:00", datetime(2026, 6, 9, 23, 0, tzinfo=UTC)),
    ],
)
def test_a_clock_time_is_the_first_from_then_on(text: str, expected: datetime) -> None:
    assert time_after(text, LAUNCH) == expected


@pytest.mark.parametrize("text", ["23:52", "24:00Z", "12:60Z", "noon", "2026-06-10"])
def test_what_is_no_time_is_told(text: str) -> None:
    with pytest.raises(TextError):
        time_after(text, LAUNCH)
