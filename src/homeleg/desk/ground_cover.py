"""Whether the ground of a sortie covers its route and the way home, and what is missing."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

from homeleg.formats.plane import Plane
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.terrain_name import tile_name
from homeleg.sortie.resolve import resolve
from homeleg.sortie.sortie import Sortie
from homeleg.sortie.unknown_ground import (
    UnknownStretch,
    unknown_on_ways_home,
    unknown_under,
)
from homeleg.verdict.cautions import GROUND
from homeleg.way_home.home_plan import home_plans

__all__ = ["GroundCover", "cover_text", "ground_cover"]

# An obstacle list older than this is asked about. Ours.
_OLD = timedelta(days=365)


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundCover:
    """What is missing: stretches of the route, ways home, and the tiles that would hold them."""

    route: tuple[UnknownStretch, ...]
    way_home: tuple[UnknownStretch, ...]
    tiles: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def is_covered(self) -> bool:
        """Whether all ground under the route and the ways home is known."""
        return not self.route and not self.way_home


def ground_cover(path: Path) -> GroundCover:
    """Return what the ground of a sortie file lacks; raises as the check does."""
    sortie = read_sortie(path).sortie
    resolved = resolve(sortie)
    # All departures fly the same legs after the climb-out.
    legs = resolved.departures[0].legs
    route = tuple(unknown_under(legs, resolved.surface))
    plans = home_plans(resolved, legs)

    def corners_from(
        leg: int, place_m: tuple[float, float]
    ) -> set[tuple[tuple[float, float], ...]]:
        return {plan.corners_from(leg, place_m) for plan in plans}

    way_home = tuple(unknown_on_ways_home(legs, resolved.surface, corners_from))
    return GroundCover(
        route=route,
        way_home=way_home,
        tiles=_tiles(sortie, (*route, *way_home)),
        remarks=_undated(sortie),
    )


def cover_text(cover: GroundCover) -> str:
    """Return the answer in words."""
    answer = "yes" if cover.is_covered else "no"
    lines = [f"Does this ground cover the route and the way home: {answer}"]
    lines += [f"  No ground under {stretch.words}" for stretch in cover.route]
    lines += [
        f"  No ground somewhere on the way home from {stretch.words}" for stretch in cover.way_home
    ]
    if cover.tiles:
        lines.append(f"  Missing ground lies in: {', '.join(cover.tiles)}")
    lines += [f"  {remark}" for remark in cover.remarks]
    return "\n".join([*lines, GROUND, ""])


def _tiles(sortie: Sortie, stretches: tuple[UnknownStretch, ...]) -> tuple[str, ...]:
    """Return the names of the one-degree tiles in which ground is missing."""
    plane = Plane(sortie.site.latitude_rad, sortie.site.longitude_rad)
    names = set()
    for stretch in stretches:
        # A degree is far wider than a kilometre: a point of each says which tile it lies in.
        kilometres = np.unique(np.round(stretch.points_m / 1000.0), axis=0, return_index=True)[1]
        for east_m, north_m in stretch.points_m[kilometres]:
            names.add(tile_name(*plane.to_geographic(float(east_m), float(north_m))))
    return tuple(sorted(names))


def _undated(sortie: Sortie) -> tuple[str, ...]:
    """Return a remark on each obstacle that nobody dated, or that was seen long ago."""
    return tuple(
        f"Obstacle {obstacle.name}: {_age(obstacle.seen, sortie.launch_time)}."
        for obstacle in sortie.site.obstacles
        if obstacle.seen is None or sortie.launch_time - obstacle.seen > _OLD
    )


def _age(seen: datetime | None, now: datetime) -> str:
    if seen is None:
        return "it is not said when it was seen"
    return f"seen {(now - seen).days} days before this flight"
