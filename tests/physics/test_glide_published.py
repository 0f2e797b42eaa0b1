"""Glides, climb gradients and leg energies against published and hand-worked figures."""

import csv
import math
import pathlib

import pytest

from homeleg.foundation import constants as c
from homeleg.physics import glide

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"

with (REFERENCE / "flight_approach_climb.csv").open(newline="", encoding="utf-8") as _file:
    CASES = {row["case_id"]: row for row in csv.DictReader(_file)}
FOOT_PER_MINUTE_M_S = c.FOOT_M / 60.0
FOOT_PER_NAUTICAL_MILE = c.FOOT_M / c.NAUTICAL_MILE_M


def test_glide_angle_of_cp1() -> None:
    # J. D. Anderson, Introduction to Flight, example 6.9: L/D 13.62 glides at 4.2 deg. FOUND.
    angle_deg = math.degrees(glide.glide_angle(13.62))
    assert angle_deg == pytest.approx(float(CASES["cg-4"]["published_value"]), abs=0.05)
    assert angle_deg == pytest.approx(float(CASES["cg-4"]["exact_value"]), abs=5e-5)


def test_glide_angle_of_the_exact_cp1_polar() -> None:
    # same aeroplane, exact best L/D 13.6062: 4.20345 deg. COMPUTED; half a digit of the ratio.
    assert math.degrees(glide.glide_angle(13.6062)) == pytest.approx(4.20345, abs=2e-5)


def test_climb_rate_of_a_gradient() -> None:
    # AIM relation: 350 ft/NM at 120 kt needs 700 ft/min. FOUND, exact.
    climb_m_s = glide.vertical_speed_on_gradient(350.0 * FOOT_PER_NAUTICAL_MILE, 120.0 * c.KNOT_M_S)
    printed = float(CASES["cg-1"]["published_value"])
    assert climb_m_s / FOOT_PER_MINUTE_M_S == pytest.approx(printed, abs=1e-9)


def test_gradient_of_300_feet_per_nautical_mile() -> None:
    # aviationthrust.com: 4.9 %. FOUND; exact 4.9374 %.
    per_second_at_100 = glide.vertical_speed_on_gradient(300.0 * FOOT_PER_NAUTICAL_MILE, 100.0)
    assert per_second_at_100 == pytest.approx(float(CASES["cg-2"]["published_value"]), abs=0.05)
    assert per_second_at_100 == pytest.approx(float(CASES["cg-2"]["exact_value"]), abs=5e-5)


def test_climb_rate_is_not_percent_times_ground_speed_over_60() -> None:
    # the same page's second formula, FOUND-WRONG by a factor of 61: 5 % at 100 kt would be
    # 8 ft/min; correct is percent x GS x 1.01269 = 506 ft/min
    climb_m_s = glide.vertical_speed_on_gradient(0.05, 100.0 * c.KNOT_M_S)
    climb_ft_min = climb_m_s / FOOT_PER_MINUTE_M_S
    assert climb_ft_min == pytest.approx(5.0 * 100.0 * 1.01269, abs=0.005)
    assert climb_ft_min != pytest.approx(5.0 * 100.0 / 60.0, rel=0.5)


def test_descent_path_of_three_degrees() -> None:
    # geometry, COMPUTED: 318.4357 ft/NM
    gradient = 318.4357 * FOOT_PER_NAUTICAL_MILE
    assert math.degrees(glide.glide_angle(1.0 / gradient)) == pytest.approx(3.0, abs=1e-6)


def test_hand_worked_glide_in_wind() -> None:
    # 3-4-5 triangle: 15 m/s along the path sinking 9 m/s is 12 m/s forward;
    # against 3 m/s of wind 9 m/s over the ground, glide ratio 1, 45 deg
    ratio = glide.glide_ratio_over_ground(15.0, 9.0, 3.0)
    assert ratio == pytest.approx(1.0)
    assert math.degrees(glide.glide_angle(ratio)) == pytest.approx(45.0)
    # L/D 4/3 is that triangle in still air
    assert glide.sink_rate(15.0, 4.0 / 3.0) == pytest.approx(9.0)


def test_hand_worked_leg_energies() -> None:
    # 7.0 km at 104.7 W: out at 27.0 m/s 7.5 Wh, back at 4.0 m/s 1750 s and 50.9 Wh
    joule = glide.energy_over_ground(104.7, 7000.0, 27.0)
    assert joule / 3600.0 == pytest.approx(7.5, abs=0.05)
    joule = glide.energy_over_ground(104.7, 7000.0, 4.0)
    assert joule / 3600.0 == pytest.approx(50.9, abs=0.05)
    # against 11.5 + 1.2816 x 1.5 = 13.42 m/s 98 Wh, against 14.5 m/s 204 Wh
    joule = glide.energy_over_ground(104.7, 7000.0, 15.5 - 13.42)
    assert joule / 3600.0 == pytest.approx(98.0, abs=0.5)
    joule = glide.energy_over_ground(104.7, 7000.0, 15.5 - 14.5)
    assert joule / 3600.0 == pytest.approx(204.0, abs=0.5)
    # at 20.5 m/s (207 W) against 11.5 m/s 44.7 Wh, against 14.5 m/s 67 Wh
    joule = glide.energy_over_ground(207.0, 7000.0, 20.5 - 11.5)
    assert joule / 3600.0 == pytest.approx(44.7, abs=0.05)
    joule = glide.energy_over_ground(207.0, 7000.0, 20.5 - 14.5)
    assert joule / 3600.0 == pytest.approx(67.0, abs=0.5)


def test_hand_worked_energy_height() -> None:
    # 19.6133 m/s is 2 g seconds: V^2 / (2 g) = 2 g = 19.6133 m
    assert glide.energy_height(100.0, 19.6133) == pytest.approx(119.6133, abs=1e-9)
