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
    record, pack = sortie.aircraft, sortie.pack
    battery = record.battery

    def ours(value: float, sd: float) -> Estimate:
        return Estimate(value=value, sd=sd, basis=Basis.DECLARED)

    usable_ah = battery.capacity_ah * pack.capacity_fraction.value * battery.usable_fraction.value
    relative = math.hypot(
        battery.usable_fraction.sd / battery.usable_fraction.value,
        pack.capacity_fraction.sd / pack.capacity_fraction.value,
    )
    resistance = battery.resistance_ohm.value * pack.resistance_factor.value
    resistance_relative = math.hypot(
        battery.resistance_ohm.sd / battery.resistance_ohm.value,
        pack.resistance_factor.sd / pack.resistance_factor.value,
    )
    temperature = pack.temperature_k or Estimate(
        value=sortie.weather.temperature_k.value,
        sd=_UNTOLD_PACK_TEMPERATURE_SD_K,
        basis=Basis.ASSUMED,
    )
    report_basis = sortie.weather.reports[0].speed_m_s.basis
    inputs = {
        "wind_speed": Estimate(
            value=float(wind.speeds_m_s[0]), sd=float(wind.speed_sds_m_s[0]), basis=report_basis
        ),
        "wind_direction": Estimate(
            value=float(wind.from_true_rad[0]),
            sd=float(wind.direction_sds_rad[0]),
            basis=report_basis,
        ),
        "wind_exponent": wind.exponent,
        "gust_spread": wind.gust_spread_m_s,
        "mass": mass_kg,
        "zero_lift_drag": record.aerodynamics.zero_lift_drag,
        "induced_factor": record.aerodynamics.induced_factor,
        "efficiency": record.propulsion.efficiency,
        "maximum_lift": record.aerodynamics.maximum_lift,
        "usable_charge": Estimate(
            value=usable_ah, sd=relative * usable_ah, basis=battery.usable_fraction.basis
        ),
        "resistance": Estimate(
            value=resistance,
            sd=resistance_relative * resistance,
            basis=battery.resistance_ohm.basis,
        ),
        "airspeed_factor": record.aerodynamics.airspeed_factor,
        "barometer": ours(0.0, _BAROMETER_SD_M),
        "fix": ours(0.0, _FIX_SD_M),
        "tracking": ours(0.0, _TRACKING_SD_M),
        "ground": surface.error_m,
        "throw": record.takeoff.release_speed_m_s,
        "centre_of_gravity": centre,
        "pack_temperature": temperature,
        "charged": pack.charged_fraction,
        "propeller_diameter": record.propulsion.propeller_diameter_m,
        "full_power": record.propulsion.full_power_w,
        "pilot_airspeed": ours(0.0, _PILOT_AIRSPEED_SD_M_S),
    }
    if record.launch is LaunchMethod.RUNWAY:
        del inputs["throw"]
    if wind.aloft is not None:
        inputs["wind_aloft"] = wind.aloft
    return inputs
