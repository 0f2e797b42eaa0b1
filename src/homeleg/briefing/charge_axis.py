"""The axis of the ribbon: the same heights read as mAh, as Wh or as minutes of flight."""

import math
from dataclasses import dataclass
from enum import Enum

from homeleg.verdict.result import Ribbon

__all__ = ["ChargeAxis", "ChargeUnit", "charge_axis"]

_MAH_PER_AH = 1000.0
_S_PER_MINUTE = 60.0
_STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)


class ChargeUnit(Enum):
    """What charge is read in."""

    MAH = "mAh"
    WH = "Wh"
    MINUTES = "minutes"


@dataclass(frozen=True, slots=True)
class ChargeAxis:
    """A full pack in a unit; every height in the figure is a share of it."""

    unit: ChargeUnit
    full: float

    def figure(self, fraction: float) -> str:
        """Return a share of the full pack as a figure with its unit."""
        value = fraction * self.full
        digits = 1 if self.unit is not ChargeUnit.MAH and abs(value) < 9.95 else 0
        step = 10.0 if self.unit is ChargeUnit.MAH else 1.0
        rounded = round(value / step) * step if digits == 0 else value
        name = "min" if self.unit is ChargeUnit.MINUTES else self.unit.value
        return f"{rounded:,.{digits}f} {name}"

    def ticks(self, most: int) -> tuple[tuple[float, str], ...]:
        """Return at most `most` round figures above zero and below full: fraction and words."""
        rough = self.full / most
        decade = 10.0 ** math.floor(math.log10(rough))
        step = next(decade * one for one in _STEPS if decade * one >= rough)
        count = math.ceil(self.full / step - 1e-9) - 1
        return tuple((k * step / self.full, f"{k * step:,.10g}") for k in range(count + 1))

    @property
    def full_words(self) -> str:
        """Return the figure of a full pack."""
        return self.figure(1.0).split(" ")[0]


def charge_axis(ribbon: Ribbon, unit: ChargeUnit) -> ChargeAxis:
    """Return the axis of a ribbon in a unit.

    Minutes are those that a full pack would last at the middle flight's mean use.
    """
    if unit is ChargeUnit.MAH:
        return ChargeAxis(unit, ribbon.usable_ah * _MAH_PER_AH)
    if unit is ChargeUnit.WH:
        return ChargeAxis(unit, ribbon.usable_wh)
    used = ribbon.left_fraction[0].p50 - ribbon.left_fraction[-1].p50
    flown_s = ribbon.times_s[-1] - ribbon.times_s[0]
    return ChargeAxis(unit, flown_s / max(used, 1e-6) / _S_PER_MINUTE)
