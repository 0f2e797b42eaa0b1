"""The messages of a link that mean something here, as plain values.

Protocol: MAVLink 2, common message set. Positions are 1e-7 degrees (WGS 84), as the protocol holds
them, so that nothing is rounded on the way to a comparison.
"""

from dataclasses import dataclass
from enum import IntEnum

from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.release.plain_route import PlainPlace

__all__ = [
    "PRESENCE",
    "Ack",
    "AckResult",
    "Count",
    "Heard",
    "Heartbeat",
    "HomePosition",
    "Item",
    "LandedMessage",
    "LandedState",
    "Live",
    "Message",
    "PlanCurrent",
    "PlanType",
    "Request",
    "RequestList",
    "SettingTold",
    "SystemTime",
]


class PlanType(IntEnum):
    """The three plans an aircraft may hold."""

    ROUTE = 0
    BOUNDARY = 1
    DIVERSIONS = 2

    @property
    def words(self) -> str:
        """What a person calls it."""
        return "diversion points" if self is PlanType.DIVERSIONS else self.name.lower()


class LandedState(IntEnum):
    """Whether the aircraft says it is on the ground."""

    UNKNOWN = 0
    ON_GROUND = 1
    IN_AIR = 2
    TAKING_OFF = 3
    LANDING = 4


class AckResult(IntEnum):
    """What the aircraft says of a transfer; numbers of the common set."""

    ACCEPTED = 0
    ERROR = 1
    UNSUPPORTED_FRAME = 2
    UNSUPPORTED = 3
    NO_SPACE = 4
    INVALID = 5
    INVALID_PARAM1 = 6
    INVALID_PARAM2 = 7
    INVALID_PARAM3 = 8
    INVALID_PARAM4 = 9
    INVALID_PARAM5_X = 10
    INVALID_PARAM6_Y = 11
    INVALID_PARAM7 = 12
    INVALID_SEQUENCE = 13
    DENIED = 14
    CANCELLED = 15


@dataclass(frozen=True, slots=True, kw_only=True)
class Heartbeat:
    """Somebody is there. `autopilot` is the class told; 8 means that this is no autopilot."""

    vehicle_type: int
    autopilot: int
    armed: bool


# That we are there; who we are, the codec says.
PRESENCE = Heartbeat(vehicle_type=0, autopilot=0, armed=False)


@dataclass(frozen=True, slots=True, kw_only=True)
class LandedMessage:
    """Whether the aircraft is on the ground."""

    state: LandedState


@dataclass(frozen=True, slots=True, kw_only=True)
class HomePosition:
    """The place that heights above home count from [1e-7 deg, mm AMSL]."""

    latitude_e7: int
    longitude_e7: int
    height_amsl_mm: int

    def place(self) -> PlainPlace:
        """Return it as a plain place."""
        return PlainPlace(
            name="launch point",
            latitude_deg=self.latitude_e7 / 10_000_000,
            longitude_deg=self.longitude_e7 / 10_000_000,
            height=StatedHeight(0.001 * self.height_amsl_mm, Datum.AMSL),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SystemTime:
    """Time since the aircraft was started [ms]."""

    since_boot_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanCurrent:
    """The item flown, how many there are, and the ids of the plans aboard; 0 where not told."""

    sequence: int
    total: int
    plan_ids: tuple[int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class RequestList:
    """Asks how many items a plan has."""

    to_system: int
    to_component: int
    plan: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Count:
    """Says how many items a plan has, and its id where told (0: not told)."""

    to_system: int
    to_component: int
    plan: int
    count: int
    plan_id: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Request:
    """Asks for one item; `precise` asks for positions as whole numbers."""

    to_system: int
    to_component: int
    plan: int
    sequence: int
    precise: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One item of a plan as the protocol holds it.

    With `precise`, x and y are 1e-7 degrees (or as the command says); else they are degrees in
    single precision, as older aircraft send and ask for them.
    """

    to_system: int
    to_component: int
    plan: int
    sequence: int
    frame: int
    command: int
    current: int
    autocontinue: int
    params: tuple[float, float, float, float]
    x: float
    y: float
    z: float
    precise: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Ack:
    """Ends a transfer; the id of the plan then aboard where told (0: not told)."""

    to_system: int
    to_component: int
    plan: int
    result: int
    plan_id: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Live:
    """One figure-bearing message of flight, its fields in the protocol's own names and units."""

    name: str
    fields: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingTold:
    """A setting that the aircraft told, by its own name; None where the value cannot be read."""

    name: str
    value: float | None


Message = (
    Heartbeat
    | LandedMessage
    | HomePosition
    | SystemTime
    | PlanCurrent
    | RequestList
    | Count
    | Request
    | Item
    | Ack
    | Live
    | SettingTold
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A message with who sent it, under which sequence number, and how it came."""

    system: int
    component: int
    sequence: int
    version: int
    signed: bool
    message: Message | None
    passed_over: tuple[tuple[int, int, int], ...] = ()
