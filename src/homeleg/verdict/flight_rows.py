"""Rows of the flight itself: reserve, headway, flying speed and ground on the route."""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.route.geometry import Leg
from homeleg.sortie.unknown_ground import unknown_under
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.judging import EVENT_SHARE, judge_event
from homeleg.verdict.result import Place, Row, Status
from homeleg.verdict.standing import ceilings_m, naming_what_stands_there

Array = NDArray[np.float64]

PATTERN_ACT = "raise the pattern height, fly the pattern on the other side, or land another way"

__all__ = ["PATTERN_ACT", "flight_rows", "headway_row", "landing_charge_fraction"]

_SHORT_OF_FULL = 0.95
_COLD_PACK_K = 288.15


def flight_rows(evidence: Evidence) -> list[Row]:
    """Return the rows of reserve, headway, flying speed and ground on the route."""
    return [
        _reserve(evidence),
        _headway(evidence),
        _wind_aloft(evidence),
        _turn(evidence),
        _gust(evidence),
        _ground(evidence),
    ]


def landing_charge_fraction(evidence: Evidence) -> Array:
    """Return the charge left at touchdown over the usable charge, 0 where it did not suffice.

    NaN where a flight ended otherwise: it counts once, in the row of what ended it.
    """
    usable = evidence.flown.members[:, c.USABLE]
    left = np.clip(1.0 - evidence.result(c.CHARGE_USED) / usable, 0.0, 1.0)
    events = evidence.result(c.EVENT)
    spent = (events == c.PACK_EMPTY) | (events == c.NOT_ARRIVED)
    return np.where(spent, 0.0, np.where(evidence.flown.landed, left, np.nan))


def _reserve(evidence: Evidence) -> Row:
    fractions = landing_charge_fraction(evidence)
    if not np.any(np.isfinite(fractions)):
        return evidence.unanswered("reserve.charge", "no flight came as far as its landing")
    cause, act = _why_charge_is_short(evidence)
    row = evidence.row("reserve.charge", fractions, cause=cause, act=act)
    events = evidence.result(c.EVENT)
    lost = int(np.count_nonzero((events == c.PACK_EMPTY) | (events == c.NOT_ARRIVED)))
    if lost and row.status is Status.NO_GO:
        row = replace(row, note=f"{lost} of {events.size} computed flights ran out of charge")
    return row


def _why_charge_is_short(evidence: Evidence) -> tuple[str, str]:
    """Return what makes the charge run short: the pack as it is, the wind, or the demand itself."""
    resolved = evidence.resolved
    if resolved.inputs["charged"].value < _SHORT_OF_FULL:
        return "charge", "charge the pack full, or swap it"
    worst = max(evidence.flown.draws.members // 10, 1)
    fractions = np.nan_to_num(landing_charge_fraction(evidence), nan=1.0)
    if evidence.is_windy(np.argsort(fractions)[:worst]):
        return "wind aloft", "fly the legs into wind faster, or wait for less wind"
    if resolved.inputs["pack_temperature"].value < _COLD_PACK_K:
        return "pack temperature", "warm the pack before launch"
    pack = resolved.sortie.pack
    if pack.capacity_fraction.value < _SHORT_OF_FULL:
        return "charge", "use a healthier pack"
    return "charge", "shorten the route, or take a larger pack"


def _headway(evidence: Evidence) -> Row:
    values = _headway_values(evidence)
    adverse = float(np.percentile(values, 10.0))
    nearest = int(np.argmin(np.abs(values - adverse)))
    leg = evidence.flown.departure.legs[int(evidence.result(c.HEADWAY_PLACE + 1)[nearest])]
    where = evidence.place_nearest(values, adverse, c.HEADWAY_PLACE)
    return headway_row(evidence, values, leg, where)


def _headway_values(evidence: Evidence) -> Array:
    """Return each member's least ground speed; on legs too short to settle, airspeed less wind."""
    values = evidence.result(c.HEADWAY_PLACE)
    highest_m = max(leg.height_m for leg in evidence.flown.departure.legs)
    east, north = evidence.wind_at(highest_m)
    cruise_m_s = evidence.resolved.speeds.cruise_eas_m_s * evidence.resolved.tas_per_eas
    return np.where(np.isfinite(values), values, cruise_m_s - np.hypot(east, north))


def headway_row(evidence: Evidence, values: Array, leg: Leg, where: Place) -> Row:
    """Return the headway row of least ground speeds (members,) read on a leg."""
    limit = evidence.limits["headway.ground_speed"]
    adverse = float(np.nanpercentile(values, 10.0))
    true_m_s = leg.airspeed_eas_m_s * evidence.tas_per_eas_at(leg.height_m)
    want = max(limit.want or 0.0, limit.extra["want_airspeed_fraction"] * true_m_s)
    faster = math.ceil(2.0 * (true_m_s + want - adverse + 0.1)) / 2.0
    act = f"fly {where.leg} at {faster:.1f} m/s TAS, or turn the order round"
    row = evidence.row("headway.ground_speed", values, want=want, cause="wind aloft", act=act)
    return replace(row, where=where)


def _wind_aloft(evidence: Evidence) -> Row:
    stronger = evidence.result(c.GREATEST_WIND_RATIO) >= 1.0
    row = evidence.row(
        "headway.wind_aloft",
        float(np.mean(stronger)),
        cause="wind aloft",
        act="wait for less wind aloft",
    )
    happened = int(np.count_nonzero(stronger))
    return judge_event(row, happened, stronger.size, "meet a wind as strong as their airspeed")


def _turn(evidence: Evidence) -> Row:
    values = evidence.result(c.TURN_PLACE)
    bank = max(item.bank_rad for item in evidence.resolved.items)
    gentle = min(bank, math.radians(evidence.limits["corners.bank"].want or 30.0))
    too_steep = bank > gentle
    stall = float(evidence.resolved.aircraft.stall_eas_m_s)
    want = evidence.limits["speed.turn"].want or 0.0
    airspeed = math.ceil(10.0 * want * stall / math.sqrt(math.cos(gentle))) / 10.0
    limited = f"limit the bank to {math.degrees(gentle):.0f} deg and " if too_steep else ""
    row = evidence.row(
        "speed.turn",
        values,
        cause="bank" if too_steep else "airspeed",
        act=f"{limited}fly at {airspeed:.1f} m/s EAS or more",
        place=c.TURN_PLACE,
    )
    return evidence.event(
        row,
        evidence.ended_in(c.STALLED),
        "fall below the stalling speed for more than 1 s",
        _mend_stall,
    )


def _mend_stall(row: Row, leg: Leg) -> Row:
    """Return the row with what helps against stalls on a leg: its figure may have room."""
    if row.want is not None and row.reading is not None and row.reading < row.want:
        return row
    return replace(
        row,
        cause="gust",
        act=f"fly {leg.start} to {leg.end} 1 m/s faster, or wait for less gust",
    )


def _gust(evidence: Evidence) -> Row:
    limit = evidence.limits["speed.gust"]
    values = evidence.result(c.GUST_PLACE)
    read = np.isfinite(values)
    if not np.any(read):
        return evidence.unanswered("speed.gust", "no computed flight came that far")
    stall = evidence.aircraft.stall_eas_m_s
    half = 0.5 * evidence.flown.draws.value["gust_spread"]
    calm = float(np.percentile((values + half / stall)[read], 10.0))
    gusty = calm >= (limit.want or 0.0)
    missing = (limit.want or 0.0) - float(np.percentile(values[read], 10.0))
    faster = max(math.ceil(10.0 * missing * float(np.median(stall))) / 10.0, 0.1)
    act = f"fly {faster:.1f} m/s faster" + (", or wait for less gust" if gusty else "")
    return evidence.row(
        "speed.gust",
        values,
        cause="gust" if gusty else "airspeed",
        act=act,
        place=c.GUST_PLACE,
    )


def _ground(evidence: Evidence) -> Row:
    values = evidence.result(c.GROUND_PLACE)
    if not np.any(np.isfinite(values)):
        return evidence.unanswered("ground.route", "no flight came as far as its route")
    want = evidence.limits["ground.route"].want or 0.0
    short = want - float(np.percentile(values[np.isfinite(values)], 10.0))
    act = f"raise the lowest item by {math.ceil(max(short, 1.0)):.0f} m"
    cause = "datum" if _amsl_read_as_launch_would_do(evidence, want) else "route height"
    if cause == "datum":
        act = "check the heights: they are AMSL, and would do if they were meant above launch"
    row = evidence.row("ground.route", values, cause=cause, act=act, place=c.GROUND_PLACE)
    if cause != "datum" and row.where is not None:
        raised_m = row.where.height_above_launch_m + math.ceil(max(short, 1.0))
        if raised_m > ceilings_m(evidence)[1]:
            around = f"lead the route around it: {raised_m:.0f} m above launch is over the ceiling"
            row = replace(row, act=around)
    row = evidence.event(
        row, evidence.ended_in(c.TOUCHED_GROUND), "touch the ground on the way", _mend_ground
    )
    return naming_what_stands_there(evidence, _over_unknown_ground(evidence, row))


def _mend_ground(row: Row, leg: Leg) -> Row:
    """Return the row with what helps where the ground is touched: route or pattern."""
    if leg.on_route:
        return row
    return replace(row, cause="ground", act=PATTERN_ACT)


def _over_unknown_ground(evidence: Evidence, row: Row) -> Row:
    """Return the row, NO-GO where the route, or more flights than may, lie over unknown ground."""
    stretches = unknown_under(evidence.flown.departure.legs, evidence.resolved.surface)
    # A flight blown away until its charge ends is the wind's, and counted there.
    events = evidence.result(c.EVENT)
    spent = (events == c.PACK_EMPTY) | (events == c.NOT_ARRIVED)
    blown = int(np.count_nonzero((evidence.result(c.UNKNOWN_GROUND) > 0.0) & ~spent))
    members = evidence.flown.draws.members
    if stretches:
        note = f"no ground is known under {stretches[0].words}"
    elif blown > EVENT_SHARE * members:
        note = f"{blown} of {members} flights are carried over ground that is not known"
    else:
        return row
    return replace(
        row,
        status=Status.NO_GO,
        shortfall=max(row.shortfall, 2.0),
        cause="ground",
        act="give ground that reaches under the whole route",
        note=note,
    )


def _amsl_read_as_launch_would_do(evidence: Evidence, want_m: float) -> bool:
    """Return whether low heights given AMSL would be high enough above launch."""
    heights = [item.height for item in evidence.resolved.sortie.route.items if item.height]
    amsl = [height.value_m for height in heights if height.above.value == "AMSL"]
    return bool(amsl) and min(amsl) > want_m
