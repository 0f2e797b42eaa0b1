"""Rows of *Stays inside*: ceiling, boundary, distance to people on the ground."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown
from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.route.geometry import LegKind
from homeleg.sortie.resolved import Departure, ResolvedSortie
from homeleg.verdict.corridor import Corridor, corridor_of
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.judging import judge_event
from homeleg.verdict.limits import Limit
from homeleg.verdict.oddities import looks_amsl
from homeleg.verdict.result import Row
from homeleg.verdict.standing import ceilings_m
from homeleg.verdict.undeclared import undeclared
from homeleg.way_home.search import SPENT, HomeSearch, clearance, fly_plans
from homeleg.world.outline import Points, distance_outside, hull_of_circles
from homeleg.world.site import GROUND_OF_PEOPLE, KeepOutGround, KeepOutKind

Array = NDArray[np.float64]

__all__ = ["hull_of_plan", "inside_rows"]

_LEAST_FLYING = 0.5
_LOW_TAIL, _HIGH_TAIL = 10.0, 90.0
# Ways home flown again over bare ground where trees stand: this many members, every so many
# departures of the search's second stage. Ours.
_BARE_MEMBERS, _BARE_EVERY = 64, 4
# A share that lies near its limit is read from more members.
_MORE_MEMBERS, _CLEARLY_TOO_MANY = 256, 0.04
# Nearer to the ground than this, height no longer says how far it may fall. [m]
_LEAST_HEIGHT_M = 1.0
_WHERE_PEOPLE_STAY = (KeepOutKind.PEOPLE, KeepOutKind.BUILDING)


def inside_rows(evidence: Evidence, corridor: Corridor, home: HomeSearch | None) -> list[Row]:
    """Return the rows of the question *Stays inside*."""
    return [
        _ceiling(evidence, corridor, home),
        _boundary(evidence, corridor),
        _ground_buffer(evidence, corridor),
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Heights:
    """Greatest heights (members,) of the route or of a way home, and what would lower them."""

    over_ground_m: Array
    over_launch_m: Array
    cause: str
    act: str
    room_below_m: float = math.inf


def _ceiling(evidence: Evidence, corridor: Corridor, home: HomeSearch | None) -> Row:
    """Return the worse of route and way home, over the ground and under the boundary's top."""
    flown_heights = [_route_heights(evidence, corridor)]
    if home is not None:
        flown_heights += _home_heights(evidence, home)
    ground_limit_m, launch_limit_m = ceilings_m(evidence)
    rows = [
        _ceiling_row(evidence, heights, values_m, hard_m)
        for heights in flown_heights
        for values_m, hard_m in (
            (heights.over_ground_m, ground_limit_m),
            (heights.over_launch_m, launch_limit_m),
        )
        if np.isfinite(hard_m) and np.any(np.isfinite(values_m))
    ]
    if not rows:
        return evidence.unanswered("inside.ceiling", "no flight came over known ground")
    return max(rows, key=lambda row: row.shortfall)


def _ceiling_row(evidence: Evidence, heights: _Heights, values_m: Array, hard_m: float) -> Row:
    limit = evidence.limits["inside.ceiling"]
    want_m = hard_m - limit.extra["want_below_limit_m"]
    want_m = want_m if limit.want is None else min(want_m, limit.want)
    high_m = float(np.percentile(values_m[np.isfinite(values_m)], _HIGH_TAIL))
    lower_m = math.ceil(max(high_m - want_m, 1.0))
    act = f"{heights.act} by {lower_m:.0f} m"
    if lower_m > heights.room_below_m:
        act = f"return another way: {lower_m:.0f} m lower would not clear the ground below this one"
    where = "over the ground" if values_m is heights.over_ground_m else "above launch"
    return evidence.row(
        "inside.ceiling",
        values_m,
        want=want_m,
        hard=hard_m,
        cause=heights.cause,
        act=act,
        note=where,
    )


def _route_heights(evidence: Evidence, corridor: Corridor) -> _Heights:
    is_amsl = looks_amsl(evidence.resolved)
    return _Heights(
        over_ground_m=np.fmax.reduce(corridor.heights_over_ground_m(evidence.flown)),
        over_launch_m=np.fmax.reduce(corridor.up_m),
        cause="datum" if is_amsl else "route height",
        act="write the heights AMSL if they are, or lower the highest item"
        if is_amsl
        else "lower the highest item",
    )


def _home_heights(evidence: Evidence, home: HomeSearch) -> list[_Heights]:
    """Return the heights from the departure whose bad nine in ten is highest; none if none flies.

    Heights above launch are read where the aircraft is highest over the ground: the way home is
    level.
    """
    flying = home.second.flying
    results = home.second.results
    if np.any(evidence.resolved.surface.canopy_m > 0.0):
        every = slice(None, None, _BARE_EVERY)
        states = home.second.states[every, :_BARE_MEMBERS]
        flying = flying[every, :_BARE_MEMBERS]
        bare = _over_bare_ground(evidence.flown)
        results = fly_plans(bare, home.plans, home.second.plans[every], states, flying)
    over_ground_m = np.where(flying, results[:, :, c.CEILING_PLACE], np.nan)
    over_ground_m = np.where(np.isinf(over_ground_m), np.nan, over_ground_m)
    enough = np.isfinite(over_ground_m).mean(axis=1) >= _LEAST_FLYING
    if not np.any(enough):
        return []
    high_m = [np.nanpercentile(row, _HIGH_TAIL) for row in over_ground_m[enough]]
    number = int(np.flatnonzero(enough)[np.argmax(high_m)])
    up_m = np.where(flying[number], results[number, :, c.CEILING_PLACE + 5], np.nan)
    return [
        _Heights(
            over_ground_m=over_ground_m[number],
            over_launch_m=up_m,
            cause="return height",
            act="lower the return height, or the item before it,",
            room_below_m=_room_below_m(evidence, home),
        )
    ]


def _room_below_m(evidence: Evidence, home: HomeSearch) -> float:
    """Return by how much the lowest way home may be lower still, for nine in ten. [m]."""
    clear_m = clearance(evidence.flown, home.worst)
    read = clear_m[np.isfinite(clear_m).mean(axis=1) >= _LEAST_FLYING]
    if read.size == 0:
        return math.inf
    least_m = float(np.min(np.nanpercentile(read, _LOW_TAIL, axis=1)))
    return least_m - (evidence.limits["ground.way_home"].want or 0.0)


def _over_bare_ground(flown: Flown) -> Flown:
    """Return the same flights over the ground without its trees."""
    plan, cell_volts, _, obstacles = flown.surroundings
    bare_m = np.ascontiguousarray(flown.resolved.surface.heights_above_launch_m)
    return replace(flown, surroundings=(plan, cell_volts, bare_m, obstacles))


def _boundary(evidence: Evidence, corridor: Corridor) -> Row:
    boundary = evidence.resolved.sortie.site.boundary
    if boundary is None:
        return undeclared(evidence, "inside.boundary")
    hull = boundary.vertices_m or hull_of_plan(evidence.resolved, evidence.flown.departure)
    spare_m = _spare_m(hull, boundary.hull_margin_m, corridor)
    # A flight that is blown away is the wind's: only those that come home tell of the boundary.
    spare_m = np.where(_comes_home(evidence, corridor), spare_m, np.nan)
    kept_m = _kept_for_reaction_m(evidence, corridor)
    values_m = np.fmin.reduce(spare_m - kept_m)
    if not np.any(np.isfinite(values_m)):
        return evidence.unanswered("inside.boundary", "no computed flight comes home")
    low_m = float(np.nanpercentile(values_m, 10.0))
    want_m = evidence.limits["inside.boundary"].want or 0.0
    row = evidence.row(
        "inside.boundary",
        values_m,
        cause="boundary",
        act=f"move the boundary out, or the route in, by {math.ceil(max(want_m - low_m, 1.0))} m",
        note="after 1 s of reaction and the fix error",
    )
    worst = np.argmin(np.where(np.isnan(spare_m), np.inf, spare_m - kept_m), axis=0)
    row = corridor.located(row, values_m, worst)
    outside = np.fmin.reduce(spare_m) < 0.0
    if 0.0 < outside.mean() < _CLEARLY_TOO_MANY:
        more = corridor_of(evidence.flown, _MORE_MEMBERS)
        spare_m = _spare_m(hull, boundary.hull_margin_m, more)
        outside = np.fmin.reduce(np.where(_comes_home(evidence, more), spare_m, np.nan)) < 0.0
    drawn = evidence.flown.draws.members
    return judge_event(
        row, int(outside.sum()), outside.size, "fly outside the boundary", drawn=drawn
    )


def _comes_home(evidence: Evidence, corridor: Corridor) -> NDArray[np.bool_]:
    """Return which flights of a corridor do not end for want of charge or headway (members,)."""
    events = evidence.result(c.EVENT)[: corridor.east_m.shape[1]]
    return ~np.isin(events, SPENT)


def hull_of_plan(resolved: ResolvedSortie, departure: Departure) -> Points:
    """Return the hull of all that is planned: climb-out in still air, route, landing pattern."""
    climb_m = resolved.speeds.climb_eas_m_s * resolved.tas_per_eas / resolved.speeds.climb_rate_m_s
    circles = [(0.0, 0.0, 0.0)]
    for leg in departure.legs:
        if leg.kind is LegKind.CLIMB_OUT:
            away_m = min(leg.height_m * climb_m, leg.length_m)
            circles.append(
                (away_m * math.sin(leg.course_rad), away_m * math.cos(leg.course_rad), 0.0)
            )
        else:
            circles.append((*leg.end_m, leg.radius_m))
    return hull_of_circles(circles)


def _spare_m(hull: Points, margin_m: float, corridor: Corridor) -> Array:
    return margin_m - distance_outside(hull, corridor.east_m, corridor.north_m)


def _kept_for_reaction_m(evidence: Evidence, corridor: Corridor) -> Array:
    """Return how far each flight gets while someone reacts, and how wrong its fix may be. [m].

    The fix is the one that the boundary is watched by, nine in ten; that which leads the aircraft
    astray is flown.
    """
    reaction_s = evidence.limits["inside.boundary"].extra["reaction_s"]
    ground_speed_m_s = np.hypot(
        np.gradient(corridor.east_m, corridor.seconds, axis=0),
        np.gradient(corridor.north_m, corridor.seconds, axis=0),
    )
    # At both ends of a flight, where one neighbour is missing, its fastest stands.
    fastest_m_s = np.nan_to_num(np.fmax.reduce(ground_speed_m_s))
    ground_speed_m_s = np.where(np.isnan(ground_speed_m_s), fastest_m_s, ground_speed_m_s)
    fix_m = NINE_IN_TEN_Z * evidence.resolved.inputs["fix"].sd
    return np.asarray(ground_speed_m_s * reaction_s + fix_m)


def _least_m(ground: KeepOutGround, limit: Limit) -> float:
    """Return the distance asked for however low it flies, a rule's where people stay. [m]."""
    return limit.extra["least_m"] if ground.kind in _WHERE_PEOPLE_STAY else _LEAST_HEIGHT_M


def _ground_buffer(evidence: Evidence, corridor: Corridor) -> Row:
    limit = evidence.limits["inside.ground_buffer"]
    site = evidence.resolved.sortie.site
    keep_out = [one for one in site.keep_out if one.kind in GROUND_OF_PEOPLE]
    if not site.keep_out_told:
        return undeclared(evidence, limit.slug)
    if not keep_out:
        return does_not_apply(limit, "no people, road, building or railway declared")
    height_m = corridor.heights_over_ground_m(evidence.flown)
    ratios = [
        np.maximum(distance_outside(one.vertices_m, corridor.east_m, corridor.north_m), 0.0)
        / np.maximum(height_m, _least_m(one, limit))
        for one in keep_out
    ]
    least = [float(np.nanpercentile(np.fmin.reduce(ratio), 10.0)) for ratio in ratios]
    nearest = int(np.argmin(least))
    values = np.fmin.reduce(ratios[nearest])
    row = evidence.row(
        "inside.ground_buffer",
        values,
        cause="keep-out ground",
        act=f"fly lower, or farther from {keep_out[nearest].name}",
        note=f"from {keep_out[nearest].name}",
    )
    worst = np.argmin(np.where(np.isnan(ratios[nearest]), np.inf, ratios[nearest]), axis=0)
    return corridor.located(row, values, worst)
