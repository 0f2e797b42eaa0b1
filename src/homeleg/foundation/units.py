"""Quantities as a person writes them, a number and a unit, turned into the program's own units.

Those are SI, radians and kelvin; charge stays in ampere-hours and energy in watt-hours, as pilots
and chargers count them; ratios become fractions.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import Enum
from types import MappingProxyType

from homeleg.foundation import constants as c

__all__ = [
    "Dimension",
    "TextError",
    "parse_number",
    "parse_quantity",
    "printable",
    "unit_names",
    "units_fitting",
    "with_article",
]


class Dimension(Enum):
    """What a quantity measures."""

    LENGTH = "length"
    AREA = "area"
    MASS = "mass"
    SPEED = "speed"
    ANGLE = "angle"
    TIME = "time"
    POWER = "power"
    VOLTAGE = "voltage"
    CELL_VOLTAGE = "voltage per cell"
    CHARGE = "charge"
    ENERGY = "energy"
    RESISTANCE = "resistance"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    PRESSURE = "pressure"
    FREQUENCY = "frequency"
    RATIO = "ratio"
    GAIN = "antenna gain"
    LOSS = "loss"
    LEVEL = "radio level"


class TextError(ValueError):
    """A text is not what was asked for: what is wrong, and what would be right."""

    def __init__(self, problem: str, remedy: str) -> None:
        self.problem = printable(problem)
        self.remedy = printable(remedy)
        stop = "" if self.problem.endswith("?") else "."
        super().__init__(f"{self.problem}{stop} {self.remedy}")


def printable(text: str) -> str:
    """Return a text with nothing in it that could upset a terminal."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def with_article(word: str) -> str:
    """Return a word behind "a" or "an"."""
    return f"{'an' if word[0] in 'aeiou' else 'a'} {word}"


@dataclass(frozen=True, slots=True)
class _Unit:
    """Own unit = scale * number + offset."""

    scale: float
    offset: float = 0.0


def _scales(**scales: float) -> dict[str, _Unit]:
    return {name.replace("_per_", "/"): _Unit(scale) for name, scale in scales.items()}


_FAHRENHEIT_K = 5.0 / 9.0
_UNITS: Mapping[Dimension, Mapping[str, _Unit]] = MappingProxyType(
    {
        Dimension.LENGTH: _scales(
            m=1.0, mm=1e-3, cm=1e-2, km=1e3, ft=c.FOOT_M, mi=c.MILE_M, nmi=c.NAUTICAL_MILE_M
        )
        | {"in": _Unit(c.INCH_M)},
        Dimension.AREA: _scales(m2=1.0, dm2=1e-2, cm2=1e-4, ft2=c.FOOT_M**2, in2=c.INCH_M**2),
        Dimension.MASS: _scales(kg=1.0, g=1e-3, lb=c.POUND_KG, oz=c.POUND_KG / 16.0),
        Dimension.SPEED: _scales(
            m_per_s=1.0,
            km_per_h=1.0 / 3.6,
            kt=c.KNOT_M_S,
            mph=c.MILE_M / 3600.0,
            ft_per_s=c.FOOT_M,
            ft_per_min=c.FOOT_M / 60.0,
        ),
        Dimension.ANGLE: _scales(deg=math.pi / 180.0, rad=1.0),
        Dimension.TIME: _scales(s=1.0, min=60.0, h=3600.0, days=86_400.0),
        Dimension.POWER: _scales(W=1.0, mW=1e-3, kW=1e3),
        Dimension.VOLTAGE: _scales(V=1.0, mV=1e-3),
        Dimension.CELL_VOLTAGE: _scales(V_per_cell=1.0, mV_per_cell=1e-3),
        Dimension.CHARGE: _scales(Ah=1.0, mAh=1e-3),
        Dimension.ENERGY: _scales(Wh=1.0, kWh=1e3, J=1.0 / 3600.0, kJ=1.0 / 3.6),
        Dimension.RESISTANCE: _scales(ohm=1.0, mohm=1e-3),
        Dimension.TEMPERATURE: {
            "degC": _Unit(1.0, c.CELSIUS_ZERO_K),
            "degF": _Unit(_FAHRENHEIT_K, c.CELSIUS_ZERO_K - 32.0 * _FAHRENHEIT_K),
            "K": _Unit(1.0),
        },
        Dimension.TEMPERATURE_DIFFERENCE: _scales(K=1.0, degC=1.0, degF=_FAHRENHEIT_K),
        Dimension.PRESSURE: _scales(hPa=100.0, Pa=1.0, kPa=1e3, mbar=100.0)
        | {"inHg": _Unit(c.INCH_OF_MERCURY_PA)},
        Dimension.FREQUENCY: _scales(MHz=1e6, GHz=1e9, kHz=1e3, Hz=1.0),
        Dimension.RATIO: {"": _Unit(1.0), "%": _Unit(0.01)},
        Dimension.GAIN: _scales(dBi=1.0),
        Dimension.LOSS: _scales(dB=1.0),
        Dimension.LEVEL: _scales(dBm=1.0),
    }
)
# Other ways to write the same unit.
_SAME_AS: Mapping[str, str] = MappingProxyType(
    {
        "°": "deg",
        "°C": "degC",
        "°F": "degF",
        "m²": "m2",
        "dm²": "dm2",
        "cm²": "cm2",
        "ft²": "ft2",
        "in²": "in2",
        "Ω": "ohm",
        "mΩ": "mohm",
        "kn": "kt",
        "day": "days",
        "NM": "nmi",
    }
)
_NUMBER = re.compile(r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d{1,3})?", re.ASCII)
_LONGEST_SHOWN = 40


def unit_names(dimension: Dimension) -> tuple[str, ...]:
    """Return the units in which a quantity of this dimension may be written, usual one first."""
    return tuple(_UNITS[dimension])


def parse_quantity(text: str, dimension: Dimension) -> float:
    """Return a quantity such as "1.90 m" in the program's own unit of its dimension.

    Raises TextError when it is not a finite number followed by a unit of that dimension.
    """
    number, unit = _split(text)
    units = _UNITS[dimension]
    if unit in units:
        return parse_number(number) * units[unit].scale + units[unit].offset
    accepted = _accepted(dimension)
    if not unit:
        raise TextError(
            f"{shown(text)} has no unit: {number} what?",
            f"Write {with_article(dimension.value)} in {accepted}.",
        )
    raise TextError(
        f"{shown(text)} is not {with_article(dimension.value)}: {_found(unit, dimension)}",
        f"Write {with_article(dimension.value)} in {accepted}.",
    )


def parse_number(text: str) -> float:
    """Return a plain finite number; raises TextError, and guesses at slips of the keyboard."""
    stripped = text.strip().replace("−", "-")
    if _NUMBER.fullmatch(stripped) and math.isfinite(float(stripped)):
        return float(stripped)
    hint, remedy = _slip(stripped)
    raise TextError(f"{shown(text)} is not a number{hint}", remedy)


def units_fitting(
    text: str, dimension: Dimension, lowest: float, highest: float
) -> tuple[str, ...]:
    """Return the same number with each other unit that brings it between two limits."""
    number, own = _split(text)
    value = float(number)
    return tuple(
        f"{number} {name}"
        for name, unit in _UNITS[dimension].items()
        if name not in ("", own) and lowest <= value * unit.scale + unit.offset <= highest
    )


def shown(text: str) -> str:
    """Return a text in quotes, cut when it is long."""
    cut = text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 1] + "…"
    return f'"{printable(cut)}"'


def _split(text: str) -> tuple[str, str]:
    """Return number and unit of a quantity as text, the unit in its usual spelling."""
    stripped = text.strip().replace("−", "-")
    match = _NUMBER.match(stripped)
    if match is None or not _ends_a_number(stripped[match.end() :]):
        head = stripped.split(maxsplit=1)[0] if stripped else ""
        hint, remedy = _slip(head)
        raise TextError(f"{shown(text)} does not start with a number{hint}", remedy)
    parse_number(match.group())
    unit = "".join(stripped[match.end() :].split())
    return match.group(), _SAME_AS.get(unit, unit)


def _ends_a_number(rest: str) -> bool:
    """Tell whether what follows the digits can be a unit: "12O.0" and "1,90 m" cannot."""
    return not re.match(r"[,.]|[A-Za-z]*\d*\.\d", rest) and not re.match(r"[OolI](?![a-z])", rest)


def _slip(text: str) -> tuple[str, str]:
    """Return a guess at what went wrong in a number, and what would be right."""
    text = text[:_LONGEST_SHOWN]
    corrected = text.translate(str.maketrans("OolI", "0011"))
    if corrected != text and _NUMBER.match(corrected):
        return " (is that a letter in the place of a digit?)", f"Write {corrected}."
    if re.match(r"[-+]?\d+,\d", text):
        return " (is that a decimal comma?)", f"Write {text.replace(',', '.', 1)}."
    return "", "Write a number with a decimal point, such as 12.5."


def _accepted(dimension: Dimension) -> str:
    names = [name or "a bare fraction" for name in _UNITS[dimension]]
    return names[0] if len(names) == 1 else ", ".join(names[:-1]) + " or " + names[-1]


def _found(unit: str, wanted: Dimension) -> str:
    for dimension, units in _UNITS.items():
        if unit in units and dimension is not wanted:
            return f"{shown(unit)} is a unit of {dimension.value}"
    near = [name for name in _UNITS[wanted] if name.lower() == unit.lower()]
    if near:
        return f"{shown(unit)} is not a unit; is it {near[0]}?"
    return f"{shown(unit)} is not a unit of {wanted.value}"
