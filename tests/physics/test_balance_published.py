"""Mass and balance against handbook problems.

Every function is linear in its units: the printed pounds and inches are used as they stand.
"""

import math

import pytest

from homeleg.physics import balance
from tests.published import Published, half_digits, table

ITEMS = table("flight_mass_balance_items.csv")
LOADINGS = table("flight_mass_balance_loading_results.csv")
PROBLEMS = {row["case_id"]: row for row in table("flight_mass_balance_shift_mac_np.csv")}
HANDBOOKS = (
    "SFTE handbook ch. 7, FAA-H-8083-25, a computational-method page. FOUND; exact: COMPUTED"
)
SHIFTS = "FAA-H-8083-25 and weight-shift pages. FOUND; exact: COMPUTED"
INVERSE = "Published answers to the inverse question, how much to move. FOUND"
WEIGHING = "FAA-H-8083-1: 340 lb 78 in ahead of the main wheels of 2006 lb. FOUND"
INPUTS_ONLY = "A fuel problem and a question bank: inputs FOUND, answer COMPUTED"
MEAN_CHORD = "Public Domain Aeronautical Software, MAC example 1. FOUND"
MODEL_WING = "airfieldmodels.com, 11 in and 6 in. FOUND; exact: COMPUTED"
TEXTBOOK = "aerospaceanswers.com: slopes 0.12 and 0.085 per degree, downwash gradient 0.36. FOUND"
LATTICE = "Vortex lattice, AeroSandbox 4.2.10, wing and tail of 1.5 m. COMPUTED"
BY_HAND = "A small survey aircraft worked by hand beside the test"


def loading_cg(case_id: str) -> float:
    items = [item for item in ITEMS if item["case_id"] == case_id]
    weights = [float(item["weight_lb"]) for item in items]
    return float(balance.centre_of_gravity(weights, [float(item["arm_in"]) for item in items]))


@pytest.mark.parametrize("case", LOADINGS, ids=lambda case: case["case_id"])
def test_centre_of_gravity_of_a_loading(published: Published, case: dict[str, str]) -> None:
    got_in = loading_cg(case["case_id"])
    exact, printed = case["exact_cg_in"], case["published_cg_in"]
    published("centre of gravity, exact", got_in, exact, "in", source=HANDBOOKS)
    if case["case_id"] == "mb-04":
        published(
            "centre of gravity, 112360.5 / 1335",
            got_in,
            printed,
            "in",
            source=HANDBOOKS,
            within=half_digits([printed]) + 0.0002,
            because="84.1652 is printed truncated",
        )
    elif case["status"] != "FOUND-WRONG":
        published("centre of gravity", got_in, printed, "in", source=HANDBOOKS)
    published(
        "moment",
        got_in * float(case["exact_weight_lb"]),
        case["exact_moment_lb_in"],
        "lb in",
        source=HANDBOOKS,
        within=0.05,
        because="half of a first decimal, which some rows leave out",
    )


def test_generator_change_is_not_the_printed_result(published: Published) -> None:
    got_in = loading_cg("mb-05")
    published(
        "moment after the change of a generator",
        got_in * 1238.0,
        "31410.5",
        "lb in",
        source="SFTE handbook ch. 7 prints 14 x -21.5 as -294, FOUND-WRONG; mended by hand",
        within=1e-6,
        because="exact",
    )
    assert got_in != pytest.approx(25.38, abs=0.005)
    assert got_in * 1238.0 != pytest.approx(31_417.5, abs=0.05)


def assert_solves(
    published: Published, quantity: str, got: float, case_id: str, unit: str, source: str
) -> None:
    case = PROBLEMS[case_id]
    printed, exact = case["published_value"], case["exact_value"]
    published(quantity, got, printed, unit, source=source)
    if exact != printed:
        published(f"{quantity}, exact", got, exact, unit, source=source)


def test_shifts(published: Published) -> None:
    first, fourth, fifth = (
        float(balance.centre_of_gravity_shift(*given))
        for given in ((100.0, 120.0, 8000.0), (100.0, 50.0, 2450.0), (180.0, 32.0, 2700.0))
    )
    assert_solves(published, "centre of gravity after a shift", 77.0 + first, "sh-01", "in", SHIFTS)
    assert_solves(published, "change of the centre of gravity", fourth, "sh-04", "in", SHIFTS)
    assert_solves(published, "change of the centre of gravity", fifth, "sh-05", "in", SHIFTS)


@pytest.mark.parametrize(
    ("weight_lb", "distance_in", "total_lb", "change_in"),
    [(65.0, -120.0, 7800.0, "-1.0"), (192.0, 25.0, 3200.0, "1.5")],
)
def test_weight_to_shift(
    published: Published, weight_lb: float, distance_in: float, total_lb: float, change_in: str
) -> None:
    published(
        "change of the centre of gravity",
        balance.centre_of_gravity_shift(weight_lb, distance_in, total_lb),
        change_in,
        "in",
        source=INVERSE,
        within=1e-9,
        because="put in, they must give the change exactly",
    )


def test_shift_is_not_the_blog_value(published: Published) -> None:
    got_in = balance.centre_of_gravity_shift(100.0, 50.0, 8600.0)
    published(
        "100 lb moved 50 in at 8600 lb",
        got_in,
        "0.5814",
        "in",
        source="COMPUTED: a pilot's page prints 0.06, FOUND-WRONG by ten",
    )
    assert got_in != pytest.approx(0.06, abs=0.005)


def test_adding(published: Published) -> None:
    # 140 lb at station 150 on 6860 lb at 80.0
    change_in = float(balance.centre_of_gravity_after_adding(6860.0, 80.0, 140.0, 150.0)) - 80.0
    assert_solves(published, "change by an added weight", change_in, "sh-03", "in", SHIFTS)


def test_burning_fuel(published: Published) -> None:
    # 14.7 gal/h for 1 h 45 min at 6 lb/gal from station 68.0
    burnt_lb = 14.7 * 1.75 * 6.0
    got_in = balance.centre_of_gravity_after_adding(4037.0, 67.8, -burnt_lb, 68.0)
    published(
        "centre of gravity after a flight",
        got_in,
        PROBLEMS["ba-01"]["exact_value"],
        "in",
        source=INPUTS_ONLY,
    )


def test_most_weight_that_can_be_added(published: Published) -> None:
    source = "2900 lb at 115.0, limit 116.0: 207.1 lb at station 130. FOUND"
    got_in = balance.centre_of_gravity_after_adding(2900.0, 115.0, 207.1, 130.0)
    published(
        "centre of gravity with the most weight added",
        got_in,
        "116.0",
        "in",
        source=source,
        within=0.05 * 0.0046,
        because="half a digit of the weight at a slope of 0.0045 in per lb",
    )
    exact_in = balance.centre_of_gravity_after_adding(2900.0, 115.0, 2900.0 / 14.0, 130.0)
    published("the same, by 2900 / 14 lb", exact_in, "116.000000000", "in", source=source)


def test_weighing_on_the_nosewheel(published: Published) -> None:
    got_in = float(balance.centre_of_gravity([340.0, 1666.0], [-78.0, 0.0]))
    assert_solves(published, "centre of gravity by weighing", got_in, "wb-01", "in", WEIGHING)


def test_weighing_on_three_wheels(published: Published) -> None:
    got_in = balance.centre_of_gravity([475.0, 1046.0, 1040.0], [55.0, 121.0, 121.0])
    printed = PROBLEMS["mac-02"]["exact_value"]
    published("centre of gravity on three wheels", got_in, printed, "in", source=INPUTS_ONLY)


# Semispan 1000, chords 400 and 200, leading edge of the tip 600 behind that of the root.
def test_tapered_swept_wing(published: Published) -> None:
    chord = float(balance.mean_aerodynamic_chord(400.0, 200.0))
    from_centre, leading_edge = map(float, balance.mean_chord_position(400.0, 200.0, 2000.0, 600.0))
    for quantity, got, case_id in (
        ("mean aerodynamic chord", chord, "mac-03"),
        ("its distance from the centre line", from_centre, "mac-04"),
        ("its leading edge", leading_edge, "mac-05"),
        ("its quarter point", leading_edge + chord / 4.0, "mac-06"),
    ):
        assert_solves(published, quantity, got, case_id, "", MEAN_CHORD)


def test_model_wing(published: Published) -> None:
    got_in = balance.mean_aerodynamic_chord(11.0, 6.0)
    published(
        "mean aerodynamic chord",
        got_in,
        "8.7453",
        "in",
        source=MODEL_WING,
        within=3e-4,
        because="its taper is rounded to 0.5455, which moves the fourth decimal by 2",
    )
    exact = PROBLEMS["mac-08"]["exact_value"]
    published(
        "mean aerodynamic chord, exact",
        got_in,
        exact,
        "in",
        source=MODEL_WING,
        within=5e-5,
        because="half of the fourth decimal",
    )


def test_neutral_point_of_the_textbook(published: Published) -> None:
    neutral = float(balance.neutral_point(0.30, 0.352, 0.12 / 0.085, 0.36))
    assert_solves(published, "neutral point", neutral, "np-01", "", TEXTBOOK)
    margin = float(balance.static_margin(neutral, 0.38))
    assert_solves(published, "static margin", margin, "np-02", "", TEXTBOOK)


# Wing 1.5 m, chords 0.25 and 0.15, tip swept 0.05; tail 0.5 x 0.12 with its leading edge 0.75 aft.
def test_neutral_point_of_wing_and_tail(published: Published) -> None:
    chord = float(balance.mean_aerodynamic_chord(0.25, 0.15))
    from_centre, leading_edge = map(float, balance.mean_chord_position(0.25, 0.15, 1.5, 0.05))
    published(
        "mean chord, its place across and along",
        [chord, from_centre, leading_edge],
        PROBLEMS["np-05"]["exact_value"].split(";"),
        "m",
        source=LATTICE,
        within=5.1e-7,
        because="half of the sixth decimal, which some leave out",
    )
    tail_arm_m = 0.75 + 0.12 / 4.0 - (leading_edge + chord / 4.0)
    volume = balance.tail_volume(0.5 * 0.12, tail_arm_m, 1.5 * 0.20, chord)
    neutral_m = leading_edge + chord * balance.neutral_point(0.25, volume, 0.87, 0.40)
    published(
        "neutral point",
        neutral_m,
        "0.1434",
        "m",
        source=LATTICE,
        within=0.04 * chord,
        because="4 % of the mean chord, for the assumed lift-slope ratio 0.87 and downwash 0.40",
    )
    published("neutral point, the formula by hand", neutral_m, "0.148", "m", source=LATTICE)


def test_hand_worked_camera_swap(published: Published) -> None:
    # 2.35 kg at 68.6 mm; 0.120 kg out at -60 mm, 0.260 kg in at +150 mm, chord 245 mm;
    # a pack of 0.79 kg moved forward
    got_m = balance.centre_of_gravity([2.35, -0.120, 0.260], [0.0686, -0.060, 0.150])
    published("centre of gravity, camera changed", got_m * 1e3, "83.3", "mm", source=BY_HAND)
    forward_m = [0.0154, 0.0235, 0.0309]
    moved_m = [got_m + balance.centre_of_gravity_shift(0.79, -one_m, 2.49) for one_m in forward_m]
    published(
        "centre of gravity with the pack moved forward",
        [100.0 * one_m / 0.245 for one_m in moved_m],
        ["32.0", "30.95", "30.0"],
        "%",
        source=BY_HAND,
        within=0.05,
        because="half of the first decimal of a percent",
    )


def test_aspect_ratio_of_the_hand_worked_wing(published: Published) -> None:
    published("aspect ratio", balance.aspect_ratio(1.90, 0.460), "7.85", source=BY_HAND)
    assert math.isclose(float(balance.aspect_ratio(2.0, 1.0)), 4.0)
