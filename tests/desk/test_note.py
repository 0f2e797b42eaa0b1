"""A note after landing: written with all comments kept, refused where it cannot be, undone."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from homeleg.cli.main import run
from homeleg.desk import note as desk
from homeleg.desk.field_note import reach_words
from homeleg.desk.note import note_flight, undo_note
from homeleg.desk.note_kept import Noted, noted_before
from homeleg.desk.release import opened, write_release
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.foundation.errors import InputFileError, RefusedError
from homeleg.release.release import Release

TERN_POINT = Path(__file__).parents[2] / "examples" / "tern-point"


@pytest.fixture
def released(
    tmp_path: Path, make_release: Callable[..., Release], monkeypatch: pytest.MonkeyPatch
) -> Path:
    shutil.copytree(TERN_POINT, tmp_path, dirs_exist_ok=True)
    monkeypatch.setattr(desk, "_MEMBERS", 128)
    path = tmp_path / "r.json"
    monkeypatch.chdir(tmp_path)
    write_release(make_release(), path)
    return path


def note(
    path: Path, minutes: float = 4.6, charge_ah: float = 0.52, *, accept: bool = False
) -> Noted:
    return note_flight(path, minutes=minutes, charge_ah=charge_ah, accept=accept)


def test_a_note_is_written_into_the_aircraft(released: Path, tmp_path: Path) -> None:
    file = tmp_path / "petrel.toml"
    before, text = read_aircraft(file), file.read_text("utf-8")
    noted = note(released)
    after = read_aircraft(file)
    assert noted.aircraft.resolve() == file
    assert after.learned is not None
    assert (after.learned.flights, after.flights) == (1, before.flights + 1)
    assert after.energies[-1].charge_ah == pytest.approx(0.52)
    assert after.energies[:-1] == before.energies
    kept = [line for line in text.splitlines() if not line.startswith("flights")]
    assert set(kept) <= set(file.read_text("utf-8").splitlines())
    power = noted.taught[0]
    assert power.after.p90 - power.after.p10 < power.before.p90 - power.before.p10


def test_undo_puts_every_byte_back(released: Path, tmp_path: Path) -> None:
    file = tmp_path / "petrel.toml"
    before = file.read_bytes()
    note(released)
    with pytest.raises(InputFileError, match="has a note on release"):
        note(released)
    undo_note(released)
    assert file.read_bytes() == before
    with pytest.raises(InputFileError, match="no note to undo"):
        undo_note(released)


def test_a_file_changed_after_the_note_is_left_alone(released: Path, tmp_path: Path) -> None:
    file = tmp_path / "petrel.toml"
    note(released)
    file.write_text(file.read_text("utf-8") + "# mine\n", "utf-8")
    with pytest.raises(InputFileError, match="was changed after the note"):
        undo_note(released)
    assert file.read_text("utf-8").endswith("# mine\n")


@pytest.mark.parametrize(
    ("minutes", "charge_ah", "said"),
    [
        (4.6, 11.5, "more than the pack holds"),
        (60.0, 0.02, "less than the avionics alone take"),
        (590.0, 9.0, "longer than this pack can last"),
        (4.6, 5.0, "more than full power takes"),
    ],
)
def test_impossible_numbers_are_refused(
    released: Path, tmp_path: Path, minutes: float, charge_ah: float, said: str
) -> None:
    before = (tmp_path / "petrel.toml").read_bytes()
    with pytest.raises(InputFileError, match=said):
        note(released, minutes, charge_ah)
    assert (tmp_path / "petrel.toml").read_bytes() == before
    assert not list(tmp_path.glob("*.before-*"))


def test_numbers_far_off_need_a_person(released: Path, tmp_path: Path) -> None:
    with pytest.raises(RefusedError, match="standard deviations off"):
        note(released, charge_ah=0.75)
    assert note(released, charge_ah=0.75, accept=True).prediction.sigmas > 2.0


def test_another_wind_may_be_told(released: Path) -> None:
    noted = note_flight(released, minutes=5.0, charge_ah=0.55, wind="7 m/s from 240")
    assert noted.flights == 1


def test_the_command(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    command = ["note", str(released)]
    assert run([*command, "--minutes", "4.6", "--charged", "750 mAh"]) == 7
    assert "If both numbers are right: --accept." in capsys.readouterr().err
    assert run([*command, "--minutes", "4.6", "--charged", "520mAh"]) == 0
    said = capsys.readouterr().out
    assert "Foretold for 4.6 min: " in said
    assert "What the aircraft taught us, after 1 note:" in said
    assert run([*command, "--undo"]) == 0
    assert "as it was before" in capsys.readouterr().out
    for usage in (["--minutes", "4.6"], ["--charged", "5"], ["--undo", "--minutes", "4"]):
        assert run([*command, *usage]) == 2
    assert run([*command, "--minutes", "4.6", "--charged", "520"]) == 2


@pytest.mark.parametrize(
    ("minutes", "charged", "said"),
    [
        ("0", "520 mAh", "Write minutes from 0.5 to 600."),
        ("-3", "520 mAh", "Write minutes from 0.5 to 600."),
        ("nan", "520 mAh", "Write minutes from 0.5 to 600."),
        ("inf", "520 mAh", "Write minutes from 0.5 to 600."),
        ("four", "520 mAh", "'four' is not a valid float"),
        ("4.6", "0 mAh", "Write 10 mAh to 60 Ah."),
        ("4.6", "-5 mAh", "Write 10 mAh to 60 Ah."),
        ("4.6", "many mAh", "does not start with a number"),
        ("4.6", "520 Wh", "is a unit of energy"),
        ("4.6", "11500 mAh", "more than the pack holds"),
    ],
)
def test_numbers_that_cannot_be_are_one_error(
    released: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    minutes: str,
    charged: str,
    said: str,
) -> None:
    before = (tmp_path / "petrel.toml").read_bytes()
    assert run(["note", str(released), "--minutes", minutes, "--charged", charged]) == 2
    error = capsys.readouterr().err
    assert said in error
    assert "Traceback" not in error
    assert (tmp_path / "petrel.toml").read_bytes() == before


def test_what_it_taught_is_kept_for_the_pages(released: Path, tmp_path: Path) -> None:
    noted = note(released)
    file, code = tmp_path / "petrel.toml", opened(released).code
    kept = noted_before(file, code)
    assert kept is not None
    assert replace(kept, aircraft=noted.aircraft) == noted
    # The example declares five flights and two energies inside their bands.
    assert [one.step for one in noted.reach] == [3, 3]
    beside = next(tmp_path.glob("petrel.toml.before-*"))
    lines = beside.read_text("utf-8").split("\n")
    beside.write_text("\n".join([lines[0], "# by hand", *lines[2:]]), "utf-8")
    assert noted_before(file, code) is None


def test_a_second_energy_inside_earns_the_last_step(released: Path, tmp_path: Path) -> None:
    file = tmp_path / "petrel.toml"
    text = file.read_text("utf-8")
    first = text.index("[[flown]]")
    file.write_text(text[:first] + text[text.index("[[flown]]", first + 1) :], "utf-8")
    noted = note(released)
    # Five flights, and one energy before: within sight; with this one two: the margins.
    assert [one.step for one in noted.reach] == [2, 3]
    assert reach_words(noted) == ("Reach: step 2, within sight, to step 3: what the margins allow.")
