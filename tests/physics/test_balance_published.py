"""Mass and balance against handbook problems; weights in pounds and arms in inches throughout.

Every function is linear in its units, so the printed ones are used as they stand.
Tolerance: half a unit of the last printed digit; exact columns likewise.
"""

import csv
import math
import pathlib

import pytest

from homeleg.physics import balance

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def half_digit(printed: str) -> float:
    return 0.5001 * 10.0 ** -len(printed.partition(".")[2])


ITEMS = rows("flight_mass_balance_items.csv")
LOADINGS = rows("flight_mass_balance_loading_results.csv")
PROBLEMS = {row["case_id"]: row for row in rows("flight_mass_balance_shift_mac_np.csv")}


def loading_cg(case_id: str) -> float:
    items = [item for item in ITEMS if item["case_id"] == case_id]
    weights = [float(item["weight_lb"]) for item in items]
    return float(balance.centre_of_gravity(weights, [float(item["arm_in"]) for item in items]))


# 112360.5 / 1335 is 84.1652, printed as 84.16.
TRUNCATED_BY_IN = {"mb-04": 0.0002}


# SFTE handbook ch. 7, FAA-H-8083-25, a computational-method page. FOUND.
@pytest.mark.parametrize("case", LOADINGS, ids=lambda case: case["case_id"])
def test_centre_of_gravity_of_a_loading(case: dict[str, str]) -> None:
    got_in = loading_cg(case["case_id"])
    assert got_in == pytest.approx(float(case["exact_cg_in"]), abs=half_digit(case["exact_cg_in"]))
    if case["status"] != "FOUND-WRONG":
        tolerance = half_digit(case["published_cg_in"]) + TRUNCATED_BY_IN.get(case["case_id"], 0.0)
        assert got_in == pytest.approx(float(case["published_cg_in"]), abs=tolerance)
    moment = got_in * float(case["exact_weight_lb"])
    assert moment == pytest.approx(float(case["exact_moment_lb_in"]), abs=0.05)


def test_generator_change_is_not_the_printed_result() -> None:
    # SFTE handbook ch. 7 prints 14 x -21.5 as -294: moment 31417.5, CG 25.38. FOUND-WRONG.
    got_in = loading_cg("mb-05")
    assert got_in == pytest.approx(31_410.5 / 1238.0, abs=1e-9)
    assert got_in != pytest.approx(25.38, abs=0.005)
    assert got_in * 1238.0 != pytest.approx(31_417.5, abs=0.05)


def assert_solves(got: float, case_id: str) -> None:
    case = PROBLEMS[case_id]
    printed, exact = case["published_value"], case["exact_value"]
    assert got == pytest.approx(float(exact), abs=half_digit(exact)), case_id
    assert got == pytest.approx(float(printed), abs=half_digit(printed)), case_id


# FAA-H-8083-25 and weight-shift pages. FOUND.
def test_shifts() -> None:
    assert_solves(77.0 + float(balance.centre_of_gravity_shift(100.0, 120.0, 8000.0)), "sh-01")
    assert_solves(float(balance.centre_of_gravity_shift(100.0, 50.0, 2450.0)), "sh-04")
    assert_solves(float(balance.centre_of_gravity_shift(180.0, 32.0, 2700.0)), "sh-05")


# Published answers to the inverse question, how much to move: put in, they must give the change.
@pytest.mark.parametrize(
    ("weight_lb", "distance_in", "total_lb", "change_in"),
    [(65.0, -120.0, 7800.0, -1.0), (192.0, 25.0, 3200.0, 1.5)],
)
def test_weight_to_shift(
    weight_lb: float, distance_in: float, total_lb: float, change_in: float
) -> None:
    got_in = balance.centre_of_gravity_shift(weight_lb, distance_in, total_lb)
    assert got_in == pytest.approx(change_in, abs=1e-9)


def test_shift_is_not_the_blog_value() -> None:
    # a pilot blog: 100 lb moved 50 in at 8600 lb prints 0.06 in. FOUND-WRONG by ten; 0.5814.
    got_in = balance.centre_of_gravity_shift(100.0, 50.0, 8600.0)
    assert got_in == pytest.approx(0.5814, abs=5e-5)
    assert got_in != pytest.approx(0.06, abs=0.005)


def test_adding() -> None:
    # FAA-H-8083-25: 140 lb at station 150 on 6860 lb at 80.0. FOUND.
    after_in = float(balance.centre_of_gravity_after_adding(6860.0, 80.0, 140.0, 150.0))
    assert_solves(after_in - 80.0, "sh-03")


def test_burning_fuel() -> None:
    # 14.7 gal/h for 1 h 45 min at 6 lb/gal from station 68.0. Inputs FOUND, answer COMPUTED.
    burnt_lb = 14.7 * 1.75 * 6.0
    got_in = balance.centre_of_gravity_after_adding(4037.0, 67.8, -burnt_lb, 68.0)
    expected = PROBLEMS["ba-01"]["exact_value"]
    assert got_in == pytest.approx(float(expected), abs=half_digit(expected))


def test_most_weight_that_can_be_added() -> None:
    # 2900 lb at 115.0, limit 116.0: 207.1 lb at station 130. FOUND; slope 0.0045 in per lb.
    got_in = balance.centre_of_gravity_after_adding(2900.0, 115.0, 207.1, 130.0)
    assert got_in == pytest.approx(116.0, abs=0.05 * 0.0046)
    got_in = balance.centre_of_gravity_after_adding(2900.0, 115.0, 2900.0 / 14.0, 130.0)
    assert got_in == pytest.approx(116.0, abs=1e-9)


def test_weighing_on_the_nosewheel() -> None:
    # FAA-H-8083-1: 340 lb 78 in ahead of the main wheels of 2006 lb. FOUND.
    assert_solves(float(balance.centre_of_gravity([340.0, 1666.0], [-78.0, 0.0])), "wb-01")


def test_weighing_on_three_wheels() -> None:
    # question bank; inputs FOUND, answer COMPUTED
    got_in = balance.centre_of_gravity([475.0, 1046.0, 1040.0], [55.0, 121.0, 121.0])
    expected = PROBLEMS["mac-02"]["exact_value"]
    assert got_in == pytest.approx(float(expected), abs=half_digit(expected))


# Public Domain Aeronautical Software, MAC example 1. FOUND: semispan 1000, chords 400 and 200,
# leading edge of the tip 600 behind that of the root.
def test_tapered_swept_wing() -> None:
    chord = float(balance.mean_aerodynamic_chord(400.0, 200.0))
    from_centre, leading_edge = balance.mean_chord_position(400.0, 200.0, 2000.0, 600.0)
    assert_solves(chord, "mac-03")
    assert_solves(float(from_centre), "mac-04")
    assert_solves(float(leading_edge), "mac-05")
    assert_solves(float(leading_edge) + chord / 4.0, "mac-06")


def test_model_wing() -> None:
    # airfieldmodels.com, 11 in and 6 in: 8.7453. FOUND; its taper is rounded to 0.5455, which moves
    # the fourth decimal by 2: 3e-4.
    got_in = balance.mean_aerodynamic_chord(11.0, 6.0)
    assert got_in == pytest.approx(8.7453, abs=3e-4)
    assert got_in == pytest.approx(float(PROBLEMS["mac-08"]["exact_value"]), abs=5e-5)


def test_neutral_point_of_the_textbook() -> None:
    # aerospaceanswers.com: slopes 0.12 and 0.085 per degree, downwash gradient 0.36. FOUND.
    neutral = float(balance.neutral_point(0.30, 0.352, 0.12 / 0.085, 0.36))
    assert_solves(neutral, "np-01")
    assert_solves(float(balance.static_margin(neutral, 0.38)), "np-02")


# Wing 1.5 m, chords 0.25 and 0.15, tip swept 0.05; tail 0.5 x 0.12 with its leading edge 0.75 aft.
def test_neutral_point_of_wing_and_tail() -> None:
    # vortex lattice (AeroSandbox 4.2.10): 0.1434 m. COMPUTED. Tolerance 4 % of the mean chord, for
    # the assumed lift-slope ratio 0.87 and downwash gradient 0.40.
    chord = float(balance.mean_aerodynamic_chord(0.25, 0.15))
    from_centre, leading_edge = balance.mean_chord_position(0.25, 0.15, 1.5, 0.05)
    expected = [float(part) for part in PROBLEMS["np-05"]["exact_value"].split(";")]
    assert [chord, from_centre, leading_edge] == pytest.approx(expected, abs=5.1e-7)
    wing_centre_m = float(leading_edge) + chord / 4.0
    tail_arm_m = 0.75 + 0.12 / 4.0 - wing_centre_m
    volume = balance.tail_volume(0.5 * 0.12, tail_arm_m, 1.5 * 0.20, chord)
    neutral_m = leading_edge + chord * balance.neutral_point(0.25, volume, 0.87, 0.40)
    assert neutral_m == pytest.approx(0.1434, abs=0.04 * chord)
    assert neutral_m == pytest.approx(0.148, abs=0.0005)  # the formula by hand


def test_hand_worked_camera_swap() -> None:
    # 2.35 kg at 68.6 mm; 0.120 kg out at -60 mm, 0.260 kg in at +150 mm: 83.3 mm of a 245 mm chord,
    # 34.0 %; a pack of 0.79 kg moved 15.4, 23.5, 30.9 mm forward gives 32.0, 30.95, 30.0 %
    got_m = balance.centre_of_gravity([2.35, -0.120, 0.260], [0.0686, -0.060, 0.150])
    assert got_m == pytest.approx(0.0833, abs=5e-5)
    for forward_m, percent in ((0.0154, 32.0), (0.0235, 30.95), (0.0309, 30.0)):
        moved_m = got_m + balance.centre_of_gravity_shift(0.79, -forward_m, 2.49)
        assert 100.0 * moved_m / 0.245 == pytest.approx(percent, abs=0.05)


def test_aspect_ratio_of_the_hand_worked_wing() -> None:
    # span 1.90 m, area 0.460 m2: 7.85
    assert balance.aspect_ratio(1.90, 0.460) == pytest.approx(7.85, abs=0.005)
    assert math.isclose(float(balance.aspect_ratio(2.0, 1.0)), 4.0)
