"""A flight as it is heard: since when it flies, where, how fast, what it used, and how old that is.

Read only. Units of the protocol end here.
"""

import math
from dataclasses import dataclass, field

from homeleg.link.messages import HomePosition, LandedState
from homeleg.link.watch import Station
from homeleg.release.difference import distance_m
from homeleg.release.in_flight import Now, Passed, Sample
from homeleg.release.plain_route import PlainPlace

__all__ = ["HOME_MOVED_M", "Flight", "GatePlace", "home_moved_m"]

# Home is set again when it is armed: farther than this from the released one is said. Ours.
HOME_MOVED_M = 5.0
_THERE_M = 100.0  # corners are cut by less. Ours.
_FLYING_M_S = 5.0  # armed and faster over ground than this: thrown, where it does not say
_KEPT_S = 240.0
_VOLTS_UNKNOWN, _CHARGE_UNKNOWN = 65_535, -1


@dataclass(frozen=True, slots=True)
class GatePlace:
    """Where a gate stands; one behind an orbit has no place: its time tells that it is passed."""

    place: PlainPlace | None
    planned_s: float


@dataclass(slots=True, kw_only=True)
class Flight:
    """Follows one flight along the gates of its release; times are those of the clock passed in."""

    gates: tuple[GatePlace, ...]
    launched_s: float | None = None
    passed: Passed = field(default_factory=Passed)
    samples: list[Sample] = field(default_factory=list)
    _was_on_ground: bool = False

    def hear(self, station: Station, now_s: float) -> Now | None:
        """Take what the aircraft last told; None until it flies and tells where it is."""
        self._note_launch(station, now_s)
        place, speed_m_s = self._note_motion(station)
        if self.launched_s is None or place is None:
            return None
        flown_s = now_s - self.launched_s
        away_m = self._pass_gates(place, flown_s)
        return Now(
            time_s=flown_s,
            used_ah=_used_ah(station),
            volts=_volts(station),
            ground_speed_m_s=speed_m_s,
            to_gate_m=away_m,
        )

    def _note_launch(self, station: Station, now_s: float) -> None:
        if self.launched_s is not None:
            return
        airborne = station.landed in (LandedState.IN_AIR, LandedState.TAKING_OFF)
        speed_m_s = _speed(station)
        thrown = station.landed is LandedState.UNKNOWN and bool(
            station.armed and speed_m_s is not None and speed_m_s > _FLYING_M_S
        )
        if (airborne or thrown) and self._was_on_ground:
            self.launched_s = now_s
        if not airborne and not thrown:
            self._was_on_ground = True

    def _note_motion(self, station: Station) -> tuple[PlainPlace | None, float | None]:
        told = station.live.get("GLOBAL_POSITION_INT")
        if told is None:
            return None, None
        time_s, message = told
        fields = dict(message.fields)
        place = PlainPlace(
            name="", latitude_deg=1e-7 * fields["lat"], longitude_deg=1e-7 * fields["lon"]
        )
        north, east = 0.01 * fields.get("vx", 0.0), 0.01 * fields.get("vy", 0.0)
        speed_m_s = math.hypot(north, east)
        if not self.samples or time_s > self.samples[-1].time_s:
            self.samples.append(Sample(time_s, speed_m_s, math.atan2(east, north)))
            while self.samples[0].time_s < time_s - _KEPT_S:
                self.samples.pop(0)
        return place, speed_m_s

    def _pass_gates(self, here: PlainPlace, flown_s: float) -> float | None:
        """Note a gate that is passed now; return how far the next one is."""
        if self.passed.count == len(self.gates):
            return None
        gate = self.gates[self.passed.count]
        before_s = self.gates[self.passed.count - 1].planned_s if self.passed.count else 0.0
        due_s = self.passed.time_s + gate.planned_s - before_s
        away_m = None if gate.place is None else distance_m(here, gate.place)
        # A place flown over long before its time is another leg that passes by.
        half_due_s = 0.5 * (self.passed.time_s + due_s)
        there = flown_s >= due_s if away_m is None else away_m <= _THERE_M and flown_s >= half_due_s
        if there:
            self.passed = Passed(count=self.passed.count + 1, time_s=flown_s)
            return self._pass_gates(here, flown_s)
        return away_m


def home_moved_m(home: HomePosition | None, launch: PlainPlace | None) -> float | None:
    """Return how far home lies from the released launch point, None where it is not off."""
    if home is None or launch is None:
        return None
    off_m = distance_m(launch, home.place())
    return off_m if off_m > HOME_MOVED_M else None


def _speed(station: Station) -> float | None:
    told = station.live.get("VFR_HUD")
    return None if told is None else dict(told[1].fields)["groundspeed"]


def _volts(station: Station) -> float | None:
    told = station.live.get("SYS_STATUS")
    millivolts = _VOLTS_UNKNOWN if told is None else dict(told[1].fields)["voltage_battery"]
    return None if millivolts == _VOLTS_UNKNOWN else 0.001 * millivolts


def _used_ah(station: Station) -> float | None:
    told = station.live.get("BATTERY_STATUS")
    milliamp_hours = _CHARGE_UNKNOWN if told is None else dict(told[1].fields)["current_consumed"]
    return None if milliamp_hours == _CHARGE_UNKNOWN else 0.001 * milliamp_hours
