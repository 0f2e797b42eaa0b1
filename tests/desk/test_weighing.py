from pathlib import Path

import pytest

from homeleg.desk.weighing import keep_weighing, length_refusal, mass_refusal, weighed
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.estimate import Basis

FILE = """\
# mine, and this remark stays
schema = "homeleg/aircraft/1"
name = "Petrel"
plan = "front motor with tail"
launch = "hand"
[wing]
span = "1.80 m"
mean_chord = "250 mm"
[mass]
total = "1.7 kg"  # guessed
[battery]
cells = 4
capacity = "5.2 Ah"
"""
TWO_SCALES = {
    "way": "two scales",
    "front-mass": "600 g",
    "rear-mass": "1.2 kg",
    "ahead": "160 mm",
    "behind": "20 cm",
}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    written = tmp_path / "petrel.toml"
    written.write_text(FILE, encoding="utf-8")
    return written


def test_two_scales_by_hand(path: Path) -> None:
    # Hand: (0.6 x -160 + 1.2 x 200) / 1.8 = 80 mm behind the edge; of a chord of 250 mm, 32 %.
    keep_weighing(path, TWO_SCALES)
    mass = read_aircraft(path).mass
    assert mass.total_kg.value == pytest.approx(1.8)
    assert mass.centre_of_gravity_fraction.value == pytest.approx(0.32)
    assert {mass.total_kg.basis, mass.centre_of_gravity_fraction.basis} == {Basis.BENCH}


def test_remarks_and_all_else_stay(path: Path) -> None:
    keep_weighing(path, {"way": "two fingers", "balance": "75 mm"})
    text = path.read_text(encoding="utf-8")
    assert "# mine, and this remark stays" in text
    assert 'total = "1.7 kg"  # guessed' in text
    # Hand: 75 / 250 = 30 %; two fingers find it within 3 mm, 1.2 % of the chord.
    balance = read_aircraft(path).mass.centre_of_gravity_fraction
    assert balance.value == pytest.approx(0.30)
    assert balance.sd == pytest.approx(0.012)


def test_one_scale_gives_both_and_says_what_was(path: Path) -> None:
    result = weighed(path, {"way": "one scale and two fingers", "mass": "4 lb", "balance": "3 in"})
    # 1 lb = 0.45359237 kg (international pound, 1959): 4 lb are 1.81 kg.
    assert "1.81 kg (bench)" in result.now
    assert "1.70 kg (declared)" in result.before
    assert path.read_text(encoding="utf-8") == FILE


def test_a_swept_wing_has_to_say_where_its_chord_lies(path: Path) -> None:
    swept = FILE.replace("front motor with tail", "flying wing")
    path.write_text(swept, encoding="utf-8")
    with pytest.raises(InputFileError, match="mean_chord_behind_root"):
        keep_weighing(path, TWO_SCALES)
    assert path.read_text(encoding="utf-8") == swept


@pytest.mark.parametrize("text", ["-1 g", "30 kg", "1.2", "heavy"])
def test_a_reading_that_is_none_is_refused(text: str) -> None:
    assert mass_refusal(text)
    assert mass_refusal("600 g") is None


@pytest.mark.parametrize("text", ["-1 mm", "3 m", "80", "far"])
def test_a_distance_that_is_none_is_refused(text: str) -> None:
    assert length_refusal(text)
    assert length_refusal("0 mm") is None
