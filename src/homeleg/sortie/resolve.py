"""Turn a sortie as stated into numbers: aircraft, air, plan, directions, inputs to draw."""

import numpy as np

from homeleg.aircraft.loading import loaded_mass
from homeleg.aircraft.performance import FlyingAircraft
from homeleg.aircraft.record import Aircraft
from homeleg.foundation.constants import (
    AIR_GAS_CONSTANT_J_KG_K,
    ISA_LAPSE_RATE_K_M,
    STANDARD_GRAVITY_M_S2,
)
from homeleg.foundation.errors import OutOfModelError
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.physics.atmosphere import isa_pressure, moist_air_density
from homeleg.sortie.drawn_inputs import drawn_inputs
from homeleg.sortie.leaving_and_landing import departures, landing_pattern
from homeleg.sortie.planning import planned_items, planned_speeds
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.sortie.sortie import Sortie
from homeleg.world.ground import surface_of
from homeleg.world.wind import combined_wind

__all__ = ["resolve"]

_UNKNOWN_MOTOR_DELAY_S = 0.3


def resolve(sortie: Sortie) -> ResolvedSortie:
    """Return the sortie in numbers.

    Raises OutOfModelError, naming the item, where the model does not cover what was stated.
    """
    loaded = loaded_mass(sortie.aircraft, sortie.loading)
    aircraft = _middle_aircraft(sortie.aircraft, loaded.total_kg.value)
    density, lapse = _air(sortie)
    wind = combined_wind(sortie.weather, sortie.launch_time)
    speeds = planned_speeds(sortie, aircraft, density, wind)
    surface = surface_of(sortie.site.ground, sortie.site.canopy)
    items = planned_items(sortie, aircraft, surface, speeds, density, lapse)
    pattern = landing_pattern(sortie, aircraft, speeds, items[-1], wind, density)
    inputs = drawn_inputs(sortie, loaded.total_kg, loaded.centre_of_gravity_fraction, wind, surface)
    inputs = _with_learned(sortie, inputs)
    return ResolvedSortie(
        sortie=sortie,
        loaded=loaded,
        aircraft=aircraft,
        density_kg_m3=density,
        density_lapse_1_m=lapse,
        wind=wind,
        surface=surface,
        speeds=speeds,
        items=items,
        departures=departures(sortie, speeds, items, pattern),
        pattern=pattern,
        motor_delay_s=_UNKNOWN_MOTOR_DELAY_S
        if sortie.aircraft.takeoff.motor_delay_s is None
        else sortie.aircraft.takeoff.motor_delay_s,
        inputs=inputs,
    )


def _middle_aircraft(record: Aircraft, mass_kg: float) -> FlyingAircraft:
    learned = {}
    if record.learned is not None:
        learned = dict(zip(record.learned.names, record.learned.mean, strict=True))
    aero, propulsion = record.aerodynamics, record.propulsion
    efficiency = learned.get("efficiency", propulsion.efficiency.value)
    return FlyingAircraft(
        mass_kg=np.float64(learned.get("mass", mass_kg)),
        wing_area_m2=record.wing.area_m2,
        zero_lift_drag=np.float64(learned.get("zero_lift_drag", aero.zero_lift_drag.value)),
        induced_factor=np.float64(learned.get("induced_factor", aero.induced_factor.value)),
        lift_at_least_drag=aero.lift_at_least_drag,
        maximum_lift=np.float64(learned.get("maximum_lift", aero.maximum_lift.value)),
        efficiency=np.float64(efficiency),
        climb_efficiency=np.float64(
            propulsion.climb_efficiency.value * efficiency / propulsion.efficiency.value
        ),
        full_power_w=np.float64(learned.get("full_power", propulsion.full_power_w.value)),
        avionics_w=propulsion.avionics_w,
    )


def _air(sortie: Sortie) -> tuple[float, float]:
    """Return density at the launch point and the share of it lost per metre of height."""
    weather = sortie.weather
    pressure_pa = weather.pressure_pa or float(isa_pressure(sortie.site.elevation_amsl_m))
    temperature_k = weather.temperature_k.value
    density = float(moist_air_density(pressure_pa, temperature_k, weather.humidity_fraction))
    lapse = (STANDARD_GRAVITY_M_S2 / AIR_GAS_CONSTANT_J_KG_K - ISA_LAPSE_RATE_K_M) / temperature_k
    return density, lapse


def _with_learned(sortie: Sortie, inputs: dict[str, Estimate]) -> dict[str, Estimate]:
    """Return the inputs with what flights taught in place of the record's own figures.

    A usable charge was learned of a new pack: today's holds its share of it. Raises OutOfModelError
    where flights taught something that this model does not draw.
    """
    learned = sortie.aircraft.learned
    if learned is None:
        return inputs
    unknown = [name for name in learned.names if name not in inputs]
    if unknown:
        raise OutOfModelError(
            f"[learned] names {', '.join(unknown)}: no such input. There are: {', '.join(inputs)}."
        )
    shares = {"usable_charge": sortie.pack.capacity_fraction.value}
    spreads = np.sqrt(np.diag(learned.covariance))
    taught = {
        name: Estimate(
            value=float(mean) * shares.get(name, 1.0),
            sd=float(spread) * shares.get(name, 1.0),
            basis=Basis.FLIGHT,
        )
        for name, mean, spread in zip(learned.names, learned.mean, spreads, strict=True)
    }
    return {name: taught.get(name, estimate) for name, estimate in inputs.items()}
