"""What a falling aircraft may do to people on the ground, and how far around the route it may fall.

Figures of a published way to assess risk. They say nothing about what is allowed.
"""

import math

from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.physics.validity import not_negative, positive, within

__all__ = [
    "GLIDING_RAD",
    "GLIDING_SPEED_SHARE",
    "STEEPLY_RAD",
    "contingency_height",
    "contingency_width",
    "critical_area",
    "falling_distance",
    "ground_risk_class",
]

# Of JARUS SORA 2.5, Annex F, FOUND as code by its authors (casex 1.2.3): a person's radius and
# height [m]; energy that kills [J]; friction of the slide; restitution from 10 to 90 degrees of
# impact; share of the area that obstacles leave; the two impacts assessed, steep and gliding.
_PERSON_RADIUS_M, _PERSON_HEIGHT_M = 0.3, 1.8
_LETHAL_J = 290.0
_FRICTION = 0.65
_RESTITUTION_AT_RAD = (math.radians(10.0), math.radians(90.0))
_RESTITUTION = (0.8, 0.6)
_OPEN_SHARE = 0.6
_ANNEX_F_GRAVITY_M_S2 = 9.81  # on purpose: with the standard one its printed areas are missed
_SMALL_SPAN_M, _GREATEST_SPAN_M = 1.0, 40.0
STEEPLY_RAD, GLIDING_RAD = math.radians(35.0), math.radians(10.0)
GLIDING_SPEED_SHARE = 0.65
# JARUS SORA 2.5, Table 3: greatest span [m] and speed [m/s] of each column; people per square
# kilometre below which each row holds; the last row is for more. None: outside the table. FOUND.
_COLUMNS = ((1.0, 25.0), (3.0, 35.0), (8.0, 75.0), (20.0, 120.0), (40.0, 200.0))
_CONTROLLED: tuple[int | None, ...] = (1, 1, 2, 3, 3)
_BELOW_PER_KM2 = (5.0, 50.0, 500.0, 5_000.0, 50_000.0, math.inf)
_CLASSES: tuple[tuple[int | None, ...], ...] = (
    (2, 3, 4, 5, 6),
    (3, 4, 5, 6, 7),
    (4, 5, 6, 7, 8),
    (5, 6, 7, 8, 9),
    (6, 7, 8, 9, 10),
    (7, 8, None, None, None),
)
_HARMLESS_KG, _HARMLESS_M_S = 0.25, 25.0
# Errors that a contingency volume holds: fix, holding the track, map, barometer [m]; time to react
# [s]; share of the speed that goes into height in a pull-up. FOUND (STS-BOS v1.0, June 2025).
_FIX_M, _TRACK_M, _MAP_M, _BAROMETER_M = 3.0, 3.0, 1.0, 1.0
_REACTION_S = 1.0
_CLIMB_SHARE = 0.7


def critical_area(span_m: float, mass_kg: float, speed_m_s: float, impact_rad: float) -> float:
    """Return the area in which a person standing is hit with lethal effect.

    Parameters
    ----------
    span_m
        Wing span, 0 to 40. [m]
    mass_kg
        All-up mass. [kg]
    speed_m_s
        Speed at the impact. [m/s]
    impact_rad
        Angle of the path below level at the impact, 10 to 90 degrees. A span of 1 m or less is
        never assessed at less than 35 degrees. [rad]

    Returns
    -------
    float
        Critical area. [m2]

    Raises
    ------
    ValueError
        If a value is NaN, not above zero, or outside those limits.

    References
    ----------
    JARUS SORA 2.5, Annex F, FOUND as code by its authors (casex 1.2.3, CC-BY-4.0): the glide over
    a person, the disc of the span, the slide until it no longer kills.
    """
    within("span_m", positive("span_m", span_m), 0.0, _GREATEST_SPAN_M)
    positive("mass_kg", mass_kg)
    not_negative("speed_m_s", speed_m_s)
    within("impact_rad", impact_rad, *_RESTITUTION_AT_RAD)
    reach_m = _PERSON_RADIUS_M + 0.5 * span_m
    if span_m <= _SMALL_SPAN_M:
        over_m = _PERSON_HEIGHT_M / math.tan(max(impact_rad, STEEPLY_RAD))
        return 2.0 * reach_m * over_m + 0.5 * math.pi * reach_m**2
    over_m = _PERSON_HEIGHT_M / math.tan(impact_rad) + _slide(mass_kg, speed_m_s, impact_rad)
    return _OPEN_SHARE * (2.0 * reach_m * over_m + math.pi * reach_m**2)


def _slide(mass_kg: float, speed_m_s: float, impact_rad: float) -> float:
    """Return how far it slides before it is slow enough not to kill [m]."""
    steepness = (impact_rad - _RESTITUTION_AT_RAD[0]) / (
        _RESTITUTION_AT_RAD[1] - _RESTITUTION_AT_RAD[0]
    )
    restitution = _RESTITUTION[0] + steepness * (_RESTITUTION[1] - _RESTITUTION[0])
    along_m_s = restitution * speed_m_s * math.cos(impact_rad)
    left_m2_s2 = along_m_s**2 - 2.0 * _LETHAL_J / mass_kg
    return max(left_m2_s2, 0.0) / (2.0 * _FRICTION * _ANNEX_F_GRAVITY_M_S2)


def ground_risk_class(
    span_m: float, mass_kg: float, speed_m_s: float, people_per_km2: float | None
) -> int | None:
    """Return the intrinsic ground risk class, before any mitigation.

    Parameters
    ----------
    span_m, mass_kg
        Wing span [m] and all-up mass [kg].
    speed_m_s
        Greatest speed that is commanded. [m/s]
    people_per_km2
        Density of people on the ground, None for ground that is controlled. [1/km2]

    Returns
    -------
    int or None
        The class; None where the table has none.

    Raises
    ------
    ValueError
        If a value is NaN or below zero, or span or mass zero.

    References
    ----------
    JARUS SORA 2.5, main body, Table 3 (13 May 2024). FOUND in two transcriptions.
    """
    positive("span_m", span_m)
    positive("mass_kg", mass_kg)
    not_negative("speed_m_s", speed_m_s)
    if mass_kg <= _HARMLESS_KG and speed_m_s <= _HARMLESS_M_S:
        return 1
    row = _CONTROLLED
    if people_per_km2 is not None:
        not_negative("people_per_km2", people_per_km2)
        row = _CLASSES[next(k for k, most in enumerate(_BELOW_PER_KM2) if people_per_km2 < most)]
    fitting = (
        found
        for found, (most_m, most_m_s) in zip(row, _COLUMNS, strict=True)
        if span_m <= most_m and speed_m_s <= most_m_s
    )
    return next(fitting, None)


def contingency_width(speed_m_s: float, manoeuvre_m: float) -> float:
    """Return how far beside its route an aircraft may get before it is stopped.

    Parameters
    ----------
    speed_m_s
        Speed over the ground. [m/s]
    manoeuvre_m
        What the manoeuvre that stops it takes: of a fixed wing the radius of its turn back. [m]

    Returns
    -------
    float
        Width on each side: errors of fix, track and map, a second of reaction, manoeuvre. [m]

    Raises
    ------
    ValueError
        If a value is NaN or below zero.

    References
    ----------
    STS-BOS v1.0 (BBK/LBA, June 2025), page 13, FOUND in transcription. A fixed wing's turn in the
    place of a multirotor's stop: MEMORY.
    """
    not_negative("speed_m_s", speed_m_s)
    not_negative("manoeuvre_m", manoeuvre_m)
    return _FIX_M + _TRACK_M + _MAP_M + speed_m_s * _REACTION_S + manoeuvre_m


def contingency_height(speed_m_s: float) -> float:
    """Return how far above its route an aircraft may get before it is stopped.

    Parameters
    ----------
    speed_m_s
        Speed. [m/s]

    Returns
    -------
    float
        Error of the barometer, a second of climb, and all speed turned into height. [m]

    Raises
    ------
    ValueError
        If it is NaN or below zero.

    References
    ----------
    As `contingency_width`.
    """
    not_negative("speed_m_s", speed_m_s)
    pull_up_m = speed_m_s**2 / (2.0 * STANDARD_GRAVITY_M_S2)
    return _BAROMETER_M + _CLIMB_SHARE * speed_m_s * _REACTION_S + pull_up_m


def falling_distance(speed_m_s: float, height_m: float, span_m: float) -> float:
    """Return how far an aircraft gets that stops flying, without drag.

    Parameters
    ----------
    speed_m_s
        Level speed when it stops flying. [m/s]
    height_m
        Height above the ground, what it may have risen included. [m]
    span_m
        Wing span, half of which is beyond the point that falls. [m]

    Returns
    -------
    float
        Distance to the farthest point it touches. [m]

    Raises
    ------
    ValueError
        If a value is NaN or below zero.

    References
    ----------
    As `contingency_width`.
    """
    not_negative("speed_m_s", speed_m_s)
    not_negative("height_m", height_m)
    not_negative("span_m", span_m)
    return speed_m_s * math.sqrt(2.0 * height_m / STANDARD_GRAVITY_M_S2) + 0.5 * span_m
