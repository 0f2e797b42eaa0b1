"""Rows of *Gets away*: release, climb-out, climb rate, tail wind."""

import math
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import full_power_climb
from homeleg.aircraft.record import LaunchMethod
from homeleg.flight import layout as c
from homeleg.route.geometry import Leg
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.result import Row, Status
from homeleg.world.wind import profile_speed

__all__ = ["launch_rows"]

_TAIL_WIND_COUNTS_ABOVE_M_S = 2.0
_WIND_HEIGHT_M = 10.0
_RELEASE_WIND_HEIGHT_M = 2.0
_RIGHT_AFTER_RELEASE_S = 5.0
_NET_CLIMB = 0.8
_ROLL_FACTOR = 1.25
# Obstacles this close to the line of the climb-out count. [rad, m] Ours.
_CORRIDOR_RAD = math.radians(20.0)
_CORRIDOR_M = 15.0
_CORRIDOR_LENGTH_M = 1_500.0


def launch_rows(evidence: Evidence) -> list[Row]:
    """Return the four rows of the question *Gets away*."""
    return [_speed(evidence), _obstacles(evidence), _climb(evidence), _tail_wind(evidence)]


def _into_wind_words(evidence: Evidence) -> str:
    from_rad = float(evidence.resolved.wind.from_true_rad[0])
    return f"launch into the wind, along {math.degrees(from_rad) % 360.0:.0f} deg"


def _tail_winds(evidence: Evidence) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    return evidence.wind_along(evidence.flown.departure.heading_rad, _WIND_HEIGHT_M)


def _wind_counts(evidence: Evidence) -> bool:
    east, north = evidence.wind_at(_WIND_HEIGHT_M)
    return float(np.median(np.hypot(east, north))) > _TAIL_WIND_COUNTS_ABOVE_M_S


def _speed(evidence: Evidence) -> Row:
    down_wind = _wind_counts(evidence) and float(np.median(_tail_winds(evidence))) > 0.0
    record = evidence.resolved.sortie.aircraft
    stall = float(evidence.resolved.aircraft.stall_eas_m_s) * evidence.resolved.tas_per_eas
    heading = evidence.flown.departure.heading_rad
    east, north = profile_speed(evidence.resolved.wind, _RELEASE_WIND_HEIGHT_M)
    head_wind = -(east * math.sin(heading) + north * math.cos(heading))
    release = record.takeoff.release_speed_m_s.value
    note = f"release airspeed {(release + head_wind) / stall:.2f} Vs, 1.2 wanted"
    needed = 1.2 * stall - head_wind
    fast_enough = release >= needed
    act = f"release at {needed:.1f} m/s or more"
    if fast_enough:
        act = "wait for less gust, or add launch energy"
    if down_wind:
        act = _into_wind_words(evidence)
    if record.launch is LaunchMethod.RUNWAY:
        row = _ground_roll(evidence)
    else:
        row = evidence.row(
            "away.speed",
            evidence.result(c.LAUNCH_LEAST_HEIGHT),
            cause=_why_slow(down_wind=down_wind, fast_enough=fast_enough),
            act=act,
            note=note,
        )
    return evidence.event(row, _lost_at_launch(evidence), "touch the ground in the climb-out")


def _lost_at_launch(evidence: Evidence) -> NDArray[np.bool_]:
    """Return which flights come down right after release; later ones meet what stands ahead."""
    soon = evidence.result(c.EVENT_PLACE + 2) <= _RIGHT_AFTER_RELEASE_S
    return np.asarray(evidence.ended_in(c.LOST_AT_LAUNCH) & soon)


def _why_slow(*, down_wind: bool, fast_enough: bool) -> str:
    if down_wind:
        return "launch direction"
    return "gust" if fast_enough else "launch energy"


def _ground_roll(evidence: Evidence) -> Row:
    """Return the row of a take-off on wheels: nothing is thrown, but the strip has to suffice."""
    strip_m = evidence.resolved.sortie.site.strip.length_m
    roll_m = _ROLL_FACTOR * float(np.percentile(evidence.result(c.LIFT_OFF_DISTANCE), 90.0))
    note = f"on wheels: rolls {roll_m:.0f} of {strip_m:.0f} m, factor 1.25 included"
    row = does_not_apply(evidence.limits["away.speed"], note)
    if roll_m <= strip_m:
        return row
    return replace(
        row,
        status=Status.NO_GO,
        shortfall=roll_m / strip_m,
        cause="strip",
        act=f"take off where {math.ceil(roll_m / 5.0) * 5} m are free",
    )


def _obstacles(evidence: Evidence) -> Row:
    heading = evidence.flown.departure.heading_rad
    ahead = [
        (along_m, obstacle.height_m.value, obstacle.name)
        for obstacle in evidence.resolved.sortie.site.obstacles
        for along_m, aside_m in [_along_and_aside(obstacle.east_m, obstacle.north_m, heading)]
        if 0.0 < along_m < _CORRIDOR_LENGTH_M
        and abs(aside_m) < _CORRIDOR_M + along_m * math.tan(_CORRIDOR_RAD)
    ]
    met = evidence.ended_in(c.LOST_AT_LAUNCH) & ~_lost_at_launch(evidence)
    words = "meet ground or an obstacle in the climb-out"
    if not ahead:
        row = does_not_apply(
            evidence.limits["away.obstacles"], "no obstacle declared in the climb-out"
        )
        return evidence.event(row, met, words, _blame_direction)
    gross, net, name = min(
        ((*_paths_over(evidence, along, top), name) for along, top, name in ahead),
        key=lambda paths: float(np.median(paths[1])),
    )
    row = evidence.row(
        "away.obstacles",
        net,
        physical_si=gross,
        cause="launch direction",
        act=f"launch another way, or from farther back: {name} is in the climb-out",
        note=f"over {name}",
    )
    return evidence.event(row, met, words)


def _blame_direction(row: Row, _leg: Leg) -> Row:
    return replace(row, cause="launch direction", act="launch another way")


def _along_and_aside(east_m: float, north_m: float, heading_rad: float) -> tuple[float, float]:
    along = east_m * math.sin(heading_rad) + north_m * math.cos(heading_rad)
    aside = east_m * math.cos(heading_rad) - north_m * math.sin(heading_rad)
    return along, aside


def _paths_over(
    evidence: Evidence, along_m: float, top_m: float
) -> tuple[
    np.ndarray[tuple[int], np.dtype[np.float64]], np.ndarray[tuple[int], np.dtype[np.float64]]
]:
    """Return height over an obstacle on the gross and the net climb path, up to planned height."""
    resolved = evidence.resolved
    true_m_s = resolved.speeds.climb_eas_m_s * resolved.tas_per_eas
    heading = evidence.flown.departure.heading_rad
    ground_m_s = np.maximum(true_m_s + evidence.wind_along(heading, _WIND_HEIGHT_M), 1.0)
    possible = full_power_climb(
        evidence.aircraft, resolved.speeds.climb_eas_m_s, resolved.density_kg_m3
    )
    climb_m_s = np.minimum(resolved.speeds.climb_rate_m_s, possible)
    release_m = resolved.sortie.aircraft.takeoff.release_height_m
    gained_m = climb_m_s * along_m / ground_m_s
    return release_m + gained_m - top_m, release_m + _NET_CLIMB * gained_m - top_m


def _climb(evidence: Evidence) -> Row:
    resolved = evidence.resolved
    climb = full_power_climb(
        evidence.aircraft, resolved.speeds.climb_eas_m_s, resolved.density_kg_m3
    )
    return evidence.row(
        "away.climb",
        climb,
        cause="mass",
        act="take mass off, or climb nearer to the best-climb airspeed",
    )


def _tail_wind(evidence: Evidence) -> Row:
    if not _wind_counts(evidence):
        return does_not_apply(evidence.limits["away.tail_wind"], "the wind is 2 m/s or less")
    return evidence.row(
        "away.tail_wind",
        _tail_winds(evidence),
        cause="launch direction",
        act=_into_wind_words(evidence),
        note=evidence.flown.departure.words,
    )
