"""Rows of the way home, link lost at every second: charge, arrival, headway, ground."""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import full_power_climb, level_electrical_power
from homeleg.flight import layout as c
from homeleg.physics.battery import NOMINAL_CELL_VOLTS
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.flight_rows import PATTERN_ACT, headway_row, landing_charge_fraction
from homeleg.verdict.heard_rows import link_at
from homeleg.verdict.judging import EVENT_SHARE, judge_event, percentiles
from homeleg.verdict.motor_rows import glide_edge_summary, worst_stop
from homeleg.verdict.result import HomeFrom, Percentiles, Place, Row, Status, TurnBack, WayHome
from homeleg.verdict.standing import ceilings_m, naming_what_stands_there
from homeleg.way_home.home_plan import assumed_of
from homeleg.way_home.motor_stopped import MotorStopped
from homeleg.way_home.search import LEAST_FLYING, SPENT, Departures, HomeSearch, clearance

__all__ = [
    "final_reserve_fraction",
    "home_rows",
    "reserve_limits",
    "stalls_on_the_way_home",
    "way_home_summary",
    "worse_headway",
]

Array = NDArray[np.float64]

_MISSED_APPROACHES = 2
_CIRCUIT_S = 90.0
_HOLDING_S = 120.0
_LOW_TAIL, _HIGH_TAIL = 10.0, 90.0
_NEARLY_FULL = 0.95


def home_rows(evidence: Evidence, search: HomeSearch | None) -> list[Row]:
    """Return the rows of *Comes home* and of the ground below it; None where nobody got away."""
    if search is None:
        return [
            evidence.unanswered(slug, "too few flights got away")
            for slug in ("home.charge", "home.arrives", "ground.way_home")
        ]
    return [_charge(evidence, search), _arrives(evidence, search), _ground(evidence, search)]


def final_reserve_fraction(evidence: Evidence) -> float:
    """Return two missed approaches and two minutes of flight, over the usable charge.

    A missed approach is a full-power climb to pattern height and one circuit of 90 s.
    """
    resolved = evidence.resolved
    aircraft, density = resolved.aircraft, resolved.density_kg_m3
    climb_m_s = float(full_power_climb(aircraft, resolved.speeds.climb_eas_m_s, density))
    full_w = float(aircraft.full_power_w) + aircraft.avionics_w
    circuit_w = float(level_electrical_power(aircraft, resolved.speeds.base_eas_m_s, density))
    route_w = float(level_electrical_power(aircraft, resolved.speeds.cruise_eas_m_s, density))
    missed_j = full_w * resolved.pattern.height_m / climb_m_s + circuit_w * _CIRCUIT_S
    energy_j = _MISSED_APPROACHES * missed_j + route_w * _HOLDING_S
    volts = NOMINAL_CELL_VOLTS * resolved.sortie.aircraft.battery.cells
    return energy_j / volts / 3600.0 / resolved.inputs["usable_charge"].value


def reserve_limits(evidence: Evidence) -> tuple[float, float]:
    """Return want and hard limit of the charge to come home with: never below the final reserve."""
    limit = evidence.limits["home.charge"]
    hard = max(limit.hard or 0.0, 100.0 * final_reserve_fraction(evidence))
    return max(limit.want or 0.0, hard), hard


def _charge_left(evidence: Evidence, departures: Departures) -> Array:
    usable = evidence.flown.members[: departures.flying.shape[1], c.USABLE]
    left = departures.charge_left(usable)
    return _over_all(evidence, departures, left, landing_charge_fraction(evidence))


def _over_all(evidence: Evidence, departures: Departures, values: Array, planned: Array) -> Array:
    """Return values of ways home, with a flight already down standing at what it planned.

    Without them the late seconds would be read from the slow flights alone.
    """
    members = values.shape[1]
    down = np.where(evidence.flown.landed, planned, np.nan)[:members]
    return np.where(departures.flying, values, down)


def _worst_second(values: Array, flown: NDArray[np.bool_]) -> int | None:
    """Return the departure whose low tail is lowest, then its middle; enough must have flown it."""
    flying = flown.mean(axis=1)
    candidates = [
        (*np.nanpercentile(values[number], [_LOW_TAIL, 50.0]), number)
        for number in range(values.shape[0])
        if flying[number] >= LEAST_FLYING and np.isfinite(values[number]).any()
    ]
    return int(min(candidates)[2]) if candidates else None


def _where(evidence: Evidence, departures: Departures, number: int, row_value: Array) -> Place:
    """Return where the member with the median value was when the link was lost."""
    finite = np.isfinite(row_value) & departures.flying[number]
    middle = float(np.median(row_value[finite])) if finite.any() else 0.0
    member = int(np.argmin(np.where(finite, np.abs(row_value - middle), np.inf)))
    state = departures.states[number, member]
    leg = evidence.flown.departure.legs[int(state[c.LEG])]
    return Place(
        leg=f"{leg.start} to {leg.end}" if leg.start != leg.end else leg.end,
        time_s=float(departures.seconds[number]),
        east_m=float(state[c.EAST]),
        north_m=float(state[c.NORTH]),
        height_above_launch_m=float(state[c.UP]),
    )


def _noted(search: HomeSearch, number: int, words: str) -> str:
    """Return words with how that way home takes what was not told of the behaviour."""
    taken = search.plans[search.worst.plans[number]].words
    return "; ".join(part for part in (words, taken) if part)


def _charge(evidence: Evidence, search: HomeSearch) -> Row:
    left = _charge_left(evidence, search.worst)
    number = _worst_second(left, search.worst.flying)
    if number is None:
        return evidence.unanswered("home.charge", "no second of the flight could be looked at")
    want, hard = reserve_limits(evidence)
    values = left[number]
    full = evidence.resolved.inputs["charged"].value >= _NEARLY_FULL
    windy = full and evidence.is_windy(_lowest_tenth(values))
    row = evidence.row(
        "home.charge",
        values,
        want=want,
        hard=hard,
        cause="wind aloft" if windy else "charge",
        act="fly the way home faster, or turn back earlier"
        if windy
        else "turn back earlier, or take a fuller or larger pack",
        note=_noted(
            search, number, f"link lost {search.plans[0].after_s:.0f} s before it turns for home"
        ),
    )
    return replace(row, where=_where(evidence, search.worst, number, values))


def _lowest_tenth(values: Array) -> NDArray[np.int64]:
    """Return the numbers of the members with the lowest values."""
    order = np.argsort(np.where(np.isfinite(values), values, np.inf))
    return np.asarray(order[: max(values.size // 10, 1)])


def worse_headway(evidence: Evidence, route: Row, search: HomeSearch | None) -> Row:
    """Return the headway row of the route, or that of the way home where it is the worse."""
    if search is None:
        return route
    departures = search.worst
    speeds = departures.column(c.HEADWAY_PLACE)
    speeds = np.where(np.isinf(speeds), np.nan, speeds)
    speeds = _over_all(evidence, departures, speeds, evidence.result(c.HEADWAY_PLACE))
    number = _worst_second(speeds, departures.flying)
    if number is None:
        return route
    values = speeds[number]
    where = _where(evidence, search.worst, number, values)
    where = replace(where, leg=f"the way home from {where.leg}")
    plan = search.plans[departures.plans[number]]
    home = headway_row(evidence, values, plan.ways[0][1], where)
    return max(route, home, key=lambda row: row.shortfall)


def stalls_on_the_way_home(evidence: Evidence, row: Row, search: HomeSearch | None) -> Row:
    """Return the row of airspeed in turns, overruled where too many ways home end in a stall."""
    if search is None:
        return row
    departures, number = search.worst_for(c.STALLED)
    stalled = departures.ended_in(c.STALLED)[number]
    judged = judge_event(
        row, int(stalled.sum()), stalled.size, "stall on the way home", drawn=_drawn(evidence)
    )
    if judged is row:
        return row
    return replace(
        judged,
        where=_where(evidence, departures, number, np.where(stalled, 0.0, np.nan)),
        cause="airspeed",
        act="fly the way home faster",
    )


def _arrives(evidence: Evidence, search: HomeSearch) -> Row:
    departures, number = search.worst_for(*SPENT)
    missing = departures.ended_in(*SPENT)[number]
    row = evidence.row(
        "home.arrives",
        float(missing.mean()),
        cause="wind aloft" if evidence.is_windy(np.flatnonzero(missing)) else "charge",
        act="fly the way home faster, or turn back earlier",
    )
    return judge_event(
        row,
        int(missing.sum()),
        missing.size,
        f"do not come home when the link is lost at {departures.seconds[number]:.0f} s",
        drawn=_drawn(evidence),
    )


def _drawn(evidence: Evidence) -> int:
    """Return how many flights were drawn: home, from every second, only the first are flown."""
    return evidence.flown.draws.members


def _ground(evidence: Evidence, search: HomeSearch) -> Row:
    limit = evidence.limits["ground.way_home"]
    departures = search.worst
    clear = clearance(evidence.flown, departures)
    flown = np.isfinite(clear)
    clear = _over_all(evidence, departures, clear, evidence.result(c.GROUND_PLACE))
    number = _worst_second(clear, flown)
    if number is None:
        # Too short a route to be left: half the flights are never on it together.
        return does_not_apply(limit, "as the route: it is too short to be left")
    values = clear[number]
    missing_m = (limit.want or 0.0) - float(np.nanpercentile(values, 10.0))
    rise_m = math.ceil(max(missing_m, 1.0))
    raised_m = search.plans[departures.plans[number]].height_m + rise_m
    act = f"set the return height to {raised_m:.0f} m above launch, or return another way"
    if _breaks_the_ceiling(evidence, departures, number, rise_m, raised_m):
        act = f"return another way: {raised_m:.0f} m above launch would be over the ceiling"
    row = evidence.row(
        "ground.way_home",
        values,
        cause="return height",
        act=act,
        note=_noted(search, number, ""),
    )
    row = replace(row, where=_lowest_place(evidence, departures, number, values))
    from_where, worst = search.worst_for(c.TOUCHED_GROUND)
    touched = from_where.ended_in(c.TOUCHED_GROUND)[worst]
    words = _noted(search, worst, "touch the ground on the way home")
    judged = judge_event(row, int(touched.sum()), touched.size, words, drawn=_drawn(evidence))
    if judged is not row and row.status is Status.GO:
        # The way itself has room: it is the pattern after it that meets the ground.
        judged = replace(judged, cause="ground", act=PATTERN_ACT)
    row = judged
    # A flight that is blown away is the wind's: only those that come home tell of the ground.
    home = departures.flying & ~departures.ended_in(*SPENT)
    unknown = home & (departures.results[:, :, c.UNKNOWN_GROUND] > 0.0)
    if np.any(unknown.mean(axis=1) > EVENT_SHARE):
        return replace(
            row,
            status=Status.NO_GO,
            shortfall=max(row.shortfall, 2.0),
            cause="ground",
            act="give ground that reaches under every way home",
            note="the ground under the way home is not known all the way",
        )
    return naming_what_stands_there(evidence, row)


def _breaks_the_ceiling(
    evidence: Evidence, departures: Departures, number: int, rise_m: float, raised_m: float
) -> bool:
    """Tell whether a way home flown higher would be over the ceiling."""
    over_ground_m, over_launch_m = ceilings_m(evidence)
    high_m = departures.column(c.CEILING_PLACE)[number][departures.flying[number]]
    high_m = high_m[np.isfinite(high_m)]
    if raised_m > over_launch_m or high_m.size == 0:
        return raised_m > over_launch_m
    return float(np.percentile(high_m, _HIGH_TAIL)) + rise_m > over_ground_m


def _lowest_place(evidence: Evidence, departures: Departures, number: int, values: Array) -> Place:
    """Return the place of least clearance of the member that stands for the bad nine in ten."""
    finite = np.isfinite(values) & departures.flying[number]
    adverse = float(np.nanpercentile(values, 10.0))
    member = int(np.argmin(np.where(finite, np.abs(values - adverse), np.inf)))
    place = departures.results[number, member, c.GROUND_PLACE : c.GROUND_PLACE + c.PLACE_COLUMNS]
    lost_on = evidence.flown.departure.legs[int(departures.states[number, member, c.LEG])]
    return Place(
        leg=f"way home from {lost_on.start} to {lost_on.end}",
        time_s=float(departures.seconds[number]),
        east_m=float(place[3]),
        north_m=float(place[4]),
        height_above_launch_m=float(place[5]),
    )


def way_home_summary(
    evidence: Evidence, search: HomeSearch | None, stopped: MotorStopped | None
) -> WayHome | None:
    """Return the worst seconds to lose link and motor, and the last turn-back with the reserve."""
    if search is None:
        return None
    left = _charge_left(evidence, search.worst)
    number = _worst_second(left, search.worst.flying)
    worst = None
    charge = None
    if number is not None:
        values = left[number]
        worst = _where(evidence, search.worst, number, values)
        charge = percentiles(values[np.isfinite(values)])
    return WayHome(
        worst=worst,
        charge=charge,
        turn_back=_turn_back(evidence, search),
        assumed=assumed_of(evidence.resolved),
        motor_stopped=worst_stop(evidence, stopped),
        glide_edge=glide_edge_summary(stopped),
        home_from=None if worst is None else _home_from(evidence, search, number or 0, worst),
    )


def _home_from(evidence: Evidence, search: HomeSearch, number: int, place: Place) -> HomeFrom:
    """Return clearance, time home, sight and link of the way home from one departure."""
    departures = search.worst
    clear = clearance(evidence.flown, departures)[number]
    read = np.isfinite(clear)
    seconds = departures.column(c.DURATION)[number] - departures.seconds[number]
    seconds = seconds[departures.ended_in(c.LANDED)[number]]
    site, radio = evidence.resolved.sortie.site, evidence.resolved.sortie.aircraft.radio
    link_db = None
    if radio is not None:
        at = (place.east_m, place.north_m, place.height_above_launch_m)
        link_db = float(link_at(evidence, radio, *(np.array([value]) for value in at))[0][0])
    return HomeFrom(
        # From the pattern on it is not read: the few who are late there do not speak for all.
        clearance_m=_spread(clear[read]) if read.mean() >= LEAST_FLYING else None,
        time_home_s=_spread(seconds),
        sight_m=math.dist((place.east_m, place.north_m), site.pilot_m),
        link_margin_db=link_db,
    )


def _spread(values: Array) -> Percentiles | None:
    return percentiles(values) if values.size else None


def _turn_back(evidence: Evidence, search: HomeSearch) -> TurnBack | None:
    """Return the last second before the reserve is lost; None if it never is."""
    want = (evidence.limits["home.charge"].want or 0.0) / 100.0
    first = search.first
    left = _charge_left(evidence, first)
    # Where every flight met the ground on its way home, none tells of charge.
    enough = (first.flying.mean(axis=1) >= LEAST_FLYING) & np.any(np.isfinite(left), axis=1)
    low = np.array(
        [
            np.nanpercentile(row, 10.0) if ok else np.nan
            for row, ok in zip(left, enough, strict=True)
        ]
    )
    low = np.fmin.reduce(search.by_second(low))
    short = np.flatnonzero(low < want)
    if short.size == 0:
        return None
    number = max(int(short[0]) - 1, 0)
    states = first.states[number]
    flying = first.flying[number]
    leg = evidence.flown.departure.legs[int(np.median(states[flying, c.LEG]))]
    return TurnBack(
        time_s=float(first.seconds[number]),
        leg=f"{leg.start} to {leg.end}" if leg.start != leg.end else leg.end,
        charge_left_fraction=float(low[number]),
    )
