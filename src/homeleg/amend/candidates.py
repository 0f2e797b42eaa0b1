"""From failing rows to changes that may mend them: what a pilot can do at the field, with its cost.

The cost orders the candidates, smallest first. It has no unit, and is ours: it grows with how much
of what the pilot planned, walked and set is no longer so. Its reasons are
in the decision "Which change is proposed".
"""

import math
from collections.abc import Callable, Iterator
from datetime import timedelta

from homeleg.aircraft.loading import StationMove
from homeleg.amend.basis import Basis, reading, want
from homeleg.amend.change import Change, both
from homeleg.amend.route_candidates import (
    farthest_dropped,
    leg_lengthened,
    lowered,
    raised,
    shortened,
    turned_round,
)
from homeleg.amend.speed_candidates import above_the_stall, against_the_wind, for_charge
from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.sortie.planning import height_above_launch
from homeleg.verdict.result import Row
from homeleg.world.wind import profile_speed

__all__ = ["candidates"]

PACK_COST = 0.5
LAUNCH_COST = 0.5
BANK_COST = 0.8
RETURN_COST = 1.0
HOME_OVER_COST = 1.5
WAIT_COST = 2.0
_WAITS_MIN = (30, 60, 90)
_MOST_WAYS_HOME = 6

Changes = Iterator[Change]


def candidates(basis: Basis) -> list[Change]:
    """Return the changes that may mend the failing rows, each once, the smallest first."""
    found: dict[str, Change] = {}
    for slug, makers in _BY_ROW.items():
        if slug in basis.to_mend:
            for make in makers:
                for change in make(basis, basis.rows[slug]):
                    found.setdefault(change.words, change)
    return sorted(found.values(), key=lambda change: change.cost)


def _pack_moved(basis: Basis, row: Row) -> Changes:
    """Move each thing on a slide, until the balance is inside at nine in ten, and farther in."""
    mass, loaded = basis.sortie.aircraft.mass, basis.resolved.loaded
    if mass.flown_range_fraction is None:
        return
    forward, aft = mass.flown_range_fraction
    centre = loaded.centre_of_gravity_fraction
    spread = NINE_IN_TEN_Z * centre.sd
    edge = aft - spread if centre.value > 0.5 * (forward + aft) else forward + spread
    chord_m = basis.sortie.aircraft.wing.mean_chord_m
    moved_m = {move.station: move.by_m for move in basis.sortie.loading.moves}
    for station in basis.sortie.aircraft.stations:
        for target in (edge, 0.5 * (edge + 0.5 * (forward + aft))):
            needed_m = (target - centre.value) * chord_m * loaded.total_kg.value / station.mass_kg
            by_mm = math.copysign(math.ceil(1000.0 * abs(needed_m)), needed_m)
            whole_m = moved_m.get(station.name, 0.0) + by_mm / 1000.0
            if by_mm and abs(whole_m) <= station.slide_m:
                side = "forward" if by_mm < 0.0 else "aft"
                yield Change(
                    words=f"move {station.name} {abs(by_mm):.0f} mm {side}, then weigh again",
                    cost=PACK_COST + 0.01 * abs(by_mm),
                    moved=StationMove(station=station.name, by_m=whole_m),
                )


def _launched_into_wind(basis: Basis, row: Row) -> Changes:
    east, north = profile_speed(basis.resolved.wind, 10.0)
    heading_deg = round(math.degrees(math.atan2(-east, -north))) % 360
    yield Change(
        words=f"launch along {heading_deg:.0f} deg, into the wind",
        cost=LAUNCH_COST,
        launch_heading_rad=math.radians(heading_deg),
    )


def _less_bank(basis: Basis, row: Row) -> Changes:
    """Bank less; and bank less at the airspeed that the turns then need, as one change."""
    wanted_rad = math.radians(want(basis.rows["corners.bank"]) or 30.0)
    if basis.sortie.aircraft.guidance.bank_rad <= wanted_rad:
        return
    less = Change(
        words=f"limit the bank to {math.degrees(wanted_rad):.0f} deg",
        cost=BANK_COST,
        bank_rad=wanted_rad,
    )
    yield less
    for faster in above_the_stall(basis, wanted_rad):
        together = both(less, faster)
        if together is not None:
            yield together


def _faster_in_turns(basis: Basis, row: Row) -> Changes:
    yield from above_the_stall(basis, basis.sortie.aircraft.guidance.bank_rad)


def _return_raised(basis: Basis, row: Row) -> Changes:
    stated_m = _return_height(basis)
    now_m = max(item.height_m for item in basis.middle) if stated_m is None else stated_m
    for wanted in (want(row), row.hard or 0.0):
        height_m = math.ceil(now_m + wanted - reading(row))
        if height_m > now_m:
            yield _return_at(height_m)


def _return_lowered(basis: Basis, row: Row) -> Changes:
    stated_m = _return_height(basis)
    if stated_m is not None:
        height_m = math.floor(stated_m - (reading(row) - want(row)))
        if height_m >= basis.resolved.pattern.height_m:
            yield _return_at(height_m)


def _return_height(basis: Basis) -> float | None:
    """Return the height above launch it comes home at, as stated; None where it is not told."""
    stated = basis.sortie.aircraft.link_loss.return_height
    if stated is None:
        return None
    elevation_m = basis.sortie.site.elevation_amsl_m
    return height_above_launch(stated, elevation_m, 0.0, "return_height")


def _return_at(height_m: float) -> Change:
    return Change(
        words=f"set the return height to {height_m:.0f} m above launch",
        cost=RETURN_COST,
        return_height_m=height_m,
    )


def _home_another_way(basis: Basis, row: Row) -> Changes:
    """Come home over a point of the route, of those that are the least detour."""
    if row.where is None:
        return
    from_m = (row.where.east_m, row.where.north_m)
    places: dict[tuple[int, int], tuple[float, str]] = {}
    for item in basis.points:
        at_m = (item.east_m, item.north_m)
        longer_m = math.dist(from_m, at_m) + math.hypot(*at_m) - math.hypot(*from_m)
        places.setdefault((round(at_m[0]), round(at_m[1])), (longer_m, item.name))
    for _, name in sorted(places.values())[:_MOST_WAYS_HOME]:
        yield Change(
            words=f"link lost, come home over {name}", cost=HOME_OVER_COST, home_over=(name,)
        )


def _later(basis: Basis, row: Row) -> Changes:
    for minutes in _WAITS_MIN:
        launch = basis.sortie.launch_time + timedelta(minutes=minutes)
        yield Change(
            words=f"wait until {launch:%H:%M} UTC",
            cost=WAIT_COST + minutes / 60.0,
            launch_time=launch,
        )


def _earlier(basis: Basis, row: Row) -> Changes:
    missing_min = 5 * math.ceil((want(row) - reading(row)) / 5.0)
    if missing_min > 0:
        launch = basis.sortie.launch_time - timedelta(minutes=missing_min)
        yield Change(
            words=f"launch at {launch:%H:%M} UTC",
            cost=WAIT_COST + missing_min / 60.0,
            launch_time=launch,
        )


_AGAINST_WIND = (against_the_wind, turned_round)
_ON_CHARGE = (against_the_wind, for_charge, shortened, turned_round, farthest_dropped)
_BY_ROW: dict[str, tuple[Callable[[Basis, Row], Changes], ...]] = {
    "home.charge": _ON_CHARGE,
    "home.arrives": _ON_CHARGE,
    "reserve.charge": _ON_CHARGE,
    "headway.ground_speed": _AGAINST_WIND,
    "headway.wind_aloft": _AGAINST_WIND,
    "speed.turn": (_less_bank, _faster_in_turns),
    "speed.gust": (_less_bank, _faster_in_turns),
    "ground.route": (raised,),
    "ground.way_home": (_return_raised, _home_another_way, farthest_dropped),
    "mass.balance": (_pack_moved,),
    "away.speed": (_launched_into_wind,),
    "away.obstacles": (_launched_into_wind,),
    "away.tail_wind": (_launched_into_wind,),
    "corners.capture": (turned_round, leg_lengthened),
    "corners.bank": (_less_bank,),
    "corners.picture_crab": (_later,),
    "pack.volts": (shortened, farthest_dropped),
    "motor.people": (farthest_dropped,),
    "inside.ceiling": (lowered, _return_lowered),
    "inside.boundary": (farthest_dropped,),
    "inside.ground_buffer": (lowered, farthest_dropped),
    "sight.distance": (farthest_dropped,),
    "sight.sun": (_later, turned_round),
    "sight.daylight": (_earlier,),
    "heard.margin": (_home_another_way, farthest_dropped),
    "reach.step": (farthest_dropped,),
}
