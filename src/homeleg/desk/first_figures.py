"""What follows from the first answers about an aircraft: a few figures with their spread.

Drawn from the same priors and spreads as a check draws them, at sea-level density, so that each
answer shows what it narrows.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import FlyingAircraft, level_electrical_power
from homeleg.aircraft.record import Aircraft
from homeleg.desk.starting_files import AIRCRAFT_ASKS, starting_text
from homeleg.formats.aircraft_file import aircraft_from_text
from homeleg.formats.toml_text import TextFile
from homeleg.foundation.constants import ISA_SEA_LEVEL_DENSITY_KG_M3
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.estimate import Estimate
from homeleg.physics.battery import watt_hours
from homeleg.sortie.planning import proposed_cruise_eas
from homeleg.verdict.measures import to_measure

__all__ = ["Expected", "FirstFigures", "aircraft_so_far", "figures_of", "first_figures"]

Array = NDArray[np.float64]

_DRAWS = 2000
_SEED = 1
_MINUTES_AN_HOUR = 60.0
# What must be known for a figure to mean anything; a launch and a name change none of them.
_NEEDED = ("plan", "span", "chord", "mass")
_NEEDED_FOR_TIME = ("cells", "capacity")
_STAND_INS = {"name": "new", "launch": "hand", "cells": "4", "capacity": "5 Ah"}


@dataclass(frozen=True, slots=True)
class Expected:
    """One figure: what 1 in 10 draws stay below, the middle, what 9 in 10 stay below."""

    name: str
    unit: str
    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True)
class FirstFigures:
    """The figures, and what to measure to narrow the power most."""

    figures: tuple[Expected, ...]
    narrows_most: str


def first_figures(answers: Mapping[str, str]) -> FirstFigures | None:
    """Return what follows from the answers so far; None until span, chord and mass are there."""
    if not set(_NEEDED) <= set(answers):
        return None
    try:
        aircraft = aircraft_so_far(answers)
    except InputFileError:
        return None  # the question still open says what is wrong
    return figures_of(aircraft, with_time=set(_NEEDED_FOR_TIME) <= set(answers))


def aircraft_so_far(answers: Mapping[str, str]) -> Aircraft:
    """Return the aircraft of the answers, by option of the file, with stand-ins for the others.

    Plan, span, chord and mass must be among them. Raises InputFileError.
    """
    text = starting_text(
        (), {"schema": "homeleg/aircraft/1"}, AIRCRAFT_ASKS, {**_STAND_INS, **answers}
    )
    return aircraft_from_text(TextFile("aircraft", text, ""))


def figures_of(aircraft: Aircraft, *, with_time: bool = True) -> FirstFigures:
    """Return what follows from what is known of an aircraft; minutes only where its pack is."""
    inputs = _inputs(aircraft)
    drawn = _draw(inputs)
    members = FlyingAircraft(
        mass_kg=drawn["mass"],
        wing_area_m2=aircraft.wing.area_m2,
        zero_lift_drag=drawn["zero_lift_drag"],
        induced_factor=drawn["induced_factor"],
        lift_at_least_drag=aircraft.aerodynamics.lift_at_least_drag,
        maximum_lift=drawn["maximum_lift"],
        efficiency=drawn["efficiency"],
        climb_efficiency=drawn["efficiency"],
        full_power_w=np.full(_DRAWS, aircraft.propulsion.full_power_w.value),
        avionics_w=aircraft.propulsion.avionics_w,
    )
    stall = np.asarray(members.stall_eas_m_s)
    over_stall = proposed_cruise_eas(1.0, aircraft.aerodynamics.maximum_lift)
    cruise = over_stall * stall
    # The airspeed flown is one: the power spreads for what is not known of the aircraft.
    power = np.asarray(
        level_electrical_power(members, float(np.median(cruise)), ISA_SEA_LEVEL_DENSITY_KG_M3)
    )
    figures = [
        _expected("Stall speed", "m/s", stall),
        _expected("Likely cruise", "m/s", cruise),
        _expected("Power in cruise", "W", power),
    ]
    if with_time:
        pack = aircraft.battery
        energy_wh = drawn["usable"] * watt_hours(pack.cells, pack.capacity_ah)
        figures.append(
            _expected("Level flight, pack run flat", "min", _MINUTES_AN_HOUR * energy_wh / power)
        )
    return FirstFigures(tuple(figures), to_measure(_most_blamed(power, drawn, inputs)))


def _inputs(aircraft: Aircraft) -> dict[str, Estimate]:
    return {
        "mass": aircraft.mass.total_kg,
        "zero_lift_drag": aircraft.aerodynamics.zero_lift_drag,
        "induced_factor": aircraft.aerodynamics.induced_factor,
        "maximum_lift": aircraft.aerodynamics.maximum_lift,
        "efficiency": aircraft.propulsion.efficiency,
        "usable": aircraft.battery.usable_fraction,
    }


def _draw(inputs: Mapping[str, Estimate]) -> dict[str, Array]:
    stream = np.random.default_rng(_SEED)
    return {name: one.drawn(stream.standard_normal(_DRAWS)) for name, one in inputs.items()}


def _expected(name: str, unit: str, values: Array) -> Expected:
    p10, p50, p90 = (float(one) for one in np.percentile(values, (10.0, 50.0, 90.0)))
    return Expected(name, unit, p10, p50, p90)


def _most_blamed(power: Array, drawn: Mapping[str, Array], inputs: Mapping[str, Estimate]) -> str:
    """Return the input that drives the power most."""
    doubtful = [name for name, one in inputs.items() if one.sd > 0.0 and name != "usable"]
    return max(doubtful, key=lambda name: abs(float(np.corrcoef(power, drawn[name])[0, 1])))
