"""The plane about the launch point against published geodesics."""

import csv
import math
from pathlib import Path

import pytest

from homeleg.formats.plane import Plane

REFERENCE = Path(__file__).parent.parent / "reference"
METRES = 1e-6


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


# C. F. F. Karney, GeographicLib, test cases of its Python package (WGS 84). FOUND.
@pytest.mark.parametrize("row", rows("flight_geodesic_karney.csv"))
def test_distance_and_bearing_from_the_launch_point(row: dict[str, str]) -> None:
    launch = Plane(math.radians(float(row["lat1_deg"])), math.radians(float(row["lon1_deg"])))
    east_m, north_m = launch.to_plane(
        math.radians(float(row["lat2_deg"])), math.radians(float(row["lon2_deg"]))
    )
    assert math.hypot(east_m, north_m) == pytest.approx(float(row["distance_m"]), abs=METRES)
    # An azimuth is an angle: a full circle more or less is the same.
    off_deg = math.degrees(math.atan2(east_m, north_m)) - float(row["azimuth1_deg"])
    assert math.remainder(off_deg, 360.0) == pytest.approx(0.0, abs=1e-9)


# At the distances flown; computed with geographiclib, an implementation of Karney's method.
@pytest.mark.parametrize("row", rows("flight_geodesic_short_range.csv"))
def test_points_at_flying_distances_both_ways(row: dict[str, str]) -> None:
    launch = Plane(math.radians(float(row["lat_deg"])), math.radians(float(row["lon_deg"])))
    azimuth_rad, distance_m = math.radians(float(row["azimuth_deg"])), float(row["distance_m"])
    east_m, north_m = distance_m * math.sin(azimuth_rad), distance_m * math.cos(azimuth_rad)
    latitude_rad, longitude_rad = launch.to_geographic(east_m, north_m)
    # Twelve printed decimals of a degree: half the last is 6e-8 m.
    assert math.degrees(latitude_rad) == pytest.approx(float(row["lat2_deg"]), abs=6e-13)
    assert math.degrees(longitude_rad) == pytest.approx(float(row["lon2_deg"]), abs=6e-13)
    back = launch.to_plane(
        math.radians(float(row["lat2_deg"])), math.radians(float(row["lon2_deg"]))
    )
    assert back == pytest.approx((east_m, north_m), abs=METRES)


# WGS 84 meridian and prime-vertical radii (COMPUTED, pyproj 3.7.2); at the equator as printed by
# the SFTE Flight Test Engineering Reference Handbook, ch. 3 (FOUND).
@pytest.mark.parametrize("row", rows("flight_wgs84_degree_lengths.csv"))
def test_length_of_a_degree(row: dict[str, str]) -> None:
    latitude_deg = float(row["latitude_deg"])
    launch = Plane(math.radians(latitude_deg), 0.0)
    # A thousandth of a degree, centred: the length of an arc at this latitude.
    _, half_north_m = launch.to_plane(math.radians(latitude_deg + 0.0005), 0.0)
    _, half_south_m = launch.to_plane(math.radians(latitude_deg - 0.0005), 0.0)
    per_degree_m = (half_north_m - half_south_m) * 1000.0
    assert per_degree_m == pytest.approx(float(row["metres_per_degree_latitude"]), abs=0.01)
    east_m, _ = launch.to_plane(math.radians(latitude_deg), math.radians(0.0005))
    assert 2000.0 * east_m == pytest.approx(float(row["metres_per_degree_longitude"]), abs=0.01)


def test_length_of_a_degree_is_not_the_misprint() -> None:
    # The handbook's general formula prints (1 - e^2) sin^2 for 1 - e^2 sin^2 inside the bracket:
    # at 45 degrees that is a (1 - e^2) / ((1 - e^2) / 2)^1.5 a radian, three times too long.
    launch = Plane(math.radians(45.0), 0.0)
    _, north_m = launch.to_plane(math.radians(45.0005), 0.0)
    e2 = 0.00669437999014
    misprint_m = math.radians(1.0) * 6_378_137.0 * (1.0 - e2) / ((1.0 - e2) * 0.5) ** 1.5
    assert abs(2000.0 * north_m - misprint_m) > 100_000.0
