"""The sun's elevation at published sunrises, sunsets and twilights."""

import csv
import math
import pathlib
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from homeleg.physics.sun import (
    CIVIL_TWILIGHT_RAD,
    SUNRISE_RAD,
    days_since_2000,
    next_passing,
    sun_elevation,
    sun_position,
)

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"
# Definitions of the almanacs: upper limb with 34' of refraction; civil twilight.
EVENT_DEG = {
    "sunrise": -50.0 / 60.0,
    "sunset": -50.0 / 60.0,
    "civil_dawn": -6.0,
    "civil_dusk": -6.0,
}


def rows() -> list[dict[str, str]]:
    with (REFERENCE / "sun_checks.csv").open(newline="") as file:
        return list(csv.DictReader(file))


def elevation_deg(row: dict[str, str], at: datetime) -> float:
    place = math.radians(float(row["lat"])), math.radians(float(row["lon"]))
    return math.degrees(float(sun_elevation(*place, days_since_2000(at))))


@pytest.mark.parametrize("row", [r for r in rows() if r["utc"] != "NONE"], ids=lambda r: r["utc"])
def test_elevation_at_the_event(row: dict[str, str]) -> None:
    at = datetime.fromisoformat(row["utc"]).replace(tzinfo=UTC)
    # The sky turns 15 degrees an hour, and the sun rises by at most that times cos(latitude).
    of_time = float(row["tol_s"]) / 240.0 * math.cos(math.radians(float(row["lat"])))
    assert elevation_deg(row, at) == pytest.approx(EVENT_DEG[row["event"]], abs=of_time + 0.01)


@pytest.mark.parametrize("row", [r for r in rows() if r["utc"] == "NONE"], ids=lambda r: r["site"])
def test_no_event_where_there_is_none(row: dict[str, str]) -> None:
    start = datetime.fromisoformat(row["local_date"]).replace(tzinfo=UTC)
    day = [elevation_deg(row, start + timedelta(minutes=5 * n)) for n in range(288)]
    event = EVENT_DEG[row["event"]]
    assert min(day) > event or max(day) < event


def test_the_almanacs_worked_place() -> None:
    # The same page works 1997-08-07 11:00 UT: declination 16.342, so at the place where the sun
    # stands in the zenith's meridian the elevation is 90 - |latitude - declination|.
    at = days_since_2000(datetime(1997, 8, 7, 11, tzinfo=UTC))
    longitudes = np.radians(np.linspace(-180.0, 180.0, 7201))
    highest = float(np.max(sun_elevation(math.radians(52.5), longitudes, at)))
    assert math.degrees(highest) == pytest.approx(90.0 - (52.5 - 16.342), abs=0.01)


EVENT_RAD = {
    "sunrise": SUNRISE_RAD,
    "sunset": SUNRISE_RAD,
    "civil_dawn": CIVIL_TWILIGHT_RAD,
    "civil_dusk": CIVIL_TWILIGHT_RAD,
}


@pytest.mark.parametrize("row", rows(), ids=lambda r: f"{r['site']} {r['event']} {r['utc']}")
def test_time_of_the_event(row: dict[str, str]) -> None:
    # From the place's own midnight on: the table's dates are local, its times UTC.
    longitude_deg = float(row["lon"])
    midnight = datetime.fromisoformat(row["local_date"]).replace(tzinfo=UTC)
    midnight -= timedelta(hours=longitude_deg / 15.0)
    got = next_passing(
        math.radians(float(row["lat"])),
        math.radians(longitude_deg),
        midnight,
        EVENT_RAD[row["event"]],
        rising=row["event"] in ("sunrise", "civil_dawn"),
    )
    if row["utc"] == "NONE":
        assert got is None
        return
    assert got is not None
    expected = datetime.fromisoformat(row["utc"]).replace(tzinfo=UTC)
    assert abs((got - expected).total_seconds()) <= float(row["tol_s"])


# Reda and Andreas, Solar Position Algorithm for Solar Radiation Applications, NREL/TP-560-34302,
# worked example: 2003-10-17 12:30:30 at UTC-7, 39.742476 N 105.1786 W. FOUND via the test suites
# of pvlib (azimuth, elevation without refraction) and go-spa (sunrise, sunset). Tolerance: the
# 0.01 deg of our formula, in azimuth over the cosine of the elevation; half a minute for the limb.
BOULDER = math.radians(39.742476), math.radians(-105.1786)


def test_position_of_the_worked_example() -> None:
    at = days_since_2000(datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC))
    azimuth, elevation = np.degrees(sun_position(*BOULDER, at))
    assert elevation == pytest.approx(39.872046, abs=0.01)
    assert azimuth == pytest.approx(194.340241, abs=0.01 / math.cos(math.radians(39.872)))


@pytest.mark.parametrize(
    ("rising", "expected"),
    [
        # Both are of the UTC date, so that the sunset is of the evening before, in Colorado.
        (True, datetime(2003, 10, 17, 13, 12, 43, tzinfo=UTC)),
        (False, datetime(2003, 10, 17, 0, 20, 19, tzinfo=UTC)),
    ],
)
def test_day_of_the_worked_example(rising: bool, expected: datetime) -> None:  # noqa: FBT001
    start = datetime(2003, 10, 17, tzinfo=UTC)
    got = next_passing(*BOULDER, start, SUNRISE_RAD, rising=rising)
    assert got is not None
    assert abs(got - expected) <= timedelta(seconds=30)


@pytest.mark.parametrize(
    ("hour", "azimuth_deg"), [(6, 90.0), (12, 180.0), (18, 270.0)], ids=["east", "south", "west"]
)
def test_azimuth_at_the_equinox(hour: int, azimuth_deg: float) -> None:
    # On the day of the equinox the sun rises in the east and sets in the west; the equation of
    # time (7 minutes, 1.8 deg of hour angle) is all that is left. MEMORY of the equinox's date.
    at = days_since_2000(datetime(2026, 3, 20, hour, 7, tzinfo=UTC))
    azimuth, _ = sun_position(math.radians(30.0), 0.0, at)
    assert math.degrees(azimuth) == pytest.approx(azimuth_deg, abs=1.0)


@pytest.mark.parametrize(
    "place", [(2.0, 0.0, 0.0), (0.0, 4.0, 0.0), (0.0, 0.0, 40_000.0), (math.nan, 0.0, 0.0)]
)
def test_outside_its_range(place: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="valid is"):
        sun_elevation(*place)
