"""Rows of *Motor stopped: where*, and what comes with a verdict about it."""

import math
from collections import Counter
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import gliding as g
from homeleg.flight import layout as c
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.judging import percentiles
from homeleg.verdict.limits import Limit, Reading
from homeleg.verdict.result import EdgePoint, GlideEdge, Place, Row, Status, StoppedSecond
from homeleg.verdict.undeclared import undeclared
from homeleg.way_home.motor_stopped import LANDING, MotorStopped, Reached
from homeleg.world.outline import distance_outside
from homeleg.world.site import GROUND_OF_PEOPLE

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

__all__ = [
    "glide_edge_summary",
    "motor_rows",
    "polar_derating",
    "within_glide",
    "worst_stop",
]

_SLUG = "motor.people"
_ADVERSE = 90.0
# Higher by these, a leg is tried again. Ours. [m]
_RAISES_M = (10, 20, 30, 40, 60)
_LEAST_FLYING = 0.5
_ONE_IN_TEN = 0.1
_GROUND = {
    g.OPEN: "open ground",
    g.LOST: "water or forest",
    g.OF_PEOPLE: "keep-out ground for people",
    g.UNKNOWN: "ground that nobody knows",
}


def polar_derating(limit: Limit) -> float:
    """Return the share of its glide ratio that the row of people takes off."""
    return limit.extra["polar_derating_percent"] / 100.0


def motor_rows(evidence: Evidence, stopped: MotorStopped | None) -> list[Row]:
    """Return the rows of the question; None where no flight got away."""
    if stopped is None:
        return [evidence.unanswered(slug, "no flight got away") for slug in (_SLUG, "motor.reach")]
    return [_people(evidence, stopped), _reach(evidence, stopped)]


def _people(evidence: Evidence, stopped: MotorStopped) -> Row:
    limit = evidence.limits[_SLUG]
    if not evidence.resolved.sortie.site.keep_out_told:
        return undeclared(evidence, _SLUG)
    bare = replace(limit, reading=Reading.ADVERSE)
    read_bare = replace(evidence, limits={**evidence.limits, _SLUG: bare})
    percent = limit.extra["polar_derating_percent"]
    both = (
        (evidence, stopped.derated, f"glide ratio less {percent:.0f} %"),
        (read_bare, stopped.plain, "glide ratio as it is, nine in ten"),
    )
    rows = [
        (
            one.row(
                _SLUG,
                stopped.spacing_s * reached.only_people.sum(axis=0).astype(float),
                cause="keep-out ground",
                note=words,
            ),
            reached,
        )
        for one, reached, words in both
    ]
    row, reached = max(rows, key=lambda pair: pair[0].reading or 0.0)
    if row.status is Status.GO:
        return row
    return _placed(evidence, stopped, row, reached)


def _placed(evidence: Evidence, stopped: MotorStopped, row: Row, reached: Reached) -> Row:
    """Return a failing row with its worst second, the ground that is hit there, and an act."""
    number = int(np.argmax(reached.only_people.sum(axis=1)))
    member = int(np.argmax(reached.only_people[number]))
    place = _place(stopped, number, member)
    name = _nearest_people(evidence, place)
    higher = _higher(evidence, stopped) or "fly higher"
    act = f"{higher}, or farther from {name}"
    return replace(row, where=place, act=act, note=f"{row.note}; onto {name}")


def _nearest_people(evidence: Evidence, place: Place) -> str:
    """Return the name of the ground of people nearest to a place."""
    at = np.array(place.east_m), np.array(place.north_m)
    return min(
        (
            (float(distance_outside(one.vertices_m, *at)), one.name)
            for one in evidence.resolved.sortie.site.keep_out
            if one.kind in GROUND_OF_PEOPLE
        ),
    )[1]


def _higher(evidence: Evidence, stopped: MotorStopped) -> str | None:
    """Return the least raise that mends the legs from which people alone are reached, in words.

    None where none under the ceiling does, or where it is not the route that is flown then.
    """
    legs = evidence.flown.departure.legs
    failing = stopped.derated.only_people | stopped.plain.only_people
    rows = np.flatnonzero(failing.any(axis=1))
    numbers = np.unique(stopped.states[failing][:, c.LEG].astype(int)).tolist()
    top_m = max(legs[number].height_m for number in numbers)
    spare_m = (evidence.limits["inside.ceiling"].want or math.inf) - top_m
    if not all(legs[number].on_route for number in numbers):
        return None
    for by_m in _RAISES_M:
        if by_m > spare_m:
            return None
        derated, plain = stopped.from_higher(rows, float(by_m))
        if (
            np.median(derated.only_people.sum(axis=0)) == 0.0
            and np.percentile(plain.only_people.sum(axis=0), _ADVERSE) == 0.0
        ):
            return f"fly {legs[numbers[0]].start} to {legs[numbers[-1]].end} {by_m} m higher"
    return None


def _reach(evidence: Evidence, stopped: MotorStopped) -> Row:
    """Return the share of each flight within glide of the landing point, derated."""
    home = (stopped.derated.spare_m[:, :, 0] >= 0.0) & stopped.flying
    flying = stopped.flying.sum(axis=0)
    share = np.where(flying > 0, home.sum(axis=0) / np.maximum(flying, 1), np.nan)
    return evidence.row("motor.reach", share, cause="", note=_the_rest(stopped, home))


def _the_rest(stopped: MotorStopped, home: Mask) -> str:
    """Return where the flight would come down from where the landing point is out of reach."""
    rest = stopped.flying & ~home
    if not np.any(rest):
        return ""
    reached, rows = stopped.derated, stopped.target_rows
    east_m, north_m = (stopped.states[rest][:, column, np.newaxis] for column in (c.EAST, c.NORTH))
    off_m = np.hypot(rows[:, g.TARGET_EAST] - east_m, rows[:, g.TARGET_NORTH] - north_m)
    off_m = np.where(reached.spare_m[rest] >= 0.0, off_m, np.inf)
    nearest = np.where(np.isfinite(off_m.min(axis=1)), off_m.argmin(axis=1), -1)
    counted = Counter(
        stopped.targets[target] if target >= 0 else _GROUND[kind]
        for target, kind in zip(nearest.tolist(), reached.kind[rest].tolist(), strict=True)
    )
    total = int(stopped.flying.sum())
    return "the rest: " + ", ".join(
        f"{name} {max(round(100.0 * count / total), 1)} %" for name, count in counted.most_common()
    )


def _on_route(evidence: Evidence, stopped: MotorStopped) -> Mask:
    """Return at which seconds and members a route leg is flown."""
    on_route = np.array([leg.on_route for leg in evidence.flown.departure.legs])
    return np.asarray(stopped.flying & on_route[stopped.states[:, :, c.LEG].astype(int)])


def within_glide(evidence: Evidence, stopped: MotorStopped) -> bool:
    """Return whether the middle flight is within glide of the landing point all along its route."""
    on_route = _on_route(evidence, stopped)
    spare_m = np.where(on_route, stopped.derated.spare_m[:, :, 0], np.nan)
    enough = on_route.mean(axis=1) >= _LEAST_FLYING
    return bool(np.all(np.nanmedian(spare_m[enough], axis=1) >= 0.0))


def worst_stop(evidence: Evidence, stopped: MotorStopped | None) -> StoppedSecond | None:
    """Return the second of the route from which a stopped motor leaves least, derated.

    The one from which most flights reach people alone, if more than one in ten do; else that with
    the least height to spare, in the middle flight, for the place best in reach.
    """
    if stopped is None:
        return None
    reached = stopped.derated
    best_m = np.where(stopped.flying, reached.spare_m.max(axis=2), np.nan)
    people = reached.only_people.sum(axis=1)
    on_route = _on_route(evidence, stopped)
    enough = np.flatnonzero(on_route.mean(axis=1) >= _LEAST_FLYING)
    if np.max(people) > _ONE_IN_TEN * best_m.shape[1]:
        number = int(np.argmax(people))
        member = int(np.argmax(reached.only_people[number]))
    elif enough.size:
        middle_m = np.array([np.median(best_m[k][on_route[k]]) for k in enough])
        number = int(enough[np.argmin(middle_m)])
        member = int(np.nanargmin(np.abs(best_m[number] - np.min(middle_m))))
    else:
        return None
    return _stopped_second(stopped, number, member, best_m[number])


def _stopped_second(
    stopped: MotorStopped, number: int, member: int, best_m: Array
) -> StoppedSecond:
    name, (east_m, north_m), spare_m = _goal(stopped, number, member)
    place = _place(stopped, number, member)
    off_east_m, off_north_m = east_m - place.east_m, north_m - place.north_m
    distance_m = math.hypot(off_east_m, off_north_m)
    bearing = math.atan2(off_east_m, off_north_m) % (2.0 * math.pi)
    where = " below"
    if round(np.nan_to_num(distance_m)) > 0:
        towards_deg = round(math.degrees(bearing)) % 360
        where = f", {distance_m:.0f} m towards {towards_deg:03d} deg"
    if spare_m is None:
        words = f"neither {LANDING} nor a declared place; {name}{where}"
    else:
        words = f"{name}{where}, with {spare_m:.0f} m of height to spare"
    known_m = best_m[np.isfinite(best_m)]
    return StoppedSecond(
        where=place,
        reaches=name,
        distance_m=distance_m,
        bearing_rad=bearing,
        spare_height_m=None if spare_m is None else percentiles(known_m),
        words=words,
    )


def _goal(
    stopped: MotorStopped, number: int, member: int
) -> tuple[str, tuple[float, float], float | None]:
    """Return what is best in reach, where it is, and the height to spare; None of mere ground."""
    reached = stopped.derated
    spare_m = reached.spare_m[number, member]
    target = int(np.argmax(spare_m))
    if spare_m[target] >= 0.0:
        row = stopped.target_rows[target]
        at = float(row[g.TARGET_EAST]), float(row[g.TARGET_NORTH])
        return stopped.targets[target], at, float(spare_m[target])
    at = float(reached.east_m[number, member]), float(reached.north_m[number, member])
    return _GROUND[int(reached.kind[number, member])], at, None


def _place(stopped: MotorStopped, number: int, member: int) -> Place:
    state = stopped.states[number, member]
    leg = stopped.flown.departure.legs[int(state[c.LEG])]
    return Place(
        leg=f"{leg.start} to {leg.end}" if leg.start != leg.end else leg.end,
        time_s=float(stopped.seconds[number]),
        east_m=float(state[c.EAST]),
        north_m=float(state[c.NORTH]),
        height_above_launch_m=float(state[c.UP]),
    )


def glide_edge_summary(stopped: MotorStopped | None) -> GlideEdge | None:
    """Return the glide edge, nine in ten and middle flight on every bearing."""
    if stopped is None:
        return None
    edge = stopped.edge
    low_m, middle_m = np.percentile(edge.distances_m, [10.0, 50.0], axis=1)
    return GlideEdge(
        height_above_launch_m=edge.height_m,
        landing_m=edge.landing_m,
        points=tuple(
            EdgePoint(bearing_rad=float(bearing), p10_m=float(low), p50_m=float(middle))
            for bearing, low, middle in zip(edge.bearings_rad, low_m, middle_m, strict=True)
        ),
    )
