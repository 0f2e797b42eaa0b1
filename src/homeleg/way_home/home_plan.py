"""What the aircraft may do when the link is lost: as told, and both ways where it was not."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.record import AtLaunchPoint, LinkLoss, ReturnPath
from homeleg.flight import layout as c
from homeleg.foundation.heights import Datum
from homeleg.route.geometry import Leg, LegKind
from homeleg.sortie.planning import height_above_launch
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.way_home.home_legs import TAKEN_OVER_S, Via, way_home_legs
from homeleg.world.ground import ground_height

__all__ = ["HomePlan", "assumed_of", "home_plans"]

Array = NDArray[np.float64]
Way = tuple[Via, ...]

_UNTOLD_TIMER_S = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HomePlan:
    """One behaviour, link lost: after how long, at what height above launch, over which legs.

    `ways` are the legs it may fly. It takes the one whose first point, of `joins_m`, is nearest to
    where it then is; with `by_leg` there is one such set for each leg of the route, flown at that
    leg's height. `words` say how what was not told is taken here.
    """

    after_s: float
    height_m: float
    ways: tuple[tuple[Leg, ...], ...]
    joins_m: tuple[tuple[float, float], ...]
    by_leg: bool
    words: str

    def way_from(self, states: Array) -> NDArray[np.int64]:
        """Return which of the ways is flown from each of `states` (..., STATE_COLUMNS)."""
        number = np.zeros(states.shape[:-1], dtype=np.int64)
        if self.by_leg:
            number += states[..., c.LEG].astype(np.int64)
        if self.joins_m:
            east_m, north_m = np.array(self.joins_m).T
            off_m = np.hypot(
                states[..., c.EAST, np.newaxis] - east_m, states[..., c.NORTH, np.newaxis] - north_m
            )
            number = number * len(self.joins_m) + np.argmin(off_m, axis=-1)
        return number

    def corners_from(
        self, leg: int, place_m: tuple[float, float]
    ) -> tuple[tuple[float, float], ...]:
        """Return the places it flies over to home, the link lost at a place on a leg."""
        way = self._way(leg, place_m)
        return tuple(one.end_m for one in way if one.on_route and one.kind is LegKind.TRACK)

    def height_from(self, leg: int, place_m: tuple[float, float]) -> float:
        """Return the height above launch at which it turns for home from there. [m]."""
        return self._way(leg, place_m)[0].height_m

    def climbs_at(self, leg: int, place_m: tuple[float, float]) -> bool:
        """Return whether it circles up or down to that height before it turns for home."""
        return self._way(leg, place_m)[0].kind is LegKind.ORBIT

    def _way(self, leg: int, place_m: tuple[float, float]) -> tuple[Leg, ...]:
        """Return the legs flown once it acts on the lost link."""
        state = np.zeros(c.STATE_COLUMNS)
        state[[c.LEG, c.EAST, c.NORTH]] = leg, *place_m
        return self.ways[int(self.way_from(state))][1:]


def home_plans(resolved: ResolvedSortie, legs: tuple[Leg, ...]) -> tuple[HomePlan, ...]:
    """Return every behaviour that the record leaves open, one where it tells all.

    `legs` are those of the flight that may be broken off.
    """
    stated = resolved.sortie.aircraft.link_loss
    plans = []
    for climbs_first, path, by_leg in _behaviours(resolved, stated):
        height_m = _return_height(resolved)
        heights_m = tuple(leg.height_m for leg in legs) if by_leg else (height_m,)
        joined = [_ways(resolved, path, one_m) for one_m in heights_m]
        nearest = isinstance(path, ReturnPath) and path is not ReturnPath.STRAIGHT
        plans.append(
            HomePlan(
                after_s=_UNTOLD_TIMER_S if stated.after_s is None else stated.after_s,
                height_m=max(heights_m),
                ways=tuple(
                    way_home_legs(
                        resolved,
                        height_m=one_m,
                        vias=vias,
                        climbs_first=climbs_first,
                        at_launch_point=stated.at_launch_point or AtLaunchPoint.ORBIT,
                    )
                    for one_m, ways in zip(heights_m, joined, strict=True)
                    for vias in ways
                ),
                joins_m=tuple(vias[0].place_m for vias in joined[0]) if nearest else (),
                by_leg=by_leg,
                words=_words(resolved, path, climbs_first=climbs_first, by_leg=by_leg),
            )
        )
    return tuple(plans)


def assumed_of(resolved: ResolvedSortie) -> tuple[str, ...]:
    """Return what of the behaviour was not told, and how it is flown."""
    stated = resolved.sortie.aircraft.link_loss
    points = resolved.sortie.site.diversion_points
    open_keys = {
        f"link-loss timer: {_UNTOLD_TIMER_S:.0f} s": stated.after_s,
        "return height: the highest of the route and that of the leg it leaves, the worse": (
            stated.return_height
        ),
        "climb: circling before it returns and on the way, the worse": stated.climb_first,
        "path: straight and over the diversion points, the worse"
        if points
        else "path: straight": stated.path,
        f"at the launch point: orbits {stated.orbit_s or TAKEN_OVER_S:.0f} s until the pilot "
        "takes over, which costs most": stated.at_launch_point,
    }
    return tuple(words for words, value in open_keys.items() if value is None)


def _behaviours(
    resolved: ResolvedSortie, stated: LinkLoss
) -> Iterator[tuple[bool, ReturnPath | tuple[str, ...], bool]]:
    """Return climbs first, path, and whether it stays at the height of its leg, of each."""
    paths: tuple[ReturnPath | tuple[str, ...], ...] = (ReturnPath.STRAIGHT,)
    if stated.path is not None:
        paths = (stated.path,)
    elif resolved.sortie.site.diversion_points:
        paths = tuple(ReturnPath)
    climbs = (True, False) if stated.climb_first is None else (stated.climb_first,)
    stays = (False, True) if stated.return_height is None else (False,)
    for path, by_leg, climbs_first in product(paths, stays, climbs):
        if by_leg and climbs_first is not climbs[-1]:
            continue  # without a climb there is nothing to do first
        yield climbs_first, path, by_leg


def _return_height(resolved: ResolvedSortie) -> float:
    stated = resolved.sortie.aircraft.link_loss.return_height
    if stated is None:
        return max(item.height_m for item in resolved.items)
    if stated.above is Datum.AMSL:
        return stated.value_m - resolved.sortie.site.elevation_amsl_m
    return stated.value_m


def _ways(
    resolved: ResolvedSortie, path: ReturnPath | tuple[str, ...], height_m: float
) -> list[Way]:
    """Return the points of each way the path may be flown: from every point it may be joined at."""
    points = {point.name: point for point in _points(resolved, height_m)}
    site = [points[point.name] for point in resolved.sortie.site.diversion_points]
    match path:
        case ReturnPath.STRAIGHT:
            return [()]
        case ReturnPath.ALONG_POINTS:
            return [tuple(site[number:]) for number in range(len(site))]
        case ReturnPath.NEAREST_POINT:
            return [(point,) for point in site]
        case names:
            return [tuple(points[name] for name in names)]


def _points(resolved: ResolvedSortie, height_m: float) -> Iterator[Via]:
    """Return the points a way home may name: those of the route, then those of the site."""
    for item in resolved.items:
        yield Via(name=item.name, place_m=(item.east_m, item.north_m), height_m=height_m)
    site = resolved.sortie.site
    for point in site.diversion_points:
        place_m = (point.east_m, point.north_m)
        at_m = height_m
        if point.height is not None:
            ground_m = float(ground_height(resolved.surface, *place_m))
            at_m = height_above_launch(point.height, site.elevation_amsl_m, ground_m, point.name)
        yield Via(name=point.name, place_m=place_m, height_m=at_m)


def _words(
    resolved: ResolvedSortie,
    path: ReturnPath | tuple[str, ...],
    *,
    climbs_first: bool,
    by_leg: bool,
) -> str:
    """Return how this behaviour takes what was not told."""
    stated, points = resolved.sortie.aircraft.link_loss, resolved.sortie.site.diversion_points
    parts = []
    if stated.path is None and isinstance(path, ReturnPath) and points:
        parts.append(path.value)
    if stated.return_height is None:
        parts.append("at the height of its leg" if by_leg else "at the highest of the route")
    if stated.climb_first is None and not by_leg:
        parts.append("climbing first" if climbs_first else "climbing on the way")
    return f"not told, the worse: {', '.join(parts)}" if parts else ""
