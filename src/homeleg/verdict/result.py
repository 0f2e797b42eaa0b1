"""What a verdict is made of: rows, questions, reasons and the word."""

from dataclasses import dataclass, field
from datetime import datetime
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from homeleg.route.geometry import LegKind
from homeleg.sortie.assumptions import Assumption
from homeleg.sortie.rules import RuleProfile
from homeleg.verdict.limits import Limit, Question


class Status(Enum):
    """The answer of a row or a question."""

    GO = "GO"
    MARGINAL = "MARGINAL"
    NO_GO = "NO-GO"
    NOT_ANSWERED = "NOT ANSWERED"
    DOES_NOT_APPLY = "DOES NOT APPLY"


@dataclass(frozen=True, slots=True, kw_only=True)
class Percentiles:
    """Values that 1 in 10, half and 9 in 10 flights stay below."""

    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A share of flights with its interval, nine in ten each side."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where in the route a value was read: leg, seconds after launch, plane metres, height."""

    leg: str
    time_s: float
    east_m: float
    north_m: float
    height_above_launch_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One measured value against its limits.

    `reading` is the figure held against the limits (adverse, median, share or stated), in the
    limit's unit; `want` and `hard` are the limits as they apply today. `shortfall` is
    (limit - reading) / (want - hard), signed so that larger is worse, for ordering the reasons.
    `wind_share` is the share of the value's variance that the drawn wind speed explains, `values`
    are those of the first members in the limit's unit, NaN where a flight read none.
    """

    limit: Limit
    status: Status
    value: Percentiles | None
    reading: float | None
    want: float | None
    hard: float | None
    shortfall: float
    share_beyond_hard: Share | None
    wind_share: float
    where: Place | None
    cause: str
    act: str | None
    note: str
    values: NDArray[np.float64] | None = field(default=None, compare=False, repr=False)

    @property
    def bound(self) -> float | None:
        """The limit whose breach would worsen the status: want of a GO, else hard."""
        return self.want if self.status is Status.GO else self.hard


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """A question with the status of its worst row."""

    question: Question
    status: Status
    row: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why the word is not GO: the row, one cause, one number, one act."""

    row: str
    title: str
    status: Status
    cause: str
    value: float | None
    unit: str
    act: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ToDo:
    """A told item still open at the field."""

    item: str
    ask: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LegSummary:
    """One leg as flown: figures over the flights that flew it, None where fewer than half did.

    Ground speed and crab are means over the straight part.
    """

    start: str
    end: str
    kind: LegKind
    ground_speed_m_s: Percentiles | None
    crab_rad: Percentiles | None
    time_s: Percentiles | None
    energy_j: Percentiles | None
    clearance_m: Percentiles | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FlightSummary:
    """The whole flight over the members."""

    duration_s: Percentiles
    energy_j: Percentiles
    charge_used_ah: Percentiles
    landing_charge_fraction: Percentiles
    legs: tuple[LegSummary, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnBack:
    """The last second at which turning back still lands with the reserve, nine times in ten."""

    time_s: float
    leg: str
    charge_left_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StoppedSecond:
    """The second of the route from which a stopped motor leaves least: where, and what it reaches.

    `reaches` is the landing point, a declared place or a kind of ground, `distance_m` and
    `bearing_rad` lead there from the place. `spare_height_m`, over the flights, is None where
    neither landing point nor declared place is in reach.
    """

    where: Place
    reaches: str
    distance_m: float
    bearing_rad: float
    spare_height_m: Percentiles | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EdgePoint:
    """How far from the landing point, on a bearing from it, 9 in 10 and half the flights reach."""

    bearing_rad: float
    p10_m: float
    p50_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GlideEdge:
    """From where, at a height, a stopped motor still leaves the landing point."""

    height_above_launch_m: float
    landing_m: tuple[float, float]
    points: tuple[EdgePoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HomeFrom:
    """The way home from one second: clearance, seconds to touchdown; sight and link where it turns.

    `sight_m` is how far from the pilot it then is over the ground; None where it was not read.
    """

    clearance_m: Percentiles | None
    time_home_s: Percentiles | None
    sight_m: float
    link_margin_db: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WayHome:
    """The worst second to lose the link for charge, what is left then, and the last turn-back.

    `turn_back` is None when every second has the reserve; `assumed` says what of the behaviour
    was not told. `home_from` tells of the way home from `worst`. `motor_stopped` and `glide_edge`
    are of the glide.
    """

    worst: Place | None
    charge: Percentiles | None
    turn_back: TurnBack | None
    assumed: tuple[str, ...]
    motor_stopped: StoppedSecond | None
    glide_edge: GlideEdge | None
    home_from: HomeFrom | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A leg on the middle flight's clock, or the launch or the landing: seconds after release."""

    name: str
    start_s: float
    end_s: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowest:
    """Where least would be left at touchdown, link lost then, nine times in ten."""

    time_s: float
    margin_fraction: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Ribbon:
    """Charge left, and charge needed to come home with the link lost then, along the flight.

    `times_s` are seconds after release on the clock of the middle flight; other flights are laid on
    it by place. Charge is over the usable charge; `needed_fraction` is 1 where a flight would not
    come home. `usable_ah` and `usable_wh` (at nominal volts) are the middle flight's.
    """

    times_s: tuple[float, ...]
    left_fraction: tuple[Percentiles, ...]
    needed_fraction: tuple[Percentiles, ...]
    legs: tuple[Block, ...]
    narrowest: Narrowest
    want_fraction: float
    usable_ah: float
    usable_wh: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AircraftSummary:
    """What follows from the aircraft as loaded today, middle values."""

    mass_kg: float
    centre_of_gravity_fraction: float
    envelope_fraction: tuple[float, float] | None
    static_margin_fraction: float | None
    stall_speed_eas_m_s: float
    cruise_eas_m_s: float
    best_glide_speed_eas_m_s: float
    best_glide_ratio: float
    cruise_power_w: float
    density_kg_m3: float
    density_altitude_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CommitCircle:
    """Two turns overhead after the climb-out, and what their ground speeds must read to go on.

    Half the difference of the highest and the lowest is the wind, their mean the airspeed. `rows`
    are those whose want limits were held; `go_on` is the share of flights that pass,
    `missed_of_those` the share of them that miss what is wanted. `duration_s` and `charge_ah` are
    what the circle costs.
    """

    height_above_launch_m: float
    true_airspeed_m_s: float
    bank_rad: float
    turns: int
    most_half_difference_m_s: float
    least_mean_m_s: float
    most_mean_m_s: float
    duration_s: float
    charge_ah: float
    rows: tuple[str, ...]
    go_on: Share
    missed_of_those: Share


@dataclass(frozen=True, slots=True, kw_only=True)
class Gate:
    """What a named point must show to go on; worse at any gate: turn back.

    Seconds and charge count from launch. `time_s` and `used_ah` are those of the middle flight;
    `ground_speed_m_s`, least and most on the straight part of the leg that ends here, is None
    where it has none; `least_volts` are the pack's under load. `most_used_ah` is the greatest use
    from which still 9 in 10 land with the reserve, None where none is low enough.
    """

    name: str
    time_s: float
    latest_s: float
    ground_speed_m_s: tuple[float, float] | None
    least_volts: float
    used_ah: float
    most_used_ah: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WindPoint:
    """The word in one surface wind [m/s, rad true, from], and the question that closes it."""

    from_true_rad: float
    speed_m_s: float
    status: Status
    question: Question | None


@dataclass(frozen=True, slots=True, kw_only=True)
class WindWindow:
    """The word over surface winds at a height, direction by direction; a quick look."""

    height_agl_m: float
    members: int
    points: tuple[WindPoint, ...]


class Explained(Enum):
    """How the contributions to a row were found."""

    REGRESSION = "regression"
    GIVEN_DATA = "given data"


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """The share of a row's variance that one drawn input explains."""

    input: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Contributions:
    """What moves a row, largest first; `r2` is that of a linear fit to all inputs."""

    row: str
    r2: float
    explained: Explained
    inputs: tuple[Contribution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasureNext:
    """An input worth measuring: how, and the share of a row's variance that it would remove."""

    input: str
    how: str
    minutes: int
    row: str
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundRisk:
    """The risk to people on the ground by a published scheme, and the volumes around the route.

    `risk_class` is before mitigation, None outside the scheme; `people_per_km2` is None on
    controlled ground. Areas and distances are of the largest speed planned; `people_m` is from the
    flown tracks to the nearest keep-out ground of people, None where none is declared.
    """

    people_per_km2: float | None
    risk_class: int | None
    span_m: float
    speed_m_s: float
    steep_area_m2: float
    gliding_area_m2: float
    contingency_beside_m: float
    contingency_above_m: float
    boundary_margin_m: float | None
    falling_m: float
    gliding_m: float
    people_m: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """The whole answer; `warnings` say what is odd without being impossible."""

    word: Status
    headline: str
    summary: str
    valid_until: datetime | None
    provisional: bool
    reasons: tuple[Reason, ...]
    answers: tuple[Answer, ...]
    rows: tuple[Row, ...]
    to_do: tuple[ToDo, ...]
    flight: FlightSummary
    way_home: WayHome | None
    ribbon: Ribbon | None
    aircraft: AircraftSummary
    assumptions: tuple[Assumption, ...]
    commit: CommitCircle | None
    gates: tuple[Gate, ...]
    contributions: tuple[Contributions, ...]
    measure_next: tuple[MeasureNext, ...]
    departure: str
    endings: tuple[tuple[str, int], ...]
    with_reserve: int
    members: int
    seed: int
    maiden: "Verdict | None"
    warnings: tuple[str, ...] = ()
    ground_risk: GroundRisk | None = None
    rules: RuleProfile | None = None
    wind_window: WindWindow | None = None
