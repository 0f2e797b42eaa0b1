"""Log and power law of the mean wind, and published roughness classes."""

import csv
import math
import pathlib

import pytest

from homeleg.physics.wind_profile import log_law, power_law

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", rows("flight_wind_profile_ratios.csv"))
def test_speed_ratios(row: dict[str, str]) -> None:
    # COMPUTED, 6 decimals.
    height, reference = float(row["height_m"]), float(row["reference_height_m"])
    if row["law"] == "log":
        got = log_law(1.0, height, reference, float(row["roughness_length_m"]))
    else:
        got = power_law(1.0, height, reference, float(row["shear_exponent"]))
    assert got == pytest.approx(float(row["speed_ratio"]), abs=5.1e-7)


PAIRED = [
    row
    for row in rows("flight_wind_roughness_classes.csv")
    if row["roughness_length_m"]
    and row["shear_exponent"]
    and float(row["roughness_length_m"]) < 0.5
]


@pytest.mark.parametrize("row", PAIRED, ids=lambda row: row["class"])
def test_both_laws_tell_the_same_of_a_published_class(row: dict[str, str]) -> None:
    # The exponent that joins the log law's winds at 10 and 100 m, against the published one.
    # The source gives no tolerance: grass (0.03 m) is published as 0.15 where the log law has
    # 0.145; 0.02 is the scatter of such tables. The city classes (0.8 m and more) are left out:
    # there 10 m is among the roofs, where the log law without displacement does not hold, and the
    # two differ by 0.03 to 0.04.
    at_100_m = log_law(1.0, 100.0, 10.0, float(row["roughness_length_m"]))
    assert math.log10(at_100_m) == pytest.approx(float(row["shear_exponent"]), abs=0.02)


def test_open_grass() -> None:
    assert math.log10(log_law(1.0, 100.0, 10.0, 0.03)) == pytest.approx(0.145, abs=5e-4)
