"""Changes of airspeed: against the wind, above the stall, for the charge."""

import math
from collections.abc import Iterator

from homeleg.amend.basis import Basis, failing, reading, want
from homeleg.amend.change import Change
from homeleg.foundation.heights import StatedAirspeed
from homeleg.route.items import ItemKind
from homeleg.verdict.result import Row

__all__ = ["above_the_stall", "against_the_wind", "for_charge"]

PART_COST = 1.0
WHOLE_COST = 1.3
_STEP_M_S = 1.0
_AROUND_M_S = 1.5
# A figure that is to come out above its want is aimed this much higher. Ours.
_ROOM_M_S = 0.1


def against_the_wind(basis: Basis, row: Row) -> Iterator[Change]:
    """Fly faster where the least ground speed is read, on the way home, at work, or everywhere.

    The least airspeed V that makes headway in a wind W: V - W is the want of m/s and of V; and the
    hard limit alone, which costs less charge.
    """
    headway = basis.rows["headway.ground_speed"]
    if not failing(headway):
        return
    extra = headway.limit.extra["want_airspeed_fraction"]
    planned = {item.name: item for item in basis.middle}
    of_leg = headway.where.leg.split(" to ")[-1] if headway.where is not None else ""
    flown = planned.get(of_leg)
    now_eas = basis.resolved.speeds.home_eas_m_s if flown is None else flown.airspeed_eas_m_s
    wind_m_s = now_eas * basis.resolved.tas_per_eas - reading(headway) + _ROOM_M_S
    least_m_s = max(wind_m_s + (headway.limit.want or 0.0), wind_m_s / (1.0 - extra))
    barely_m_s = wind_m_s + (headway.hard or 0.0)
    for true_m_s in (barely_m_s, least_m_s, least_m_s + _STEP_M_S):
        yield from _groups(basis, basis.speed(true_m_s / basis.resolved.tas_per_eas), of_leg)


def for_charge(basis: Basis, row: Row) -> Iterator[Change]:
    """Come home, or fly it all, slower and faster: where the airspeed alone may save charge."""
    if failing(basis.rows["headway.ground_speed"]):
        return
    cruise = basis.resolved.speeds.cruise_eas_m_s
    for more_m_s in (-_AROUND_M_S, _AROUND_M_S):
        airspeed = basis.speed(cruise + more_m_s)
        groups = list(_groups(basis, airspeed, ""))
        yield groups[0]
        yield groups[-1]


def above_the_stall(basis: Basis, bank_rad: float) -> Iterator[Change]:
    """Fly the whole route and home as fast as turns and gusts ask at a bank."""
    now_rad = basis.sortie.aircraft.guidance.bank_rad
    slowest = min(item.airspeed_eas_m_s for item in basis.middle)
    gentler = math.sqrt(math.cos(bank_rad) / math.cos(now_rad))
    needed = slowest
    for slug in ("speed.turn", "speed.gust"):
        row = basis.rows[slug]
        if failing(row) and reading(row) > 0.0:
            needed = max(needed, slowest * want(row) / (reading(row) * gentler))
    if needed <= slowest:
        needed = slowest + _STEP_M_S
    yield _everywhere(basis, basis.speed(needed))


def _groups(basis: Basis, airspeed: StatedAirspeed, of_leg: str) -> Iterator[Change]:
    """Return an airspeed for the way home, the orbits, the leg read, and everywhere."""
    names = {item.name: item.kind for item in basis.middle}
    back = [name for name, kind in names.items() if kind is ItemKind.RETURN]
    orbits = [name for name, kind in names.items() if kind is ItemKind.ORBIT]
    yield basis.flown_at(back, airspeed, "come home", PART_COST, home=True)
    if orbits:
        words = f"fly {' and '.join(orbits)}"
        yield basis.flown_at(orbits, airspeed, words, PART_COST, home=False)
    if names.get(of_leg) is ItemKind.POINT:
        words = f"fly the leg to {of_leg}"
        yield basis.flown_at([of_leg], airspeed, words, PART_COST, home=False)
    yield _everywhere(basis, airspeed)


def _everywhere(basis: Basis, airspeed: StatedAirspeed) -> Change:
    names = [item.name for item in basis.middle]
    return basis.flown_at(names, airspeed, "fly the whole route and home", WHOLE_COST, home=True)
