"""Rows of *Makes the corners*: straight flight left on each leg, bank, crab."""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.physics.turning import constant_bank_turn_displacement, fly_by_distances
from homeleg.route.geometry import Leg, LegKind
from homeleg.sortie.sortie import FlownBy
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.result import Place, Row

__all__ = ["corner_rows", "straight_flight_left_s"]

Array = NDArray[np.float64]

_SETTLING_S = 2.0
_FLY_OVER_RAD = math.radians(150.0)
_STRAIGHT_ON_RAD = math.radians(2.0)
_STRONGEST_WIND_OVER_AIRSPEED = 0.95


@dataclass(frozen=True, slots=True, kw_only=True)
class _Corner:
    """Straight distance a corner takes from the leg before it and from the leg after it [m]."""

    before_m: Array
    after_m: Array


def corner_rows(evidence: Evidence) -> list[Row]:
    """Return the four rows of the question *Makes the corners*."""
    return [_capture(evidence), _bank(evidence), _picture_crab(evidence), _crab(evidence)]


def straight_flight_left_s(evidence: Evidence) -> dict[int, Array]:
    """Return, by leg number, seconds of straight flight left after settling, (members,).

    Constant-bank turns in each member's wind at its own airspeed; two seconds to settle. Legs
    that begin where the aircraft happens to be, and legs around a circle, are left out.
    """
    legs = evidence.flown.departure.legs
    corners = {k: _corner(evidence, legs[k], legs[k + 1]) for k in range(len(legs) - 1)}
    left = {}
    for k, leg in enumerate(legs):
        if not leg.on_route or leg.kind is not LegKind.TRACK or leg.direct:
            continue
        straight_m = leg.length_m - corners[k - 1].after_m - corners[k].before_m
        left[k] = straight_m / _ground_speed(evidence, leg) - _SETTLING_S
    return left


def _air(evidence: Evidence, leg: Leg) -> tuple[Array, Array, Array]:
    """Return true airspeed and wind at a leg's height, wind held below the airspeed."""
    resolved = evidence.resolved
    factor = evidence.flown.draws.value["airspeed_factor"]
    thinner = 1.0 - resolved.density_lapse_1_m * leg.height_m
    true_m_s = leg.airspeed_eas_m_s * factor * resolved.tas_per_eas / math.sqrt(thinner)
    east, north = evidence.wind_at(leg.height_m)
    speed = np.maximum(np.hypot(east, north), 1e-9)
    held = np.minimum(1.0, _STRONGEST_WIND_OVER_AIRSPEED * true_m_s / speed)
    return true_m_s, east * held, north * held


def _ground_speed(evidence: Evidence, leg: Leg) -> Array:
    true_m_s, east, north = _air(evidence, leg)
    sine, cosine = math.sin(leg.course_rad), math.cos(leg.course_rad)
    across = east * cosine - north * sine
    along = east * sine + north * cosine
    return np.maximum(np.sqrt(true_m_s**2 - across**2) + along, 0.5)


def _corner(evidence: Evidence, before: Leg, after: Leg) -> _Corner:
    nothing = np.zeros(evidence.flown.draws.members)
    change = (after.course_rad - before.course_rad + math.pi) % (2.0 * math.pi) - math.pi
    if LegKind.ORBIT in (before.kind, after.kind) or abs(change) < _STRAIGHT_ON_RAD:
        return _Corner(before_m=nothing, after_m=nothing)
    sign = after.side_sign or math.copysign(1.0, change)
    true_m_s, east, north = _air(evidence, before)
    if before.passes_over or abs(change) > _FLY_OVER_RAD:
        return _Corner(
            before_m=nothing,
            after_m=_after_flying_over(before, after, sign, true_m_s, east, north),
        )
    lead_m, roll_out_m = fly_by_distances(
        true_m_s, before.bank_rad, before.course_rad, after.course_rad, sign, east, north
    )
    return _Corner(before_m=lead_m, after_m=roll_out_m)


def _after_flying_over(
    before: Leg, after: Leg, sign: float, true_m_s: Array, east: Array, north: Array
) -> Array:
    """Return the distance after an overflown corner: the turn, then closing at 45 deg."""
    headings = []
    for leg in (before, after):
        across = east * math.cos(leg.course_rad) - north * math.sin(leg.course_rad)
        headings.append(leg.course_rad - np.arcsin(across / true_m_s))
    moved_east, moved_north, _ = constant_bank_turn_displacement(
        true_m_s, before.bank_rad, headings[0], headings[1], sign, east, north
    )
    sine, cosine = math.sin(after.course_rad), math.cos(after.course_rad)
    along_m = moved_east * sine + moved_north * cosine
    aside_m = np.abs(moved_east * cosine - moved_north * sine)
    radius_m = true_m_s**2 / (STANDARD_GRAVITY_M_S2 * math.tan(before.bank_rad))
    closing_m = aside_m + 2.0 * radius_m * math.tan(math.pi / 8.0)
    return np.asarray(along_m + np.where(aside_m > 1.0, closing_m, 0.0))


def _capture(evidence: Evidence) -> Row:
    limit = evidence.limits["corners.capture"]
    if evidence.resolved.sortie.flown_by is FlownBy.HAND:
        return does_not_apply(limit, "flown by hand")
    left = straight_flight_left_s(evidence)
    if not left:
        return does_not_apply(limit, "no leg between two corners")
    shortest = min(left, key=lambda k: float(np.percentile(left[k], 10.0)))
    least = np.min(np.stack(list(left.values())), axis=0)
    leg = evidence.flown.departure.legs[shortest]
    missing_s = (limit.want or 0.0) - float(np.percentile(left[shortest], 10.0))
    longer_m = leg.length_m + missing_s * float(np.median(_ground_speed(evidence, leg)))
    row = evidence.row(
        "corners.capture",
        least,
        cause="corner",
        act=f"make {leg.start} to {leg.end} {math.ceil(longer_m / 5.0) * 5} m long, "
        "or fly the loop the other way",
    )
    return replace(row, where=_middle_of(evidence, shortest))


def _middle_of(evidence: Evidence, number: int) -> Place:
    legs = evidence.flown.departure.legs
    before = evidence.flown.leg_results[:, :number, c.LEG_TIME].sum(axis=1)
    return Place(
        leg=f"{legs[number].start} to {legs[number].end}",
        time_s=float(np.median(before)),
        east_m=0.5 * (legs[number].start_m[0] + legs[number].end_m[0]),
        north_m=0.5 * (legs[number].start_m[1] + legs[number].end_m[1]),
        height_above_launch_m=legs[number].height_m,
    )


def _bank(evidence: Evidence) -> Row:
    limit = evidence.limits["corners.bank"]
    legs = [leg for leg in evidence.flown.departure.legs if leg.on_route]
    banks = [_planned_bank(evidence, leg) for leg in legs]
    steepest = legs[int(np.argmax(banks))]
    act = f"limit the bank to {limit.want:.0f} deg"
    if steepest.kind is LegKind.ORBIT:
        act = f"widen the orbit {steepest.end}"
    return evidence.row("corners.bank", max(banks), cause="bank", act=act)


def _planned_bank(evidence: Evidence, leg: Leg) -> float:
    """Return the bank a leg calls for: its limit in turns, or what an orbit needs down-wind."""
    if leg.kind is not LegKind.ORBIT:
        return leg.bank_rad
    resolved = evidence.resolved
    true_m_s = leg.airspeed_eas_m_s * resolved.tas_per_eas
    east, north = evidence.wind_at(leg.height_m)
    fastest = true_m_s + float(np.median(np.hypot(east, north)))
    return math.atan(fastest**2 / (STANDARD_GRAVITY_M_S2 * leg.radius_m))


def _flown_crab(evidence: Evidence, *, picture: bool) -> Array | None:
    legs = evidence.flown.departure.legs
    chosen = [
        k
        for k, leg in enumerate(legs)
        if leg.on_route and leg.kind is LegKind.TRACK and leg.picture is picture
    ]
    if not chosen:
        return None
    return np.asarray(evidence.flown.leg_results[:, chosen, c.LEG_CRAB].max(axis=1))


def _picture_crab(evidence: Evidence) -> Row:
    crab = _flown_crab(evidence, picture=True)
    if crab is None:
        return does_not_apply(evidence.limits["corners.picture_crab"], "no picture leg")
    return evidence.row(
        "corners.picture_crab",
        crab,
        cause="wind aloft",
        act="lay the picture legs along the wind, or wait for less of it",
    )


def _crab(evidence: Evidence) -> Row:
    crab = _flown_crab(evidence, picture=False)
    if crab is None:
        return does_not_apply(evidence.limits["corners.crab"], "every leg is a picture leg")
    return evidence.row("corners.crab", crab, cause="wind aloft")
