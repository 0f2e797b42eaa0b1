"""Glides, climb gradients and leg energies."""

import math

import pytest

from homeleg.foundation import constants as c
from homeleg.physics import glide
from tests.published import Published, table

CASES = {row["case_id"]: row for row in table("flight_approach_climb.csv")}
FOOT_PER_MINUTE_M_S = c.FOOT_M / 60.0
FOOT_PER_NAUTICAL_MILE = c.FOOT_M / c.NAUTICAL_MILE_M
BY_HAND = "Worked by hand beside the test"


def test_glide_angle_of_cp1(published: Published) -> None:
    source = "J. D. Anderson, Introduction to Flight, example 6.9. FOUND"
    angle_deg = math.degrees(glide.glide_angle(13.62))
    printed = CASES["cg-4"]["published_value"]
    published("glide angle of L/D 13.62", angle_deg, printed, "deg", source=source)
    exact = CASES["cg-4"]["exact_value"]
    published("glide angle of L/D 13.62, exact", angle_deg, exact, "deg", source=source)


def test_glide_angle_of_the_exact_cp1_polar(published: Published) -> None:
    published(
        "glide angle of L/D 13.6062",
        math.degrees(glide.glide_angle(13.6062)),
        "4.20345",
        "deg",
        source="The same aeroplane at its exact best L/D. COMPUTED",
        within=2e-5,
        because="half a digit of the ratio put in",
    )


def test_climb_rate_of_a_gradient(published: Published) -> None:
    climb_m_s = glide.vertical_speed_on_gradient(350.0 * FOOT_PER_NAUTICAL_MILE, 120.0 * c.KNOT_M_S)
    published(
        "climb rate of 350 ft/NM at 120 kt",
        climb_m_s / FOOT_PER_MINUTE_M_S,
        CASES["cg-1"]["published_value"],
        "ft/min",
        source="Relation of the Aeronautical Information Manual. FOUND",
        within=1e-9,
        because="exact",
    )


def test_gradient_of_300_feet_per_nautical_mile(published: Published) -> None:
    source = "aviationthrust.com, 4.9 %. FOUND; exact 4.9374 %, COMPUTED"
    at_100 = glide.vertical_speed_on_gradient(300.0 * FOOT_PER_NAUTICAL_MILE, 100.0)
    printed, exact = CASES["cg-2"]["published_value"], CASES["cg-2"]["exact_value"]
    published("gradient of 300 ft/NM", at_100, printed, "%", source=source)
    published("gradient of 300 ft/NM, exact", at_100, exact, "%", source=source)


def test_climb_rate_is_not_percent_times_ground_speed_over_60(published: Published) -> None:
    # the same page's second formula, FOUND-WRONG by a factor of 61: 5 % at 100 kt would be
    # 8 ft/min; correct is percent x GS x 1.01269 = 506 ft/min
    climb_m_s = glide.vertical_speed_on_gradient(0.05, 100.0 * c.KNOT_M_S)
    climb_ft_min = climb_m_s / FOOT_PER_MINUTE_M_S
    published(
        "climb rate of 5 % at 100 kt",
        climb_ft_min,
        "506.345",
        "ft/min",
        source="The same page's second formula is wrong by 61; 5 x 100 x 1.01269, by hand",
        within=0.005,
        because="the factor has six digits",
    )
    assert climb_ft_min != pytest.approx(5.0 * 100.0 / 60.0, rel=0.5)


def test_descent_path_of_three_degrees(published: Published) -> None:
    gradient = 318.4357 * FOOT_PER_NAUTICAL_MILE
    published(
        "angle of 318.4357 ft/NM",
        math.degrees(glide.glide_angle(1.0 / gradient)),
        "3.000000",
        "deg",
        source="Geometry. COMPUTED",
        within=1e-6,
        because="half a digit of the gradient put in",
    )


def test_hand_worked_glide_in_wind(published: Published) -> None:
    # 3-4-5 triangle: 15 m/s along the path sinking 9 m/s is 12 m/s forward;
    # against 3 m/s of wind 9 m/s over the ground, glide ratio 1, 45 deg
    source = f"{BY_HAND}: the triangle of sides 3, 4 and 5"
    ratio = glide.glide_ratio_over_ground(15.0, 9.0, 3.0)
    angle_deg = math.degrees(glide.glide_angle(ratio))
    published("glide ratio against the wind", ratio, "1.00000", source=source)
    published("glide angle against the wind", angle_deg, "45.0000", "deg", source=source)
    # L/D 4/3 is that triangle in still air
    published("sink", glide.sink_rate(15.0, 4.0 / 3.0), "9.00000", "m/s", source=source)


@pytest.mark.parametrize(
    ("power_w", "ground_speed_m_s", "energy_wh"),
    [
        # 7.0 km at 104.7 W: out at 27.0 m/s, back at 4.0 m/s in 1750 s
        (104.7, 27.0, "7.5"),
        (104.7, 4.0, "50.9"),
        # against 11.5 + 1.2816 x 1.5 = 13.42 m/s, against 14.5 m/s
        (104.7, 15.5 - 13.42, "98"),
        (104.7, 15.5 - 14.5, "204"),
        # at 20.5 m/s (207 W) against 11.5 m/s, against 14.5 m/s
        (207.0, 20.5 - 11.5, "44.7"),
        (207.0, 20.5 - 14.5, "67"),
    ],
)
def test_hand_worked_leg_energies(
    published: Published, power_w: float, ground_speed_m_s: float, energy_wh: str
) -> None:
    joule = glide.energy_over_ground(power_w, 7000.0, ground_speed_m_s)
    published("energy of 7 km over the ground", joule / 3600.0, energy_wh, "Wh", source=BY_HAND)


def test_hand_worked_energy_height(published: Published) -> None:
    # 19.6133 m/s is 2 g seconds: V^2 / (2 g) = 2 g = 19.6133 m
    published(
        "energy height", glide.energy_height(100.0, 19.6133), "119.613300000", "m", source=BY_HAND
    )
