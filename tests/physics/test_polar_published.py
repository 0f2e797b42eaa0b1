"""The drag polar against a textbook aeroplane and an identified flying wing."""

import csv
import math
import pathlib

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.physics import polar
from homeleg.physics.turning import load_factor, stall_speed_factor

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


# J. D. Anderson, Introduction to Flight, CP-1, examples 6.1, 6.9, 6.12: data and graph readings
# FOUND, exact values COMPUTED to the digits printed.
CP1 = {row["quantity"]: row for row in rows("flight_cp1_propeller_aircraft.csv")}


def cp1(quantity: str, column: str = "exact_value") -> float:
    return float(CP1[quantity][column])


CP1_WEIGHT_N = cp1("gross weight")
CP1_AREA_M2 = cp1("wing area")
CP1_POLAR = (
    cp1("parasite drag coefficient"),
    float(polar.induced_factor(cp1("Oswald factor"), cp1("wing span") ** 2 / cp1("wing area"))),
    0.0,
)


def test_best_lift_to_drag_of_cp1() -> None:
    cl, ratio = polar.best_glide(*CP1_POLAR)
    key = "maximum CL/CD (read from graph)"
    assert ratio == pytest.approx(cp1(key), abs=5e-5)
    assert ratio == pytest.approx(cp1(key, "published_value"), abs=0.02)  # a graph reading
    # the textbook's graph gives 0.634; the optimum is flat, so only the exact value is compared
    assert cl == pytest.approx(cp1("CL used at best glide (read from graph)"), abs=5e-7)


def test_least_power_of_cp1() -> None:
    cl, climb_factor = polar.minimum_sink(*CP1_POLAR)
    key = "maximum CL^1.5/CD (read from graph)"
    assert climb_factor == pytest.approx(cp1(key), abs=5e-5)
    assert climb_factor == pytest.approx(cp1(key, "published_value"), abs=0.025)  # graph reading
    speed_m_s = polar.airspeed_at_lift_coefficient(cl, CP1_WEIGHT_N, CP1_AREA_M2)
    # the table rests on rho 1.225 and the quoted data: half a printed digit
    assert speed_m_s == pytest.approx(cp1("minimum-power speed at sea level"), abs=5e-5)
    drag_n = polar.drag_force(speed_m_s, 1.0, CP1_WEIGHT_N, CP1_AREA_M2, *CP1_POLAR)
    power_w = polar.level_power(speed_m_s, drag_n)
    assert power_w == pytest.approx(cp1("minimum power required at sea level"), abs=0.05)


@pytest.mark.parametrize("density_kg_m3", ["0.905", "1.155"])
def test_glide_speed_of_cp1_at_the_graph_lift_coefficient(density_kg_m3: str) -> None:
    cl = cp1("CL used at best glide (read from graph)", "published_value")
    # in the glide the lift is W cos(glide angle); the textbook takes its rounded 4.2 deg
    lift_n = CP1_WEIGHT_N * math.cos(math.radians(cp1("minimum glide angle", "published_value")))
    equivalent_m_s = polar.airspeed_at_lift_coefficient(cl, lift_n, CP1_AREA_M2)
    true_m_s = float(equivalent_m_s) * math.sqrt(1.225 / float(density_kg_m3))
    expected_m_s = cp1(f"best-glide speed at density {density_kg_m3} (CL 0.634)")
    assert true_m_s == pytest.approx(expected_m_s, abs=5e-5)


def test_speed_and_power_ratios_of_the_two_term_polar() -> None:
    # textbook: V_mp = 0.7598 V_(L/D)max, P_mp = 0.8774 P_(L/D)max
    speeds_m_s = polar.airspeed_at_lift_coefficient(
        np.array([polar.minimum_sink(*CP1_POLAR)[0], polar.best_glide(*CP1_POLAR)[0]]),
        CP1_WEIGHT_N,
        CP1_AREA_M2,
    )
    drag_n = polar.drag_force(speeds_m_s, 1.0, CP1_WEIGHT_N, CP1_AREA_M2, *CP1_POLAR)
    power_w = polar.level_power(speeds_m_s, drag_n)
    assert speeds_m_s[0] / speeds_m_s[1] == pytest.approx(0.7598, abs=5e-5)
    assert power_w[0] / power_w[1] == pytest.approx(0.8774, abs=5e-5)


# K. Gryte et al., flying wing of 3.364 kg, ICUAS 2018: trimmed polar
# 0.019985 - 0.009591 CL + 0.109829 CL^2, COMPUTED from the authors' parameters (FOUND), g 9.81.
WING = {
    row["parameter"]: float(row["value"])
    for row in rows("flight_uav_parameters.csv")
    if row["aircraft"].startswith("3.364 kg")
}
WING_WEIGHT_N = WING["mass"] * 9.81
WING_AREA_M2 = WING["S_wing"]
K = 0.109829
CL0 = 0.009591 / (2.0 * K)
WING_POLAR = (0.019985 - K * CL0**2, K, CL0)
TRIMMED = rows("flight_uav_trimmed_level_flight.csv")


def trimmed(key: str) -> NDArray[np.float64]:
    return np.array([float(row[key]) for row in TRIMMED])


def test_trimmed_drag_coefficients_of_the_flying_wing() -> None:
    # half a printed digit of CD and of each polar coefficient (CL below 0.6)
    got = polar.drag_coefficient(trimmed("CL"), *WING_POLAR)
    np.testing.assert_allclose(got, trimmed("CD"), rtol=0.0, atol=1.5e-6)


def test_thrust_of_the_flying_wing_in_level_flight() -> None:
    # the thrust, along the body, carries T sin(alpha) of the weight and pulls T cos(alpha)
    thrust_n, alpha, speed = (
        trimmed(k) for k in ("thrust_N", "alpha_rad", "true_airspeed_m_per_s")
    )
    load = 1.0 - thrust_n * np.sin(alpha) / WING_WEIGHT_N
    cl = polar.lift_coefficient(load, WING_WEIGHT_N, speed, WING_AREA_M2)
    np.testing.assert_allclose(cl, trimmed("CL"), rtol=0.0, atol=6e-6)
    drag_n = polar.drag_force(speed, load, WING_WEIGHT_N, WING_AREA_M2, *WING_POLAR)
    pressure_area_n = 0.5 * 1.225 * speed**2 * WING_AREA_M2
    tolerance_n = 5e-5 + 2e-6 * pressure_area_n  # printed digits of the thrust and of the polar
    np.testing.assert_array_less(np.abs(drag_n - thrust_n * np.cos(alpha)), tolerance_n)


def test_published_trim_of_the_flying_wing() -> None:
    # authors' trim at 18 m/s: alpha 0.0308, throttle 0.1219; thrust by their propeller formula,
    # rho/2 S_prop C_prop Vd (Vd - Va). Half a digit of the throttle is 0.04 % of the thrust.
    speed, alpha, throttle = (WING[k] for k in ("trim_airspeed", "trim_alpha", "trim_throttle"))
    discharge_m_s = speed + throttle * (WING["k_motor"] - speed)
    thrust_n = 0.5 * 1.225 * WING["S_prop"] * WING["C_prop"] * discharge_m_s
    thrust_n *= discharge_m_s - speed
    load = 1.0 - thrust_n * math.sin(alpha) / WING_WEIGHT_N
    drag_n = polar.drag_force(speed, load, WING_WEIGHT_N, WING_AREA_M2, *WING_POLAR)
    assert drag_n == pytest.approx(thrust_n * math.cos(alpha), rel=5e-4)


def test_best_lift_to_drag_of_the_flying_wing() -> None:
    cl, ratio = polar.best_glide(*WING_POLAR)
    assert ratio == pytest.approx(11.89, abs=0.005)
    # the thrust W / 11.89, along the body at alpha 0.089 (table, 13 m/s), carries some weight
    lift_n = WING_WEIGHT_N * (1.0 - math.sin(0.089) / 11.89)
    speed_m_s = polar.airspeed_at_lift_coefficient(cl, lift_n, WING_AREA_M2)
    assert speed_m_s == pytest.approx(12.9, abs=0.05)


# A small survey aircraft worked by hand: P = 0.5 rho V^3 S CD0/eta + 2k(mg)^2/(rho V S eta) + 8 W
# at rho 1.225, m 2.60 kg, S 0.460 m2, span 1.90 m, CD0 0.038, e 0.75 (k 0.0541), eta 0.50.
HAND_WEIGHT_N = 2.60 * 9.80665
HAND_AREA_M2 = 0.460
HAND_K = 0.46 / (math.pi * 0.75 * 1.90**2)
HAND_POLAR = (0.038, HAND_K, 0.0)


@pytest.mark.parametrize(
    ("speed_m_s", "electrical_w"), [(12.0, 65.8), (15.5, 103.8), (18.0, 146.7), (20.0, 191.8)]
)
def test_hand_worked_power(speed_m_s: float, electrical_w: float) -> None:
    drag_n = polar.drag_force(speed_m_s, 1.0, HAND_WEIGHT_N, HAND_AREA_M2, *HAND_POLAR)
    got_w = polar.level_power(speed_m_s, drag_n) / 0.50 + 8.0
    assert got_w == pytest.approx(electrical_w, abs=0.05)


def test_hand_worked_stall_speeds_and_glide() -> None:
    # CLmax 1.15: 8.87 m/s at 2.60 kg, 9.45 at 2.95, 8.43 at 2.35, 8.68 at 2.49; span 1.90 m,
    # e 0.75: k 0.0541; L/D 11.0
    masses_kg = np.array([2.60, 2.95, 2.35, 2.49])
    stall_m_s = polar.stall_speed_eas(masses_kg * 9.80665, HAND_AREA_M2, 1.15)
    np.testing.assert_allclose(stall_m_s, [8.87, 9.45, 8.43, 8.68], rtol=0.0, atol=0.005)
    assert polar.induced_factor(0.75, 1.90**2 / 0.460) == pytest.approx(0.0541, abs=5e-5)
    assert polar.best_glide(*HAND_POLAR)[1] == pytest.approx(11.0, abs=0.05)


@pytest.mark.parametrize(
    ("eas_m_s", "mass_kg", "margin"), [(15.5, 2.60, 1.63), (13.0, 2.95, 1.28), (13.2, 2.95, 1.30)]
)
def test_hand_worked_margin_at_thirty_degrees(
    eas_m_s: float, mass_kg: float, margin: float
) -> None:
    stall_m_s = float(polar.stall_speed_eas(mass_kg * 9.80665, HAND_AREA_M2, 1.15))
    factor = float(stall_speed_factor(load_factor(math.radians(30.0))))
    assert eas_m_s / (stall_m_s * factor) == pytest.approx(margin, abs=0.005)


@pytest.mark.parametrize(
    ("headwind_m_s", "speed_m_s", "energy_wh"), [(11.5, 18.9, 44.0), (14.5, 22.8, 64.7)]
)
def test_hand_worked_return_against_the_wind(
    headwind_m_s: float, speed_m_s: float, energy_wh: float
) -> None:
    # 7 km home at rho 1.242, 8 W of payload on the battery is 4 W of thrust power at eta 0.50
    density = 1.242
    best_m_s = float(
        polar.best_range_speed(
            HAND_WEIGHT_N, HAND_AREA_M2, density, *HAND_POLAR, headwind_m_s, 0.50 * 8.0
        )
    )
    assert best_m_s == pytest.approx(speed_m_s, abs=0.05)
    equivalent_m_s = best_m_s * math.sqrt(density / 1.225)
    drag_n = polar.drag_force(equivalent_m_s, 1.0, HAND_WEIGHT_N, HAND_AREA_M2, *HAND_POLAR)
    battery_w = float(polar.level_power(best_m_s, drag_n)) / 0.50 + 8.0
    home_s = 7000.0 / (best_m_s - headwind_m_s)
    assert battery_w * home_s / 3600.0 == pytest.approx(energy_wh, abs=0.05)
