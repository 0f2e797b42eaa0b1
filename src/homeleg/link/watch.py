"""What is known of who is on the link, from what was heard and when.

Read only: it asks for nothing and decides nothing. Ages are told, never hidden.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field

from homeleg.link.boot_clock import BootClock
from homeleg.link.messages import (
    Ack,
    Count,
    Heard,
    Heartbeat,
    HomePosition,
    Item,
    LandedMessage,
    LandedState,
    Live,
    Message,
    PlanCurrent,
    Request,
    RequestList,
    SettingTold,
    SystemTime,
)

__all__ = ["NOT_AN_AUTOPILOT", "Station", "Watch"]

NOT_AN_AUTOPILOT = 8  # the autopilot class "invalid" of the common set
_HIGHEST_SYSTEM = 255
_SEQUENCES = 256
_MS_PER_S = 1000
_FARTHEST_GAP = 128  # more looks like a restart of the count, not like a loss
_PLAN_TRAFFIC = (Ack, Count, Item, Request, RequestList)


@dataclass(slots=True, kw_only=True)
class Station:
    """One sender: what it last said of itself, and when [s of the clock passed in]."""

    system: int
    component: int
    first_heard_s: float
    last_heard_s: float
    version: int = 0
    signed: bool = False
    vehicle_type: int | None = None
    autopilot: int | None = None
    armed: bool | None = None
    heartbeat_s: float | None = None
    landed: LandedState = LandedState.UNKNOWN
    home: HomePosition | None = None
    plan_current: PlanCurrent | None = None
    settings: dict[str, float] = field(default_factory=dict)
    boots: int = 1
    boot_clocks: dict[str, BootClock] = field(default_factory=dict)
    frames: int = 0
    lost: int = 0
    doubled: int = 0
    live: dict[str, tuple[float, Live]] = field(default_factory=dict)
    last_sequence: int | None = None

    @property
    def is_aircraft(self) -> bool:
        """Whether it presents itself as something with an autopilot."""
        return self.autopilot is not None and self.autopilot != NOT_AN_AUTOPILOT

    def age_s(self, now_s: float) -> float:
        """Return how long ago it was last heard."""
        return now_s - self.last_heard_s

    def loss_fraction(self) -> float:
        """Return the share of its frames that never came."""
        sent = self.frames + self.lost
        return self.lost / sent if sent else 0.0


@dataclass(slots=True, kw_only=True)
class Watch:
    """Everybody heard on one link."""

    our_system: int
    our_component: int
    stations: dict[tuple[int, int], Station] = field(default_factory=dict)
    other_reader_s: float | None = None
    other_writer_s: float | None = None

    def hear(self, heard: Heard, now_s: float) -> None:
        """Take one message."""
        key = (heard.system, heard.component)
        station = self.stations.get(key)
        if station is None:
            station = Station(
                system=heard.system,
                component=heard.component,
                first_heard_s=now_s,
                last_heard_s=now_s,
            )
            self.stations[key] = station
        station.last_heard_s = now_s
        station.version = heard.version
        station.signed = heard.signed
        _count(station, heard)
        _note(station, heard.message, now_s)
        self._note_others(heard, now_s)

    def aircraft(self) -> list[Station]:
        """Return the stations that are aircraft, by system id."""
        found = (station for station in self.stations.values() if station.is_aircraft)
        return sorted(found, key=lambda station: (station.system, station.component))

    def systems(self) -> Iterable[int]:
        """Return the system ids heard."""
        return {system for system, _ in self.stations}

    def take_free_system(self) -> None:
        """Take another id of ours where somebody else is heard under it: answers go by it."""
        taken, ours = set(self.systems()), self.our_system
        ids = (*range(ours, _HIGHEST_SYSTEM), *range(ours, 0, -1))
        self.our_system = next((one for one in ids if one not in taken), ours)

    def _note_others(self, heard: Heard, now_s: float) -> None:
        """Note plan traffic that is not ours: somebody else reads or writes.

        The codec drops what a link echoes to us: what bears our id is of another station that took
        the same.
        """
        message = heard.message
        if not isinstance(message, _PLAN_TRAFFIC):
            return
        ours = (self.our_system, self.our_component)
        if (message.to_system, message.to_component) == ours:
            return
        from_aircraft = self.stations[(heard.system, heard.component)].is_aircraft
        # A writer counts and sends items, the aircraft asks it for them; with a reader it is the
        # other way round. An acknowledgement tells of neither.
        if isinstance(message, Ack):
            return
        gives = isinstance(message, Count | Item)
        if gives != from_aircraft and not isinstance(message, RequestList):
            self.other_writer_s = now_s
        else:
            self.other_reader_s = now_s


def _count(station: Station, heard: Heard) -> None:
    """Count frames, losses and doubles by the sequence numbers."""
    station.frames += 1
    if station.last_sequence is not None:
        gap = (heard.sequence - station.last_sequence) % _SEQUENCES
        if gap == 0:
            station.doubled += 1
        elif gap < _FARTHEST_GAP:
            between = {(station.last_sequence + step) % _SEQUENCES for step in range(1, gap)}
            told = {
                sequence
                for system, component, sequence in heard.passed_over
                if (system, component) == (station.system, station.component)
            }
            station.lost += len(between - told)
    station.last_sequence = heard.sequence


def _note(station: Station, message: Message | None, now_s: float) -> None:
    match message:
        case Heartbeat():
            station.vehicle_type = message.vehicle_type
            station.autopilot = message.autopilot
            station.armed = message.armed
            station.heartbeat_s = now_s
        case LandedMessage():
            station.landed = message.state
        case HomePosition():
            station.home = message
        case PlanCurrent():
            station.plan_current = message
        case SystemTime(since_boot_ms=since_boot_ms):
            _note_boot(station, "SYSTEM_TIME", since_boot_ms, now_s)
        case SettingTold():
            _note_setting(station, message)
        case Live():
            _note_live(station, message, now_s)
        case _:
            pass


def _note_setting(station: Station, told: SettingTold) -> None:
    station.settings.pop(told.name, None)
    if told.value is not None:
        station.settings[told.name] = told.value


def _note_live(station: Station, told: Live, now_s: float) -> None:
    station.live[told.name] = (now_s, told)
    for name, value in told.fields:
        if name == "time_boot_ms":
            _note_boot(station, told.name, value, now_s)


def _note_boot(station: Station, kind: str, since_boot_ms: float, now_s: float) -> None:
    told_s, clock = since_boot_ms / _MS_PER_S, station.boot_clocks.get(kind)
    if clock is not None and not clock.is_started_again(told_s, now_s):
        return
    if clock is not None:
        station.boots += 1
        station.home = None
        station.plan_current = None
        station.settings.clear()
        station.boot_clocks.clear()
    station.boot_clocks[kind] = BootClock(told_s, now_s)
