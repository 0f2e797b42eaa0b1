"""Heights and speeds as a person wrote them, with what they are measured from."""

from dataclasses import dataclass
from enum import Enum


class Datum(Enum):
    """What a height is above."""

    ABOVE_LAUNCH = "above launch"
    AGL = "AGL"
    AMSL = "AMSL"
    ELLIPSOID = "ellipsoid"


@dataclass(frozen=True, slots=True)
class StatedHeight:
    """A height as a person wrote it, with what it is above [m]."""

    value_m: float
    above: Datum


class SpeedKind(Enum):
    """Which airspeed a number is."""

    IAS = "IAS"
    CAS = "CAS"
    EAS = "EAS"
    TAS = "TAS"


@dataclass(frozen=True, slots=True)
class StatedAirspeed:
    """An airspeed as a person wrote it, with its kind [m/s]."""

    value_m_s: float
    kind: SpeedKind
