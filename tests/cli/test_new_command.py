"""`homeleg new`: answers by options or at the terminal."""

import io
import sys
from pathlib import Path
from typing import Any

import pytest

from homeleg.cli.main import run
from homeleg.desk.starting_files import AIRCRAFT_ASKS
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.foundation.estimate import Basis
from homeleg.foundation.heights import SpeedKind, StatedAirspeed

AIRCRAFT = [
    part
    for option, answer in {
        "--name": "Petrel",
        "--plan": "tail-boom pusher",
        "--launch": "hand",
        "--span": "1.90 m",
        "--area": "0.460 m2",
        "--mass": "2.60 kg",
        "--cells": "4",
        "--capacity": "10 Ah",
    }.items()
    for part in (option, answer)
]
SORTIE = [
    part
    for option, answer in {
        "--launch-point": "55.0000 N, 5.0000 W",
        "--elevation": "35 m AMSL",
        "--strip-length": "250 m",
        "--ground": "flat within 5 m",
        "--ground-radius": "1200 m",
        "--temperature": "14 degC",
        "--wind": "5.0 m/s from 225",
    }.items()
    for part in (option, answer)
]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_options_make_files(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    aircraft, sortie = str(tmp_path / "petrel.toml"), str(tmp_path / "sortie.toml")
    assert run(["new", "aircraft", aircraft, *AIRCRAFT]) == 0
    assert run(["new", "sortie", sortie, "--aircraft", aircraft, *SORTIE]) == 0
    captured = capsys.readouterr()
    assert captured.err == ""
    assert f"homeleg check {sortie}" in captured.out
    assert (tmp_path / "route.csv").is_file()


def test_missing_answers_are_all_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    assert run(["new", "aircraft", str(tmp_path / "a.toml"), "--mass", "don't know"]) == 2
    error = capsys.readouterr().err
    needed = [ask.option for ask in AIRCRAFT_ASKS if ask.unknown is None]
    assert [option for option in needed if f"--{option} " not in error] == []
    assert "--balance" not in error


def test_not_known_is_an_answer(tmp_path: Path) -> None:
    path = tmp_path / "petrel.toml"
    assert run(["new", "aircraft", str(path), *AIRCRAFT, "--resistance", "Don't know"]) == 0
    assert read_aircraft(path).battery.resistance_ohm.basis is Basis.ASSUMED


def test_questions_are_asked_at_the_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    # Flights, chord and sweep are not known; mass is needed, so that an empty answer is asked
    # again; then flown maximum, balance, full power and resistance are not known, cruise is, the
    # release speed is not, and the motor delay is.
    answers = ["", "don't know", "", "", "2.60 kg", "", "?", "", "", "", "15.5 m/s TAS", "", "0 s"]
    monkeypatch.setattr(sys, "stdin", Terminal("".join(f"{answer}\n" for answer in answers)))
    path = tmp_path / "petrel.toml"
    options = [part for part in AIRCRAFT if part not in ("--mass", "2.60 kg")]
    assert run(["new", "aircraft", str(path), *options]) == 0
    assert capsys.readouterr().out.count("This one is needed.") == 1
    aircraft = read_aircraft(path)
    assert aircraft.mass.total_kg.value == 2.60
    assert aircraft.speeds.cruise == StatedAirspeed(15.5, SpeedKind.TAS)
    assert aircraft.flights == 0


def test_a_refused_answer_is_asked_for_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    # Flights, chord and sweep are not known; then a mass in the wrong unit, one that no such
    # aircraft has, and the mass; nothing more is known but an airspeed, told without its kind
    # first.
    answers = ["", "", "", "2.60 m", "260 kg", "2.60 kg", "", "", "", "", ""]
    answers += ["15.5 m/s", "15.5 m/s TAS", "", ""]
    monkeypatch.setattr(sys, "stdin", Terminal("".join(f"{answer}\n" for answer in answers)))
    path = tmp_path / "petrel.toml"
    options = [part for part in AIRCRAFT if part not in ("--mass", "2.60 kg")]
    assert run(["new", "aircraft", str(path), *options]) == 0
    told = capsys.readouterr()
    assert "unit of length" in told.out
    assert "outside what this program accepts (0.1 to 25 kg)" in told.out
    assert "which airspeed?" in told.out
    assert told.err == ""
    aircraft = read_aircraft(path)
    assert aircraft.mass.total_kg.value == 2.60
    assert aircraft.speeds.cruise == StatedAirspeed(15.5, SpeedKind.TAS)


def test_answers_that_do_not_go_together_are_given_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    # An area of 0.46 m2 and a mean chord of 0.9 m do not make a span of 1.90 m.
    monkeypatch.setattr(sys, "stdin", Terminal("\n" * 20))
    path = tmp_path / "petrel.toml"
    assert run(["new", "aircraft", str(path), *AIRCRAFT, "--chord", "0.9 m"]) == 2
    error = capsys.readouterr().err
    assert "Nothing was written. Your answers as one command" in error
    assert "homeleg new aircraft" in error
    assert "--mass '2.60 kg'" in error
    assert not path.exists()


def test_the_end_of_input_stops_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", Terminal(""))
    assert run(["new", "aircraft", str(tmp_path / "petrel.toml")]) == 130
    assert capsys.readouterr().err.endswith("Stopped.\n")
    assert list(tmp_path.iterdir()) == []


def test_a_taken_name_is_bad_input(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "petrel.toml"
    path.write_text("mine")
    assert run(["new", "aircraft", str(path), *AIRCRAFT]) == 2
    assert path.read_text() == "mine"
    assert "there is such a file already" in capsys.readouterr().err


def test_a_wrong_unit_is_told_as_in_a_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "petrel.toml"
    wrong: list[Any] = [part if part != "10 Ah" else "10 m" for part in AIRCRAFT]
    assert run(["new", "aircraft", str(path), *wrong]) == 2
    assert "petrel.toml, line " in capsys.readouterr().err
    assert not path.exists()


def test_a_cruise_below_the_stall_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "petrel.toml"
    # By hand: sqrt(2.60 * 9.81 / (0.5 * 1.225 * 0.460 CLmax)), CLmax 1.0 to 1.4: 8.0 to 9.5 m/s.
    assert run(["new", "aircraft", str(path), *AIRCRAFT, "--cruise", "5 m/s TAS"]) == 2
    said = capsys.readouterr().err
    assert "5 m/s is no faster than the stall" in said
    assert not path.exists()
    assert run(["new", "aircraft", str(path), *AIRCRAFT, "--cruise", "15 m/s TAS"]) == 0
