"""The magnetic field at the points published with the model."""

import math
from datetime import UTC, datetime, timedelta, timezone

import pytest

from homeleg.physics.geomagnetism import (
    COMPASS_FAILS_BELOW_T,
    COMPASS_POOR_BELOW_T,
    FIRST_DAY,
    LAST_DAY,
    MagneticField,
    decimal_year,
    is_covered,
    magnetic_field,
)
from tests.published import Published, table, turned_to

OFFICIAL = (
    "WMM2025_TEST_VALUES.txt, the model's official test points. "
    "FOUND in the test folder of pygeomag"
)


def rows() -> list[dict[str, str]]:
    return table("wmm2025_test_values.csv")


def field_of(row: dict[str, str]) -> MagneticField:
    place = math.radians(float(row["lat_geodetic"])), math.radians(float(row["lon"]))
    return magnetic_field(*place, 1000.0 * float(row["alt_km_ellipsoid"]), float(row["year"]))


def test_there_are_a_hundred() -> None:
    assert len(rows()) == 100


@pytest.mark.parametrize("row", rows(), ids=lambda r: f"{r['year']} {r['lat_geodetic']} {r['lon']}")
def test_official_points(published: Published, row: dict[str, str]) -> None:
    field = field_of(row)
    published(
        "declination",
        turned_to(math.degrees(field.declination_rad), row["D_deg"]),
        row["D_deg"],
        "deg",
        source=OFFICIAL,
        within=0.006,
        because="half of its second decimal, and rounding on top",
    )
    for quantity, tesla, printed in (
        ("horizontal field", field.horizontal_t, row["H_nT"]),
        ("total field", field.total_t, row["F_nT"]),
    ):
        published(
            quantity,
            tesla * 1e9,
            printed,
            "nT",
            source=OFFICIAL,
            within=0.01,
            because="printed to 1e-6 nT, where two programs agree within 0.0007 nT",
        )


def test_some_points_lie_where_a_compass_is_poor() -> None:
    # By the table's own H: both limits are crossed by its points.
    weakest_nt = [float(row["H_nT"]) for row in rows()]
    assert any(nt * 1e-9 < COMPASS_FAILS_BELOW_T for nt in weakest_nt)
    assert any(COMPASS_FAILS_BELOW_T < nt * 1e-9 < COMPASS_POOR_BELOW_T for nt in weakest_nt)


def test_declination_in_the_netherlands(published: Published) -> None:
    source = "52 N 5 E at 2026.9, worked beside the table with two packages. COMPUTED"
    field = magnetic_field(math.radians(52.0), math.radians(5.0), 0.0, 2026.9)
    declination_deg = math.degrees(field.declination_rad)
    published("declination", declination_deg, "2.81", "deg", source=source)
    published("its sd", math.degrees(field.declination_sd_rad), "0.38", "deg", source=source)


@pytest.mark.parametrize(
    ("at", "year"),
    [
        (datetime(2025, 1, 1, tzinfo=UTC), 2025.0),
        # The middle of 365 days, by hand: 182.5 days are 2 July, noon.
        (datetime(2026, 7, 2, 12, tzinfo=UTC), 2026.5),
        # 60 days of 366: 31 and 29.
        (datetime(2028, 3, 1, tzinfo=UTC), 2028.0 + 60.0 / 366.0),
        # An hour into the year in Rome is the last hour of the old one in Greenwich, less a little.
        (datetime(2027, 1, 1, 0, 30, tzinfo=timezone(timedelta(hours=1))), 2027.0 - 0.5 / 8760.0),
    ],
)
def test_decimal_year(at: datetime, year: float) -> None:
    assert decimal_year(at) == pytest.approx(year, abs=1e-9)


def test_reach_of_the_model() -> None:
    assert is_covered(datetime.combine(FIRST_DAY, datetime.min.time(), UTC))
    assert is_covered(datetime.combine(LAST_DAY, datetime.max.time(), UTC))
    assert not is_covered(datetime(2024, 12, 31, 23, 59, tzinfo=UTC))
    assert not is_covered(datetime(2030, 1, 1, tzinfo=UTC))


@pytest.mark.parametrize("latitude_rad", [math.pi / 2.0, -math.pi / 2.0])
def test_at_a_pole_the_field_is_known(latitude_rad: float) -> None:
    # Both geographic poles have a field of 50,000 to 60,000 nT (common knowledge of the model's
    # maps, MEMORY); the program must not divide by the vanishing cosine.
    assert 50_000e-9 < magnetic_field(latitude_rad, 0.0, 0.0, 2026.0).total_t < 60_000e-9


@pytest.mark.parametrize(
    "bad",
    [
        (2.0, 0.0, 0.0, 2026.0),
        (0.0, 4.0, 0.0, 2026.0),
        (0.0, 0.0, 1e6, 2026.0),
        (0.0, 0.0, 0.0, 2030.01),
        (0.0, 0.0, 0.0, 2024.99),
        (math.nan, 0.0, 0.0, 2026.0),
    ],
)
def test_outside_its_range(bad: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="valid is"):
        magnetic_field(*bad)
