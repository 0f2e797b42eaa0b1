"""Gates: what clock, ground speed, volts and charge must show at named points to go on.

Read from the flights as flown, leg by leg. The charge used at the end of a leg follows from the
energy of the legs up to it: charge is energy over volts, and volts fall with the charge as the
pack's open-circuit volts do, by one factor for the whole flight.
"""

import math

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.physics.battery import (
    RELAXATION_RESISTANCE_SHARE,
    Chemistry,
    open_circuit_volts,
    resistance_ratio,
)
from homeleg.route.geometry import Leg, LegKind
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.result import Gate

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

__all__ = ["charge_used", "gates", "most_used", "volts_under_load"]

_MOST_GATES = 10
_LEAST_THERE = 0.5
_CHARGE_NODES = 101
# Outside these a flight is not one of those computed. Narrower gates would turn back good flights:
# there are ten of them, and each is read four ways. Ours.
_LOW, _HIGH = 1.0, 99.0
_NINE_IN_TEN_LAND = 10.0


def gates(evidence: Evidence) -> tuple[Gate, ...]:
    """Return a gate at the end of each leg of the route, at most ten, evenly chosen."""
    legs = evidence.flown.departure.legs
    route = [number for number, leg in enumerate(legs) if leg.on_route]
    times_s = np.cumsum(evidence.flown.leg_results[:, :, c.LEG_TIME], axis=1)
    used_ah = charge_used(evidence)
    there = _there(evidence)
    route = [number for number in route if there[:, number].mean() >= _LEAST_THERE]
    if not route:
        return ()
    places = np.linspace(0.0, len(route) - 1.0, min(len(route), _MOST_GATES)).round()
    chosen = [route[int(place)] for place in np.unique(places)]
    limits = _allowed(evidence, used_ah)
    return tuple(
        _gate(evidence, number, there[:, number], times_s[:, number], used_ah, limits)
        for number in chosen
    )


def _there(evidence: Evidence) -> Mask:
    """Return which flights came to the end of each leg (members, legs)."""
    seconds = evidence.flown.leg_results[:, :, c.LEG_TIME]
    later = np.cumsum(seconds[:, ::-1], axis=1)[:, ::-1] - seconds
    return np.asarray(later > 0.0)


def _gate(
    evidence: Evidence, number: int, there: Mask, time_s: Array, used_ah: Array, allowed_ah: Array
) -> Gate:
    leg = evidence.flown.departure.legs[number]
    results = evidence.flown.leg_results[there, number]
    straight = results[:, c.LEG_STRAIGHT] > 0.0
    speeds = results[straight, c.LEG_GROUND_SPEED]
    told = speeds.size >= _LEAST_THERE * straight.size
    return Gate(
        name=_name(leg),
        time_s=float(np.median(time_s[there])),
        latest_s=float(np.percentile(time_s[there], _HIGH)),
        ground_speed_m_s=(
            (float(np.percentile(speeds, _LOW)), float(np.percentile(speeds, _HIGH)))
            if told
            else None
        ),
        least_volts=float(np.percentile(volts_under_load(evidence, number, used_ah)[there], _LOW)),
        used_ah=float(np.median(used_ah[there, number])),
        most_used_ah=most_used(used_ah[there, number], (allowed_ah + used_ah[:, number])[there]),
    )


def _name(leg: Leg) -> str:
    return f"{leg.end}, orbit done" if leg.kind is LegKind.ORBIT else leg.end


def charge_used(evidence: Evidence) -> Array:
    """Return the charge used since launch at the end of each leg (members, legs) [Ah]."""
    flown = evidence.flown
    emptied = np.linspace(0.0, 1.0, _CHARGE_NODES)
    volts = open_circuit_volts(1.0 - emptied, _chemistry(evidence))
    energy = np.append(0.0, np.cumsum(0.5 * (volts[1:] + volts[:-1])))
    capacity = flown.members[:, c.CAPACITY, np.newaxis]
    start = flown.members[:, c.CHARGE_AT_START, np.newaxis]
    end = flown.results[:, c.CHARGE_USED, np.newaxis]
    taken = np.cumsum(flown.leg_results[:, :, c.LEG_ENERGY], axis=1)
    share = taken / np.maximum(taken[:, -1:], 1e-9)
    at_start = np.interp(start / capacity, emptied, energy)
    at_end = np.interp(end / capacity, emptied, energy)
    now = np.interp(at_start + share * (at_end - at_start), energy, emptied)
    return np.asarray(now * capacity - start)


def volts_under_load(evidence: Evidence, number: int, used_ah: Array) -> Array:
    """Return the pack's volts at a leg's end under the mean power of the leg (members,)."""
    flown = evidence.flown
    leg = flown.leg_results[:, number]
    power_w = leg[:, c.LEG_ENERGY] / np.maximum(leg[:, c.LEG_TIME], 1e-9)
    members = flown.members
    left = 1.0 - (members[:, c.CHARGE_AT_START] + used_ah[:, number]) / members[:, c.CAPACITY]
    cells = evidence.resolved.sortie.aircraft.battery.cells
    volts = cells * open_circuit_volts(np.clip(left, 0.0, 1.0), _chemistry(evidence))
    warmth_k = np.clip(members[:, c.PACK_TEMPERATURE], 255.0, 330.0)
    resistance = members[:, c.RESISTANCE_25] * resistance_ratio(warmth_k)
    resistance = resistance * (1.0 + RELAXATION_RESISTANCE_SHARE)
    inside = np.maximum(volts**2 - 4.0 * power_w * resistance, 0.0)
    return np.asarray(0.5 * (volts + np.sqrt(inside)))


def _chemistry(evidence: Evidence) -> Chemistry:
    return evidence.resolved.sortie.aircraft.battery.chemistry


def _allowed(evidence: Evidence, used_ah: Array) -> Array:
    """Return what each flight had left above the reserve at touchdown, -inf if it did not land.

    Added to what it had used at a gate: the most it could have used there.
    """
    reserve = (evidence.limits["reserve.charge"].hard or 0.0) / 100.0
    flown = evidence.flown
    start_ah = flown.members[:, c.CHARGE_AT_START]
    above_ah = flown.members[:, c.USABLE] * (1.0 - reserve) - start_ah - used_ah[:, -1]
    return np.where(flown.landed, above_ah, -np.inf)


def most_used(used_ah: Array, allowed_ah: Array) -> float | None:
    """Return the greatest use at a gate from which still 9 in 10 land with the reserve [Ah].

    `used_ah` (members,) is what flights had used there, `allowed_ah` what each could have used for
    the rest of its own flight to end at the reserve, -inf where it did not land. A flight that
    has used more than most has more drag or more wind, and will use more on the rest too: a line
    fitted through allowed over used tells by how much, and the 9 in 10 about it are held against a
    use that lies on it. Where those that used more need less (down-wind first), nothing is
    granted for it: the ground speed tells that better. None where no use is low enough.
    """
    finite = np.isfinite(allowed_ah)
    slope = 0.0
    if finite.sum() > 2 and np.ptp(used_ah[finite]) > 0.0:
        slope = min(float(np.polyfit(used_ah[finite], allowed_ah[finite], 1)[0]), 0.0)
    level = float(
        np.percentile(allowed_ah - slope * used_ah, _NINE_IN_TEN_LAND, method="inverted_cdf")
    )
    most = level / (1.0 - slope)
    return most if math.isfinite(most) and most > 0.0 else None
