"""Rows of *Balance and mass*."""

import math
from dataclasses import replace

import numpy as np

from homeleg.aircraft.record import Aircraft
from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.result import Row, Status

__all__ = ["envelope", "mass_rows"]

# Static margin wanted where no flown envelope is known, over the mean chord. Common practice.
_LEAST_MARGIN, _GREATEST_MARGIN = 0.08, 0.15


def mass_rows(evidence: Evidence) -> list[Row]:
    """Return the three rows of the question *Balance and mass*."""
    return [_balance(evidence), _total(evidence), _lateral(evidence)]


def envelope(record: Aircraft) -> tuple[float, float] | None:
    """Return the centre-of-gravity envelope, as fractions of the mean chord; None if unknown."""
    if record.mass.flown_range_fraction is not None:
        return record.mass.flown_range_fraction
    if record.mass.neutral_point_fraction is None:
        return None
    neutral = record.mass.neutral_point_fraction
    return neutral - _GREATEST_MARGIN, neutral - _LEAST_MARGIN


def _balance(evidence: Evidence) -> Row:
    record = evidence.resolved.sortie.aircraft
    limits = envelope(record)
    if limits is None:
        row = does_not_apply(evidence.limits["mass.balance"], "")
        return _not_answered(row)
    forward, aft = limits
    centres = evidence.flown.draws.value["centre_of_gravity"]
    inside = np.minimum(centres - forward, aft - centres)
    middle = evidence.resolved.loaded.centre_of_gravity_fraction.value
    return evidence.row(
        "mass.balance",
        inside,
        want=0.0,
        hard=0.0,
        cause="balance",
        act=_mend_balance(evidence, middle, forward, aft),
        note=f"centre of gravity {100 * middle:.1f} % MAC, "
        f"envelope {100 * forward:.0f} to {100 * aft:.0f}",
    )


def _not_answered(row: Row) -> Row:
    return replace(
        row,
        status=Status.NOT_ANSWERED,
        cause="balance",
        act="give the flown range of the centre of gravity, or the neutral point",
        note="neither a flown range nor a neutral point is known",
    )


def _mend_balance(evidence: Evidence, middle: float, forward: float, aft: float) -> str:
    """Return the shift of a station that brings the centre inside at nine in ten, if one can."""
    resolved = evidence.resolved
    record = resolved.sortie.aircraft
    spare = NINE_IN_TEN_Z * resolved.loaded.centre_of_gravity_fraction.sd
    if forward + spare > aft - spare:
        return "weigh and balance again: the spread is wider than the envelope"
    target = aft - spare if middle > 0.5 * (forward + aft) else forward + spare
    shift_kg_m = (middle - target) * record.wing.mean_chord_m * resolved.loaded.total_kg.value
    for station in sorted(record.stations, key=lambda one: -one.mass_kg * one.slide_m):
        by_mm = math.ceil(1000.0 * abs(shift_kg_m) / station.mass_kg)
        if by_mm <= 1000.0 * station.slide_m:
            way = "forward" if shift_kg_m > 0.0 else "aft"
            return f"move {station.name} {by_mm} mm {way}, then weigh again"
    return "move or exchange what is on board until it balances inside the envelope"


def _total(evidence: Evidence) -> Row:
    record = evidence.resolved.sortie.aircraft
    limit = evidence.limits["mass.total"]
    if record.mass.flown_maximum_kg is None:
        return does_not_apply(limit, "no flown maximum recorded")
    mass = evidence.resolved.loaded.total_kg.value
    over_g = 1000.0 * (mass - record.mass.flown_maximum_kg)
    return evidence.row(
        "mass.total",
        mass / record.mass.flown_maximum_kg,
        cause="mass",
        act=f"take {max(over_g, 0.0):.0f} g off, or fly the gentle stall card at this mass",
        note=f"{mass:.2f} kg, flown up to {record.mass.flown_maximum_kg:.2f} kg",
    )


def _lateral(evidence: Evidence) -> Row:
    record = evidence.resolved.sortie.aircraft
    if record.mass.lateral_centre_m is None:
        return does_not_apply(evidence.limits["mass.lateral"], "not measured")
    return evidence.row(
        "mass.lateral", abs(record.mass.lateral_centre_m) / record.wing.span_m, cause="balance"
    )
