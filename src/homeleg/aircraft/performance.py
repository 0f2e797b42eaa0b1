"""What an aircraft can do, from its polar, propulsion and mass; arrays in, arrays out."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.foundation.constants import (
    ISA_SEA_LEVEL_DENSITY_KG_M3,
    STANDARD_GRAVITY_M_S2,
)
from homeleg.physics.polar import best_glide, drag_force, stall_speed_eas

Array = NDArray[np.float64] | np.float64

__all__ = ["FlyingAircraft", "best_glide_eas", "full_power_climb", "level_electrical_power"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FlyingAircraft:
    """The numbers flight depends on, of one aircraft or of many members at once (equal shapes)."""

    mass_kg: Array
    wing_area_m2: float
    zero_lift_drag: Array
    induced_factor: Array
    lift_at_least_drag: float
    maximum_lift: Array
    efficiency: Array
    climb_efficiency: Array
    full_power_w: Array
    avionics_w: float

    @property
    def weight_n(self) -> Array:
        """Weight."""
        return self.mass_kg * STANDARD_GRAVITY_M_S2

    @property
    def stall_eas_m_s(self) -> Array:
        """Equivalent stall speed in level flight."""
        return stall_speed_eas(self.weight_n, self.wing_area_m2, self.maximum_lift)

    def drag_n(self, eas_m_s: Array | float, load_factor: Array | float = 1.0) -> Array:
        """Return the drag at an equivalent airspeed and load factor."""
        return drag_force(
            eas_m_s,
            load_factor,
            self.weight_n,
            self.wing_area_m2,
            self.zero_lift_drag,
            self.induced_factor,
            self.lift_at_least_drag,
        )


def true_per_equivalent(density_kg_m3: float) -> float:
    """Return true over equivalent airspeed at a density."""
    return float(np.sqrt(ISA_SEA_LEVEL_DENSITY_KG_M3 / density_kg_m3))


def level_electrical_power(
    aircraft: FlyingAircraft,
    eas_m_s: Array | float,
    density_kg_m3: float,
    load_factor: float = 1.0,
) -> Array:
    """Return the battery power of level flight, straight or turning, avionics included [W]."""
    true_m_s = np.asarray(eas_m_s) * true_per_equivalent(density_kg_m3)
    drag_n = aircraft.drag_n(eas_m_s, load_factor)
    return true_m_s * drag_n / aircraft.efficiency + aircraft.avionics_w


def full_power_climb(
    aircraft: FlyingAircraft, eas_m_s: Array | float, density_kg_m3: float
) -> Array:
    """Return the steady rate of climb at full power, by energy [m/s]."""
    true_m_s = np.asarray(eas_m_s) * true_per_equivalent(density_kg_m3)
    thrust_power_w = aircraft.climb_efficiency * aircraft.full_power_w
    return (thrust_power_w - true_m_s * aircraft.drag_n(eas_m_s)) / aircraft.weight_n


def best_glide_eas(aircraft: FlyingAircraft) -> tuple[Array, Array]:
    """Return the equivalent airspeed of the best glide, and that ratio."""
    lift_coefficient, ratio = best_glide(
        aircraft.zero_lift_drag, aircraft.induced_factor, aircraft.lift_at_least_drag
    )
    return stall_speed_eas(aircraft.weight_n, aircraft.wing_area_m2, lift_coefficient), ratio
