"""The keys of the weather of a sortie file."""

from enum import Enum

from homeleg.formats.aircraft_fields import HEIGHT, TIME
from homeleg.formats.kinds import Choice, Flag, Quantity, Spread, Stated, Text, Whole
from homeleg.formats.reader import EstimateOf, Field, ListOf, TableOf
from homeleg.foundation.stated_text import MagneticWind, StatedWind, parse_bearing, parse_wind
from homeleg.foundation.units import Dimension, TextError, shown
from homeleg.physics.beaufort import STRONGEST_FORCE, LandSign
from homeleg.world.shear import EIGHTHS

__all__ = ["LAYER", "WEATHER", "WindInstrument"]


class WindInstrument(Enum):
    """How a surface wind was found."""

    ANEMOMETER = "anemometer"
    DECLARED = "declared"


_LONGEST_REPORT = 500
_SKIES = {"clear": 0, "half cloud": EIGHTHS // 2, "overcast": EIGHTHS}


def _parse_sky(text: str) -> int:
    """Return the eighths of "clear", "half cloud", "overcast" or "3/8"; raises TextError."""
    words = " ".join(text.lower().split())
    if words in _SKIES:
        return _SKIES[words]
    eighths, _, of = words.partition("/")
    if of.strip() == str(EIGHTHS) and eighths.strip() in map(str, range(EIGHTHS + 1)):
        return int(eighths)
    raise TextError(
        f"{shown(text)} does not say how much of the sky is cloud",
        f'Write {", ".join(_SKIES)}, or eighths such as "3/{EIGHTHS}".',
    )


def _parse_report(text: str) -> str:
    """Return a report in one line; raises TextError."""
    words = " ".join(text.split())
    if not 0 < len(words) <= _LONGEST_REPORT:
        raise TextError(
            f"is {len(words)} letters long", f"Write a report of 1 to {_LONGEST_REPORT} letters."
        )
    return words


def _wind_speed(wind: StatedWind | MagneticWind) -> float:
    return wind.speed_m_s


_WIND = Stated(parse_wind, "5.0 m/s from 225", _wind_speed, 0.0, 60.0, "m/s")
_COMMON_WIND = (
    Field("value", _WIND, "Speed, and the true direction it blows from.", required=True),
    Field(
        "sd", Quantity(Dimension.SPEED, 0, 20), "Standard deviation of the speed when it was seen."
    ),
    Field(
        "direction_sd", Quantity(Dimension.ANGLE, 0, 180), "Standard deviation of the direction."
    ),
    Field("seen", TIME, "When it was seen or is valid."),
)
_SURFACE_WIND = TableOf(
    (
        *_COMMON_WIND,
        Field("gust", Quantity(Dimension.SPEED, 0, 80), "Strongest gust."),
        Field("at", Quantity(Dimension.LENGTH, 0.5, 200), "Height it was measured at."),
        Field("by", Choice(WindInstrument), "How it was found."),
        Field(
            "exponent",
            EstimateOf(Quantity(Dimension.RATIO, 0.0, 0.8), Spread(Dimension.RATIO, 0.4)),
            "Power-law exponent of wind over height; by sun, sky and wind when left out.",
        ),
    )
)
LAYER = TableOf((*_COMMON_WIND, Field("at", HEIGHT, "At which height.", required=True)))
_WINDS_FILE = TableOf(
    (
        Field(
            "file",
            Text(),
            "Winds-aloft forecast or sounding as text, CSV or GRIB, beside this file.",
            required=True,
        ),
        Field("station", Text(10), "Which station of a winds-aloft forecast."),
        Field("seen", TIME, "When its winds were seen or are valid, instead of what it says."),
        Field(
            "sd", Quantity(Dimension.SPEED, 0, 20), "Standard deviation of their speed, instead."
        ),
    )
)
_BEAUFORT = TableOf(
    (
        Field("force", Whole(0, STRONGEST_FORCE), "Beaufort force."),
        Field("sign", Choice(LandSign), "What the wind does on land, instead of the force."),
        Field("from", Stated(parse_bearing, "225 deg"), "True direction it blows from."),
        Field("gusty", Flag(), "Whether gusts were seen."),
        Field("seen", TIME, "When it was seen."),
    )
)
WEATHER = TableOf(
    (
        Field("surface_wind", _SURFACE_WIND, "The wind near the ground."),
        Field("beaufort", _BEAUFORT, "The wind by its signs on land."),
        Field(
            "metar",
            Stated(_parse_report, "METAR EGPC 091650Z 25012KT 9999 FEW030 14/08 Q1016"),
            "A METAR or SPECI of a station near by; gives whatever is not stated here.",
        ),
        Field("metar_distance", Quantity(Dimension.LENGTH, 0, 200_000), "How far its station is."),
        Field("metar_elevation", HEIGHT, "Height of its station, AMSL."),
        Field("layers", ListOf(LAYER, 0, 40), "Winds at heights, as foretold."),
        Field("winds_file", _WINDS_FILE, "Winds at heights from a file of outside."),
        Field("sky", Stated(_parse_sky, "half cloud"), "How much of the sky is cloud."),
        Field(
            "temperature",
            EstimateOf(
                Quantity(Dimension.TEMPERATURE, -40, 55),
                Quantity(Dimension.TEMPERATURE_DIFFERENCE, 0, 20),
            ),
            "Air temperature at the launch point; the METAR's when left out.",
        ),
        Field("pressure", Quantity(Dimension.PRESSURE, 500, 1090), "Pressure at the launch point."),
        Field("qnh", Quantity(Dimension.PRESSURE, 900, 1090), "Altimeter setting, instead."),
        Field("humidity", Quantity(Dimension.RATIO, 0.0, 1.0), "Relative humidity."),
        Field("visibility", Quantity(Dimension.LENGTH, 10, 100_000), "Ground visibility."),
        Field("cloud_base", HEIGHT, "Height of the cloud base."),
    )
)
