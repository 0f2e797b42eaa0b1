"""Figures in SI units as a pilot reads them."""

import math
from dataclasses import dataclass

from homeleg.foundation import constants as c


@dataclass(frozen=True, slots=True)
class _Shown:
    """How a unit is shown: its name, factor, zero of the scale, decimals."""

    unit: str
    factor: float = 1.0
    zero: float = 0.0
    decimals: int = 1


_SHOWN = {
    "rad": _Shown("°", factor=math.degrees(1.0), decimals=0),
    "K": _Shown("°C", zero=-c.CELSIUS_ZERO_K),
    "m/s": _Shown("m/s"),
    "m": _Shown("m", decimals=2),
    "W": _Shown("W", decimals=0),
    "kg": _Shown("kg", decimals=2),
    "Ah": _Shown("Ah", decimals=2),
    "ohm": _Shown("mohm", factor=1000.0),
    "mean chord": _Shown("% MAC", factor=100.0),
    "": _Shown("", decimals=3),
}


def estimate_figure(value: float, sd: float, unit: str) -> str:
    """Return a value with its standard deviation and unit, such as "5.0 ± 1.0 m/s"."""
    shown = _SHOWN.get(unit, _Shown(unit, decimals=3))
    middle = f"{value * shown.factor + shown.zero:.{shown.decimals}f}"
    return f"{middle} ± {sd * shown.factor:.{shown.decimals}f} {shown.unit}".rstrip()
