"""The row of *Within its reach*."""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import level_electrical_power
from homeleg.aircraft.record import Aircraft
from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.physics.battery import NOMINAL_CELL_VOLTS
from homeleg.readiness.reach import MAIDEN_WIND_M_S, Reach, earned_reach
from homeleg.sortie.sortie import FlownBy
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.motor_rows import within_glide
from homeleg.verdict.result import Row, Status
from homeleg.way_home.motor_stopped import MotorStopped

__all__ = ["energies_inside", "reach_of", "reach_rows", "sight_limit_m"]

# A flown mean current against level cruise: climbs and turns take a little more. Ours.
_FLOWN_OVER_CRUISE = 1.05
_FLOWN_OVER_CRUISE_SD = 0.12


def reach_rows(evidence: Evidence, stopped: MotorStopped | None) -> list[Row]:
    """Return the one row of the question *Within its reach*."""
    reach = reach_of(evidence)
    farthest_m = max(
        math.hypot(item.east_m, item.north_m) + item.radius_m for item in evidence.resolved.items
    )
    limit_m = reach.limit_m
    row = evidence.row(
        "reach.step",
        farthest_m,
        want=limit_m,
        hard=limit_m,
        cause="reach",
        act=_act(reach),
        note=f"step {reach.step}: {reach.words}",
    )
    if row.status is not Status.GO:
        return [row]
    broken = _broken_condition(evidence, stopped, reach)
    if broken is not None:
        row = replace(row, status=Status.NO_GO, shortfall=1.0, note=broken)
    return [row]


def reach_of(evidence: Evidence) -> Reach:
    """Return the reach this aircraft has earned by what it flew and what was moved since."""
    resolved = evidence.resolved
    record = resolved.sortie.aircraft
    return earned_reach(
        flights=record.flights,
        energies_inside=_energies_inside(evidence),
        place_moved=resolved.loaded.place_moved,
        sight_limit_m=sight_limit_m(evidence),
    )


def sight_limit_m(evidence: Evidence) -> float:
    """Return how far the aircraft can be flown in sight: by its size and by the visibility."""
    extra = evidence.limits["sight.distance"].extra
    span_m = evidence.resolved.sortie.aircraft.wing.span_m
    by_size = extra["span_factor"] * span_m + extra["offset_m"]
    visibility_m = evidence.resolved.sortie.weather.visibility_m
    if visibility_m is None:
        return by_size
    return min(by_size, extra["visibility_share"] * visibility_m)


def _energies_inside(evidence: Evidence) -> int:
    """Return how many of the last two flights drew what is foretold today."""
    resolved = evidence.resolved
    power_w = level_electrical_power(
        evidence.aircraft, resolved.speeds.cruise_eas_m_s, resolved.density_kg_m3
    )
    return energies_inside(resolved.sortie.aircraft, np.asarray(power_w))


def energies_inside(record: Aircraft, power_w: NDArray[np.float64]) -> int:
    """Return how many of the last two flights drew what an aircraft's record predicts.

    `power_w` is its power in level cruise over the draws of what is known. [W]
    """
    middle = _FLOWN_OVER_CRUISE * float(np.median(power_w))
    spread = math.hypot(float(np.std(power_w)) / float(np.mean(power_w)), _FLOWN_OVER_CRUISE_SD)
    volts = NOMINAL_CELL_VOLTS * record.battery.cells
    last = sorted(record.energies, key=lambda energy: energy.on)[-2:]
    return sum(
        abs(energy.charge_ah * 3600.0 * volts / energy.duration_s / middle - 1.0)
        <= NINE_IN_TEN_Z * spread
        for energy in last
    )


def _act(reach: Reach) -> str:
    if reach.step == 0:
        return "fly its maiden: circuits by hand within 200 m in 4 m/s or less"
    return f"for now: {reach.words}; {reach.next_words}"


def _broken_condition(evidence: Evidence, stopped: MotorStopped | None, reach: Reach) -> str | None:
    """Return which other condition of the step is not met, in words; None if all are."""
    resolved = evidence.resolved
    if reach.only_by_pilot and resolved.sortie.flown_by is FlownBy.ROUTE:
        return f"step {reach.step} is flown by hand or assisted, not on the route"
    if reach.step == 0 and float(resolved.wind.speeds_m_s[0]) > MAIDEN_WIND_M_S:
        return f"a maiden wants {MAIDEN_WIND_M_S:.0f} m/s of wind or less"
    if reach.step == 1 and stopped is not None and not within_glide(evidence, stopped):
        return "step 1 stays within gliding distance of the landing point"
    return None
