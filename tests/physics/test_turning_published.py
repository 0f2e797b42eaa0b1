"""Level turns and turns in wind."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from homeleg.foundation import constants as c
from homeleg.physics import turning
from tests.published import Published, table, texts, values

PUBLISHED = {
    row["case_id"]: row["published_value"] for row in table("flight_turn_stall_published.csv")
}
AT_100_KT = "Level turns at 100 kt, ppl-monkey.com, with g 9.81. FOUND"
CARDS = "Load factor and stall speed in a turn, PPL theory cards. FOUND"
HANDBOOK = "FAA Pilot's Handbook, Load Factors and Stalling Speeds. FOUND"
LEVEL_TURNS = (
    "R = V^2/(g tan phi), SFTE handbook ch. 12, g 9.80665, 10 to 25 m/s, 10 to 60 deg. COMPUTED"
)
ANTICIPATION = "Distance of turn anticipation R tan(delta/2). COMPUTED"
IN_WIND = (
    "Constant-bank circle carried by the wind; closed form checked with an ODE solver. COMPUTED"
)
GROUND_CIRCLE = "Constant-radius ground circle in wind, numerically differentiated. COMPUTED"


def assert_column(
    published: Published,
    quantity: str,
    ours: NDArray[np.float64],
    rows: list[dict[str, str]],
    key: str,
    source: str,
) -> None:
    published(
        quantity,
        ours,
        texts(rows, key),
        source=source,
        relative=1e-6,
        because="half a printed digit, or 1e-6 of the value where that is more",
    )


@pytest.mark.parametrize("bank_deg", [30, 45, 60])
def test_turns_at_100_knots(published: Published, bank_deg: int) -> None:
    speed_m_s = 100.0 * c.KNOT_M_S
    bank = math.radians(bank_deg)
    radius_m = float(turning.turn_radius(speed_m_s, bank))
    rate_deg_s = math.degrees(float(turning.turn_rate(speed_m_s, bank)))
    if bank_deg == 45:
        why = "its g moves no printed digit but this: truncated from 269.78"
        published("radius, 45 deg", radius_m, "269", "m", source=AT_100_KT, within=1.0, because=why)
    else:
        published("radius", radius_m, PUBLISHED[f"turn-{bank_deg}-radius"], "m", source=AT_100_KT)
    published("rate", rate_deg_s, PUBLISHED[f"turn-{bank_deg}-rate"], "deg/s", source=AT_100_KT)
    time_s = 360.0 / rate_deg_s
    published("full circle", time_s, PUBLISHED[f"turn-{bank_deg}-time"], "s", source=AT_100_KT)


@pytest.mark.parametrize("bank_deg", [30, 45, 60])
def test_load_factor_and_stall_speed_in_a_turn(published: Published, bank_deg: int) -> None:
    load = float(turning.load_factor(math.radians(bank_deg)))
    published("load factor", load, PUBLISHED[f"n-{bank_deg}"], source=CARDS)
    percent = 100.0 * (float(turning.stall_speed_factor(load)) - 1.0)
    published("stall speed, increase", percent, PUBLISHED[f"vs-{bank_deg}"], "%", source=CARDS)


def test_stall_speed_increase_at_75_degrees_is_not_the_rounded_one(published: Published) -> None:
    factor = turning.stall_speed_factor(turning.load_factor(math.radians(75.0)))
    percent = 100.0 * (factor - 1.0)
    published(
        "stall speed, increase at 75 deg",
        percent,
        "96.5631",
        "%",
        source="COMPUTED: the card says 100, rounded for teaching; doubling is exact at 75.52 deg",
    )
    assert percent != pytest.approx(100.0, abs=0.5)


def test_stall_speeds_of_the_handbook(published: Published) -> None:
    for load, still_kt, printed in (
        (4.0, 50.0, PUBLISHED["phak-4g"]),
        (9.0, 50.0, PUBLISHED["phak-9g"]),
        (2.89, 60.0, "102.000000000"),
    ):
        stall_kt = still_kt * float(turning.stall_speed_factor(load))
        published("stall speed under load", stall_kt, printed, "kt", source=HANDBOOK)


def test_bank_of_the_limit_load_factor(published: Published) -> None:
    source = "pilotfriend.com: 3.8 g is reached at 74.7 deg. FOUND"
    exact = turning.load_factor(math.radians(74.7425))
    published("load factor at 74.7425 deg", exact, "3.8000", source=source)
    published(
        "load factor at 74.7 deg",
        turning.load_factor(math.radians(74.7)),
        "3.8",
        source=source,
        within=0.012,
        because="half a digit of the bank at a slope of 13.3 g per radian",
    )


def test_speed_at_which_rate_one_needs_25_degrees(published: Published) -> None:
    rate = turning.turn_rate(169.768 * c.KNOT_M_S, math.radians(25.0))
    published(
        "turn rate at 25 deg of bank and 169.768 kt",
        math.degrees(rate),
        "3.00000",
        "deg/s",
        source="COMPUTED: the often quoted 180 kt is inexact",
        within=1e-5,
        because="half a digit of the speed put in",
    )


def test_level_turn_table(published: Published) -> None:
    rows = table("flight_level_turn.csv")
    assert len(rows) == 60
    speed, bank = values(rows, "true_airspeed_m_per_s"), np.radians(values(rows, "bank_deg"))
    rate = turning.turn_rate(speed, bank)
    load = turning.load_factor(bank)
    for quantity, ours, key in (
        ("radius [m]", turning.turn_radius(speed, bank), "radius_m"),
        ("rate [deg/s]", np.degrees(rate), "turn_rate_deg_per_s"),
        ("full circle [s]", 2.0 * np.pi / rate, "full_circle_time_s"),
        ("load factor", load, "load_factor"),
        ("stall speed factor", turning.stall_speed_factor(load), "stall_speed_factor"),
    ):
        assert_column(published, quantity, ours, rows, key, LEVEL_TURNS)


def test_turn_anticipation_table(published: Published) -> None:
    rows = table("flight_turn_anticipation.csv")
    speed, bank = values(rows, "ground_speed_m_per_s"), np.radians(values(rows, "bank_deg"))
    change = np.radians(values(rows, "course_change_deg"))
    lead = turning.turn_lead_in_still_air(turning.turn_radius(speed, bank), change)
    key = "turn_anticipation_distance_m"
    assert_column(published, "distance before the corner [m]", lead, rows, key, ANTICIPATION)


def test_full_circle_in_wind(published: Published) -> None:
    rows = table("flight_turn_in_wind.csv")
    speed, bank = values(rows, "true_airspeed_m_per_s"), np.radians(values(rows, "bank_deg"))
    wind = values(rows, "wind_speed_m_per_s")
    # half a turn each, there and back, make the whole circle
    there = turning.constant_bank_turn_displacement(speed, bank, 0.0, np.pi, 1.0, 0.0, wind)
    back = turning.constant_bank_turn_displacement(speed, bank, np.pi, 0.0, 1.0, 0.0, wind)
    east, north, duration = (one + other for one, other in zip(there, back, strict=True))
    np.testing.assert_allclose(east, 0.0, atol=1e-9)
    assert_column(published, "drift of a circle [m]", north, rows, "downwind_drift_360_m", IN_WIND)
    assert_column(published, "full circle [s]", duration, rows, "time_360_s", IN_WIND)


# Ground path curvature from (V-W)^2/(g tan phi) to (V+W)^2/(g tan phi); the curvature is taken from
# the chord of a short turn about north: sagitta and chord of the ground path.
@pytest.mark.parametrize(
    ("wind_sign", "most"),
    [(1.0, "max"), (-1.0, "min")],
)
def test_ground_path_curvature(published: Published, wind_sign: float, most: str) -> None:
    rows = table("flight_turn_in_wind.csv")
    speed, bank = values(rows, "true_airspeed_m_per_s"), np.radians(values(rows, "bank_deg"))
    wind = wind_sign * values(rows, "wind_speed_m_per_s")
    half = 1e-4
    east, north, _ = turning.constant_bank_turn_displacement(speed, bank, 0.0, half, 1, 0.0, wind)
    # east = north^2 / (2 R) for a path that starts northward
    radius_m = north**2 / (2.0 * east)
    key = f"{most}_ground_path_curvature_radius_m"
    assert_column(published, f"{most}. radius of the ground path [m]", radius_m, rows, key, IN_WIND)


def test_bank_of_a_ground_circle(published: Published) -> None:
    rows = table("flight_constant_radius_circle_in_wind.csv")
    speed, wind = values(rows, "true_airspeed_m_per_s"), values(rows, "wind_speed_m_per_s")
    radius = values(rows, "ground_radius_m")
    for where, along in (("tailwind", wind), ("headwind", -wind)):
        bank_deg = np.degrees(turning.bank_for_ground_circle(speed, along, radius))
        key = f"bank_at_{where}_deg"
        assert_column(published, f"bank at {where} [deg]", bank_deg, rows, key, GROUND_CIRCLE)
