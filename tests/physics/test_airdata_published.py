"""Airspeeds."""

import math

import numpy as np
import pytest

from homeleg.foundation import constants as c
from homeleg.physics import airdata
from homeleg.physics.atmosphere import isa_pressure
from tests.published import Published, half_digits, table, texts, values

PITOT = table("flight_pitot_qc_published.csv")
SPEED_UNIT_M_S = {"kt": c.KNOT_M_S, "mph": c.MILE_M / 3600.0}
WATER_COLUMN = "NASA RP-1046 constants for water at 20 degC, table posted from them. FOUND"
ISENTROPIC = "Isentropic equation of the SFTE handbook ch. 4, 5 to 40 m/s. COMPUTED"
CHAIN = "The chain CAS, impact pressure, Mach, TAS, verified with aerocalc3 0.10. COMPUTED"


@pytest.mark.parametrize(
    ("unit", "key", "standard_pressure", "tolerance"),
    [
        ("inH2O", "published_inH2O_20C", 407.513, 0.00501),
        ("mmH2O", "published_mmH2O_20C", 10_350.8, 0.05),
    ],
)
def test_water_column_of_an_airspeed(
    published: Published, unit: str, key: str, standard_pressure: float, tolerance: float
) -> None:
    assert len(PITOT) == 35
    unit_m_s = np.array([SPEED_UNIT_M_S[row["speed_unit"]] for row in PITOT])
    speed_m_s = values(PITOT, "calibrated_airspeed_in_that_unit") * unit_m_s
    published(
        "water column of an airspeed",
        airdata.impact_pressure(speed_m_s) / c.ISA_SEA_LEVEL_PRESSURE_PA * standard_pressure,
        texts(PITOT, key),
        unit,
        source=WATER_COLUMN,
        within=tolerance,
        because="half a digit; 60 mph is 1.77501 inH2O, which the table prints as 1.77",
    )


def test_impact_pressure_at_small_aircraft_speeds(published: Published) -> None:
    rows = table("flight_pitot_qc_metric.csv")
    published(
        "impact pressure",
        airdata.impact_pressure(values(rows, "calibrated_airspeed_m_per_s")),
        texts(rows, "compressible_qc_Pa"),
        "Pa",
        source=ISENTROPIC,
        within=5e-5,
        relative=1e-6,
        because="half of the fourth decimal, or 1e-6 of the value where that is more",
    )


@pytest.mark.parametrize(
    "case", table("flight_airspeed_conversions.csv"), ids=lambda case: case["case_id"]
)
def test_exact_airspeed_conversions(published: Published, case: dict[str, str]) -> None:
    cas_m_s = float(case["cas_kt"]) * c.KNOT_M_S
    pressure_pa = standard_pressure(float(case["pressure_altitude_ft"]) * c.FOOT_M)
    temperature_k = float(case["oat_C"]) + c.CELSIUS_ZERO_K
    eas_kt = airdata.equivalent_airspeed(cas_m_s, pressure_pa) / c.KNOT_M_S
    tas_kt = airdata.true_airspeed(cas_m_s, pressure_pa, temperature_k) / c.KNOT_M_S
    for quantity, got_kt, printed in (
        ("equivalent airspeed", eas_kt, case["exact_eas_kt"]),
        ("true airspeed", tas_kt, case["exact_tas_kt"]),
    ):
        published(
            quantity,
            got_kt,
            printed,
            "kt",
            source=CHAIN,
            within=half_digits([printed]) + 5e-5,
            because="half a printed digit of the answer and of the airspeed put in",
        )


def standard_pressure(altitude_m: float) -> float:
    """Carry the standard atmosphere on above 11 km, isothermal at 216.65 K, by hand."""
    if altitude_m <= 11_000.0:
        return float(isa_pressure(altitude_m))
    scale_height_m = 287.05287 * 216.65 / 9.80665
    return 22_632.06 * math.exp(-(altitude_m - 11_000.0) / scale_height_m)


def test_true_airspeed_of_the_slide_rule_lesson(published: Published) -> None:
    pressure_pa = isa_pressure(7000.0 * c.FOOT_M)
    tas_m_s = airdata.true_airspeed(110.0 * c.KNOT_M_S, pressure_pa, 16.0 + c.CELSIUS_ZERO_K)
    published(
        "true airspeed of 110 kt CAS at 7000 ft and 16 degC",
        tas_m_s / c.KNOT_M_S,
        "126",
        "kt",
        source="clearflight.co.uk lesson. FOUND",
        within=1.0,
        because="a slide rule",
    )


def test_pressure_correction_factor_of_a_textbook(published: Published) -> None:
    cas_m_s = 182.0 * c.KNOT_M_S
    pressure_pa = standard_pressure(39_500.0 * c.FOOT_M)
    published(
        "equivalent over calibrated airspeed, 182 kt at 39 500 ft",
        airdata.equivalent_airspeed(cas_m_s, pressure_pa) / cas_m_s,
        "0.964336",
        source="Aircraft Flight Mechanics, Airspeed. FOUND",
        within=3e-4,
        because="interpolated there",
    )
