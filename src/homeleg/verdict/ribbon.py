"""The come-home ribbon: charge left and charge needed to come home, all along the flight."""

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown
from homeleg.physics.battery import NOMINAL_CELL_VOLTS
from homeleg.route.geometry import Leg
from homeleg.verdict.corridor import Corridor
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.flight_rows import landing_charge_fraction
from homeleg.verdict.home_rows import reserve_limits
from homeleg.verdict.judging import percentiles
from homeleg.verdict.result import Block, Narrowest, Ribbon
from homeleg.way_home.search import Departures, HomeSearch

Array = NDArray[np.float64]

__all__ = ["own_times", "ribbon_of"]

_EVEN_TIMES = 121
_LOW_TAIL = 10.0


def ribbon_of(evidence: Evidence, corridor: Corridor, search: HomeSearch | None) -> Ribbon | None:
    """Return the ribbon of flown members and their ways home; None where nobody got away."""
    if search is None:
        return None
    flown, drawn = evidence.flown, search.drawn
    middle = _middle_flight(evidence)
    clock_s = np.append(0.0, np.cumsum(flown.leg_results[middle, :, c.LEG_TIME]))
    times_s = np.unique(np.append(np.linspace(0.0, clock_s[-1], _EVEN_TIMES), clock_s))
    own_s = own_times(flown, clock_s, times_s, drawn.flying.shape[1])
    left = _charge_left(flown, corridor, own_s)
    needed = _charge_needed(flown, corridor, drawn, own_s)
    usable_ah = float(flown.members[middle, c.USABLE])
    return Ribbon(
        times_s=tuple(times_s.tolist()),
        left_fraction=tuple(percentiles(row) for row in left),
        needed_fraction=tuple(percentiles(row) for row in needed),
        legs=_blocks(flown.departure.legs, clock_s),
        narrowest=_narrowest(times_s, left - needed, times_s < clock_s[-2]),
        want_fraction=reserve_limits(evidence)[0] / 100.0,
        usable_ah=usable_ah,
        usable_wh=usable_ah * NOMINAL_CELL_VOLTS * evidence.resolved.sortie.aircraft.battery.cells,
    )


def _middle_flight(evidence: Evidence) -> int:
    """Return the flight nearest the middle of duration, charge at touchdown and usable charge."""
    landed = evidence.flown.landed
    figures = np.stack(
        [
            evidence.result(c.DURATION),
            np.nan_to_num(landing_charge_fraction(evidence)),
            evidence.flown.members[:, c.USABLE],
        ],
        axis=1,
    )
    meant = figures[landed] if landed.any() else figures
    low, middle, high = np.percentile(meant, [10.0, 50.0, 90.0], axis=0)
    off = np.sum(((figures - middle) / np.maximum(high - low, 1e-9)) ** 2, axis=1)
    return int(np.argmin(np.where(landed | ~landed.any(), off, np.inf)))


def own_times(flown: Flown, clock_s: Array, times_s: Array, members: int) -> Array:
    """Return when each member is where the middle flight is at `times_s` (times, members).

    The same leg, the same share of its time. A leg that a flight does not live to end lasts at
    least as long as the middle flight's.
    """
    own = np.empty((times_s.size, members))
    for member in range(members):
        legs_s = flown.leg_results[member, :, c.LEG_TIME].copy()
        if not flown.landed[member]:
            last = int(np.flatnonzero(legs_s)[-1])
            legs_s[last:] = np.maximum(legs_s, np.diff(clock_s))[last:]
        own[:, member] = np.interp(times_s, clock_s, np.append(0.0, np.cumsum(legs_s)))
    return own


def _charge_left(flown: Flown, corridor: Corridor, own_s: Array) -> Array:
    """Return charge left over usable at each member's own times; none once a flight is lost."""
    members = own_s.shape[1]
    left = 1.0 - _at(corridor.seconds, corridor.charge_used_ah, own_s) / _usable(flown, members)
    lost = ~flown.landed[:members] & (own_s >= flown.results[:members, c.DURATION])
    return np.where(lost, 0.0, np.maximum(left, 0.0))


def _charge_needed(flown: Flown, corridor: Corridor, drawn: Departures, own_s: Array) -> Array:
    """Return charge needed over usable, the link lost at each member's own times.

    Used at touchdown less used when the link is lost; as planned from the final on. 1 where the
    flight does not come down at the landing point: but one that touched the ground on the way has
    been computed on, and what it needed stands, for the ground has its own row.
    """
    members = own_s.shape[1]
    usable_ah = _usable(flown, members)
    seconds = np.repeat(drawn.seconds[:, np.newaxis], members, axis=1)
    used_then_ah = _at(corridor.seconds, corridor.charge_used_ah, seconds)
    ends = np.where(drawn.flying[:, :, np.newaxis], drawn.results, flown.results[:members])
    down = np.isin(ends[:, :, c.EVENT], (c.LANDED, c.TOUCHED_GROUND))
    down &= ends[:, :, c.CHARGE_USED] < usable_ah
    needed = np.where(down, (ends[:, :, c.CHARGE_USED] - used_then_ah) / usable_ah, 1.0)
    duration_s = flown.results[:members, c.DURATION]
    needed[seconds >= duration_s] = 0.0
    whole_s = np.append(seconds, np.maximum(duration_s, seconds[-1] + 0.1)[np.newaxis], axis=0)
    whole = np.append(needed, np.zeros((1, members)), axis=0)
    return np.stack(
        [np.interp(own_s[:, k], whole_s[:, k], whole[:, k]) for k in range(members)], axis=1
    )


def _at(seconds: Array, values: Array, own_s: Array) -> Array:
    """Return values (seconds, members) at each member's own times (times, members)."""
    return np.stack(
        [np.interp(own_s[:, k], seconds, values[:, k]) for k in range(own_s.shape[1])], axis=1
    )


def _usable(flown: Flown, members: int) -> Array:
    return np.asarray(flown.members[:members, c.USABLE])


def _narrowest(times_s: Array, margin: Array, before_final: NDArray[np.bool_]) -> Narrowest:
    """Return the first place where the low tail of the margin (times, members) is least."""
    low = np.percentile(np.maximum(margin[before_final], 0.0), _LOW_TAIL, axis=1)
    number = int(np.argmin(low))
    return Narrowest(time_s=float(times_s[number]), margin_fraction=float(low[number]))


def _blocks(legs: tuple[Leg, ...], clock_s: Array) -> tuple[Block, ...]:
    """Return the climb-out, the legs of the route by their items, and the landing as a whole."""
    route = [number for number, leg in enumerate(legs) if leg.on_route]
    blocks = [Block(name="launch", start_s=0.0, end_s=float(clock_s[route[0]]))]
    for number in route:
        leg = legs[number]
        name = f"{leg.start} to {leg.end}" if leg.start != leg.end else leg.end
        start_s, end_s = clock_s[number], clock_s[number + 1]
        blocks.append(Block(name=name, start_s=float(start_s), end_s=float(end_s)))
    down = Block(name="landing", start_s=float(clock_s[route[-1] + 1]), end_s=float(clock_s[-1]))
    return (*blocks, down)
