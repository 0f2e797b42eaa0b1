"""The plane about the launch point against published geodesics."""

import math

import pytest

from homeleg.formats.plane import Plane
from tests.published import Published, table, turned_to

METRES = 1e-6
KARNEY = "C. F. F. Karney, GeographicLib, test cases of its Python package (WGS 84). FOUND"
FLYING_DISTANCES = "geographiclib, an implementation of Karney's method. COMPUTED"
DEGREES = (
    "WGS 84 meridian and prime-vertical radii, pyproj 3.7.2, COMPUTED; at the equator as printed "
    "by the SFTE Flight Test Engineering Reference Handbook, ch. 3. FOUND"
)


@pytest.mark.parametrize("row", table("flight_geodesic_karney.csv"))
def test_distance_and_bearing_from_the_launch_point(
    published: Published, row: dict[str, str]
) -> None:
    launch = Plane(math.radians(float(row["lat1_deg"])), math.radians(float(row["lon1_deg"])))
    east_m, north_m = launch.to_plane(
        math.radians(float(row["lat2_deg"])), math.radians(float(row["lon2_deg"]))
    )
    azimuth_deg = math.degrees(math.atan2(east_m, north_m))
    for quantity, ours, key, unit, within in (
        ("distance", math.hypot(east_m, north_m), "distance_m", "m", METRES),
        ("bearing", turned_to(azimuth_deg, row["azimuth1_deg"]), "azimuth1_deg", "deg", 1e-9),
    ):
        why = "a thousandth of a millimetre, and its angle"
        published(quantity, ours, row[key], unit, source=KARNEY, within=within, because=why)


@pytest.mark.parametrize("row", table("flight_geodesic_short_range.csv"))
def test_points_at_flying_distances_both_ways(published: Published, row: dict[str, str]) -> None:
    launch = Plane(math.radians(float(row["lat_deg"])), math.radians(float(row["lon_deg"])))
    azimuth_rad, distance_m = math.radians(float(row["azimuth_deg"])), float(row["distance_m"])
    east_m, north_m = distance_m * math.sin(azimuth_rad), distance_m * math.cos(azimuth_rad)
    latitude_rad, longitude_rad = launch.to_geographic(east_m, north_m)
    for quantity, angle_rad, key in (
        ("latitude", latitude_rad, "lat2_deg"),
        ("longitude", longitude_rad, "lon2_deg"),
    ):
        published(
            quantity,
            math.degrees(angle_rad),
            row[key],
            "deg",
            source=FLYING_DISTANCES,
            within=6e-13,
            because="half of the twelfth decimal of a degree, 6e-8 m",
        )
    back = launch.to_plane(
        math.radians(float(row["lat2_deg"])), math.radians(float(row["lon2_deg"]))
    )
    assert back == pytest.approx((east_m, north_m), abs=METRES)


@pytest.mark.parametrize("row", table("flight_wgs84_degree_lengths.csv"))
def test_length_of_a_degree(published: Published, row: dict[str, str]) -> None:
    latitude_deg = float(row["latitude_deg"])
    launch = Plane(math.radians(latitude_deg), 0.0)
    # A thousandth of a degree, centred: the length of an arc at this latitude.
    _, half_north_m = launch.to_plane(math.radians(latitude_deg + 0.0005), 0.0)
    _, half_south_m = launch.to_plane(math.radians(latitude_deg - 0.0005), 0.0)
    per_degree_m = (half_north_m - half_south_m) * 1000.0
    east_m, _ = launch.to_plane(math.radians(latitude_deg), math.radians(0.0005))
    for quantity, ours, key in (
        ("degree of latitude", per_degree_m, "metres_per_degree_latitude"),
        ("degree of longitude", 2000.0 * east_m, "metres_per_degree_longitude"),
    ):
        published(
            quantity,
            ours,
            row[key],
            "m",
            source=DEGREES,
            within=0.01,
            because="the arc here is a thousandth of a degree",
        )


def test_length_of_a_degree_is_not_the_misprint() -> None:
    # The handbook's general formula prints (1 - e^2) sin^2 for 1 - e^2 sin^2 inside the bracket:
    # at 45 degrees that is a (1 - e^2) / ((1 - e^2) / 2)^1.5 a radian, three times too long.
    launch = Plane(math.radians(45.0), 0.0)
    _, north_m = launch.to_plane(math.radians(45.0005), 0.0)
    e2 = 0.00669437999014
    misprint_m = math.radians(1.0) * 6_378_137.0 * (1.0 - e2) / ((1.0 - e2) * 0.5) ** 1.5
    assert abs(2000.0 * north_m - misprint_m) > 100_000.0
