"""Aircraft files: what they say, what is assumed where they are silent, and their errors."""

import math
from pathlib import Path

import pytest

from homeleg.aircraft.priors import BodyPlan, plan_prior
from homeleg.aircraft.record import Aircraft, LaunchMethod, ReturnPath, TakeoffPath
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.estimate import Basis
from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.physics.battery import Chemistry

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
BARE = """
schema = "homeleg/aircraft/1"
name = "Bare"
plan = "tail-boom pusher"
launch = "hand"
[wing]
span = "2.00 m"
root_chord = "300 mm"
tip_chord = "200 mm"
[mass]
total = "2.00 kg"
[battery]
cells = 4
capacity = "5000 mAh"
"""


def aircraft(tmp_path: Path, text: str) -> Aircraft:
    path = tmp_path / "aircraft.toml"
    path.write_text(text, "utf-8")
    return read_aircraft(path)


def problems(tmp_path: Path, text: str) -> str:
    with pytest.raises(InputFileError) as caught:
        aircraft(tmp_path, text)
    return str(caught.value)


def test_example_as_written() -> None:
    petrel = read_aircraft(EXAMPLES / "tern-point" / "petrel.toml")
    assert petrel.name == "Petrel"
    assert petrel.flights == 5
    assert petrel.cards_flown == ("trim", "stall", "commanded return", "link loss")
    assert petrel.wing.aspect_ratio == pytest.approx(7.85, abs=0.005)
    assert petrel.aerodynamics.induced_factor.value == pytest.approx(0.0541, abs=5e-5)
    assert petrel.aerodynamics.induced_factor.sd == pytest.approx(0.07 * 0.0541, abs=5e-6)
    assert petrel.aerodynamics.zero_lift_drag.sd == pytest.approx(0.08 * 0.038)
    assert petrel.mass.total_kg.sd == pytest.approx(0.013)
    assert petrel.mass.flown_range_fraction == pytest.approx((0.25, 0.32))
    assert petrel.mass.centre_of_gravity_fraction.sd == pytest.approx(0.008)
    assert petrel.mass.lateral_centre_m == pytest.approx(0.002)
    assert petrel.stations[0].arm_m == pytest.approx(-0.040)
    assert petrel.battery.resistance_ohm.value == pytest.approx(0.030)
    assert petrel.battery.usable_fraction.value == pytest.approx(0.92)
    assert petrel.speeds.cruise == StatedAirspeed(15.5, SpeedKind.TAS)
    assert petrel.guidance.bank_rad == pytest.approx(math.pi / 6.0)
    assert petrel.takeoff.along is TakeoffPath.RELEASE_HEADING
    assert petrel.takeoff.release_speed_m_s.value == 8.0
    assert petrel.takeoff.motor_delay_s == 0.0
    assert petrel.link_loss.after_s == 10.0
    assert petrel.link_loss.return_height == StatedHeight(85.0, Datum.ABOVE_LAUNCH)
    assert petrel.link_loss.path is ReturnPath.STRAIGHT
    assert petrel.radio is not None
    assert petrel.radio.frequency_hz == pytest.approx(9.15e8)
    assert petrel.radio.sensitivity_dbm == -107.0
    assert [energy.charge_ah for energy in petrel.energies] == [1.2, 1.45]
    assert petrel.energies[0].duration_s == 600.0


def test_silence_is_assumed_and_says_so(tmp_path: Path) -> None:
    bare = aircraft(tmp_path, BARE)
    prior = plan_prior(BodyPlan.TAIL_BOOM_PUSHER)
    assert bare.aerodynamics.zero_lift_drag == prior.zero_lift_drag
    factor = bare.aerodynamics.induced_factor
    assert factor.basis is Basis.FROM_GEOMETRY
    # 1 / (pi e AR) with AR = 4.00 / 0.500; a tenth of it, as for every k from geometry.
    assert factor.value == pytest.approx(1.0 / (math.pi * 8.0 * prior.span_efficiency.value))
    assert factor.sd == pytest.approx(0.10 * factor.value)
    assert bare.propulsion.efficiency == prior.propulsion_efficiency
    assert bare.propulsion.full_power_w.value == pytest.approx(
        2.0 * prior.full_power_w_per_kg.value
    )
    expected_ohm = prior.resistance_per_cell_ohm_ah.value * 4 / 5.0
    assert bare.battery.resistance_ohm.value == pytest.approx(expected_ohm)
    assert bare.battery.usable_fraction.is_assumed
    assert bare.battery.chemistry is Chemistry.LITHIUM_POLYMER
    assert bare.launch is LaunchMethod.HAND
    assert bare.takeoff.release_speed_m_s.is_assumed
    assert bare.takeoff.release_height_m == 1.5
    assert bare.takeoff.along is None
    assert bare.takeoff.motor_delay_s is None
    assert bare.link_loss.after_s is None
    assert bare.speeds.cruise is None
    assert bare.speeds.climb_rate_m_s is None
    assert bare.guidance.pattern_height == StatedHeight(40.0, Datum.ABOVE_LAUNCH)
    assert bare.guidance.pattern_side is Side.LEFT
    assert bare.mass.flown_range_fraction is None
    assert bare.radio is None


def test_a_plain_value_is_declared_with_its_default_spread(tmp_path: Path) -> None:
    total = aircraft(tmp_path, BARE).mass.total_kg
    assert total.basis is Basis.DECLARED
    assert total.sd == pytest.approx(0.03 * 2.0)


def test_taper_gives_area_and_mean_chord(tmp_path: Path) -> None:
    wing = aircraft(tmp_path, BARE).wing
    assert wing.area_m2 == pytest.approx(0.5)
    # 2/3 root (1 + t + t^2) / (1 + t) with t = 2/3.
    assert wing.mean_chord_m == pytest.approx(0.253333, abs=5e-7)


def test_balance_measured_at_the_root(tmp_path: Path) -> None:
    balance = 'total = "2.00 kg"\ncentre_of_gravity = "70 mm behind the leading edge at the root"'
    text = BARE.replace('total = "2.00 kg"', balance)
    # The mean chord's leading edge lies (0.300 - 0.25333) / 4 behind the root's.
    centre = aircraft(tmp_path, text).mass.centre_of_gravity_fraction
    assert centre.value == pytest.approx((0.070 - 0.0116667) / 0.253333, abs=1e-5)
    assert "swept" in problems(tmp_path, text.replace("tail-boom pusher", "flying wing"))
    stated = text.replace("[mass]", 'mean_chord_behind_root = "20 mm"\n[mass]')
    centre = aircraft(tmp_path, stated).mass.centre_of_gravity_fraction
    assert centre.value == pytest.approx(0.050 / 0.253333, abs=1e-5)


def test_resistance_is_brought_to_25_degrees(tmp_path: Path) -> None:
    stated = '\nresistance = { value = "30 mohm", at = "10 degC", basis = "bench" }\n'
    resistance = aircraft(tmp_path, BARE + stated).battery.resistance_ohm
    # exp(3131 (1/283 - 1/298)) = 1.7453: the published fit.
    assert resistance.value == pytest.approx(0.030 / 1.7453, rel=1e-4)
    assert resistance.sd == pytest.approx(0.10 * resistance.value)


def test_runway_leaves_at_flying_speed_and_bungee_as_stated(tmp_path: Path) -> None:
    runway = aircraft(tmp_path, BARE.replace('"hand"', '"runway"'))
    # 1.2 sqrt(2 m g / (rho S CLmax)) with 2.0 kg, 0.5 m2, 1.15.
    assert runway.takeoff.release_speed_m_s.value == pytest.approx(8.96, abs=0.005)
    text = BARE.replace('"hand"', '"bungee"') + '[takeoff]\nrelease_speed = "12 m/s"\n'
    assert aircraft(tmp_path, text).takeoff.release_speed_m_s.value == 12.0
    wrong = BARE + '[takeoff]\nrelease_speed = "12 m/s"\n'
    assert "does not belong to a hand launch" in problems(tmp_path, wrong)


def test_learned_is_a_symmetric_covariance(tmp_path: Path) -> None:
    learned = """
[learned]
names = ["zero_lift_drag", "efficiency"]
mean = [0.038, 0.5]
covariance = [[1e-5], [2e-5, 6e-4]]
flights = 3
valid = "2.0 kg, 12 to 18 m/s, 10 to 25 degC"
from = "three debriefs"
"""
    got = aircraft(tmp_path, BARE + learned).learned
    assert got is not None
    assert got.covariance.tolist() == [[1e-5, 2e-5], [2e-5, 6e-4]]
    text = problems(tmp_path, BARE + learned.replace("6e-4", "6e-6"))
    assert "negative eigenvalue" in text
    text = problems(tmp_path, BARE + learned.replace("[1e-5]", "[1e-5, 1e-5]"))
    assert "lower triangle" in text


def test_changed_limits_name_their_row(tmp_path: Path) -> None:
    change = """
[[limits.changed]]
row = "reserve.charge"
want = "15 %"
by = "M. Pilot"
on = "2026-05-01"
reason = "short flights over the field"
"""
    changed = aircraft(tmp_path, BARE + change).changed_limits[0]
    assert changed.row == "reserve.charge"
    assert changed.want == 15.0
    assert changed.hard is None
    text = problems(tmp_path, BARE + change.replace("reserve.charge", "reserve.charg"))
    assert "the nearest is reserve.charge" in text
    assert 'as "12 %"' in problems(tmp_path, BARE + change.replace("15 %", "15 V"))
    text = problems(tmp_path, BARE + change.replace("15 %", "14 %"))
    assert "wants at least 14 %, and the hard limit of 15 is stricter" in text


def test_all_problems_of_a_file_are_reported_with_their_lines(tmp_path: Path) -> None:
    text = (
        BARE.replace('span = "2.00 m"', 'spam = "2.00 m"')
        .replace('"5000 mAh"', '"5 mAh"')
        .replace("cells = 4", 'cells = "4"')
        .replace('total = "2.00 kg"', "total = 2.0")
    )
    lines = problems(tmp_path, text).splitlines()
    assert lines == [
        "aircraft.toml, line 6, [wing] span: is missing",
        "  Add it: Wing span.",
        "aircraft.toml, line 7, [wing] spam: is not a known key; the nearest is span",
        "  There are: span, area, mean_chord, root_chord, tip_chord, mean_chord_behind_root.",
        "aircraft.toml, line 11, [mass] total: 2 what?",
        '  Write a text with a unit, such as "25 kg".',
        'aircraft.toml, line 13, [battery] cells: "4" is not a whole number',
        "  Write a number 1 to 24.",
        'aircraft.toml, line 14, [battery] capacity: "5 mAh" is outside what this program accepts'
        " (0.1 to 60 Ah)",
        "  Is it 5 Ah?",
    ]


CONTRADICTIONS = [
    ('span = "2.00 m"', 'span = "2.00 m"\narea = "0.05 m2"', "one of them is wrong"),
    ('root_chord = "300 mm"', "", "neither area nor chord"),
    ("[battery]", '[aero]\nmaximum_lift = { value = "1.1", sd = "5" }\n[battery]', "outside"),
    ("[battery]", '[aero]\nmaximum_lift = { value = "1.1", sd = "1.2" }\n[battery]', "larger than"),
    ("[battery]", '[aero]\nspan_efficiency = "0.7"\ninduced_factor = "0.05"\n[battery]', "same"),
    ("[battery]", 'flown_range = ["32 % MAC", "25 % MAC"]\n[battery]', "foremost"),
    (
        "[battery]",
        'centre_of_gravity = { value = "28 % MAC", sd = "-1 % MAC" }\n[battery]',
        "outside",
    ),
    ('"tail-boom pusher"', '"pusher"', "tail-boom pusher, front motor with tail"),
    ('"homeleg/aircraft/1"', '"homeleg/aircraft/9"', 'Write "homeleg/aircraft/1"'),
    (
        "[battery]",
        '[guidance]\npattern_height = "-40 m above launch"\n[battery]',
        "line 13, [guidance] pattern_height: -40 m above launch is outside what this program "
        "accepts (10 to 150 m above launch)\n  Write 10 to 150 m above launch.",
    ),
    ("[battery]", '[guidance]\npattern_height = "0 m AGL"\n[battery]', "0 m AGL is outside"),
    ("[battery]", '[guidance]\npattern_height = "151 m AGL"\n[battery]', "10 to 150 m"),
    ("[battery]", '[guidance]\npattern_height = "40 m ellipsoid"\n[battery]', "at every site"),
    (
        "[battery]",
        '[link_loss]\nreturn_height = "9 m above launch"\n[battery]',
        "[link_loss] return_height: 9 m above launch is outside",
    ),
    ("[mass]", "[MASS]\nx = 1\n[mass]", "the nearest is mass"),
    ('name = "Bare"', 'name = "Ba\\nre"', "do not print"),
]


@pytest.mark.parametrize(("old", "new", "said"), CONTRADICTIONS)
def test_contradictions_are_said(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert said in problems(tmp_path, BARE.replace(old, new, 1))


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('path = "home"', "[link_loss] path"),
        ("path = []", "[link_loss] path"),
        ("path = 3", "[link_loss] path"),
        ('at_launch_point = "hover"', "[link_loss] at_launch_point"),
        ('orbit_for = "0 s"', "[link_loss] orbit_for"),
        ('orbit_for = "2 h"', "[link_loss] orbit_for"),
        ('orbit_for = "90"', "[link_loss] orbit_for"),
        ('after = "-1 s"', "[link_loss] after"),
        ('climb_first = "yes"', "[link_loss] climb_first"),
    ],
)
def test_behaviours_that_are_none(tmp_path: Path, line: str, words: str) -> None:
    assert words in problems(tmp_path, BARE.replace("[battery]", f"[link_loss]\n{line}\n[battery]"))
