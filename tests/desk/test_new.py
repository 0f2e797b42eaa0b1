"""New files: what is written can be read, what is not known is told, nothing is overwritten."""

import math
from datetime import UTC, datetime
from pathlib import Path

import pytest

from homeleg.aircraft.record import LaunchMethod
from homeleg.desk.new import new_aircraft, new_sortie, refusal_of
from homeleg.desk.route_shapes import shape_text
from homeleg.desk.starting_files import AIRCRAFT_ASKS, SORTIE_ASKS, Ask
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.estimate import Basis
from homeleg.route.items import ItemKind
from homeleg.sortie.sortie import FlownBy
from homeleg.world.ground import GroundByEye

NOW = datetime(2026, 6, 9, 16, 47, 12, tzinfo=UTC)


def examples(asks: tuple[Ask, ...], *, needed_only: bool = False) -> dict[str, str]:
    kept = {"area"} | {ask.option for ask in asks if ask.unknown is None or not needed_only}
    return {
        ask.option: ask.example for ask in asks if ask.option in kept - {"wind-seen", "launch-time"}
    }


def aircraft_at(folder: Path) -> Path:
    path = folder / "petrel.toml"
    new_aircraft(path, examples(AIRCRAFT_ASKS))
    return path


def test_every_answer_reaches_the_aircraft(tmp_path: Path) -> None:
    aircraft = read_aircraft(aircraft_at(tmp_path))
    assert aircraft.name == "Petrel"
    assert aircraft.launch is LaunchMethod.HAND
    assert aircraft.flights == 0
    assert (aircraft.wing.span_m, aircraft.wing.area_m2) == (1.90, 0.460)
    assert aircraft.wing.mean_chord_m == pytest.approx(0.245)
    assert aircraft.mass.total_kg.value == 2.60
    assert aircraft.mass.centre_of_gravity_fraction.value == pytest.approx(0.285)
    assert (aircraft.battery.cells, aircraft.battery.capacity_ah) == (4, 10.0)
    assert aircraft.battery.resistance_ohm.value == pytest.approx(0.030)
    assert aircraft.propulsion.full_power_w.value == 420.0


@pytest.mark.parametrize("launch", ["hand", "bungee", "runway"])
def test_a_release_speed_goes_with_every_launch(tmp_path: Path, launch: str) -> None:
    path = tmp_path / "petrel.toml"
    answers = {**examples(AIRCRAFT_ASKS), "launch": launch, "release-speed": "12 m/s"}
    new_aircraft(path, answers)
    aircraft = read_aircraft(path)
    assert aircraft.takeoff.release_speed_m_s.value == 12.0
    assert aircraft.takeoff.motor_delay_s == 0.0


def test_an_answer_is_text_and_nothing_else(tmp_path: Path) -> None:
    path = tmp_path / "petrel.toml"
    name = 'Ænne "2" \\ [wing] # span'
    new_aircraft(path, {**examples(AIRCRAFT_ASKS), "name": name})
    assert read_aircraft(path).name == name


def test_what_is_not_known_is_assumed_and_told(tmp_path: Path) -> None:
    path = tmp_path / "petrel.toml"
    new_aircraft(path, examples(AIRCRAFT_ASKS, needed_only=True))
    aircraft = read_aircraft(path)
    assert aircraft.battery.resistance_ohm.basis is Basis.ASSUMED
    text = path.read_text("utf-8")
    assert '# resistance = "30 mohm"\n#   not known: assumed' in text
    assert "\nresistance" not in text


def test_every_answer_reaches_the_sortie(tmp_path: Path) -> None:
    path = tmp_path / "sortie.toml"
    route = new_sortie(path, aircraft_at(tmp_path), examples(SORTIE_ASKS), now=NOW)
    sortie = read_sortie(path).sortie
    assert route == tmp_path / "route.csv"
    assert math.degrees(sortie.site.latitude_rad) == pytest.approx(55.0)
    assert math.degrees(sortie.site.longitude_rad) == pytest.approx(-5.0)
    assert sortie.site.elevation_amsl_m == 35.0
    assert sortie.site.ground == GroundByEye(flat_within_m=5.0, radius_m=1200.0, flat_to_m=1200.0)
    assert sortie.flown_by is FlownBy.ASSISTED
    assert sortie.weather.surface is not None
    assert sortie.weather.surface.speed_m_s.value == 5.0
    assert sortie.weather.surface.gust_m_s == 6.5
    assert sortie.weather.surface.seen == datetime(2026, 6, 9, 16, 47, tzinfo=UTC)
    assert sortie.weather.temperature_k.value == pytest.approx(287.15)
    assert sortie.pack.temperature_k is not None
    assert sortie.launch_time == datetime(2026, 6, 9, 17, 15, tzinfo=UTC)


def test_a_sortie_from_what_is_needed_alone_can_be_read(tmp_path: Path) -> None:
    path = tmp_path / "sortie.toml"
    answers = examples(SORTIE_ASKS, needed_only=True)
    new_sortie(path, aircraft_at(tmp_path), answers, now=NOW)
    assert read_sortie(path).sortie.weather.surface is not None


def test_the_aircraft_may_lie_elsewhere(tmp_path: Path) -> None:
    (tmp_path / "aircraft").mkdir()
    (tmp_path / "field").mkdir()
    path = tmp_path / "field" / "monday.toml"
    route = new_sortie(path, aircraft_at(tmp_path / "aircraft"), examples(SORTIE_ASKS), now=NOW)
    assert route.name == "monday-route.csv"
    assert read_sortie(path).sortie.aircraft.name == "Petrel"


def test_the_circuit_stays_inside_the_reach_of_a_first_flight(tmp_path: Path) -> None:
    path = tmp_path / "sortie.toml"
    new_sortie(path, aircraft_at(tmp_path), examples(SORTIE_ASKS), now=NOW)
    items = read_sortie(path).sortie.route.items
    assert [item.kind for item in items] == [
        ItemKind.TAKEOFF,
        *[ItemKind.POINT] * 4,
        ItemKind.LAND,
    ]
    assert all(math.hypot(item.east_m, item.north_m) < 200.0 for item in items)


def test_the_circuit_turns_left_and_starts_up_wind() -> None:
    # Wind from the east: the first corner lies east (up-wind) and north (left of an east course).
    rows = [line.split(",") for line in shape_text("circuit", math.radians(90.0)).splitlines()[2:6]]
    corners = [(float(row[2]), float(row[3])) for row in rows]
    assert corners == [(175.0, 85.0), (-175.0, 85.0), (-175.0, -85.0), (175.0, -85.0)]


def test_an_existing_file_is_left_alone(tmp_path: Path) -> None:
    path = aircraft_at(tmp_path)
    path.write_text("mine")
    with pytest.raises(InputFileError, match="there is such a file already"):
        new_aircraft(path, examples(AIRCRAFT_ASKS))
    assert path.read_text() == "mine"


def test_an_existing_route_stops_the_sortie(tmp_path: Path) -> None:
    (tmp_path / "route.csv").write_text("mine")
    with pytest.raises(InputFileError, match=r"route\.csv: there is such a file already"):
        new_sortie(tmp_path / "sortie.toml", aircraft_at(tmp_path), examples(SORTIE_ASKS), now=NOW)
    assert (tmp_path / "route.csv").read_text() == "mine"
    assert not (tmp_path / "sortie.toml").exists()


@pytest.mark.parametrize(
    ("option", "answer"),
    [("capacity", "5.2 mAh"), ("span", "1.90"), ("cells", "four")],
)
def test_a_wrong_answer_leaves_no_file(tmp_path: Path, option: str, answer: str) -> None:
    path = tmp_path / "petrel.toml"
    answers = {**examples(AIRCRAFT_ASKS), option: answer}
    with pytest.raises(InputFileError, match=option):
        new_aircraft(path, answers)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("option", "answer"), [("wind", "5 m/s"), ("elevation", "35 m"), ("launch-point", "55 N")]
)
def test_a_wrong_answer_leaves_no_sortie(tmp_path: Path, option: str, answer: str) -> None:
    aircraft = aircraft_at(tmp_path)
    answers = {**examples(SORTIE_ASKS), option: answer}
    with pytest.raises(InputFileError):
        new_sortie(tmp_path / "sortie.toml", aircraft, answers, now=NOW)
    assert list(tmp_path.iterdir()) == [aircraft]


@pytest.mark.parametrize("ask", [*AIRCRAFT_ASKS, *SORTIE_ASKS], ids=lambda ask: ask.option)
def test_each_question_takes_its_example_and_no_nonsense(ask: Ask) -> None:
    assert refusal_of(ask, ask.example) is None
    refusal = refusal_of(ask, "\a about seven" if ask.option == "name" else "about seven")
    assert refusal is not None
    assert ". " in refusal  # what is wrong, and what would be right


@pytest.mark.parametrize("cells", ["0", "25", "007 S", "9" * 5000])
def test_a_number_out_of_range_is_refused(cells: str) -> None:
    [ask] = [ask for ask in AIRCRAFT_ASKS if ask.option == "cells"]
    assert refusal_of(ask, "004") is None
    assert "1 to 24" in (refusal_of(ask, cells) or "")
