"""Figures as a pilot reads them: rounded to what matters, with their unit."""

import math

from homeleg.foundation import constants as c
from homeleg.verdict.result import Percentiles

# Unit inside -> unit shown, factor, offset, decimals.
_SHOWN = {
    "fraction": ("%", 100.0, 0.0, 0),
    "%": ("%", 1.0, 0.0, 0),
    "rad": ("°", math.degrees(1.0), 0.0, 0),
    "deg": ("°", 1.0, 0.0, 0),
    "K": ("°C", 1.0, -c.CELSIUS_ZERO_K, 0),
    "J": ("Wh", 1.0 / c.WATT_HOUR_J, 0.0, 1),
    "m/s": ("m/s", 1.0, 0.0, 1),
    "s": ("s", 1.0, 0.0, 1),
    "m": ("m", 1.0, 0.0, 0),
    "W": ("W", 1.0, 0.0, 0),
    "V": ("V", 1.0, 0.0, 2),
    "V/cell": ("V/cell", 1.0, 0.0, 2),
    "kg": ("kg", 1.0, 0.0, 2),
    "% MAC": ("% MAC", 1.0, 0.0, 1),
    "degC": ("°C", 1.0, 0.0, 0),
    "dB": ("dB", 1.0, 0.0, 0),
    "ft": ("ft", 1.0, 0.0, 0),
    "km": ("km", 1.0, 0.0, 1),
    "min": ("min", 1.0, 0.0, 0),
    "heights": ("heights", 1.0, 0.0, 1),
}


def figure(value: float | None, unit: str) -> str:
    """Return the value with its unit, or plain words where nothing is known."""
    return _figure(value, unit, zero=_SHOWN[unit][2] if unit in _SHOWN else 0.0)


def bare_figure(value: float | None, unit: str) -> str:
    """Return the value without its unit, for places that have named it already."""
    with_unit = figure(value, unit)
    shown = _SHOWN[unit][0] if unit in _SHOWN else unit
    return with_unit.removesuffix(shown).rstrip()


def deviation(value: float, unit: str) -> str:
    """Return a standard deviation with its unit: a difference, so no zero of scale is moved."""
    return _figure(value, unit, zero=0.0)


def spread(value: Percentiles, unit: str) -> str:
    """Return the values between which eight in ten flights lie, the unit once."""
    return f"{bare_figure(value.p10, unit)} to {figure(value.p90, unit)}"


def clock(time_s: float) -> str:
    """Return a span of time as minutes and seconds."""
    if not math.isfinite(time_s):
        return "?"
    minutes, seconds = divmod(round(time_s), 60)
    return f"{minutes}:{seconds:02d}"


def _figure(value: float | None, unit: str, *, zero: float) -> str:
    if value is None or not math.isfinite(value):
        return "not known"
    shown, factor, _, decimals = _SHOWN.get(unit, (unit, 1.0, 0.0, 2))
    scaled = value * factor + zero
    if shown in ("m", "%") and abs(scaled) < 10.0:
        decimals = 1
    text = f"{scaled:.{decimals}f}"
    number = text.lstrip("-") if float(text) == 0.0 else text
    return f"{number} {shown}".replace(" °", "°").rstrip()
