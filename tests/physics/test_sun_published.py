"""The sun's elevation at published sunrises, sunsets and twilights."""

import math
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
from tests.published import Published, table, turned_to

ALMANACS = "Sunrises, sunsets and twilights of almanacs, each with its source in the table. FOUND"
# Definitions of the almanacs: upper limb with 34' of refraction; civil twilight.
EVENT_DEG = {
    "sunrise": -50.0 / 60.0,
    "sunset": -50.0 / 60.0,
    "civil_dawn": -6.0,
    "civil_dusk": -6.0,
}


def rows() -> list[dict[str, str]]:
    return table("sun_checks.csv")


def elevation_deg(row: dict[str, str], at: datetime) -> float:
    place = math.radians(float(row["lat"])), math.radians(float(row["lon"]))
    return math.degrees(float(sun_elevation(*place, days_since_2000(at))))


@pytest.mark.parametrize("row", [r for r in rows() if r["utc"] != "NONE"], ids=lambda r: r["utc"])
def test_elevation_at_the_event(published: Published, row: dict[str, str]) -> None:
    at = datetime.fromisoformat(row["utc"]).replace(tzinfo=UTC)
    # The sky turns 15 degrees an hour, and the sun rises by at most that times cos(latitude).
    of_time = float(row["tol_s"]) / 240.0 * math.cos(math.radians(float(row["lat"])))
    event_deg = EVENT_DEG[row["event"]]
    published(
        f"sun's elevation {'at the limb' if event_deg > -1.0 else 'at civil twilight'}",
        elevation_deg(row, at),
        f"{event_deg:.4f}",
        "deg",
        source=ALMANACS,
        within=of_time + 0.01,
        because="the table's seconds at 15 deg an hour, and 0.01 deg of our formula",
    )


@pytest.mark.parametrize("row", [r for r in rows() if r["utc"] == "NONE"], ids=lambda r: r["site"])
def test_no_event_where_there_is_none(row: dict[str, str]) -> None:
    start = datetime.fromisoformat(row["local_date"]).replace(tzinfo=UTC)
    day = [elevation_deg(row, start + timedelta(minutes=5 * n)) for n in range(288)]
    event = EVENT_DEG[row["event"]]
    assert min(day) > event or max(day) < event


def test_the_almanacs_worked_place(published: Published) -> None:
    # At the place where the sun stands in the meridian it is 90 - |latitude - declination| high.
    at = days_since_2000(datetime(1997, 8, 7, 11, tzinfo=UTC))
    longitudes = np.radians(np.linspace(-180.0, 180.0, 7201))
    highest = float(np.max(sun_elevation(math.radians(52.5), longitudes, at)))
    published(
        "declination",
        math.degrees(highest) - 90.0 + 52.5,
        "16.342",
        "deg",
        source="An almanac's page works 1997-08-07 11:00 UT. FOUND",
        within=0.01,
        because="0.01 deg of our formula",
    )


EVENT_RAD = {
    "sunrise": SUNRISE_RAD,
    "sunset": SUNRISE_RAD,
    "civil_dawn": CIVIL_TWILIGHT_RAD,
    "civil_dusk": CIVIL_TWILIGHT_RAD,
}


@pytest.mark.parametrize("row", rows(), ids=lambda r: f"{r['site']} {r['event']} {r['utc']}")
def test_time_of_the_event(published: Published, row: dict[str, str]) -> None:
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
        published.exactly("no event where there is none", got, None, source=ALMANACS)
        return
    assert got is not None
    expected = datetime.fromisoformat(row["utc"]).replace(tzinfo=UTC)
    published(
        "time of an event, ours less theirs",
        (got - expected).total_seconds(),
        "0",
        "s",
        source=ALMANACS,
        within=float(row["tol_s"]),
        because="stated with the row",
    )


# 2003-10-17 12:30:30 at UTC-7, 39.742476 N 105.1786 W.
SOLAR_POSITION = (
    "Reda and Andreas, Solar Position Algorithm, NREL/TP-560-34302, worked example. FOUND via the "
    "test suites of pvlib (without refraction) and go-spa (sunrise, sunset)"
)
BOULDER = math.radians(39.742476), math.radians(-105.1786)


def test_position_of_the_worked_example(published: Published) -> None:
    at = days_since_2000(datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC))
    azimuth, elevation = np.degrees(sun_position(*BOULDER, at))
    for quantity, ours, printed, within in (
        ("elevation", elevation, "39.872046", 0.01),
        ("azimuth", azimuth, "194.340241", 0.01 / math.cos(math.radians(39.872))),
    ):
        published(
            quantity,
            ours,
            printed,
            "deg",
            source=SOLAR_POSITION,
            within=within,
            because="0.01 deg of our formula, in azimuth over the cosine of the elevation",
        )


@pytest.mark.parametrize(
    ("rising", "expected"),
    [
        # Both are of the UTC date, so that the sunset is of the evening before, in Colorado.
        (True, datetime(2003, 10, 17, 13, 12, 43, tzinfo=UTC)),
        (False, datetime(2003, 10, 17, 0, 20, 19, tzinfo=UTC)),
    ],
)
def test_day_of_the_worked_example(
    published: Published,
    rising: bool,  # noqa: FBT001
    expected: datetime,
) -> None:
    start = datetime(2003, 10, 17, tzinfo=UTC)
    got = next_passing(*BOULDER, start, SUNRISE_RAD, rising=rising)
    assert got is not None
    published(
        f"{'sunrise' if rising else 'sunset'}, ours less theirs",
        (got - expected).total_seconds(),
        "0",
        "s",
        source=SOLAR_POSITION,
        within=30.0,
        because="half a minute for the limb",
    )


@pytest.mark.parametrize(
    ("hour", "azimuth_deg"), [(6, 90.0), (12, 180.0), (18, 270.0)], ids=["east", "south", "west"]
)
def test_azimuth_at_the_equinox(published: Published, hour: int, azimuth_deg: float) -> None:
    at = days_since_2000(datetime(2026, 3, 20, hour, 7, tzinfo=UTC))
    azimuth, _ = sun_position(math.radians(30.0), 0.0, at)
    published(
        "azimuth at 6, 12 and 18 h of the sun",
        turned_to(math.degrees(azimuth), str(azimuth_deg)),
        str(azimuth_deg),
        "deg",
        source="At the equinox the sun rises in the east and sets in the west. Its date: MEMORY",
        within=1.0,
        because="the equation of time is 7 minutes, 1.8 deg, and moves in the day",
    )


@pytest.mark.parametrize(
    "place", [(2.0, 0.0, 0.0), (0.0, 4.0, 0.0), (0.0, 0.0, 40_000.0), (math.nan, 0.0, 0.0)]
)
def test_outside_its_range(place: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="valid is"):
        sun_elevation(*place)
