"""How a person likes figures and pages: the units at the face, the clock, the light.

Everything is stored and computed in SI; this is only how it is shown, and in which unit a bare
number is read.
"""

import re
from dataclasses import dataclass, fields
from datetime import UTC, datetime

from homeleg.desk.base import Base
from homeleg.desk.edit import set_in_file
from homeleg.formats.text_file import write_new_text
from homeleg.formats.toml_text import parse_toml, read_text_file
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import Dimension, parse_quantity

__all__ = ["CHOICES", "SI", "Face", "read_face", "write_face"]

CHOICES = {
    "length": ("m", "ft"),
    "speed": ("m/s", "kt", "km/h", "mph"),
    "pressure": ("hPa", "inHg"),
    "clock": ("UTC", "local and UTC"),
    "light": ("as this machine", "light", "dark", "sunlight"),
}
_FILE = "face.toml"
_REMARK = "# How Homeleg shows figures on its pages; the other files keep their own units.\n"
_DECIMALS = {"m": 0, "ft": 0, "m/s": 1, "kt": 0, "km/h": 0, "mph": 0, "hPa": 0, "inHg": 2}
_SHOWN = re.compile(r"(?<![\w.])(-?\d[\d,]*(?:\.\d+)?) (m/s|m|hPa)(?![\w/])")


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """The choices of a person, each one of `CHOICES`."""

    length: str = "m"
    speed: str = "m/s"
    pressure: str = "hPa"
    clock: str = "UTC"
    light: str = "as this machine"

    def unit_for(self, unit: str) -> str:
        """Return the unit in which a figure in m, m/s or hPa is shown; any other as it is."""
        return {"m": self.length, "m/s": self.speed, "hPa": self.pressure}.get(unit, unit)

    def shown(self, value: float, unit: str) -> float:
        """Return a figure in the unit in which it is shown."""
        dimension = {"m": Dimension.LENGTH, "m/s": Dimension.SPEED, "hPa": Dimension.PRESSURE}.get(
            unit
        )
        if dimension is None or self.unit_for(unit) == unit:
            return value
        return value * _scale(unit, dimension) / _scale(self.unit_for(unit), dimension)

    def text(self, words: str) -> str:
        """Return a sentence with every "12.3 m/s", "45 m" and "1009 hPa" in shown units."""
        return _SHOWN.sub(self._replaced, words)

    def _replaced(self, match: re.Match[str]) -> str:
        unit = match[2]
        if self.unit_for(unit) == unit:
            return match[0]
        value = self.shown(float(match[1].replace(",", "")), unit)
        return f"{value:.{_DECIMALS[self.unit_for(unit)]}f} {self.unit_for(unit)}"

    def moment(self, moment: datetime) -> str:
        """Return a time of day as "16:45Z", beside the local one where that is wanted."""
        utc = f"{moment.astimezone(UTC):%H:%MZ}"
        if self.clock == "UTC":
            return utc
        return f"{moment.astimezone():%H:%M} ({utc})"

    def date(self, moment: datetime) -> str:
        """Return a day as "9 June"."""
        day = moment.astimezone(UTC) if self.clock == "UTC" else moment.astimezone()
        return f"{day.day} {day:%B}"


SI = Face()


def read_face(base: Base | None) -> Face:
    """Return the choices kept in a base; where there are none, or none that can be read, SI."""
    if base is None or not (base.folder / _FILE).exists():
        return SI
    try:
        told = parse_toml(read_text_file(base.folder / _FILE))
    except InputFileError:
        return SI
    kept = {one.name: told.get(one.name) for one in fields(Face)}
    return Face(**{name: value for name, value in kept.items() if value in CHOICES[name]})


def write_face(base: Base, name: str, choice: str) -> None:
    """Keep one choice in the base; raises InputFileError where there is no such choice."""
    if choice not in CHOICES.get(name, ()):
        remedy = f"There are: {', '.join(CHOICES.get(name, CHOICES))}."
        raise InputFileError([Problem(where=_FILE, problem=f"no {name} {choice}", remedy=remedy)])
    path = base.folder / _FILE
    if not path.exists():
        write_new_text(path, _REMARK)
    set_in_file(path, [name], choice)


def _scale(unit: str, dimension: Dimension) -> float:
    return parse_quantity(f"1 {unit}", dimension)
