"""What is on board today: mass, centre of gravity and what moving a thing does to them."""

from dataclasses import dataclass

from homeleg.aircraft.record import Aircraft
from homeleg.foundation.estimate import Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadChange:
    """A thing put in (mass above zero) or taken out (below zero) at an arm [kg, m]."""

    name: str
    mass_kg: float
    arm_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StationMove:
    """A station's thing moved along its slide, aft positive [m]."""

    station: str
    by_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Loading:
    """Changes of today against the aircraft record, or a fresh weighing that replaces it."""

    changes: tuple[LoadChange, ...] = ()
    moves: tuple[StationMove, ...] = ()
    weighed_kg: Estimate | None = None
    weighed_centre_fraction: Estimate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedMass:
    """The aircraft as loaded [kg, fraction of the mean chord]."""

    total_kg: Estimate
    centre_of_gravity_fraction: Estimate
    place_moved: bool


def loaded_mass(aircraft: Aircraft, loading: Loading) -> LoadedMass:
    """Return mass and centre of gravity of `aircraft` with `loading` on board.

    Moments about the mean chord's leading edge; a weighing of today replaces the sum it measures.
    Raises ValueError when the changes leave no mass or a move names no station.
    """
    chord_m = aircraft.wing.mean_chord_m
    recorded_kg = aircraft.mass.total_kg
    recorded_centre = aircraft.mass.centre_of_gravity_fraction
    stations = {station.name: station for station in aircraft.stations}
    moment_kg_m = recorded_kg.value * recorded_centre.value * chord_m
    mass_kg = recorded_kg.value
    for change in loading.changes:
        mass_kg += change.mass_kg
        moment_kg_m += change.mass_kg * change.arm_m
    for move in loading.moves:
        if move.station not in stations:
            raise ValueError(f"no station {move.station!r}; there are: {', '.join(stations)}")
        moment_kg_m += stations[move.station].mass_kg * move.by_m
    if mass_kg <= 0.0:
        raise ValueError(f"the changes leave {mass_kg:.3f} kg")
    computed_kg = Estimate(
        value=mass_kg,
        sd=recorded_kg.sd * mass_kg / recorded_kg.value,
        basis=recorded_kg.basis,
    )
    computed_centre = Estimate(
        value=moment_kg_m / mass_kg / chord_m, sd=recorded_centre.sd, basis=recorded_centre.basis
    )
    return LoadedMass(
        total_kg=loading.weighed_kg or computed_kg,
        centre_of_gravity_fraction=loading.weighed_centre_fraction or computed_centre,
        place_moved=bool(loading.changes or loading.moves),
    )
