"""Airspeeds against published and independently computed values."""

import csv
import math
import pathlib

import numpy as np
import pytest

from homeleg.foundation import constants as c
from homeleg.physics import airdata
from homeleg.physics.atmosphere import isa_pressure

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def half_digit(printed: str) -> float:
    return 0.5 * 10.0 ** -len(printed.partition(".")[2])


# NASA RP-1046 constants for water at 20 degC, table posted from them. FOUND, 35 values.
# Tolerance: half a unit of the last printed digit, and 1e-5 inH2O for a tie: 60 mph is 1.77501,
# which the table prints as 1.77.
PITOT = rows("flight_pitot_qc_published.csv")
SPEED_UNIT_M_S = {"kt": c.KNOT_M_S, "mph": c.MILE_M / 3600.0}


@pytest.mark.parametrize(
    ("key", "standard_pressure", "tolerance"),
    [("published_inH2O_20C", 407.513, 0.00501), ("published_mmH2O_20C", 10_350.8, 0.05)],
)
def test_water_column_of_an_airspeed(key: str, standard_pressure: float, tolerance: float) -> None:
    assert len(PITOT) == 35
    speed_m_s = np.array(
        [
            float(row["calibrated_airspeed_in_that_unit"]) * SPEED_UNIT_M_S[row["speed_unit"]]
            for row in PITOT
        ]
    )
    column = airdata.impact_pressure(speed_m_s) / c.ISA_SEA_LEVEL_PRESSURE_PA * standard_pressure
    printed = np.array([float(row[key]) for row in PITOT])
    np.testing.assert_allclose(column, printed, rtol=0.0, atol=tolerance)


# COMPUTED with the isentropic equation of the SFTE handbook ch. 4; 5 to 40 m/s.
def test_impact_pressure_at_small_aircraft_speeds() -> None:
    table = rows("flight_pitot_qc_metric.csv")
    speed_m_s = np.array([float(row["calibrated_airspeed_m_per_s"]) for row in table])
    printed = np.array([float(row["compressible_qc_Pa"]) for row in table])
    got_pa = airdata.impact_pressure(speed_m_s)
    np.testing.assert_array_less(np.abs(got_pa - printed), np.maximum(5e-5, 1e-6 * printed))


# The chain CAS, impact pressure, Mach, TAS, verified with aerocalc3 0.10. COMPUTED.
# Tolerance: half a printed digit of the answer and of the airspeed put in.
CONVERSIONS = rows("flight_airspeed_conversions.csv")


@pytest.mark.parametrize("case", CONVERSIONS, ids=lambda case: case["case_id"])
def test_exact_airspeed_conversions(case: dict[str, str]) -> None:
    cas_m_s = float(case["cas_kt"]) * c.KNOT_M_S
    pressure_pa = standard_pressure(float(case["pressure_altitude_ft"]) * c.FOOT_M)
    temperature_k = float(case["oat_C"]) + c.CELSIUS_ZERO_K
    eas_kt = airdata.equivalent_airspeed(cas_m_s, pressure_pa) / c.KNOT_M_S
    tas_kt = airdata.true_airspeed(cas_m_s, pressure_pa, temperature_k) / c.KNOT_M_S
    for got_kt, printed in ((eas_kt, case["exact_eas_kt"]), (tas_kt, case["exact_tas_kt"])):
        assert got_kt == pytest.approx(float(printed), abs=half_digit(printed) + 5e-5)


def standard_pressure(altitude_m: float) -> float:
    """Carry the standard atmosphere on above 11 km, isothermal at 216.65 K, by hand."""
    if altitude_m <= 11_000.0:
        return float(isa_pressure(altitude_m))
    scale_height_m = 287.05287 * 216.65 / 9.80665
    return 22_632.06 * math.exp(-(altitude_m - 11_000.0) / scale_height_m)


def test_true_airspeed_of_the_slide_rule_lesson() -> None:
    # clearflight.co.uk lesson: CAS 110 kt, 7000 ft, +16 degC, TAS 126 kt. FOUND, slide rule: 1 kt.
    pressure_pa = isa_pressure(7000.0 * c.FOOT_M)
    tas_m_s = airdata.true_airspeed(110.0 * c.KNOT_M_S, pressure_pa, 16.0 + c.CELSIUS_ZERO_K)
    assert tas_m_s / c.KNOT_M_S == pytest.approx(126.0, abs=1.0)


def test_pressure_correction_factor_of_a_textbook() -> None:
    # Aircraft Flight Mechanics, Airspeed: CAS 182 kt at 39 500 ft, 0.964336. FOUND, interpolated.
    cas_m_s = 182.0 * c.KNOT_M_S
    factor = airdata.equivalent_airspeed(cas_m_s, standard_pressure(39_500.0 * c.FOOT_M)) / cas_m_s
    assert factor == pytest.approx(0.964336, abs=3e-4)
