from dataclasses import replace

import pytest

from homeleg.link import messages as m
from homeleg.link.watch import Watch
from tests.link.fake_vehicle import VEHICLE, heard

AIRCRAFT = m.Heartbeat(vehicle_type=1, autopilot=3, armed=False)
GROUND_STATION = m.Heartbeat(vehicle_type=6, autopilot=8, armed=False)


def watching(*told: m.Heard) -> Watch:
    watch = Watch(our_system=245, our_component=190)
    for second, one in enumerate(told):
        watch.hear(one, float(second))
    return watch


def test_a_ground_station_is_no_aircraft() -> None:
    watch = watching(heard(AIRCRAFT), heard(GROUND_STATION, sender=(255, 190)))
    assert [station.system for station in watch.aircraft()] == [7]
    assert set(watch.systems()) == {7, 255}


def test_loss_is_counted_from_the_numbers() -> None:
    numbers = [250, 252, 253, 253, 1, 5]  # lost: 251; 254, 255, 0; 2, 3, 4
    watch = watching(*(replace(heard(AIRCRAFT), sequence=number) for number in numbers))
    station = watch.stations[VEHICLE]
    assert (station.frames, station.lost, station.doubled) == (6, 7, 1)
    assert station.loss_fraction() == pytest.approx(7 / 13)


def test_frames_of_another_dialect_are_not_lost() -> None:
    later = replace(heard(AIRCRAFT), sequence=4, passed_over=((7, 1, 1), (7, 1, 3), (9, 1, 2)))
    watch = watching(heard(AIRCRAFT), later)
    assert watch.stations[VEHICLE].lost == 1


def test_a_clock_going_back_is_a_restart_and_voids_what_was_told() -> None:
    home = m.HomePosition(latitude_e7=1, longitude_e7=2, height_amsl_mm=3)
    before = [heard(m.SystemTime(since_boot_ms=90_000)), heard(home)]
    watch = watching(*before, heard(m.SystemTime(since_boot_ms=89_500)))
    assert watch.stations[VEHICLE].boots == 1
    assert watch.stations[VEHICLE].home == home
    late = watching(*before, heard(m.SystemTime(since_boot_ms=86_900)))  # 3 s late on a bad radio
    assert late.stations[VEHICLE].boots == 1
    watch = watching(*before, heard(m.SystemTime(since_boot_ms=2_000)))
    assert watch.stations[VEHICLE].boots == 2
    assert watch.stations[VEHICLE].home is None


def other(kind: type, **fields: object) -> m.Message:
    message: m.Message = kind(to_system=255, to_component=190, plan=0, **fields)
    return message


def test_another_station_writing_is_told_from_one_reading() -> None:
    station = (255, 190)
    to_aircraft = {"to_system": 7, "to_component": 1, "plan": 0}
    writing = watching(heard(AIRCRAFT), heard(m.Count(**to_aircraft, count=3), sender=station))
    assert writing.other_writer_s == 1.0
    asked = watching(heard(AIRCRAFT), heard(other(m.Request, sequence=0, precise=True)))
    assert asked.other_writer_s == 1.0
    reading = watching(heard(AIRCRAFT), heard(m.RequestList(**to_aircraft), sender=station))
    assert (reading.other_writer_s, reading.other_reader_s) == (None, 1.0)
    counted = watching(heard(AIRCRAFT), heard(other(m.Count, count=3)))
    assert (counted.other_writer_s, counted.other_reader_s) == (None, 1.0)
    ours = watching(
        heard(AIRCRAFT), heard(m.Count(to_system=245, to_component=190, plan=0, count=3))
    )
    assert (ours.other_writer_s, ours.other_reader_s) == (None, None)
