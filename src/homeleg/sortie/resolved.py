"""A sortie with every word turned into a number: what the simulated flights start from."""

from dataclasses import dataclass

import numpy as np

from homeleg.aircraft.loading import LoadedMass
from homeleg.aircraft.performance import FlyingAircraft
from homeleg.foundation.estimate import Estimate
from homeleg.route.geometry import Leg, PlannedItem
from homeleg.route.pattern import PatternPlan
from homeleg.sortie.sortie import Sortie
from homeleg.world.ground import Surface
from homeleg.world.wind import WindProfile

__all__ = ["Departure", "PlannedSpeeds", "ResolvedSortie"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedSpeeds:
    """Equivalent airspeeds the flight is planned at [m/s]."""

    cruise_eas_m_s: float
    climb_eas_m_s: float
    climb_rate_m_s: float
    base_eas_m_s: float
    final_eas_m_s: float
    home_eas_m_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Departure:
    """One way the aircraft may leave: the direction of release, and all legs that follow."""

    words: str
    heading_rad: float
    legs: tuple[Leg, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ResolvedSortie:
    """Numbers for one intended flight: SI, radians, heights above launch, middle values.

    `inputs` holds every drawn input by name, in drawing order; what flights taught jointly is in
    the aircraft's record. `aircraft` is at the middle of all inputs.
    """

    sortie: Sortie
    loaded: LoadedMass
    aircraft: FlyingAircraft
    density_kg_m3: float
    density_lapse_1_m: float
    wind: WindProfile
    surface: Surface
    speeds: PlannedSpeeds
    items: tuple[PlannedItem, ...]
    departures: tuple[Departure, ...]
    pattern: PatternPlan
    motor_delay_s: float
    inputs: dict[str, Estimate]

    @property
    def landing_heading_rad(self) -> float:
        """The direction of the landing, true."""
        return self.pattern.direction_rad

    @property
    def tas_per_eas(self) -> float:
        """True over equivalent airspeed at the launch point."""
        return float(np.sqrt(1.225 / self.density_kg_m3))
