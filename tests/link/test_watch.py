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


HOME = m.HomePosition(latitude_e7=1, longitude_e7=2, height_amsl_mm=3)


def started(*told: tuple[float, float], kind: str = "SYSTEM_TIME") -> Watch:
    """Return a watch that heard home, then times since the start, each (heard, told) in seconds."""
    watch = watching(heard(HOME))
    for heard_s, since_s in told:
        since_ms = round(1000.0 * since_s)
        message: m.Message = m.SystemTime(since_boot_ms=since_ms)
        if kind != "SYSTEM_TIME":
            message = m.Live(name=kind, fields=(("time_boot_ms", since_ms),))
        watch.hear(heard(message), heard_s)
    return watch


def starts(*told: tuple[float, float], kind: str = "SYSTEM_TIME") -> int:
    return started(*told, kind=kind).stations[VEHICLE].boots


def test_a_time_far_back_is_a_start_at_once_and_voids_what_was_told() -> None:
    watch = started((1.0, 90.0), (2.0, 2.0))
    assert watch.stations[VEHICLE].boots == 2
    assert watch.stations[VEHICLE].home is None
    assert started((1.0, 90.0), (2.0, 91.0)).stations[VEHICLE].home == HOME


def test_a_start_within_seconds_of_the_one_before() -> None:
    # Started at 0 and again at 3.5 s, heard each second.
    before = [(1.0, 1.0), (2.0, 2.0), (3.0, 3.0)]
    assert starts(*before, (5.0, 1.5), (6.0, 2.5), (7.0, 3.5)) == 2
    # Started again unheard: the second time of the new start is beyond the last of the old one.
    assert starts((1.0, 1.0), (2.0, 2.0), (8.0, 2.5), (9.0, 3.5), (10.0, 4.5)) == 2


def test_a_late_message_is_no_start() -> None:
    assert starts((1.0, 90.0), (2.0, 93.0), (2.1, 91.0), (3.0, 94.0)) == 1  # overtaken
    assert starts((1.0, 90.0), (2.0, 89.5), (3.0, 92.0)) == 1
    # The link stood still for 6 s, and what was queued came at once.
    queued = [(7.0 + 0.05 * k, 2.0 + k) for k in range(6)]
    assert starts((1.0, 1.0), *queued, (8.0, 8.0), (9.0, 9.0), (11.0, 11.0)) == 1


def test_times_that_stand_still_or_run_slowly_are_no_start() -> None:
    assert starts(*((float(second), 5.0) for second in range(1, 30))) == 1
    assert starts(*((float(second), 0.5 * second) for second in range(1, 60))) == 1


def test_kinds_of_messages_do_not_doubt_each_other() -> None:
    watch = started((1.0, 90.0), (2.0, 91.0))
    for second in range(3, 9):  # of an older position each time
        fields = (("time_boot_ms", 1000.0 * (86 + second)),)
        watch.hear(heard(m.Live(name="GLOBAL_POSITION_INT", fields=fields)), float(second))
        watch.hear(heard(m.SystemTime(since_boot_ms=1000 * (89 + second))), float(second))
    assert watch.stations[VEHICLE].boots == 1
    watch.hear(heard(m.SystemTime(since_boot_ms=1000)), 9.0)
    fields = (("time_boot_ms", 900.0),)
    watch.hear(heard(m.Live(name="GLOBAL_POSITION_INT", fields=fields)), 9.1)
    assert watch.stations[VEHICLE].boots == 2


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
