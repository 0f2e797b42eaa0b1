"""The air as it was seen, measured or foretold, each with its source and age."""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from homeleg.foundation.estimate import Estimate


class WindSource(Enum):
    """Where a wind came from; decides its default spread."""

    ANEMOMETER = "hand anemometer"
    DECLARED = "declared"
    BEAUFORT = "signs on land"
    METAR = "METAR"
    LAYER = "forecast layer"


@dataclass(frozen=True, slots=True, kw_only=True)
class WindReport:
    """One wind: speed and direction it blows FROM, at a height above ground [m/s, rad true, m].

    The spreads are those at the time it was seen; age widens them in `homeleg.world.wind`.
    `gusty` is what an eye says of gusts that nobody measured, None where nobody said.
    """

    source: WindSource
    speed_m_s: Estimate
    from_true_rad: Estimate
    height_agl_m: float
    gust_m_s: float | None
    seen: datetime | None
    gusty: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather:
    """Everything told about the air.

    `surface` is the report nearest the ground, `layers` are all others. `aloft` is the wind at
    100 m on a stable night, when the surface may hide it, else None. `exponent` is
    the power-law exponent of wind over height; humidity is a fraction 0 to 1; `pressure_pa` is the
    station pressure at the launch point, None lets the standard atmosphere give it from the
    elevation. `no_low_cloud` says that somebody told there is none, so that no base is missing.
    """

    surface: WindReport | None
    layers: tuple[WindReport, ...]
    exponent: Estimate
    temperature_k: Estimate
    pressure_pa: float | None
    humidity_fraction: float
    visibility_m: float | None
    cloud_base_above_launch_m: float | None
    aloft: Estimate | None = None
    no_low_cloud: bool = False

    @property
    def reports(self) -> tuple[WindReport, ...]:
        """Every wind told, the one nearest the ground first."""
        return (*((self.surface,) if self.surface else ()), *self.layers)
