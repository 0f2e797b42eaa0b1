"""Rows of *Heard*: the margin of the control link along the route, and where ground hides it."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.record import Radio
from homeleg.flight import layout as c
from homeleg.foundation.constants import SPEED_OF_LIGHT_M_S
from homeleg.physics.radio import (
    earth_bulge,
    free_space_loss,
    fresnel_radius,
    knife_edge_loss,
    knife_edge_parameter,
    level_dbm,
)
from homeleg.verdict.corridor import Corridor
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.judging import EVENT_SHARE
from homeleg.verdict.result import Row, Status
from homeleg.verdict.undeclared import undeclared
from homeleg.way_home.search import SPENT, HomeSearch
from homeleg.world.ground import Surface, top_height

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

__all__ = ["heard_rows", "link_at"]

# The ground along a line is looked at this often, at least and at most so many times. Ours.
_GROUND_EVERY_M = 10.0
_FEWEST_POINTS, _MOST_POINTS = 8, 200
_NEAREST_M = 1.0
_LEAST_FLYING = 0.5


def heard_rows(
    evidence: Evidence, corridor: Corridor, home: HomeSearch | None, way_home: list[Row]
) -> list[Row]:
    """Return the rows of the question *Heard*; `way_home` are the rows of the way home."""
    radio = evidence.resolved.sortie.aircraft.radio
    slugs = ("heard.margin", "heard.hidden")
    if radio is None:
        hidden = does_not_apply(evidence.limits["heard.hidden"], "no radio declared")
        return [undeclared(evidence, "heard.margin"), hidden]
    if not np.any(corridor.on_route):
        return [evidence.unanswered(slug, "no flight came as far as its route") for slug in slugs]
    link = _link(evidence, corridor, radio)
    lost = _seconds_without_a_way_home(evidence, corridor, home, way_home)
    return [_margin(evidence, corridor, link, lost), _hidden(evidence, corridor, link)]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Link:
    """The link at each second of each flight on its route, NaN elsewhere (seconds, members).

    `margin_db` over the sensitivity, the antenna's null taken off; `covered` where ground comes
    nearer to the line than the share of the first Fresnel zone that should be clear.
    """

    margin_db: Array
    covered: Mask


def _link(evidence: Evidence, corridor: Corridor, radio: Radio) -> _Link:
    share = evidence.limits["heard.hidden"].extra["fresnel_share"]
    margin_db = np.full(corridor.up_m.shape, np.nan)
    covered = np.zeros(corridor.up_m.shape, dtype=np.bool_)
    for number, there in enumerate(corridor.on_route):
        if not np.any(there):
            continue
        margin_db[number, there], parameter = link_at(
            evidence,
            radio,
            corridor.east_m[number, there],
            corridor.north_m[number, there],
            corridor.up_m[number, there],
        )
        covered[number, there] = parameter > -share * np.sqrt(2.0)
    return _Link(margin_db=margin_db, covered=covered)


def link_at(
    evidence: Evidence, radio: Radio, east_m: Array, north_m: Array, up_m: Array
) -> tuple[Array, Array]:
    """Return the link's margin [dB] and the diffraction parameter of the worst edge, (places,)."""
    level_db = float(level_dbm(radio.power_w)) + sum(radio.gain_dbi) - radio.losses_db
    level_db -= radio.sensitivity_dbm + evidence.limits["heard.margin"].extra["antenna_null_db"]
    ground_m = np.maximum(np.hypot(east_m, north_m), _NEAREST_M)
    parameter = _edge_parameter(
        evidence.resolved.surface,
        east_m,
        north_m,
        up_m,
        antenna_m=radio.antenna_height_m,
        wavelength_m=SPEED_OF_LIGHT_M_S / radio.frequency_hz,
    )
    distance_m = np.hypot(ground_m, up_m - radio.antenna_height_m)
    loss_db = free_space_loss(radio.frequency_hz, distance_m) + knife_edge_loss(parameter)
    return np.asarray(level_db - loss_db), parameter


def _edge_parameter(
    surface: Surface,
    east_m: Array,
    north_m: Array,
    up_m: Array,
    *,
    antenna_m: float,
    wavelength_m: float,
) -> Array:
    """Return the diffraction parameter of the worst edge on the line to each place.

    Trees count as ground. Unknown ground hides nothing here: it has its own row.
    """
    distance_m = np.maximum(np.hypot(east_m, north_m), _NEAREST_M)
    wanted = int(np.ceil(np.max(distance_m) / _GROUND_EVERY_M))
    points = min(max(wanted, _FEWEST_POINTS), _MOST_POINTS)
    share = np.linspace(0.0, 1.0, points + 2)[1:-1, np.newaxis]
    there_m, beyond_m = share * distance_m, (1.0 - share) * distance_m
    top_m = top_height(surface, share * east_m, share * north_m)
    line_m = antenna_m + share * (up_m - antenna_m)
    above_m = np.where(np.isnan(top_m), -line_m, top_m + earth_bulge(there_m, beyond_m) - line_m)
    radius_m = fresnel_radius(there_m, beyond_m, wavelength_m)
    return np.asarray(np.max(knife_edge_parameter(above_m, radius_m), axis=0))


def _seconds_without_a_way_home(
    evidence: Evidence, corridor: Corridor, home: HomeSearch | None, way_home: list[Row]
) -> Mask:
    """Return at which seconds of the corridor a lost link would end in a NO-GO.

    None does while every row of the way home holds; else those next to a departure whose low tail
    lies beyond the hard limit of a row that does not.
    """
    failing = {row.limit.slug: row.hard for row in way_home if row.status is Status.NO_GO}
    if home is None or not failing:
        return np.zeros(corridor.seconds.size, dtype=np.bool_)
    first = home.first
    usable = evidence.flown.members[: first.flying.shape[1], c.USABLE]
    on_route = first.states[:, :, c.LEG] > 0.0
    values = {
        "home.charge": 100.0 * first.charge_left(usable),
        "ground.way_home": np.where(on_route, first.column(c.GROUND_PLACE), np.nan),
    }
    lost: Mask = first.ended_in(*SPENT).mean(axis=1) > EVENT_SHARE
    for slug, value in values.items():
        hard = failing.get(slug)
        if hard is not None:
            lost |= _low(value) < hard
    seconds = home.first_seconds
    nearest = np.searchsorted(seconds, corridor.seconds - 0.5 * np.diff(seconds[:2]))
    by_second: Mask = np.logical_or.reduce(home.by_second(lost))
    return np.asarray(by_second[np.minimum(nearest, seconds.size - 1)])


def _low(values: Array) -> Array:
    """Return the tenth percentile of each departure, infinite where fewer than half read one."""
    read = np.isfinite(values)
    low = np.full(values.shape[0], np.inf)
    for number in np.flatnonzero(read.mean(axis=1) >= _LEAST_FLYING):
        low[number] = np.percentile(values[number, read[number]], 10.0)
    return low


def _margin(evidence: Evidence, corridor: Corridor, link: _Link, lost: Mask) -> Row:
    """Return the margin at each flight's worst second; hard only where no way home holds."""
    everywhere = _worst_row(evidence, corridor, link.margin_db)
    if everywhere.status is not Status.NO_GO:
        return everywhere
    where_lost = np.where(lost[:, np.newaxis], link.margin_db, np.nan)
    if np.any(np.isfinite(where_lost)):
        row = _worst_row(evidence, corridor, where_lost)
        if row.status is Status.NO_GO:
            return replace(row, note="and from there the way home is NO-GO")
    return replace(everywhere, status=Status.MARGINAL, note="the way home from there holds")


def _worst_row(evidence: Evidence, corridor: Corridor, margin_db: Array) -> Row:
    values_db = np.fmin.reduce(margin_db)
    row = evidence.row(
        "heard.margin",
        values_db,
        cause="radio",
        act="raise the antenna, post it where it sees the route, or fly that leg higher or nearer",
    )
    worst = np.argmin(np.where(np.isnan(margin_db), np.inf, margin_db), axis=0)
    return corridor.located(row, values_db, worst)


def _hidden(evidence: Evidence, corridor: Corridor, link: _Link) -> Row:
    values_s = link.covered.sum(axis=0) * corridor.spacing_s
    return evidence.row("heard.hidden", values_s, cause="radio")
