"""Figures that come with a verdict: flight leg by leg, aircraft as loaded."""

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import best_glide_eas, level_electrical_power
from homeleg.flight import layout as c
from homeleg.physics.atmosphere import density_altitude
from homeleg.route.geometry import LegKind
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.flight_rows import landing_charge_fraction
from homeleg.verdict.judging import percentiles
from homeleg.verdict.mass_rows import envelope
from homeleg.verdict.result import AircraftSummary, FlightSummary, LegSummary, Percentiles

Array = NDArray[np.float64]

__all__ = ["aircraft_summary", "flight_summary"]


def flight_summary(evidence: Evidence) -> FlightSummary:
    """Return duration, energy, charge and every leg over the flights."""
    flown = evidence.flown
    used_ah = evidence.result(c.CHARGE_USED) - flown.members[:, c.CHARGE_AT_START]
    return FlightSummary(
        duration_s=percentiles(evidence.result(c.DURATION)),
        energy_j=percentiles(evidence.result(c.ENERGY)),
        charge_used_ah=percentiles(used_ah),
        landing_charge_fraction=_landing_charge(evidence),
        legs=tuple(
            _leg(flown.leg_results[:, number], leg.start, leg.end, leg.kind)
            for number, leg in enumerate(flown.departure.legs)
        ),
    )


def _landing_charge(evidence: Evidence) -> Percentiles:
    """Return the charge left over all flights; those that failed otherwise stand at none."""
    return percentiles(np.nan_to_num(landing_charge_fraction(evidence)))


def _leg(results: Array, start: str, end: str, kind: LegKind) -> LegSummary:
    flown = results[:, c.LEG_TIME] > 0.0
    straight = results[:, c.LEG_STRAIGHT] > 0.0
    return LegSummary(
        start=start,
        end=end,
        kind=kind,
        ground_speed_m_s=_over(results[:, c.LEG_GROUND_SPEED], straight),
        crab_rad=_over(results[:, c.LEG_CRAB], straight),
        time_s=_over(results[:, c.LEG_TIME], flown),
        energy_j=_over(results[:, c.LEG_ENERGY], flown),
        clearance_m=_over(results[:, c.LEG_CLEARANCE], flown),
    )


def _over(values: Array, chosen: NDArray[np.bool_]) -> Percentiles | None:
    """Return the percentiles over the flights that have the value; None if fewer than half do."""
    chosen = chosen & np.isfinite(values)
    if np.count_nonzero(chosen) * 2 < values.size:
        return None
    return percentiles(values[chosen])


def aircraft_summary(evidence: Evidence) -> AircraftSummary:
    """Return middle figures of the aircraft as loaded, in today's air."""
    resolved = evidence.resolved
    aircraft, density = resolved.aircraft, resolved.density_kg_m3
    glide_eas, ratio = best_glide_eas(aircraft)
    neutral = resolved.sortie.aircraft.mass.neutral_point_fraction
    centre = resolved.loaded.centre_of_gravity_fraction.value
    return AircraftSummary(
        mass_kg=resolved.loaded.total_kg.value,
        centre_of_gravity_fraction=centre,
        envelope_fraction=envelope(resolved.sortie.aircraft),
        static_margin_fraction=None if neutral is None else neutral - centre,
        stall_speed_eas_m_s=float(aircraft.stall_eas_m_s),
        cruise_eas_m_s=resolved.speeds.cruise_eas_m_s,
        best_glide_speed_eas_m_s=float(glide_eas),
        best_glide_ratio=float(ratio),
        cruise_power_w=float(
            level_electrical_power(aircraft, resolved.speeds.cruise_eas_m_s, density)
        ),
        density_kg_m3=density,
        density_altitude_m=float(density_altitude(density)),
    )
