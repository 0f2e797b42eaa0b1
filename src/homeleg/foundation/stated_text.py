"""Heights, airspeeds, winds, places and times as a person writes them, with what they refer to."""

import math
import re
from dataclasses import dataclass
from datetime import UTC, datetime
from enum import Enum

from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.units import Dimension, TextError, parse_quantity, shown

__all__ = [
    "COMPASS_POINTS",
    "ChordPosition",
    "MagneticBearing",
    "MagneticWind",
    "PositionReference",
    "StatedPlace",
    "StatedWind",
    "parse_airspeed",
    "parse_bearing",
    "parse_chord_position",
    "parse_chord_spread",
    "parse_elevation",
    "parse_flatness",
    "parse_height",
    "parse_latitude",
    "parse_longitude",
    "parse_place",
    "parse_time",
    "parse_wind",
    "shown_time",
]

_QUANTITY_THEN_WORDS = re.compile(r"\s*([-+−]?[\d.,][\d.,eEO]*\s*[^\W\d]+(?:/\w+)?)(?:\s+(.*))?$")
_BARE_NUMBER = re.compile(r"[-+]?[0-9.]+")
_ELEVATION_EXAMPLE = 'Write it as "35 m AMSL".'
_HEIGHT_EXAMPLE = 'Write it as "80 m above launch", AGL or AMSL.'
_LARGEST_FLATNESS_M = 200.0
_FULL_CIRCLE_RAD = 2.0 * math.pi
COMPASS_POINTS = [
    "n",
    "nne",
    "ne",
    "ene",
    "e",
    "ese",
    "se",
    "sse",
    "s",
    "ssw",
    "sw",
    "wsw",
    "w",
    "wnw",
    "nw",
    "nnw",
]
_DATUM_WORDS = {datum.value.lower(): datum for datum in Datum}
_KIND_WORDS = {kind.value.lower(): kind for kind in SpeedKind}


@dataclass(frozen=True, slots=True)
class StatedWind:
    """A wind as a person wrote it: speed and the true direction it blows from. [m/s, rad]."""

    speed_m_s: float
    from_true_rad: float


@dataclass(frozen=True, slots=True)
class MagneticBearing:
    """A bearing from magnetic north, of use once the declination is known. [rad]."""

    from_magnetic_rad: float

    def true(self, declination_rad: float) -> float:
        """Return the true bearing; the declination is positive to the east."""
        return (self.from_magnetic_rad + declination_rad) % _FULL_CIRCLE_RAD


@dataclass(frozen=True, slots=True)
class MagneticWind:
    """A wind whose direction was written from magnetic north. [m/s]."""

    speed_m_s: float
    blows_from: MagneticBearing

    def true(self, declination_rad: float) -> StatedWind:
        """Return the wind by its true direction; the declination is positive to the east."""
        return StatedWind(self.speed_m_s, self.blows_from.true(declination_rad))


@dataclass(frozen=True, slots=True)
class StatedPlace:
    """A place as a person wrote it, with a height where one was given. [rad]."""

    latitude_rad: float
    longitude_rad: float
    height: StatedHeight | None


class PositionReference(Enum):
    """What a fore-and-aft position is measured from."""

    MEAN_CHORD = "% MAC"
    ROOT_LEADING_EDGE = "behind the leading edge at the root"


@dataclass(frozen=True, slots=True)
class ChordPosition:
    """A fore-and-aft position: a fraction of the mean chord, or metres behind the root's edge."""

    value: float
    reference: PositionReference


def parse_height(text: str) -> StatedHeight:
    """Return a height such as "80 m above launch" or "262 ft AMSL"; raises TextError."""
    quantity, words = _quantity_and_words(text)
    if _BARE_NUMBER.fullmatch(quantity):
        raise TextError(f"{shown(text)}: {quantity} what, above what?", _HEIGHT_EXAMPLE)
    if words in _DATUM_WORDS:
        return StatedHeight(parse_quantity(quantity, Dimension.LENGTH), _DATUM_WORDS[words])
    parse_quantity(quantity, Dimension.LENGTH)
    problem = f"{quantity} above what?" if not words else f"{shown(words)} is not known"
    raise TextError(
        f"{shown(text)}: {problem}", f'Write "{quantity}" followed by above launch, AGL or AMSL.'
    )


def parse_elevation(text: str) -> StatedHeight:
    """Return the elevation of a place such as "35 m AMSL"; raises TextError."""
    try:
        height = parse_height(text)
    except TextError as error:
        raise TextError(error.problem, _ELEVATION_EXAMPLE) from error
    if height.above not in (Datum.AMSL, Datum.ELLIPSOID):
        problem = f"{shown(text)} is {height.above.value}, and an elevation is above mean sea level"
        raise TextError(problem, _ELEVATION_EXAMPLE)
    return height


def parse_airspeed(text: str) -> StatedAirspeed:
    """Return an airspeed such as "15.5 m/s TAS" or "30 kt EAS"; raises TextError."""
    quantity, words = _quantity_and_words(text)
    speed_m_s = parse_quantity(quantity, Dimension.SPEED)
    if words in _KIND_WORDS:
        return StatedAirspeed(speed_m_s, _KIND_WORDS[words])
    problem = "which airspeed?" if not words else f"{shown(words)} is not a kind of airspeed"
    raise TextError(f"{shown(text)}: {problem}", f'Write "{quantity}" and IAS, CAS, EAS or TAS.')


def parse_wind(text: str) -> StatedWind | MagneticWind:
    """Return a wind such as "5.0 m/s from 225", "from SW" or "from 228 magnetic"; raises TextError.

    Degrees are true unless the text says magnetic.
    """
    speed, word, direction = (part.strip() for part in text.partition(" from "))
    example = 'Write it as "5.0 m/s from 225" or "from SW": where it blows from, true.'
    if not word:
        raise TextError(f"{shown(text)} does not say where the wind blows from", example)
    speed_m_s = parse_quantity(speed, Dimension.SPEED)
    if speed_m_s < 0.0:
        raise TextError(f"{shown(text)}: a wind speed is not below zero", example)
    bearing = parse_bearing(direction)
    if isinstance(bearing, MagneticBearing):
        return MagneticWind(speed_m_s, bearing)
    return StatedWind(speed_m_s, bearing)


def parse_bearing(text: str) -> float | MagneticBearing:
    """Return a bearing such as "225", "225 deg true", "SW" or "228 magnetic"; raises TextError.

    True ones in radians; a magnetic one waits for the declination.
    """
    words = text.strip().lower()
    if words.endswith("magnetic"):
        return MagneticBearing(_bearing(text, words.removesuffix("magnetic").strip()))
    return _bearing(text, words.removesuffix("true").strip())


def _bearing(text: str, plain: str) -> float:
    """Return degrees or a point of the compass in radians."""
    if plain in COMPASS_POINTS:
        return COMPASS_POINTS.index(plain) * _FULL_CIRCLE_RAD / len(COMPASS_POINTS)
    if re.fullmatch(r"[a-z][a-z -]*", plain):
        points = "N, NNE, NE, ENE, E ..."
        problem = f"{shown(text)} is not a point of the compass"
        raise TextError(problem, f"Write degrees true, such as 225, or one of {points}")
    with_unit = plain if re.search(r"[a-z°]", plain) else f"{plain} deg"
    bearing_rad = parse_quantity(with_unit, Dimension.ANGLE)
    if not 0.0 <= bearing_rad <= _FULL_CIRCLE_RAD:
        raise TextError(f"{shown(text)} is not a bearing", "Write a bearing from 0 to 360 deg.")
    return bearing_rad % _FULL_CIRCLE_RAD


def parse_latitude(text: str) -> float:
    """Return a latitude such as "55.0000 N" or "-4.05" in radians, north positive."""
    return _coordinate(text, "latitude", "NS", "EW", 90.0)


def parse_longitude(text: str) -> float:
    """Return a longitude such as "5.0000 W" or "-5.0" in radians, east positive."""
    return _coordinate(text, "longitude", "EW", "NS", 180.0)


def parse_place(text: str) -> StatedPlace:
    """Return a place such as "55.0036 N, 4.9892 W, 85 m above launch"; raises TextError.

    The height may be left out.
    """
    parts = [part.strip() for part in text.split(",")]
    if len(parts) not in (2, 3):
        problem = f"{shown(text)} is not latitude, longitude and, if known, height"
        example = '"55.0036 N, 4.9892 W, 85 m above launch"'
        raise TextError(problem, f"Write it as {example}, points in numbers, commas between.")
    return StatedPlace(
        parse_latitude(parts[0]),
        parse_longitude(parts[1]),
        parse_height(parts[2]) if len(parts) == 3 else None,
    )


def parse_chord_position(text: str) -> ChordPosition:
    """Return "28.5 % MAC" or "70 mm behind the leading edge at the root"; raises TextError."""
    stripped = text.strip()
    for reference in PositionReference:
        if stripped.endswith(reference.value):
            quantity = stripped.removesuffix(reference.value)
            if reference is PositionReference.MEAN_CHORD:
                return ChordPosition(parse_quantity(quantity + "%", Dimension.RATIO), reference)
            return ChordPosition(parse_quantity(quantity, Dimension.LENGTH), reference)
    raise TextError(
        f"{shown(text)} does not say what it is measured from",
        'Write "28.5 % MAC" or "70 mm behind the leading edge at the root".',
    )


def parse_chord_spread(text: str) -> ChordPosition:
    """Return a fore-and-aft spread such as "0.8 % MAC" or "2 mm"; raises TextError."""
    if text.strip().endswith(PositionReference.MEAN_CHORD.value):
        return parse_chord_position(text)
    length_m = parse_quantity(text, Dimension.LENGTH)
    return ChordPosition(length_m, PositionReference.ROOT_LEADING_EDGE)


def parse_flatness(text: str) -> float:
    """Return the metres of "flat within 5 m"; raises TextError."""
    words, _, quantity = text.strip().partition("flat within ")
    if words or not quantity:
        problem = f"{shown(text)} is not a judgement of the ground"
        raise TextError(problem, 'Write "flat within 5 m".')
    within_m = parse_quantity(quantity, Dimension.LENGTH)
    if not 0.0 < within_m <= _LARGEST_FLATNESS_M:
        raise TextError(
            f"{shown(text)}: ground is flat within 0 to {_LARGEST_FLATNESS_M:.0f} m",
            "Fly where the ground is known, or judge it again.",
        )
    return within_m


def parse_time(text: str) -> datetime:
    """Return a time such as "2026-06-09 17:00Z" as aware UTC; raises TextError."""
    example = 'Write it as "2026-06-09 17:00Z" (Z: UTC).'
    try:
        stated = datetime.fromisoformat(text.strip())
    except ValueError:
        raise TextError(f"{shown(text)} is not a date and time", example) from None
    if stated.tzinfo is None:
        raise TextError(f"{shown(text)} does not say in which time zone", example)
    try:
        return stated.astimezone(UTC)
    except OverflowError:
        raise TextError(f"{shown(text)} is not a date and time", example) from None


def shown_time(time: datetime) -> str:
    """Return an aware time in UTC, as a person writes it and `parse_time` reads it."""
    return time.astimezone(UTC).replace(tzinfo=None).isoformat(" ", "minutes") + "Z"


def _quantity_and_words(text: str) -> tuple[str, str]:
    """Split "80 m above launch" or "80m AGL" into the quantity and the words behind it."""
    match = _QUANTITY_THEN_WORDS.match(text)
    if match is None:
        return text.strip(), ""
    return match.group(1), " ".join((match.group(2) or "").lower().split())


def _coordinate(text: str, name: str, letters: str, other: str, largest_deg: float) -> float:
    stripped = text.strip().upper()
    example = f'Write decimal degrees, such as "{"55.0000 N" if letters == "NS" else "5.0000 W"}".'
    letter = stripped[-1:] if stripped[-1:] in set("NSEW") else ""
    if letter and letter in other:
        swapped = "Latitude comes first, then longitude: are the two swapped?"
        raise TextError(f"{shown(text)} is not a {name}: it ends in {letter}", swapped)
    number = stripped.removesuffix(letter).strip()
    try:
        degrees = parse_quantity(f"{number.removesuffix('°').strip()} deg", Dimension.ANGLE)
    except TextError:
        raise TextError(f"{shown(text)} is not a {name}", example) from None
    if letter and degrees < 0.0:
        raise TextError(f"{shown(text)} has both a sign and a letter", example)
    if abs(math.degrees(degrees)) > largest_deg:
        raise TextError(
            f"{shown(text)} is beyond {largest_deg:.0f} degrees, the largest {name}", example
        )
    return -degrees if letter in ("S", "W") else degrees
