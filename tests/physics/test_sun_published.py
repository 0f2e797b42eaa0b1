"""The sun's elevation at published sunrises, sunsets and twilights."""

import csv
import math
import pathlib
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from homeleg.physics.sun import days_since_2000, sun_elevation

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


@pytest.mark.parametrize(
    "place", [(2.0, 0.0, 0.0), (0.0, 4.0, 0.0), (0.0, 0.0, 40_000.0), (math.nan, 0.0, 0.0)]
)
def test_outside_its_range(place: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="valid is"):
        sun_elevation(*place)
