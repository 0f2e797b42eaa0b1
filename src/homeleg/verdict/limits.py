"""The limits of the rows: one object per row, filled from the data file that holds them all."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum


class RowKind(Enum):
    """Where a row's value comes from, and whether it counts."""

    FLOWN = "flown"
    TOLD = "told"
    RULED = "ruled"
    NOTED = "noted"


class Sense(Enum):
    """On which side of its limit a value is good."""

    AT_LEAST = "at least"
    AT_MOST = "at most"


class Reading(Enum):
    """Which figure of the row's distribution is held against the limits.

    BOTH: want at the adverse nine in ten, hard at the median. MEDIAN with a physical limit reads
    that one at the adverse nine in ten. EVENT: the share of flights in which it happens. STATED:
    the plan's own figure, not drawn.
    """

    ADVERSE = "adverse"
    MEDIAN = "p50"
    BOTH = "both"
    EVENT = "share"
    STATED = "stated"


class Question(Enum):
    """The sixteen questions, in the order in which aircraft are lost."""

    HOME = "home"
    RESERVE = "reserve"
    HEADWAY = "headway"
    SPEED = "speed"
    GROUND = "ground"
    MASS = "mass"
    AWAY = "away"
    IN = "in"
    CORNERS = "corners"
    PACK = "pack"
    MOTOR = "motor"
    INSIDE = "inside"
    SIGHT = "sight"
    HEARD = "heard"
    WEATHER = "weather"
    REACH = "reach"

    @property
    def title(self) -> str:
        """The question as a pilot reads it."""
        return _TITLES[self]


_TITLES = {
    Question.HOME: "Comes home",
    Question.RESERVE: "Lands with reserve",
    Question.HEADWAY: "Makes headway",
    Question.SPEED: "Keeps flying speed",
    Question.GROUND: "Clears the ground",
    Question.MASS: "Balance and mass",
    Question.AWAY: "Gets away",
    Question.IN: "Gets in",
    Question.CORNERS: "Makes the corners",
    Question.PACK: "Pack delivers the power",
    Question.MOTOR: "Motor stopped: where",
    Question.INSIDE: "Stays inside",
    Question.SIGHT: "Seen and in light",
    Question.HEARD: "Heard",
    Question.WEATHER: "Clear of ice and cloud",
    Question.REACH: "Within its reach",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """Want and hard limits of one row, in the row's own unit, with reading and source.

    `physical` is the bare limit behind a margin. `extra` holds further named numbers of the row's
    rule (for instance the share of the airspeed in the headway limit). `changed` tells who
    changed it, from what, when and why.
    """

    slug: str
    question: Question | None
    title: str
    kind: RowKind
    unit: str
    sense: Sense
    reading: Reading
    want: float | None
    hard: float | None
    physical: float | None
    extra: Mapping[str, float]
    source: str
    changed: str | None = None
