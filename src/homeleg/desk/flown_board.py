"""What computed flights put on the board: how wide they fly, how far they glide, the way back."""

import math
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from homeleg.briefing.palette import BUFF
from homeleg.briefing.way_back import LAPTOP, PHONE, WayBackSeen, way_back_figure
from homeleg.desk.board import as_of
from homeleg.desk.check import Progress, limits_of
from homeleg.desk.face import SI, Face
from homeleg.desk.way_back_words import (
    WayBackWords,
    WorstSecond,
    way_back_words,
    worst_for_ground,
)
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, fly, states_at
from homeleg.formats.sortie_file import read_sortie
from homeleg.sortie.resolve import resolve
from homeleg.sortie.resolved import Departure, ResolvedSortie
from homeleg.verdict.corridor import corridor_of
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.flown_width import flown_width
from homeleg.verdict.inside_rows import hull_of_plan
from homeleg.verdict.reach_rows import sight_limit_m
from homeleg.verdict.result import Verdict
from homeleg.way_home.home_plan import home_plans
from homeleg.way_home.way_back import WayBack, way_back
from homeleg.world.outline import hull_of_circles

__all__ = ["FlownBoard", "flown_board"]

Array = NDArray[np.float64]

_FLIGHTS = 200
_EVERY_S = 3.0
_PLACED_BY = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownBoard:
    """What is drawn on the board, as plain values; the way back in words and as SVG by its form.

    `as_of` stands for the files it rests on.
    """

    drawn: dict[str, object]
    words: WayBackWords
    figures: tuple[tuple[str, str], ...]
    as_of: str


def flown_board(
    path: Path, verdict: Verdict, face: Face = SI, *, progress: Progress | None = None
) -> FlownBoard:
    """Return what the board shows of a sortie's computed flights, and of its verdict.

    Raises as the check does.
    """
    files = read_sortie(path)
    resolved = resolve(files.sortie)
    departure = next(
        (one for one in resolved.departures if one.words == verdict.departure),
        resolved.departures[0],
    )
    tell = None if progress is None else lambda share: progress("drawing", share)
    flown = fly(resolved, departure, _FLIGHTS, files.sortie.seed, tell)
    worst = worst_for_ground(verdict)
    back = None if worst is None else _way_back(flown, worst)
    return FlownBoard(
        drawn={
            **_flights(flown),
            "boundary": _boundary(resolved, departure),
            "sight": _sight(flown),
            "glide": _glide(verdict),
            "way_back": [] if back is None else [list(one) for one in back.line_m],
        },
        words=way_back_words(verdict, worst, back),
        figures=_figures(verdict, worst, back, face),
        as_of=as_of(files.sources),
    )


def _figures(
    verdict: Verdict, worst: WorstSecond | None, back: WayBack | None, face: Face
) -> tuple[tuple[str, str], ...]:
    if worst is None or back is None:
        return ()
    wanted = (row.want for row in verdict.rows if row.limit.slug == "ground.way_home")
    seen = WayBackSeen(
        back=back,
        clearance_m=worst.clearance_m,
        want_m=next(wanted, None),
        place=worst.leg.rpartition(" to ")[2],
        unit=face.unit_for("m"),
        per_metre=face.shown(1.0, "m"),
    )
    return tuple((form.name, way_back_figure(seen, form, BUFF)) for form in (LAPTOP, PHONE))


def _flights(flown: Flown) -> dict[str, object]:
    corridor = corridor_of(flown, _FLIGHTS)
    width = flown_width(flown, corridor)
    every = max(round(_EVERY_S / corridor.spacing_s), 1)
    tracks = np.stack([corridor.east_m[::every], corridor.north_m[::every]], axis=2)
    return {
        "left": _plain(width.left_m),
        "middle": _plain(width.middle_m),
        "right": _plain(width.right_m),
        "tracks": [
            _plain(track[np.isfinite(track).all(axis=1)]) for track in tracks.swapaxes(0, 1)
        ],
    }


def _plain(points_m: Array) -> list[list[float]]:
    return [[round(float(east), 1), round(float(north), 1)] for east, north in points_m]


def _boundary(resolved: ResolvedSortie, departure: Departure) -> list[list[float]]:
    """Return the outline that flights have to stay inside, none where none is told."""
    boundary = resolved.sortie.site.boundary
    if boundary is None:
        return []
    corners = boundary.vertices_m
    if not corners:
        hull = hull_of_plan(resolved, departure)
        corners = hull_of_circles([(*corner, boundary.hull_margin_m) for corner in hull])
    return _plain(np.array(corners))


def _sight(flown: Flown) -> float | None:
    """Return how far from where the pilot stands it is seen; None beyond sight. [m]."""
    sortie = flown.resolved.sortie
    if sortie.beyond_sight:
        return None
    return sight_limit_m(Evidence.of(flown, limits_of(sortie)))


def _glide(verdict: Verdict) -> dict[str, object] | None:
    edge = None if verdict.way_home is None else verdict.way_home.glide_edge
    if edge is None:
        return None
    return {
        "height": edge.height_above_launch_m,
        "landing": list(edge.landing_m),
        "points": [
            [math.degrees(one.bearing_rad), round(one.p10_m, 1), round(one.p50_m, 1)]
            for one in edge.points
        ],
    }


def _way_back(flown: Flown, worst: WorstSecond) -> WayBack:
    """Return the way back from a second; where the behaviour was not told, the lowest of them."""
    plans = home_plans(flown.resolved, flown.departure.legs)
    states, _ = states_at(flown, _PLACED_BY, np.array([worst.lost_s + plans[0].after_s]))
    flying = states[0, states[0, :, c.TIME] > 0.0]
    middle = np.median(flying if len(flying) else states[0], axis=0)
    leg = int(middle[c.LEG])
    from_m = float(middle[c.EAST]), float(middle[c.NORTH]), float(middle[c.UP])
    lowest = min(plans, key=lambda plan: plan.height_from(leg, from_m[:2]))
    return way_back(flown.resolved, lowest, leg, from_m)
