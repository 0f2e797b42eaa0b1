"""The motor stops, at every second: what each computed flight can still reach.

Read with the polar derated, and with the polar as drawn.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import gliding as g
from homeleg.flight import layout as c
from homeleg.flight.ensemble import Flown, states_at
from homeleg.way_home.glide_edge import ROUND_OUT_M, GlideEdge, glide_edge
from homeleg.way_home.gliders import Gliders, gliders_of
from homeleg.way_home.ground_kinds import GroundKinds, ground_kinds

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

__all__ = ["LANDING", "MotorStopped", "Reached", "stop_motor"]

LANDING = "the landing point"
_MEMBERS = 64
_SPACING_S, _QUICK_SPACING_S = 2.0, 4.0
# States kept at once, about 22 MB: an hour's flight is looked at every fourth second.
_MOST_STATES = 58_000
# A place is reached this far inside its edge, or in its middle where it is smaller. Ours.
_INSIDE_EDGE_M = 20.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reached:
    """What stopped motors leave at some seconds, (seconds, members).

    `spare_m` (seconds, members, targets) is the height to spare for the landing point and each
    declared place, below zero where it is out of reach. `kind` is the best ground within reach,
    `east_m` and `north_m` the nearest place of it. NaN, and unknown ground, where not flying.
    """

    spare_m: Array
    kind: NDArray[np.int64]
    east_m: Array
    north_m: Array

    @property
    def only_people(self) -> Mask:
        """Where nothing but keep-out ground for people is within reach."""
        return np.asarray((self.kind == g.OF_PEOPLE) & ~np.any(self.spare_m >= 0.0, axis=2))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MotorStopped:
    """The first members from evenly spaced seconds, up to their final.

    `states` (seconds, members, STATE_COLUMNS), `flying` (seconds, members); `target_rows` (targets,
    TARGET_COLUMNS) and `targets`, their names: the landing point first.
    """

    flown: Flown
    seconds: Array
    states: Array
    flying: Mask
    kinds: GroundKinds
    targets: tuple[str, ...]
    target_rows: Array
    derated: Reached
    plain: Reached
    edge: GlideEdge
    derated_gliders: Gliders
    plain_gliders: Gliders

    @property
    def spacing_s(self) -> float:
        """Seconds between two looks."""
        return float(self.seconds[1] - self.seconds[0])

    def from_higher(self, rows: NDArray[np.int64], by_m: float) -> tuple[Reached, Reached]:
        """Return what is reached, derated and plain, from some seconds flown higher."""
        states, flying = self.states[rows].copy(), self.flying[rows]
        states[:, :, c.UP] += by_m
        derated, plain = (
            _reached(self.flown, gliders, states, flying, self.kinds, self.target_rows)
            for gliders in (self.derated_gliders, self.plain_gliders)
        )
        return derated, plain


def stop_motor(flown: Flown, polar_derating: float, *, quick: bool) -> MotorStopped | None:
    """Return what a stopped motor leaves every other second; None where no flight got away.

    A quick look is taken half as often, and so are long flights.
    """
    members = min(_MEMBERS, flown.draws.members)
    longest_s = float(np.max(flown.results[:members, c.DURATION]))
    spacing_s = _QUICK_SPACING_S if quick else _SPACING_S
    spacing_s = max(spacing_s, longest_s * members / _MOST_STATES)
    seconds = np.arange(0.0, longest_s + 2.0 * spacing_s, spacing_s)
    states, flying = states_at(flown, members, seconds)
    if not np.any(flying):
        return None
    derated = gliders_of(flown, members, polar_derating)
    plain = gliders_of(flown, members, 0.0)
    kinds = ground_kinds(flown.resolved.sortie.site, _around(states[flying], plain))
    targets, rows = _targets(flown)
    return MotorStopped(
        flown=flown,
        seconds=seconds,
        states=states,
        flying=flying,
        kinds=kinds,
        targets=targets,
        target_rows=rows,
        derated=_reached(flown, derated, states, flying, kinds, rows),
        plain=_reached(flown, plain, states, flying, kinds, rows),
        edge=glide_edge(flown, derated),
        derated_gliders=derated,
        plain_gliders=plain,
    )


def _around(states: Array, gliders: Gliders) -> tuple[float, float, float, float]:
    """Return west, south, east and north of all that can be reached."""
    far_m = float(np.max(gliders.table))
    east_m, north_m = states[:, c.EAST], states[:, c.NORTH]
    return (
        float(east_m.min()) - far_m,
        float(north_m.min()) - far_m,
        float(east_m.max()) + far_m,
        float(north_m.max()) + far_m,
    )


def _targets(flown: Flown) -> tuple[tuple[str, ...], Array]:
    """Return the names and rows of what may be glided to, the landing point first."""
    pattern, places = flown.resolved.pattern, flown.resolved.sortie.site.come_down
    rows = np.zeros((1 + len(places), g.TARGET_COLUMNS))
    rows[0, g.TARGET_EAST], rows[0, g.TARGET_NORTH] = pattern.landing_m
    rows[0, g.TARGET_ROUND_OUT] = ROUND_OUT_M
    rows[:, g.TARGET_HEADING] = np.nan
    rows[0, g.TARGET_HEADING] = pattern.direction_rad
    for row, place in zip(rows[1:], places, strict=True):
        row[g.TARGET_EAST], row[g.TARGET_NORTH] = place.east_m, place.north_m
        row[g.TARGET_INSIDE] = max(place.radius_m - _INSIDE_EDGE_M, 0.0)
    return (LANDING, *(place.name for place in places)), rows


def _reached(
    flown: Flown,
    gliders: Gliders,
    states: Array,
    flying: Mask,
    kinds: GroundKinds,
    targets: Array,
) -> Reached:
    starts, who = states[flying], np.nonzero(flying)[1]
    plan, _, ground, obstacles = flown.surroundings
    shared = gliders.rows, gliders.table, gliders.courses, gliders.levels, plan, ground, obstacles
    spare_m = np.full((*flying.shape, targets.shape[0]), np.nan)
    spare_m[flying] = g.spare_heights(starts, who, *shared, targets)
    found = np.full((*flying.shape, 3), [g.UNKNOWN, np.nan, np.nan])
    found[flying] = g.fan_out(starts, who, *shared, kinds.kinds, kinds.place)
    return Reached(
        spare_m=spare_m,
        kind=found[:, :, 0].astype(np.int64),
        east_m=found[:, :, 1],
        north_m=found[:, :, 2],
    )
