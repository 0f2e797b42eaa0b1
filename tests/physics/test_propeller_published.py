"""Propellers against measured ones, and the actuator disk."""

import numpy as np

from homeleg.foundation.constants import ISA_SEA_LEVEL_DENSITY_KG_M3
from homeleg.physics import propeller
from tests.published import Published, table, texts, values

INCH_M = 0.0254
MEASURED = "UIUC Propeller Database, ten propellers of 9 to 12 inch. FOUND"
DISK_EXAMPLE = (
    "Momentum theory, T 5 N, D 0.254 m, V 15 m/s at sea level; AeroSandbox 4.2.10. COMPUTED"
)
BY_HAND = "Worked by hand beside the test"
FORWARD = table("flight_propeller_forward.csv")


def pulling(least_ct: float) -> list[dict[str, str]]:
    return [row for row in FORWARD if float(row["thrust_coefficient_CT"]) > least_ct]


def test_efficiency_is_the_measured_one(published: Published) -> None:
    rows = pulling(0.01)
    assert len(rows) > 850
    keys = ("advance_ratio_J", "thrust_coefficient_CT", "power_coefficient_CP")
    published(
        "efficiency",
        propeller.efficiency(*(values(rows, key) for key in keys)),
        texts(rows, "efficiency_eta"),
        source=MEASURED,
        within=0.003,
        because="printed to 4 digits of CT and CP, wherever CT > 0.01",
    )


def test_no_measured_propeller_beats_the_actuator_disk(published: Published) -> None:
    rows = pulling(0.002)
    assert len(rows) == 952  # as counted by the source's transcription
    ideal = propeller.ideal_efficiency(
        values(rows, "advance_ratio_J"), values(rows, "thrust_coefficient_CT")
    )
    share = values(rows, "efficiency_eta") / ideal
    published("best share of the ideal efficiency", share.max(), "0.882", source=MEASURED)


def test_no_measured_static_propeller_beats_the_actuator_disk() -> None:
    rows = table("flight_propeller_static.csv")
    diameter, rate = values(rows, "diameter_in") * INCH_M, values(rows, "rpm") / 60.0
    rho = ISA_SEA_LEVEL_DENSITY_KG_M3
    pull = propeller.thrust(values(rows, "thrust_coefficient_CT"), rho, rate, diameter)
    power = propeller.shaft_power(values(rows, "power_coefficient_CP"), rho, rate, diameter)
    least = propeller.disk_power(pull, rho, np.pi / 4.0 * diameter**2, 0.0)
    assert np.all(least < power)
    assert np.median(least / power) > 0.4  # real propellers come near the limit, not far below


DISK = {
    "density_kg_m3": ISA_SEA_LEVEL_DENSITY_KG_M3,
    "disk_area_m2": np.pi / 4.0 * 0.254**2,
    "airspeed_m_s": 15.0,
}


def test_actuator_disk_example(published: Published) -> None:
    induced_m_s = propeller.induced_velocity(5.0, **DISK)
    published("induced velocity", induced_m_s, "2.3248", "m/s", source=DISK_EXAMPLE)
    published(
        "power",
        propeller.disk_power(5.0, **DISK),
        "86.6238",
        "W",
        source=DISK_EXAMPLE,
        within=5e-4,
        because="five digits: another constant of the density",
    )
    pull_n = propeller.thrust_from_disk_power(86.6238, **DISK)
    published("thrust from that power", pull_n, "5.0000", "N", source=DISK_EXAMPLE)


def test_ideal_efficiency_of_the_same_disk(published: Published) -> None:
    rate = 100.0
    ct = propeller.thrust_coefficient(5.0, ISA_SEA_LEVEL_DENSITY_KG_M3, rate, 0.254)
    ideal = propeller.ideal_efficiency(propeller.advance_ratio(15.0, rate, 0.254), ct)
    published("ideal efficiency", ideal, "0.8658", source=DISK_EXAMPLE)


def test_coefficients_by_hand(published: Published) -> None:
    # n = 100/s, D = 0.25 m, rho = 1.2: rho n^2 D^4 = 46.875 N, times n D = 25: 1171.875 W;
    # 0.6 x 0.1 / 0.05 would be an impossible propeller, 0.6 x 0.05 / 0.04 = 0.75.
    # At rest P = T^1.5 / sqrt(2 rho A): with 2 rho A = 4 kg/m and T = 16 N, P = 32 W.
    for quantity, ours, printed, unit in (
        ("thrust of CT 0.1", propeller.thrust(0.1, 1.2, 100.0, 0.25), "4.68750", "N"),
        ("power of CP 0.05", propeller.shaft_power(0.05, 1.2, 100.0, 0.25), "58.59375", "W"),
        ("advance ratio", propeller.advance_ratio(15.0, 100.0, 0.25), "0.600000", ""),
        ("efficiency", propeller.efficiency(0.6, 0.05, 0.04), "0.750000", ""),
        (
            "static thrust of 32 W",
            propeller.thrust_from_disk_power(32.0, 1.0, 2.0, 0.0),
            "16.00000",
            "N",
        ),
        ("its induced velocity", propeller.induced_velocity(16.0, 1.0, 2.0, 0.0), "2.00000", "m/s"),
    ):
        published(quantity, ours, printed, unit, source=BY_HAND)
