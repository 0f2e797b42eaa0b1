"""UIUC Propeller Database, ten props of 9 to 12 inch, and a momentum-theory example."""

import csv
import pathlib

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.foundation.constants import ISA_SEA_LEVEL_DENSITY_KG_M3
from homeleg.physics import propeller

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"
INCH_M = 0.0254


def columns(name: str, *keys: str) -> list[NDArray[np.float64]]:
    with (REFERENCE / name).open(newline="") as file:
        rows = list(csv.DictReader(file))
    return [np.array([float(row[key]) for row in rows]) for key in keys]


FORWARD = "flight_propeller_forward.csv"
COEFFICIENTS = ("advance_ratio_J", "thrust_coefficient_CT", "power_coefficient_CP")


def test_efficiency_is_the_measured_one() -> None:
    # Printed to 4 digits of CT and CP: within 0.003 wherever CT > 0.01.
    ratio, ct, cp, published = columns(FORWARD, *COEFFICIENTS, "efficiency_eta")
    pulling = ct > 0.01
    assert np.count_nonzero(pulling) > 850
    got = propeller.efficiency(ratio[pulling], ct[pulling], cp[pulling])
    np.testing.assert_allclose(got, published[pulling], rtol=0.0, atol=0.003)


def test_no_measured_propeller_beats_the_actuator_disk() -> None:
    ratio, ct, published = columns(FORWARD, *COEFFICIENTS[:2], "efficiency_eta")
    pulling = ct > 0.002
    assert np.count_nonzero(pulling) == 952  # as counted by the source's transcription
    share = published[pulling] / propeller.ideal_efficiency(ratio[pulling], ct[pulling])
    # The best of all rows reaches 0.882 of the limit, which the formula must reproduce.
    assert share.max() == pytest.approx(0.882, abs=0.0005)


def test_no_measured_static_propeller_beats_the_actuator_disk() -> None:
    diameter_in, rpm, ct, cp = columns(
        "flight_propeller_static.csv",
        "diameter_in",
        "rpm",
        "thrust_coefficient_CT",
        "power_coefficient_CP",
    )
    diameter, rate, rho = diameter_in * INCH_M, rpm / 60.0, ISA_SEA_LEVEL_DENSITY_KG_M3
    pull = propeller.thrust(ct, rho, rate, diameter)
    power = propeller.shaft_power(cp, rho, rate, diameter)
    least = propeller.disk_power(pull, rho, np.pi / 4.0 * diameter**2, 0.0)
    assert np.all(least < power)
    assert np.median(least / power) > 0.4  # real propellers come near the limit, not far below


# Momentum theory: T 5 N, D 0.254 m, V 15 m/s at sea level. COMPUTED; AeroSandbox 4.2.10 gives
# 86.6238 W.
DISK = {
    "density_kg_m3": ISA_SEA_LEVEL_DENSITY_KG_M3,
    "disk_area_m2": np.pi / 4.0 * 0.254**2,
    "airspeed_m_s": 15.0,
}


def test_actuator_disk_example() -> None:
    assert propeller.induced_velocity(5.0, **DISK) == pytest.approx(2.3248, abs=5e-5)
    assert propeller.disk_power(5.0, **DISK) == pytest.approx(86.6238, abs=5e-4)
    assert propeller.thrust_from_disk_power(86.6238, **DISK) == pytest.approx(5.0, abs=5e-5)


def test_ideal_efficiency_of_the_same_disk() -> None:
    rate = 100.0
    ct = propeller.thrust_coefficient(5.0, ISA_SEA_LEVEL_DENSITY_KG_M3, rate, 0.254)
    ratio = propeller.advance_ratio(15.0, rate, 0.254)
    assert propeller.ideal_efficiency(ratio, ct) == pytest.approx(0.8658, abs=5e-5)


def test_coefficients_by_hand() -> None:
    # n = 100/s, D = 0.25 m, rho = 1.2: rho n^2 D^4 = 46.875 N, times n D = 25: 1171.875 W.
    assert propeller.thrust(0.1, 1.2, 100.0, 0.25) == pytest.approx(4.6875)
    assert propeller.shaft_power(0.05, 1.2, 100.0, 0.25) == pytest.approx(58.59375)
    assert propeller.advance_ratio(15.0, 100.0, 0.25) == pytest.approx(0.6)
    # 0.6 x 0.1 / 0.05 would be an impossible propeller; 0.6 x 0.05 / 0.04 = 0.75.
    assert propeller.efficiency(0.6, 0.05, 0.04) == pytest.approx(0.75)


def test_static_thrust_from_power_by_hand() -> None:
    # At rest P = T^1.5 / sqrt(2 rho A): with 2 rho A = 4 kg/m and T = 16 N, P = 32 W.
    assert propeller.thrust_from_disk_power(32.0, 1.0, 2.0, 0.0) == pytest.approx(16.0)
    assert propeller.induced_velocity(16.0, 1.0, 2.0, 0.0) == pytest.approx(2.0)
