"""What the answer rests on: every drawn input with value, spread, unit and basis."""

from dataclasses import dataclass

from homeleg.sortie.resolved import ResolvedSortie

__all__ = ["Assumption", "assumptions_of"]

_UNITS = {
    "wind_speed": "m/s",
    "wind_direction": "rad",
    "wind_exponent": "",
    "wind_aloft": "m/s",
    "gust_spread": "m/s",
    "mass": "kg",
    "zero_lift_drag": "",
    "induced_factor": "",
    "efficiency": "",
    "maximum_lift": "",
    "usable_charge": "Ah",
    "resistance": "ohm",
    "airspeed_factor": "",
    "barometer": "m",
    "fix": "m",
    "tracking": "m",
    "geoid": "m",
    "ground": "m",
    "throw": "m/s",
    "centre_of_gravity": "mean chord",
    "pack_temperature": "K",
    "charged": "",
    "propeller_diameter": "m",
    "full_power": "W",
    "pilot_airspeed": "m/s",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumption:
    """An input as used: SI value, one standard deviation, unit and basis."""

    key: str
    value: float
    sd: float
    unit: str
    basis: str


def assumptions_of(resolved: ResolvedSortie) -> tuple[Assumption, ...]:
    """Return every drawn input of a sortie, in drawing order, and the geoid where it was used."""
    learned = resolved.sortie.aircraft.learned
    joint = () if learned is None else learned.names
    geoid_m = resolved.sortie.site.geoid_m
    given = dict(resolved.inputs) if geoid_m is None else {**resolved.inputs, "geoid": geoid_m}
    return tuple(
        Assumption(
            key=name,
            value=estimate.value,
            sd=estimate.sd,
            unit=_UNITS[name],
            basis="flight, jointly" if name in joint else estimate.basis.value,
        )
        for name, estimate in given.items()
    )
