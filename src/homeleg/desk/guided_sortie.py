"""A first sortie from a few answers: where, what the ground and the wind look like, which shape.

What nobody was asked stays out of the files, so that the check lists it as a thing to do.
"""

import math
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from types import MappingProxyType

from homeleg.desk.base import Base, aircraft_in
from homeleg.desk.new import second_quarter, utc_text
from homeleg.desk.route_shapes import shape_text
from homeleg.desk.starting_files import quoted
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.text_file import write_new_text
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import COMPASS_POINTS, parse_latitude, parse_longitude
from homeleg.foundation.units import Dimension, TextError, parse_quantity
from homeleg.physics.beaufort import LandSign

__all__ = [
    "COMPASS",
    "FIELDS",
    "PACK_KEPT",
    "SIGNS",
    "WARMTH",
    "FieldSize",
    "keep_sortie",
    "place_refusal",
]

# Stronger winds than these nobody flies in.
SIGNS = tuple(sign.value for sign in list(LandSign)[:7])
COMPASS = tuple(point.upper() for point in COMPASS_POINTS)
_DEGREES_APART = 360.0 / len(COMPASS)


@dataclass(frozen=True, slots=True)
class FieldSize:
    """How much open ground there is: flat out to `radius_m`, `strip_m` of it to land in."""

    radius_m: int
    strip_m: int


FIELDS: Mapping[str, FieldSize] = MappingProxyType(
    {"small": FieldSize(500, 100), "large": FieldSize(1000, 250), "wide": FieldSize(2000, 300)}
)

# A person feels ten degrees apart: the middle of each, and how it shows.
WARMTH: Mapping[str, tuple[int, str]] = MappingProxyType(
    {
        "frost": (-5, "below 0 degC"),
        "cold": (5, "0 to 10 degC"),
        "mild": (15, "10 to 20 degC"),
        "warm": (25, "20 to 30 degC"),
        "hot": (35, "above 30 degC"),
    }
)


_AS_OUTSIDE = "outside"
# Where a pack was kept before the flight, and how warm it then is, with one standard deviation;
# None where it has the air's temperature. Ours (MEMORY).
PACK_KEPT: Mapping[str, tuple[int, int] | None] = MappingProxyType(
    {"pocket": (28, 4), "room": (20, 4), _AS_OUTSIDE: None}
)


def place_refusal(text: str) -> str | None:
    """Return why a place with its height cannot be taken; None where it can."""
    try:
        _place(text)
    except TextError as error:
        return f"{error.problem}. {error.remedy}"
    return None


def keep_sortie(base: Base, aircraft: str, answers: Mapping[str, str], now: datetime) -> str:
    """Write a sortie and its route into the base, and return its name there.

    `answers`: place, field, sign, from, gusty, shape; sky, temperature and kept (the pack) where
    known. The launch is at the second quarter of an hour from now. Raises InputFileError where the
    base has no such aircraft.
    """
    entry = next((one for one in aircraft_in(base) if one.name == aircraft), None)
    if entry is None:
        there = ", ".join(one.name for one in aircraft_in(base)) or "none yet"
        problem = Problem(
            where=aircraft, problem="no such aircraft in the base", remedy=f"There are: {there}."
        )
        raise InputFileError([problem])
    folder = _free_folder(base.sorties, aircraft)
    folder.mkdir()
    beside = Path(os.path.relpath(entry.path, folder)).as_posix()
    from_rad = math.radians(_DEGREES_APART * COMPASS.index(answers["from"]))
    files = {
        folder / "route.csv": shape_text(answers["shape"], from_rad),
        folder / "sortie.toml": _sortie_text(beside, entry.flights, answers, now),
    }
    try:
        for path, text in files.items():
            write_new_text(path, text)
        read_sortie(folder / "sortie.toml")
    except BaseException:
        for path in files:
            path.unlink(missing_ok=True)
        folder.rmdir()
        raise
    return folder.name


def _sortie_text(aircraft: str, flights: int, answers: Mapping[str, str], now: datetime) -> str:
    latitude, longitude, height = _place(answers["place"])
    field = FIELDS[answers["field"]]
    told = _UNTOLD_TEMPERATURE
    if "temperature" in answers:
        told = _TOLD_TEMPERATURE % WARMTH[answers["temperature"]][0]
    pack = ""
    if "kept" in answers:
        kept = PACK_KEPT[answers["kept"]]
        pack = f"\n[pack]\ntemperature = {told if kept is None else _PACK_TEMPERATURE % kept}\n"
    sky = f"sky = {quoted(answers['sky'])}\n" if "sky" in answers else ""
    return _SORTIE.format(
        aircraft=quoted(aircraft),
        flown_by=quoted("assisted" if flights else "hand"),
        latitude=quoted(latitude),
        longitude=quoted(longitude),
        elevation=quoted(f"{height} AMSL"),
        strip=field.strip_m,
        radius=field.radius_m,
        temperature=told,
        sky=sky,
        sign=quoted(answers["sign"]),
        blows_from=quoted(answers["from"]),
        gusty="true" if answers["gusty"] == "yes" else "false",
        seen=quoted(utc_text(now)),
        launch=quoted(utc_text(second_quarter(now))),
        pack=pack,
    )


# Evenly spread over ten degrees: 10 / sqrt(12).
_TOLD_TEMPERATURE = '{ value = "%d degC", sd = "3 degC" }'
_PACK_TEMPERATURE = '{ value = "%d degC", sd = "%d degC" }'
_UNTOLD_TEMPERATURE = '{ value = "12 degC", sd = "8 degC", basis = "assumed" }  # not known'
_SORTIE = """\
# A sortie: one intended flight. Every quantity carries its unit, every height what it is above.
# Not told yet: boundary, keep_out and come_down of [site]; visibility and cloud_base of [weather].

schema = "homeleg/sortie/1"
aircraft = {aircraft}
route = "route.csv"
flown_by = {flown_by}

[site]
launch_point = [{latitude}, {longitude}]
elevation = {elevation}
launch_heading = {blows_from}  # into the wind

[site.strip]
length = "{strip} m"

[site.ground]
by_eye = "flat within 5 m"
radius = "{radius} m"

[weather]
temperature = {temperature}
{sky}
[weather.beaufort]
sign = {sign}
from = {blows_from}
gusty = {gusty}
seen = {seen}

[time]
launch = {launch}
{pack}"""


def _place(text: str) -> tuple[str, str, str]:
    """Return latitude, longitude and height as the file holds them; raises TextError."""
    parts = [part.strip() for part in re.split(r"[,;]", text)]
    if len(parts) != 3:
        raise TextError(
            f"{text} is not a latitude, a longitude and a height, with commas between",
            "Write them as your phone shows them, such as 55.0012 N, 5.0034 W, 35 m.",
        )
    latitude, longitude, height = parts
    parse_latitude(latitude)
    parse_longitude(longitude)
    parse_quantity(height.removesuffix("AMSL").strip(), Dimension.LENGTH)
    return latitude, longitude, height.removesuffix("AMSL").strip()


def _free_folder(sorties: Path, aircraft: str) -> Path:
    """Return a folder that is not there yet, named after the aircraft."""
    number = 1
    while (folder := sorties / f"{aircraft}-{number}").exists():
        number += 1
    return folder
