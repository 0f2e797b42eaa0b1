"""Rows of *Pack delivers the power*."""

import numpy as np

from homeleg.flight import layout as c
from homeleg.physics.battery import OPEN_CIRCUIT_VOLTS, resistance_ratio
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.result import Row

__all__ = ["pack_rows"]

_COLD_PACK_K = 288.15


def pack_rows(evidence: Evidence) -> list[Row]:
    """Return the flown rows of the question *Pack delivers the power*; told ones are told."""
    return [_volts(evidence), _second(evidence)]


def _volts(evidence: Evidence) -> Row:
    """Volts per cell at full power with the charge and temperature left at the end."""
    record = evidence.resolved.sortie.aircraft
    cells = record.battery.cells
    table = np.array(OPEN_CIRCUIT_VOLTS[record.battery.chemistry])
    left = np.clip(evidence.result(c.END_STATE_OF_CHARGE), 0.0, 1.0)
    open_circuit = cells * np.interp(left, np.linspace(0.0, 1.0, table.size), table)
    open_circuit = open_circuit - evidence.result(c.END_RELAXATION)
    warmth = np.clip(evidence.result(c.END_PACK_TEMPERATURE), 255.0, 330.0)
    resistance = evidence.flown.draws.value["resistance"] * resistance_ratio(warmth)
    power = evidence.aircraft.full_power_w + evidence.aircraft.avionics_w
    # Where the pack cannot give the power at all it stands at half its volts, at its most power.
    inside = np.maximum(open_circuit**2 - 4.0 * power * resistance, 0.0)
    volts = 0.5 * (open_circuit + np.sqrt(inside)) / cells
    hard = max(evidence.limits["pack.volts"].hard or 0.0, record.battery.cut_off_v_cell)
    cold = evidence.resolved.inputs["pack_temperature"].value < _COLD_PACK_K
    return evidence.row(
        "pack.volts",
        volts,
        hard=hard,
        cause="pack temperature" if cold else "charge",
        act="warm the pack before launch" if cold else "take a fuller, larger or healthier pack",
    )


def _second(evidence: Evidence) -> Row:
    pack = evidence.resolved.sortie.pack
    limit = evidence.limits["pack.second"]
    if pack.second_wh is None or pack.second_w is None:
        return does_not_apply(limit, "no second pack")
    endurance_s = 3600.0 * pack.second_wh / pack.second_w
    return evidence.row(
        "pack.second",
        endurance_s / evidence.result(c.DURATION),
        cause="charge",
        act="take a larger second pack, or shorten the flight",
    )
