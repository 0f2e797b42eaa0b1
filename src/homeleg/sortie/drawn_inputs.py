"""Every input that is drawn, by name: what the sortie states, or what had to be assumed."""

import math

from homeleg.aircraft.record import LaunchMethod
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.sortie.sortie import Sortie
from homeleg.world.ground import Surface
from homeleg.world.wind import WindProfile

__all__ = ["drawn_inputs"]

# Hand-flown approaches and the 1-sigma spreads of barometer, fix and tracking. Ours.
_PILOT_AIRSPEED_SD_M_S = 1.0
_BAROMETER_SD_M = 4.0
_FIX_SD_M = 3.0
_TRACKING_SD_M = 3.0
_UNTOLD_PACK_TEMPERATURE_SD_K = 5.0


def drawn_inputs(
    sortie: Sortie, mass_kg: Estimate, centre: Estimate, wind: WindProfile, surface: Surface
) -> dict[str, Estimate]:
    """Return every drawn input by name, the ones that usually matter most first."""
    record = sortie.aircraft
    inputs = {
        **_wind(sortie, wind),
        "mass": mass_kg,
        "zero_lift_drag": record.aerodynamics.zero_lift_drag,
        "induced_factor": record.aerodynamics.induced_factor,
        "efficiency": record.propulsion.efficiency,
        "maximum_lift": record.aerodynamics.maximum_lift,
        **_pack(sortie),
        "airspeed_factor": record.aerodynamics.airspeed_factor,
        "barometer": _ours(_BAROMETER_SD_M),
        "fix": _ours(_FIX_SD_M),
        "tracking": _ours(_TRACKING_SD_M),
        "ground": surface.error_m,
        "throw": record.takeoff.release_speed_m_s,
        "centre_of_gravity": centre,
        "propeller_diameter": record.propulsion.propeller_diameter_m,
        "full_power": record.propulsion.full_power_w,
        "pilot_airspeed": _ours(_PILOT_AIRSPEED_SD_M_S),
    }
    if record.launch is LaunchMethod.RUNWAY:
        del inputs["throw"]
    if wind.aloft is not None:
        inputs["wind_aloft"] = wind.aloft
    return inputs


def _wind(sortie: Sortie, wind: WindProfile) -> dict[str, Estimate]:
    basis = sortie.weather.reports[0].speed_m_s.basis
    return {
        "wind_speed": Estimate(
            value=float(wind.speeds_m_s[0]), sd=float(wind.speed_sds_m_s[0]), basis=basis
        ),
        "wind_direction": Estimate(
            value=float(wind.from_true_rad[0]), sd=float(wind.direction_sds_rad[0]), basis=basis
        ),
        "wind_exponent": wind.exponent,
        "gust_spread": wind.gust_spread_m_s,
    }


def _pack(sortie: Sortie) -> dict[str, Estimate]:
    battery, pack = sortie.aircraft.battery, sortie.pack
    untold_temperature = Estimate(
        value=sortie.weather.temperature_k.value,
        sd=_UNTOLD_PACK_TEMPERATURE_SD_K,
        basis=Basis.ASSUMED,
    )
    return {
        "usable_charge": _product(
            battery.usable_fraction, pack.capacity_fraction, battery.capacity_ah
        ),
        "resistance": _product(battery.resistance_ohm, pack.resistance_factor),
        "pack_temperature": pack.temperature_k or untold_temperature,
        "charged": pack.charged_fraction,
    }


def _product(first: Estimate, second: Estimate, factor: float = 1.0) -> Estimate:
    """Return a product of independent estimates, on the basis of the first."""
    value = factor * first.value * second.value
    relative = math.hypot(first.sd / first.value, second.sd / second.value)
    return Estimate(value=value, sd=relative * value, basis=first.basis)


def _ours(sd: float) -> Estimate:
    """Return an error about zero with a spread that we declare."""
    return Estimate(value=0.0, sd=sd, basis=Basis.DECLARED)
