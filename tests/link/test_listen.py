"""Listening to a flight: what is heard against the release, and how old it is. Nothing is sent."""

import re
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from homeleg.cli.main import run
from homeleg.desk.glance_words import glance_words
from homeleg.desk.link_line import Line
from homeleg.desk.listen import Glance, listen
from homeleg.link import messages as m
from homeleg.link.codec import Codec
from homeleg.link.driving import Frames
from homeleg.link.live import Flight, GatePlace, home_moved_m
from homeleg.link.watch import Watch
from homeleg.release.in_flight import Margin, Now
from homeleg.release.plain_route import PlainPlace
from tests.link.fake_vehicle import FakeVehicle, heard
from tests.link.test_command import aircraft, read_aloud
from tests.link.wire import OnTheWire, in_hand
from tests.link.world import HOME, LAUNCH

GATES = (
    GatePlace(PlainPlace(name="Cliff", latitude_deg=55.01, longitude_deg=-5.0), 100.0),
    GatePlace(None, 200.0),
    GatePlace(PlainPlace(name="Bay", latitude_deg=55.02, longitude_deg=-5.0), 300.0),
)


def position(north_deg: float) -> m.Live:
    lat = round(1e7 * (55.0 + north_deg))
    fields = (("lat", lat), ("lon", -50_000_000), ("vx", 1500.0), ("vy", 0.0))
    return m.Live(name="GLOBAL_POSITION_INT", fields=fields)


def fly(*told: tuple[float, list[m.Message]]) -> tuple[Flight, list[Now | None]]:
    watch, flight = Watch(our_system=245, our_component=190), Flight(gates=GATES)
    seen = []
    for time_s, messages in told:
        for message in messages:
            watch.hear(heard(message), time_s)
        seen.append(flight.hear(watch.stations[7, 1], time_s))
    return flight, seen


def test_the_launch_is_heard_and_gates_are_passed_in_turn() -> None:
    ground = m.LandedMessage(state=m.LandedState.ON_GROUND)
    air = m.LandedMessage(state=m.LandedState.IN_AIR)
    used = m.Live(name="BATTERY_STATUS", fields=(("current_consumed", 250.0),))
    flight, seen = fly(
        (0.0, [ground, position(0.0)]),
        (10.0, [air, position(0.0), used]),
        (40.0, [position(0.01)]),  # over Cliff, and far too early: another leg
        (105.0, [position(0.01)]),
        (150.0, [position(0.02)]),
    )
    assert seen[0] is None
    assert flight.launched_s == 10.0
    assert seen[1] is not None
    assert seen[1].time_s == 0.0
    assert seen[1].used_ah == 0.25
    # 0.01 degree of latitude is 1112 m on a sphere of 6371 km, by hand.
    assert seen[1].to_gate_m == pytest.approx(1112.0, abs=1.0)
    assert seen[1].ground_speed_m_s == 15.0
    assert (flight.passed.count, flight.passed.time_s) == (1, 95.0)


def test_what_flies_already_has_no_time_of_launch() -> None:
    air = m.LandedMessage(state=m.LandedState.IN_AIR)
    flight, seen = fly((0.0, [air, position(0.0)]), (9.0, [air, position(0.001)]))
    assert flight.launched_s is None
    assert seen == [None, None]


def test_home_moved_is_told_beyond_five_metres() -> None:
    # 1e-7 degree of latitude is 11.1 mm by hand: 400 steps are 4.4 m, 500 are 5.6 m.
    assert home_moved_m(replace(HOME, latitude_e7=HOME.latitude_e7 + 400), LAUNCH) is None
    off_m = home_moved_m(replace(HOME, latitude_e7=HOME.latitude_e7 + 500), LAUNCH)
    assert off_m == pytest.approx(5.6, abs=0.05)


def glance(**changes: object) -> Glance:
    watch = Watch(our_system=245, our_component=190)
    watch.hear(heard(m.Heartbeat(vehicle_type=1, autopilot=3, armed=True)), 0.0)
    now = Now(time_s=60.0, used_ah=0.82, volts=15.1, ground_speed_m_s=14.2, to_gate_m=300.0)
    plain = Glance(
        stations=(),
        now_s=9.0,
        aircraft=watch.stations[7, 1],
        age_s=0.4,
        flight=now,
        margin=Margin(seconds=200.0, cause="charge at Bay", remarks=()),
        circle="",
        missing=(),
        home_off_m=None,
        verified=None,
    )
    return replace(plain, **changes)  # type: ignore[arg-type]


def line_of(glance: Glance) -> str:
    return glance_words(glance).line()


def test_speeds_height_and_distance_are_told() -> None:
    watch = Watch(our_system=245, our_component=190)
    fields = (("lat", 550_100_000), ("lon", -50_000_000), ("relative_alt", 82_400.0))
    for told in (
        m.Heartbeat(vehicle_type=1, autopilot=3, armed=True),
        m.Live(name="GLOBAL_POSITION_INT", fields=fields),
        m.Live(name="VFR_HUD", fields=(("airspeed", 15.6), ("groundspeed", 14.2))),
    ):
        watch.hear(heard(told), 0.0)
    line = line_of(glance(aircraft=watch.stations[7, 1], launch=LAUNCH))
    # 0.01 degree of latitude is 1112 m on a sphere of 6371 km, by hand.
    speeds = "14.2 m/s over ground | 15.6 m/s airspeed"
    words = f"{speeds} | 82 m above launch | 1112 m from launch | 15.1 V"
    assert words in line


def test_age_comes_first_and_old_figures_give_no_margin() -> None:
    assert line_of(glance()) == (
        "0.4 s old | turn back within 3 min 20 s (charge at Bay) | 14.2 m/s over ground | 15.1 V | "
        "820 mAh\n"
    )
    assert line_of(glance(age_s=12.3)).startswith("12 S OLD | MARGIN NOT KNOWN")
    late = Margin(seconds=-1.0, cause="time at Bay", remarks=("13.5 V, and Bay wants 14.0 V",))
    said = "| TURN BACK ADVISED (time at Bay); 13.5 V, and Bay wants 14.0 V |"
    assert said in line_of(glance(margin=late))
    assert line_of(glance(home_off_m=12.2)).startswith("HOME MOVED: it lies 12 m from")


def listened(
    released: Path, wire: OnTheWire, capsys: pytest.CaptureFixture[str], *given: str
) -> str:
    with in_hand(wire) as port:
        command = ["link", "listen", str(released), "--port", port, "--seconds", "4"]
        assert run([*command, *given]) == 0
    return capsys.readouterr().out.splitlines()[-1]


def test_it_says_whether_the_route_aboard_was_compared(
    released: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wire = aircraft(released, loaded=True)
    assert "| NOT VERIFIED: not compared yet |" in listened(released, wire, capsys)
    with in_hand(wire) as port:
        assert run(["link", "compare", str(released), "--port", port, *read_aloud(released)]) == 0
    capsys.readouterr()
    line = listened(released, wire, capsys)
    assert re.search(r"\| NOT VERIFIED since \d\d:\d\dZ: nobody looked on \|", line)
    wire.vehicle.plans[0][1] = replace(wire.vehicle.plans[0][1], z=20.0)
    with in_hand(wire) as port:
        assert run(["link", "compare", str(released), "--port", port, *read_aloud(released)]) == 5
    capsys.readouterr()
    words = "NOT VERIFIED: the route aboard is NOT THE SAME, fetched over the link (system 7)"
    assert words in listened(released, wire, capsys)


def test_listening_sends_nothing(released: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wire = aircraft(released, loaded=True)
    asked: list[m.Message] = []

    class Silent(FakeVehicle):
        def hear(self, message: m.Message) -> list[m.Message]:
            asked.append(message)
            return []

    wire.vehicle = Silent()
    with in_hand(wire) as port:
        given = ["--port", port, "--seconds", "4"]
        assert run(["link", "listen", str(released), *given]) == 0
    assert asked == []
    lines = capsys.readouterr().out.splitlines()
    assert lines
    assert "aircraft 7, disarmed" in lines[-1]
    assert "not told: mAh used, volts, the launch: listen from before it" in lines[-1]


class Backlog:
    """A port on which frames wait that came long ago, and nothing more comes."""

    datagrams = False

    def __init__(self, waiting: bytes) -> None:
        self.waiting = waiting

    def read(self, timeout_s: float) -> bytes:
        told, self.waiting = self.waiting, b""
        return told

    def write(self, data: bytes) -> None:
        raise AssertionError(data)

    def close(self) -> None:
        pass


def test_what_waited_to_be_read_is_not_taken_for_fresh(released: Path) -> None:
    wire = aircraft(released, loaded=True)
    clock = iter(0.1 * step for step in range(1000))
    line = Line(
        frames=Frames(Backlog(wire.status())),
        codec=Codec(),
        clock=lambda: next(clock),
        heed=lambda: None,
        system=None,
        present=False,
        home_first=None,
        port="a backlog",
        opened_at=datetime(2026, 6, 9, 17, tzinfo=UTC),
        opened_s=0.0,
    )
    seen: list[Glance] = []
    listen(line, released, show=seen.append, seconds=5.0)
    assert seen
    assert [one.stations for one in seen] == [()] * len(seen)
