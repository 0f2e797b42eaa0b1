"""What a person can measure: how, in how many minutes, and how well it is known afterwards."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from homeleg.aircraft.spreads import CENTRE_OF_GRAVITY_SPREAD_CHORDS, DEFAULT_RELATIVE_SPREAD
from homeleg.foundation.estimate import Basis

__all__ = ["MEASURES", "Measure", "to_measure"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One way to know an input better, and its standard deviation after that.

    That is a share of the value and an amount of its own in SI units, added.
    """

    how: str
    minutes: int
    relative_sd: float = 0.0
    sd: float = 0.0


def _as_default(name: str, basis: Basis, how: str, minutes: int) -> Measure:
    """Return a measure that leaves the default spread of a basis."""
    return Measure(
        how=how, minutes=minutes, relative_sd=DEFAULT_RELATIVE_SPREAD[name][basis], sd=0.0
    )


_LEVEL_LEGS = "fly level legs at two airspeeds, noting power"
_CIRCLE = "fly the commit circle"
# Ours: ways, minutes and the spreads that no default of a basis gives.
MEASURES: Mapping[str, Measure] = MappingProxyType(
    {
        "wind_speed": Measure(how="anemometer at launch", minutes=3, relative_sd=0.1, sd=0.3),
        "wind_direction": Measure(how="streamer against a compass", minutes=3, sd=0.14),
        "wind_exponent": Measure(how=_CIRCLE, minutes=2, sd=0.02),
        "wind_aloft": Measure(how=_CIRCLE, minutes=2, sd=0.5),
        "gust_spread": Measure(
            how="greatest and mean of an anemometer", minutes=10, relative_sd=0.1
        ),
        "mass": _as_default("mass", Basis.BENCH, "weigh it ready to fly", 2),
        "centre_of_gravity": Measure(
            how="balance it on a stand", minutes=5, sd=CENTRE_OF_GRAVITY_SPREAD_CHORDS[Basis.BENCH]
        ),
        "zero_lift_drag": _as_default("zero_lift_drag", Basis.FLIGHT, _LEVEL_LEGS, 15),
        "induced_factor": _as_default("induced_factor", Basis.FLIGHT, _LEVEL_LEGS, 15),
        "efficiency": _as_default("efficiency", Basis.FLIGHT, _LEVEL_LEGS, 15),
        "maximum_lift": _as_default("maximum_lift", Basis.FLIGHT, "fly gentle stalls, high", 10),
        "airspeed_factor": _as_default("airspeed_factor", Basis.FLIGHT, _CIRCLE, 2),
        "usable_charge": _as_default(
            "usable_charge", Basis.BENCH, "count a whole discharge to the cut-off", 60
        ),
        "resistance": _as_default(
            "resistance", Basis.BENCH, "read the pack's resistance on the charger", 5
        ),
        "charged": Measure(how="read the volts of each cell at rest", minutes=2, sd=0.01),
        "pack_temperature": Measure(how="thermometer on the pack", minutes=2, sd=1.0),
        "throw": Measure(how="film some launches against a tape", minutes=10, sd=0.5),
        "propeller_diameter": Measure(how="ruler", minutes=1, sd=0.001),
        "full_power": Measure(
            how="wattmeter at full power, aircraft held, nobody in the propeller's plane",
            minutes=10,
            relative_sd=0.03,
        ),
    }
)


def to_measure(name: str) -> str:
    """Return an input in words, with how and in how many minutes it is measured where known."""
    words = name.replace("_", " ")
    measure = MEASURES.get(name)
    return words if measure is None else f"{words} ({measure.how}, {measure.minutes} min)"
