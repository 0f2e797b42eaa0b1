"""The geoid against published points, and where it must be seamless."""

import csv
import math
from pathlib import Path

import pytest

from homeleg.formats.geoid import undulation

# Each row with its source; the first six are the official test points of EGM96 (FOUND, quoted in
# five public test suites).
ROWS = list(
    csv.DictReader(
        (Path(__file__).parents[1] / "reference" / "geoid_checks.csv")
        .read_text("utf-8")
        .splitlines()
    )
)
EGM96 = [row for row in ROWS if row["model"].startswith("EGM96")]
# A newer model: what the older one is off, in its own checks of other points, is below 1 m.
EGM2008 = [row for row in ROWS if row["model"] == "EGM2008"]


def got_m(row: dict[str, str]) -> float:
    place = (math.radians(float(row["lat"])), math.radians(float(row["lon_east"])))
    return undulation(*place).value


@pytest.mark.parametrize("row", EGM96, ids=lambda row: row["N_m"])
def test_published_points(row: dict[str, str]) -> None:
    assert got_m(row) == pytest.approx(float(row["N_m"]), abs=float(row["tol_m"]))


@pytest.mark.parametrize("row", EGM96[:6], ids=lambda row: row["N_m"])
def test_official_points_closer_than_a_linear_grid(row: dict[str, str]) -> None:
    assert got_m(row) == pytest.approx(float(row["N_m"]), abs=0.02)


@pytest.mark.parametrize("row", EGM2008, ids=lambda row: row["N_m"])
def test_a_newer_model_lies_within_two_standard_deviations(row: dict[str, str]) -> None:
    sd_m = undulation(0.9, 0.1).sd
    assert abs(got_m(row) - float(row["N_m"])) < 2.0 * sd_m


def test_a_point_to_the_east_of_the_antimeridian_is_the_one_to_its_west() -> None:
    for latitude_deg in (-60.0, 0.1, 52.0):
        latitude_rad = math.radians(latitude_deg)
        at_m = [undulation(latitude_rad, turn).value for turn in (-math.pi, math.pi)]
        assert at_m[0] == pytest.approx(at_m[1], abs=1e-9)
        near_m = undulation(latitude_rad, math.pi - 1e-7).value
        assert near_m == pytest.approx(at_m[0], abs=1e-3)


@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_a_pole_is_one_place(sign: float) -> None:
    poles_m = [
        undulation(sign * math.pi / 2.0, math.radians(turn)).value for turn in (-180, -3, 90.1)
    ]
    assert poles_m == [pytest.approx(poles_m[0], abs=0.011)] * 3
