"""A flight as it goes against the gates of its release: one margin, its cause, and what is off.

Advice from what was heard, never an order. Whatever is not known counts against going on: the time
to a gate is never shorter than planned, and charge goes no slower than planned.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

__all__ = ["Circle", "Margin", "Now", "Passed", "Sample", "circle_of", "circle_words", "margin"]

_FULL_TURNS_RAD = 4.0 * math.pi  # two turns, as the commit circle is flown
_LONGEST_CIRCLE_S = 180.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Now:
    """What is known of the flight now, from launch on; None where it is not told [s, Ah, V, m/s].

    `to_gate_m` is the distance to the next gate.
    """

    time_s: float
    used_ah: float | None
    volts: float | None
    ground_speed_m_s: float | None
    to_gate_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Passed:
    """How many gates are behind, and when the last of them was passed, 0 for the launch [s]."""

    count: int = 0
    time_s: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """Until when turning back still lands with the reserve [s], the cause, and what is off."""

    seconds: float
    cause: str
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sample:
    """Ground speed and course at a time [s, m/s, rad true]."""

    time_s: float
    ground_speed_m_s: float
    course_rad: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Circle:
    """What two turns showed: half the difference is the wind, the mean the airspeed [m/s]."""

    half_difference_m_s: float
    mean_m_s: float


def margin(answer: Mapping[str, Any], now: Now, passed: Passed) -> Margin | None:
    """Return the smallest margin that anything gives; None where nothing of the answer does.

    `answer` is the document of the check that was released.
    """
    found: list[tuple[float, str]] = []
    way_home = answer.get("way_home") or {}
    turn_back = way_home.get("turn_back")
    if turn_back is not None:
        found.append((turn_back["time_s"] - now.time_s, "the planned turn-back point"))
    gates: Sequence[Mapping[str, Any]] = answer.get("gates") or ()
    remarks: tuple[str, ...] = ()
    if passed.count < len(gates):
        before = gates[passed.count - 1] if passed.count else {"time_s": 0.0, "used_ah": 0.0}
        gate = gates[passed.count]
        found += _at_gate(before, gate, now, passed)
        remarks = _remarks(gate, now)
    if not found:
        return None
    seconds, cause = min(found)
    return Margin(seconds=seconds, cause=cause, remarks=remarks)


def circle_of(samples: Sequence[Sample]) -> Circle | None:
    """Return what the latest two turns showed; None where the last minutes hold no two turns."""
    turned = 0.0
    kept: list[float] = []
    for later, earlier in zip(reversed(samples), [*reversed(samples)][1:], strict=False):
        if samples[-1].time_s - earlier.time_s > _LONGEST_CIRCLE_S:
            return None
        kept.append(later.ground_speed_m_s)
        turned += math.remainder(later.course_rad - earlier.course_rad, math.tau)
        if abs(turned) >= _FULL_TURNS_RAD:
            highest, lowest = max(kept), min(kept)
            half, mean = 0.5 * (highest - lowest), 0.5 * (highest + lowest)
            return Circle(half_difference_m_s=half, mean_m_s=mean)
    return None


def circle_words(answer: Mapping[str, Any], circle: Circle) -> str:
    """Return what a circle says against the limits of the release."""
    limits = answer.get("commit")
    told = (
        f"circle: half difference {circle.half_difference_m_s:.1f} m/s, mean "
        f"{circle.mean_m_s:.1f} m/s"
    )
    if limits is None:
        return f"{told}; the release has no commit circle"
    good = (
        circle.half_difference_m_s <= limits["most_half_difference_m_s"]
        and limits["least_mean_m_s"] <= circle.mean_m_s <= limits["most_mean_m_s"]
    )
    return f"{told}: {'within' if good else 'OUTSIDE'} the commit circle"


def _at_gate(
    before: Mapping[str, Any], gate: Mapping[str, Any], now: Now, passed: Passed
) -> list[tuple[float, str]]:
    """Return the margins at the next gate in time and in charge."""
    planned_s = gate["time_s"] - before["time_s"]
    arrival_s = max(passed.time_s + planned_s, now.time_s)
    if now.to_gate_m is not None and now.ground_speed_m_s:
        arrival_s = max(arrival_s, now.time_s + now.to_gate_m / now.ground_speed_m_s)
    found = [(gate["latest_s"] - arrival_s, f"time at {gate['name']}")]
    if gate["most_used_ah"] is None:
        return [*found, (0.0, f"no use of charge is low enough at {gate['name']}")]
    if now.used_ah is None:
        return found
    rates = [(gate["used_ah"] - before["used_ah"]) / max(planned_s, 1.0)]
    if now.time_s > 0.0:
        rates.append(now.used_ah / now.time_s)
    rate_ah_s = max(*rates, 1e-9)
    there_ah = now.used_ah + rate_ah_s * (arrival_s - now.time_s)
    spare_s = (gate["most_used_ah"] - there_ah) / rate_ah_s
    return [*found, (spare_s, f"charge at {gate['name']}")]


def _remarks(gate: Mapping[str, Any], now: Now) -> tuple[str, ...]:
    remarks = []
    if now.volts is not None and now.volts < gate["least_volts"]:
        wanted = f"{gate['name']} wants {gate['least_volts']:.1f} V"
        remarks.append(f"{now.volts:.1f} V, and {wanted}")
    if now.used_ah is None:
        remarks.append("mAh not told: charge does not count in the margin")
    return tuple(remarks)
