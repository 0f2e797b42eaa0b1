"""The worst second to lose the link: every way home looked at coarsely, the tight ones in full.

Two stages. Few members from evenly spaced seconds find where each value is tight; many members
from those seconds give its distribution. The stages share members and draws, so that the second
is the first with more flights.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, fly_home, states_at
from homeleg.way_home.home_plan import HomePlan, home_plans

Array = NDArray[np.float64]
Scalar = TypeVar("Scalar", bound=np.generic)

__all__ = [
    "LEAST_FLYING",
    "SPENT",
    "Departures",
    "HomeSearch",
    "clearance",
    "depart",
    "fly_plans",
    "glance_home",
    "search_way_home",
    "tight_shares",
]

_FIRST_MEMBERS, _LEAST_FIRST_MEMBERS = 16, 4
_FIRST_SPACING_S = 4.0
_MOST_FIRST_DEPARTURES = 170
_SECOND_MEMBERS, _LEAST_SECOND_MEMBERS = 200, 128
_QUICK_MEMBERS = 64
_FULL_MEMBERS = 768
# The curve that is drawn: so many seconds besides the ends of the legs, where it bends.
_DRAWN_SECONDS = 16
_DRAWN_MEMBERS, _LEAST_DRAWN_MEMBERS = 64, 32
_MOST_SECOND_DEPARTURES = 56
_LEAST_SECOND_DEPARTURES = 12
# Simulated seconds each stage may cost: long flights are looked at with fewer members and, in the
# second stage, from fewer seconds.
_FIRST_STAGE_S = 1.5e6
_SECOND_STAGE_S = 2.5e6
_DRAWN_S = 0.4e6
LEAST_FLYING = 0.5
_GLANCED_SECONDS, _GLANCED_MEMBERS = 32, 8
# Endings for want of charge or headway.
SPENT = (c.PACK_EMPTY, c.NOT_ARRIVED)
_CLEARLY_TOO_MANY = 0.04


@dataclass(frozen=True, slots=True, kw_only=True)
class Departures:
    """Ways home of some members from some seconds.

    `seconds` (departures,) after release at which the link is lost, `plans` (departures,) the
    number of the behaviour then flown; `states` (departures,
    members, STATE_COLUMNS) when the aircraft acts on it; `flying` (departures, members) says who
    was still flying then; `results` (departures, members, RESULT_COLUMNS) of the flight home.
    """

    seconds: Array
    plans: NDArray[np.int64]
    states: Array
    flying: NDArray[np.bool_]
    results: Array

    def charge_left(self, usable_ah: Array) -> Array:
        """Return charge left over usable, 0 where it did not suffice.

        NaN where not flying, or lost to the ground or a stall: that counts in its own row.
        """
        left = np.clip(1.0 - self.results[:, :, c.CHARGE_USED] / usable_ah, 0.0, 1.0)
        left = np.where(self.ended_in(*SPENT), 0.0, left)
        return np.where(self.ended_in(c.LANDED, *SPENT), left, np.nan)

    def ended_in(self, *events: float) -> NDArray[np.bool_]:
        """Return which flights were flying and ended in one of `events` (departures, members)."""
        return np.asarray(self.flying & np.isin(self.results[:, :, c.EVENT], events))

    def column(self, column: int) -> Array:
        """Return a column of the results, NaN where the member was not flying."""
        return np.where(self.flying, self.results[:, :, column], np.nan)


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeSearch:
    """What the search found: the plans, the coarse look, the tight departures, the worst in full.

    A departure is a second and a plan: what was not told is flown every way, and the worst of all
    is found. `first` holds the same seconds for each plan in turn. `drawn` are departures all along
    the flight, for a curve, by the plan that is worst for charge.
    """

    plans: tuple[HomePlan, ...]
    first: Departures
    second: Departures
    worst: Departures
    drawn: Departures

    @property
    def first_seconds(self) -> Array:
        """The seconds of the coarse look, each once (seconds,)."""
        return self.first.seconds[: self.first.seconds.size // len(self.plans)]

    def by_second(self, values: NDArray[Scalar]) -> NDArray[Scalar]:
        """Return values of the coarse look (departures,) as (plans, seconds)."""
        return values.reshape(len(self.plans), -1)

    def worst_for(self, *events: float) -> tuple[Departures, int]:
        """Return the departures and the number of that from which most flights end in `events`."""
        enough = self.worst.flying.mean(axis=1) >= LEAST_FLYING
        share = np.where(enough, self.worst.ended_in(*events).mean(axis=1), -1.0)
        return self.worst, int(np.argmax(share))


def search_way_home(
    flown: Flown, *, scale: float = 1.0, progress: Callable[[float], None] | None = None
) -> HomeSearch | None:
    """Return the ways home of a flown ensemble. `scale` below 1 costs and shows less (quick).

    Departures begin at release and end when half the members have landed; None if at none of
    them half the members are flying. `progress` hears the share done, 0 to 1.
    """
    tell = progress or _silent
    plans = home_plans(flown.resolved, flown.departure.legs)
    last_s = float(np.median(flown.results[:, c.DURATION])) - plans[0].after_s
    spacing_s = max(_FIRST_SPACING_S, last_s / (_MOST_FIRST_DEPARTURES * scale))
    each_s = np.arange(0.0, max(last_s, spacing_s), spacing_s)
    seconds, numbers = _by_each(plans, each_s)
    first = depart(flown, plans, numbers, seconds, _first_members(last_s, seconds.size, scale))
    tell(0.3)
    if not np.any(first.flying.mean(axis=1) >= LEAST_FLYING):
        return None
    mean_home_s = float(np.nanmean(first.column(c.DURATION)))
    afford_s = scale * _SECOND_STAGE_S / mean_home_s
    fewest = min(max(_LEAST_SECOND_MEMBERS * scale, _QUICK_MEMBERS), flown.draws.members)
    most = min(max(_SECOND_MEMBERS * scale, _QUICK_MEMBERS), flown.draws.members)
    many = int(np.clip(afford_s / _LEAST_SECOND_DEPARTURES, fewest, most))
    count = np.clip(afford_s / many, _LEAST_SECOND_DEPARTURES, _MOST_SECOND_DEPARTURES)
    chosen = _tightest(flown, first, int(count))
    second = _with_more(flown, plans, first, chosen, many)
    tell(0.8)
    worst = _worst_in_full(flown, plans, second, max(int(_FULL_MEMBERS * scale), many))
    tell(0.9)
    dearest = int(second.plans[_tightest(flown, second, 1)[0]])
    drawn = _drawn(flown, plans, dearest, last_s, scale * _DRAWN_S / mean_home_s)
    tell(1.0)
    return HomeSearch(plans=plans, first=first, second=second, worst=worst, drawn=drawn)


def tight_shares(flown: Flown, count: int) -> Array:
    """Return at which shares of the middle flight's time losing the link is tight, at most `count`.

    For glances at the same sortie in another wind.
    """
    shares = np.linspace(0.0, 1.0, _GLANCED_SECONDS, endpoint=False)
    seconds = shares * float(np.median(flown.results[:, c.DURATION]))
    plans = home_plans(flown.resolved, flown.departure.legs)
    seconds, numbers = _by_each(plans, seconds)
    first = depart(flown, plans, numbers, seconds, _GLANCED_MEMBERS)
    return np.unique(np.tile(shares, len(plans))[_tightest(flown, first, count)])


def glance_home(flown: Flown, shares: Array) -> HomeSearch | None:
    """Return the ways home of all members at shares of the middle flight's time alone.

    None if at none of them half the members are flying.
    """
    plans = home_plans(flown.resolved, flown.departure.legs)
    seconds, numbers = _by_each(plans, shares * float(np.median(flown.results[:, c.DURATION])))
    ways = depart(flown, plans, numbers, seconds, flown.draws.members)
    if not np.any(ways.flying.mean(axis=1) >= LEAST_FLYING):
        return None
    drawn = Departures(
        seconds=ways.seconds[: shares.size],
        plans=ways.plans[: shares.size],
        states=ways.states[: shares.size],
        flying=ways.flying[: shares.size],
        results=ways.results[: shares.size],
    )
    return HomeSearch(plans=plans, first=ways, second=ways, worst=ways, drawn=drawn)


def _by_each(plans: tuple[HomePlan, ...], seconds: Array) -> tuple[Array, NDArray[np.int64]]:
    """Return the seconds once for each plan, and the number of the plan beside each."""
    return np.tile(seconds, len(plans)), np.repeat(np.arange(len(plans)), seconds.size)


def _silent(_share: float) -> None:
    """Hear nothing."""


def _first_members(flight_s: float, departures: int, scale: float) -> int:
    """Return how many members the first stage can afford, about half a flight from each."""
    afford = scale * _FIRST_STAGE_S / (departures * 0.5 * max(flight_s, 1.0))
    return int(np.clip(afford, _LEAST_FIRST_MEMBERS, _FIRST_MEMBERS))


def _worst_in_full(
    flown: Flown, plans: tuple[HomePlan, ...], second: Departures, members: int
) -> Departures:
    """Return the worst seconds for charge, ground, headway and loss again, with many members.

    With all that were drawn where the share lost is near the limit of one in a hundred.
    """
    share = (second.flying & ~second.ended_in(c.LANDED)).mean(axis=1)
    loses_most = int(np.argmax(share))
    if 0.0 < share[loses_most] < _CLEARLY_TOO_MANY:
        members = flown.draws.members
    chosen = {*_tightest(flown, second, 3).tolist(), *([loses_most] if share.any() else [])}
    numbers = np.array(sorted(chosen))
    return _with_more(flown, plans, second, numbers, min(members, flown.draws.members))


def _with_more(
    flown: Flown,
    plans: tuple[HomePlan, ...],
    earlier: Departures,
    chosen: NDArray[np.int64],
    members: int,
) -> Departures:
    """Return some of the earlier departures with more members: those flown stand as they are."""
    numbers, seconds = earlier.plans[chosen], earlier.seconds[chosen]
    states, flying = _states(flown, plans, seconds, members)
    flown_before = earlier.flying.shape[1]
    others = flying.copy()
    others[:, :flown_before] = False
    results = fly_plans(flown, plans, numbers, states, others)
    results[:, :flown_before] = earlier.results[chosen]
    return Departures(seconds=seconds, plans=numbers, states=states, flying=flying, results=results)


def _drawn(
    flown: Flown, plans: tuple[HomePlan, ...], number: int, last_s: float, afford: float
) -> Departures:
    """Return ways home by one plan, from even seconds and the ends of the middle flight's legs."""
    leg_ends_s = np.cumsum(np.median(flown.leg_results[:, :, c.LEG_TIME], axis=0))
    even_s = np.linspace(0.0, last_s, _DRAWN_SECONDS)
    seconds = np.unique(np.append(even_s, leg_ends_s[leg_ends_s < last_s]).round(1))
    members = int(np.clip(afford / seconds.size, _LEAST_DRAWN_MEMBERS, _DRAWN_MEMBERS))
    numbers = np.full(seconds.size, number)
    return depart(flown, plans, numbers, seconds, min(members, flown.draws.members))


def depart(
    flown: Flown,
    plans: tuple[HomePlan, ...],
    numbers: NDArray[np.int64],
    seconds: Array,
    members: int,
) -> Departures:
    """Fly the first `members` home from each of `seconds`, by the plan of that number."""
    states, flying = _states(flown, plans, seconds, members)
    results = fly_plans(flown, plans, numbers, states, flying)
    return Departures(seconds=seconds, plans=numbers, states=states, flying=flying, results=results)


def _states(
    flown: Flown, plans: tuple[HomePlan, ...], seconds: Array, members: int
) -> tuple[Array, NDArray[np.bool_]]:
    """Return where members act on a link lost at each of `seconds`, and who was still flying."""
    each_s, at = np.unique(seconds, return_inverse=True)
    states, flying = states_at(flown, members, each_s + plans[0].after_s)
    return states[at], flying[at]


def fly_plans(
    flown: Flown,
    plans: tuple[HomePlan, ...],
    numbers: NDArray[np.int64],
    states: Array,
    flying: NDArray[np.bool_],
) -> Array:
    """Fly members on from `states` (departures, members, STATE_COLUMNS) by their plans' ways.

    Returns results (departures, members, RESULT_COLUMNS), zero where a member was not flying.
    """
    results = np.zeros((*flying.shape, c.RESULT_COLUMNS))
    for number in np.unique(numbers):
        plan = plans[number]
        way_of = plan.way_from(states)
        by_plan = flying & (numbers == number)[:, np.newaxis]
        for way in np.unique(way_of[by_plan]):
            by_way = by_plan & (way_of == way)
            results[by_way] = fly_home(flown, plan.ways[way], states, by_way)[by_way]
    return results


def _tightest(flown: Flown, first: Departures, count: int) -> NDArray[np.int64]:
    """Return the departures that come nearest to being the worst for charge, ground or headway."""
    usable = flown.members[: first.flying.shape[1], c.USABLE]
    values = (
        first.charge_left(usable),
        clearance(flown, first),
        first.column(c.HEADWAY_PLACE),
    )
    lows = [_low(value) for value in values]
    ranked = [np.argsort(low) for low in lows]
    order: list[np.int64] = []
    for place in range(first.seconds.size):
        for low, ranking in zip(lows, ranked, strict=True):
            number = ranking[place]
            if number not in order and np.isfinite(low[number]):
                order.append(number)
        if len(order) >= count:
            break
    if not order:
        order = [np.argmax(first.flying.mean(axis=1))]
    return np.sort(np.array(order[:count], dtype=np.int64))


def clearance(flown: Flown, departures: Departures) -> Array:
    """Return the least clearance of each way home from a route leg; NaN from anywhere else.

    As on the route: from the end of the climb-out to joining the pattern.
    """
    on_route = np.array([leg.on_route for leg in flown.departure.legs])
    there = on_route[departures.states[:, :, c.LEG].astype(int)]
    clear = np.where(there, departures.column(c.GROUND_PLACE), np.nan)
    return np.where(np.isinf(clear), np.nan, clear)


def _low(values: Array) -> Array:
    """Return the low tail at each departure, infinite where fewer than half the members have one.

    Members without a value stand above all others.
    """
    read = np.isfinite(values)
    filled = np.where(read, values, np.inf)
    low = np.percentile(filled, 10.0, axis=1, method="inverted_cdf")
    return np.where(read.mean(axis=1) >= LEAST_FLYING, low, np.inf)
