"""Directions that a sortie file gives from magnetic north, turned into true ones."""

import math
from datetime import datetime

from homeleg.formats.findings import Spot
from homeleg.formats.reader import Values
from homeleg.foundation.heights import StatedHeight
from homeleg.foundation.stated_text import MagneticBearing, MagneticWind
from homeleg.physics.geomagnetism import (
    COMPASS_FAILS_BELOW_T,
    FIRST_DAY,
    LAST_DAY,
    MODEL,
    decimal_year,
    is_covered,
    magnetic_field,
)

__all__ = ["with_true_directions"]

_WRITE_TRUE = 'Write the true direction, from a map: such as "225 deg".'


def with_true_directions(sortie: Values) -> Values:
    """Return the values of a sortie read without problems, every direction in them true.

    The declination is that of the launch point at launch. Where it is not to be had, each magnetic
    direction is reported and taken as true.
    """
    declination_rad = _declination(sortie)

    def made_true(value: object, spot: Spot) -> object:
        if not isinstance(value, MagneticBearing | MagneticWind):
            return value
        if isinstance(declination_rad, str):
            spot.report(f"is magnetic, and {declination_rad}", _WRITE_TRUE)
            return value.true(0.0)
        return value.true(declination_rad)

    return sortie.replaced(made_true)


def _declination(sortie: Values) -> float | str:
    """Return the declination at the launch point [rad], or in words why there is none."""
    site, at = sortie.table("site"), sortie.table("time").need("launch", datetime)
    if not is_covered(at):
        return (
            f"the magnetic model ({MODEL}) reaches from {FIRST_DAY} to {LAST_DAY}, not to {at:%Y}"
        )
    elevation_m = site.need("elevation", StatedHeight).value_m
    place = site.items("launch_point", float)
    field = magnetic_field(place[0], place[1], elevation_m, decimal_year(at))
    if field.horizontal_t < COMPASS_FAILS_BELOW_T:
        return (
            f"so near a magnetic pole no compass tells: the declination is uncertain by "
            f"{math.degrees(field.declination_sd_rad):.0f} deg"
        )
    return field.declination_rad
