"""The record of one airframe: what its owner knows, states or had to assume."""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.priors import BodyPlan
from homeleg.foundation.estimate import Estimate
from homeleg.foundation.heights import StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.physics.battery import Chemistry


class LaunchMethod(Enum):
    """How the aircraft leaves the ground."""

    HAND = "hand"
    BUNGEE = "bungee"
    RUNWAY = "runway"


class TakeoffPath(Enum):
    """Which way a take-off item climbs."""

    RELEASE_HEADING = "release heading"
    TOWARDS_FIRST_ITEM = "towards first item"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wing:
    """Wing geometry [m, m2]."""

    span_m: float
    area_m2: float
    mean_chord_m: float

    @property
    def aspect_ratio(self) -> float:
        """Span squared over area."""
        return self.span_m**2 / self.area_m2


@dataclass(frozen=True, slots=True, kw_only=True)
class MassProperties:
    """Mass and balance as recorded; centre of gravity as a fraction of the mean chord.

    The flown range is the span of centres of gravity this airframe has been flown at, or None
    when it has not been told; the neutral point then gives the envelope.
    """

    total_kg: Estimate
    flown_maximum_kg: float | None
    centre_of_gravity_fraction: Estimate
    flown_range_fraction: tuple[float, float] | None
    neutral_point_fraction: float | None
    lateral_centre_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """Where a thing of known mass sits, from the mean chord's leading edge, aft positive."""

    name: str
    mass_kg: float
    arm_m: float
    slide_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Aerodynamics:
    """Parabolic drag polar and greatest lift: CD = CD0 + k (CL - CL0)^2."""

    zero_lift_drag: Estimate
    induced_factor: Estimate
    lift_at_least_drag: float
    maximum_lift: Estimate
    airspeed_factor: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Propulsion:
    """Battery-to-thrust efficiencies and limits. Full power is what the motor draws [W]."""

    efficiency: Estimate
    climb_efficiency: Estimate
    full_power_w: Estimate
    avionics_w: float
    propeller_diameter_m: Estimate


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery:
    """A new pack of this kind at 25 C. Resistance is of the whole pack."""

    chemistry: Chemistry
    cells: int
    capacity_ah: float
    usable_fraction: Estimate
    resistance_ohm: Estimate
    cut_off_v_cell: float
    lowest_tested_k: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Speeds:
    """Planned speeds; None lets the program propose them from the stall speed."""

    cruise: StatedAirspeed | None
    climb: StatedAirspeed | None
    climb_rate_m_s: float | None
    base: StatedAirspeed | None
    final: StatedAirspeed | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Guidance:
    """Limits the autopilot flies by, as stated.

    `launch_point_first`: it keeps its launch point as item 0 of a stored route; None: not told.
    """

    bank_rad: float
    pattern_bank_rad: float
    pattern_height: StatedHeight
    pattern_side: Side
    launch_point_first: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOff:
    """How the aircraft leaves, as stated; None where the owner does not know."""

    along: TakeoffPath | None
    release_speed_m_s: Estimate
    release_height_m: float
    motor_delay_s: float | None


class ReturnPath(Enum):
    """Which way the aircraft comes home by itself; the points are the place's, not its own."""

    STRAIGHT = "straight"
    ALONG_POINTS = "along the diversion points"
    NEAREST_POINT = "over the nearest diversion point"


class AtLaunchPoint(Enum):
    """What the aircraft does once it has come home by itself."""

    LAND = "land"
    ORBIT_LAND = "orbit, then land"
    ORBIT_DESCEND = "orbit, then descend"
    ORBIT = "orbit"


@dataclass(frozen=True, slots=True, kw_only=True)
class LinkLoss:
    """What the aircraft does when the control link is lost, as stated; None where not told.

    `path` may name the points it returns over, in order. `orbit_s` is how long it orbits there.
    """

    after_s: float | None
    climb_first: bool | None
    return_height: StatedHeight | None
    airspeed: StatedAirspeed | None
    path: ReturnPath | tuple[str, ...] | None
    at_launch_point: AtLaunchPoint | None
    orbit_s: float | None

    @property
    def named_points(self) -> tuple[str, ...]:
        """The names of the points it returns over, where its path names any."""
        return self.path if isinstance(self.path, tuple) else ()

    @property
    def path_words(self) -> str:
        """Which way it comes home."""
        if isinstance(self.path, ReturnPath):
            return self.path.value
        return f"by way of {', '.join(self.path)}" if self.path else "by a path not told"


@dataclass(frozen=True, slots=True, kw_only=True)
class Radio:
    """The control link's radio. Gains are of both ends."""

    frequency_hz: float
    power_w: float
    gain_dbi: tuple[float, float]
    losses_db: float
    sensitivity_dbm: float
    antenna_height_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """What flights taught, jointly: names, mean (n,) and covariance (n, n) in SI units.

    Raises ValueError when the covariance is not symmetric and positive semidefinite.
    """

    names: tuple[str, ...]
    mean: NDArray[np.float64]
    covariance: NDArray[np.float64]
    flights: int
    valid: str
    learned_from: str

    def __post_init__(self) -> None:
        size = len(self.names)
        if self.mean.shape != (size,) or self.covariance.shape != (size, size):
            raise ValueError(f"{size} names need a mean of {size} and a {size} x {size} covariance")
        if not np.allclose(self.covariance, self.covariance.T, rtol=1e-9, atol=0.0):
            raise ValueError("the covariance is not symmetric")
        eigenvalues = np.linalg.eigvalsh(self.covariance)
        if eigenvalues[0] < -1e-9 * max(eigenvalues[-1], 0.0):
            raise ValueError("the covariance has a negative eigenvalue: no such spread exists")


@dataclass(frozen=True, slots=True, kw_only=True)
class FlownEnergy:
    """A flight made before: how long, and what the charger put back."""

    on: datetime
    duration_s: float
    charge_ah: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedLimit:
    """A limit of the verdict that its owner changed, with who, when and why."""

    row: str
    want: float | None
    hard: float | None
    changed_by: str
    changed_on: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Aircraft:
    """One airframe. Every estimate carries its spread and basis."""

    name: str
    plan: BodyPlan
    flights: int
    cards_flown: tuple[str, ...]
    energies: tuple[FlownEnergy, ...]
    launch: LaunchMethod
    wing: Wing
    mass: MassProperties
    stations: tuple[Station, ...]
    aerodynamics: Aerodynamics
    propulsion: Propulsion
    battery: Battery
    speeds: Speeds
    guidance: Guidance
    takeoff: TakeOff
    link_loss: LinkLoss
    radio: Radio | None
    learned: Learned | None
    changed_limits: tuple[ChangedLimit, ...]
