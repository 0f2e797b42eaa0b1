"""Where an aircraft that was last seen at a place may lie now: every way it may have ended.

Nobody knows which it was, so that those kept weigh the same. That it lies at its landing point is
not among them: there it would be seen.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import best_glide_eas, level_electrical_power
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, member_aircraft, states_at
from homeleg.physics.battery import NOMINAL_CELL_VOLTS
from homeleg.physics.glide import sink_rate
from homeleg.way_home.coming_down import CameDown, Descents, come_down
from homeleg.way_home.home_plan import home_plans
from homeleg.way_home.search import fly_plans

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

__all__ = ["End", "Ends", "LastSeen", "ends_of", "height_as_planned"]

_LOOKS = 64
_LEAST_OVER_STALL = 1.2
# How steeply it may circle down, evenly: from hardly turning to a steep spiral. Ours.
_LEAST_BANK_RAD, _MOST_BANK_RAD = math.radians(10.0), math.radians(60.0)
_FIX_SD_M = 10.0
_STREAM = 0x5EA2C4


class End(Enum):
    """How it may have come down."""

    GLIDE = "motor stopped, straight on in any direction"
    SPIRAL = "circling down, motor stopped"
    HOME = "on its way home as declared"


@dataclass(frozen=True, slots=True, kw_only=True)
class LastSeen:
    """Where it was seen last: metres from and above the launch point, seconds after launch."""

    east_m: float
    north_m: float
    height_m: float
    after_s: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ends:
    """Places on the ground (n,), each with its weight; the weights add up to 1, of none to 0.

    `by_end` are the shares of the ways it may have ended; `landed_share` is that of the flights
    home that ended at the landing point and are left out, `unknown_share` that of the places of
    which nobody knows the ground. `straight_on_m` is how far from where it was seen it may be, nine
    in ten, if it flew straight on until the pack was empty: no place is kept for that.
    """

    east_m: Array
    north_m: Array
    weight: Array
    by_end: dict[End, float]
    landed_share: float
    unknown_share: float
    straight_on_m: float


def height_as_planned(flown: Flown, after_s: float) -> float:
    """Return the height above launch of the middle flight so long after launch."""
    states, flying = _last_states(flown, after_s)
    return float(np.median(states[flying, c.UP]))


def ends_of(flown: Flown, seen: LastSeen, kept: Sequence[End], seed: int) -> Ends:
    """Return where it may lie, for the ways of ending `kept`; the same seed gives the same bits."""
    stream = np.random.default_rng([_STREAM, seed])
    states, flying = _last_states(flown, seen.after_s)
    off_m = _FIX_SD_M * stream.standard_normal((2, flying.size))
    states[:, c.EAST], states[:, c.NORTH] = seen.east_m + off_m[0], seen.north_m + off_m[1]
    states[:, c.UP] = seen.height_m
    drawn = stream.random((5, flying.size))
    ends = {
        End.GLIDE: _descended(flown, states, drawn, np.zeros(flying.size)),
        End.SPIRAL: _descended(flown, states, drawn[[2, 1]], _bank(drawn[3], drawn[4])),
    }
    landed = np.zeros_like(flying)
    if End.HOME in kept:
        ends[End.HOME], landed = _flown_home(flown, states, flying, drawn)
    counts = {end: flying & ~landed if end is End.HOME else flying for end in kept}
    total = sum(int(np.count_nonzero(mask)) for mask in counts.values())
    places = [(ends[end], mask) for end, mask in counts.items()]
    return Ends(
        east_m=np.concatenate([came.east_m[mask] for came, mask in places]),
        north_m=np.concatenate([came.north_m[mask] for came, mask in places]),
        weight=np.full(total, 1.0 / max(total, 1)),
        by_end={end: int(np.count_nonzero(mask)) / max(total, 1) for end, mask in counts.items()},
        landed_share=int(np.count_nonzero(landed)) / int(np.count_nonzero(flying)),
        unknown_share=sum(int(np.count_nonzero(came.unknown & mask)) for came, mask in places)
        / max(total, 1),
        straight_on_m=_straight_on(flown, states, flying),
    )


def _last_states(flown: Flown, after_s: float) -> tuple[Array, Mask]:
    """Return each member's state then, (members, STATE_COLUMNS), and who had got away at all.

    Who had landed by then is as it last flew, with as much more charge used as it used before.
    """
    members = flown.draws.members
    seconds = np.linspace(after_s / _LOOKS, after_s, _LOOKS)
    states, flying = states_at(flown, members, seconds)
    last = _LOOKS - 1 - np.argmax(flying[::-1], axis=0)
    kept = states[last, np.arange(members)].copy()
    got_away = np.any(flying, axis=0)
    flown_s = np.where(got_away, kept[:, c.TIME], 1.0)
    started_ah = flown.members[:, c.CHARGE_AT_START]
    kept[:, c.CHARGE] += (kept[:, c.CHARGE] - started_ah) * (after_s - flown_s) / flown_s
    kept[:, c.TIME] = after_s
    return kept, got_away


def _bank(how_steep: Array, side: Array) -> Array:
    banked_rad = _LEAST_BANK_RAD + how_steep * (_MOST_BANK_RAD - _LEAST_BANK_RAD)
    return np.where(side < 0.5, -banked_rad, banked_rad)


def _descended(flown: Flown, states: Array, drawn: Array, bank_rad: Array) -> CameDown:
    """Return where members come down without power, on headings drawn evenly.

    Their airspeeds lie evenly between that of the best glide and cruise.
    """
    return _glide(flown, states, 2.0 * math.pi * drawn[0], drawn[1], bank_rad)


def _glide(
    flown: Flown, states: Array, heading_rad: Array, how_fast: Array, bank_rad: Array
) -> CameDown:
    resolved = flown.resolved
    aircraft = member_aircraft(resolved, flown.draws)
    best_eas, _ = best_glide_eas(aircraft)
    slow_eas = np.maximum(best_eas, _LEAST_OVER_STALL * aircraft.stall_eas_m_s)
    fast_eas = np.maximum(resolved.speeds.cruise_eas_m_s, slow_eas)
    load = 1.0 / np.cos(bank_rad)
    # Trimmed as it is, it flies faster by the root of the load.
    eas = (slow_eas + how_fast * (fast_eas - slow_eas)) * np.sqrt(load)
    true_m_s = eas * resolved.tas_per_eas
    sink_m_s = sink_rate(true_m_s, aircraft.weight_n / aircraft.drag_n(eas, load))
    descents = Descents(
        east_m=states[:, c.EAST],
        north_m=states[:, c.NORTH],
        height_m=states[:, c.UP],
        heading_rad=heading_rad,
        bank_rad=bank_rad,
        airspeed_m_s=np.sqrt(true_m_s**2 - sink_m_s**2),
        sink_m_s=sink_m_s,
        winds=flown.winds,
        wind_top_m=float(flown.wind_heights_m[-1]),
    )
    return come_down(descents, resolved.surface)


def _flown_home(flown: Flown, states: Array, flying: Mask, drawn: Array) -> tuple[CameDown, Mask]:
    """Return where members end that fly home as declared, and which of them land there.

    What was not declared is flown every way, each by its part of the members. One that ends in the
    air, its pack empty, glides on towards home.
    """
    plans = home_plans(flown.resolved, flown.departure.legs)
    number = np.arange(flying.size) % len(plans)
    numbers = np.arange(len(plans))
    by_plan = flying & (number == numbers[:, np.newaxis])
    results = fly_plans(
        flown, plans, numbers, np.broadcast_to(states, (len(plans), *states.shape)), by_plan
    )
    result = results[number, np.arange(flying.size)]
    ended = states.copy()
    ended[:, [c.EAST, c.NORTH, c.UP]] = result[:, c.EVENT_PLACE + 3 : c.EVENT_PLACE + 6]
    home_rad = np.arctan2(-ended[:, c.EAST], -ended[:, c.NORTH])
    came = _glide(flown, ended, home_rad, drawn[1], np.zeros(flying.size))
    return came, flying & (result[:, c.EVENT] == c.LANDED)


def _straight_on(flown: Flown, states: Array, flying: Mask) -> float:
    """Return how far members get, straight down the wind until the pack is empty, nine in ten."""
    resolved = flown.resolved
    power_w = level_electrical_power(
        member_aircraft(resolved, flown.draws),
        resolved.speeds.cruise_eas_m_s,
        resolved.density_kg_m3,
    )
    volts = NOMINAL_CELL_VOLTS * resolved.sortie.aircraft.battery.cells
    left_ah = np.maximum(flown.members[:, c.USABLE] - states[:, c.CHARGE], 0.0)
    seconds = 3600.0 * left_ah * volts / power_w
    wind_m_s = np.hypot(flown.winds[:, 0, -1], flown.winds[:, 1, -1])
    speed_m_s = resolved.speeds.cruise_eas_m_s * resolved.tas_per_eas + wind_m_s
    return float(np.percentile((seconds * speed_m_s)[flying], 90.0))
