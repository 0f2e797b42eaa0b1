"""Rows of *Seen and in light*: distance, visibility, the sun in the pilot's eyes, daylight."""

import math
from dataclasses import replace
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import layout as c
from homeleg.physics.sun import SUNRISE_RAD, days_since_2000, next_passing, sun_position
from homeleg.verdict.corridor import Corridor
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.reach_rows import sight_limit_m
from homeleg.verdict.result import Row, Status
from homeleg.verdict.undeclared import undeclared

Array = NDArray[np.float64]

__all__ = ["angle_from_sun", "sight_rows"]

_SECONDS_PER_DAY = 86_400.0


def sight_rows(evidence: Evidence, corridor: Corridor) -> list[Row]:
    """Return the rows of the question *Seen and in light*."""
    return [
        _distance(evidence, corridor),
        _visibility(evidence),
        _sun(evidence, corridor),
        _daylight(evidence),
    ]


def _distance(evidence: Evidence, corridor: Corridor) -> Row:
    if evidence.resolved.sortie.beyond_sight:
        return does_not_apply(evidence.limits["sight.distance"], "authorised beyond sight")
    east_m, north_m = evidence.resolved.sortie.site.pilot_m
    ratio = np.hypot(corridor.east_m - east_m, corridor.north_m - north_m)
    ratio = ratio / sight_limit_m(evidence)
    values = np.fmax.reduce(ratio)
    row = evidence.row(
        "sight.distance",
        values,
        cause="sight",
        act="bring the farthest items nearer, or post an observer",
        note=f"seen to {sight_limit_m(evidence):.0f} m",
    )
    return corridor.located(row, values, np.argmax(np.nan_to_num(ratio), axis=0))


def _visibility(evidence: Evidence) -> Row:
    visibility_m = evidence.resolved.sortie.weather.visibility_m
    if visibility_m is None:
        return undeclared(evidence, "sight.visibility")
    return evidence.row(
        "sight.visibility", visibility_m, cause="sight", act="wait until the visibility is better"
    )


def angle_from_sun(evidence: Evidence, corridor: Corridor) -> Array:
    """Return the angle between aircraft and sun as the pilot sees them (seconds, members) [rad].

    NaN where the aircraft is not flying or the sun is down.
    """
    site = evidence.resolved.sortie.site
    days = days_since_2000(evidence.resolved.sortie.launch_time)
    azimuth, elevation = sun_position(
        site.latitude_rad, site.longitude_rad, days + corridor.seconds / _SECONDS_PER_DAY
    )
    off_m = (
        corridor.east_m - site.pilot_m[0],
        corridor.north_m - site.pilot_m[1],
        corridor.up_m,
    )
    towards = (
        np.cos(elevation) * np.sin(azimuth),
        np.cos(elevation) * np.cos(azimuth),
        np.sin(elevation),
    )
    along_m = sum(off * part[:, np.newaxis] for off, part in zip(off_m, towards, strict=True))
    distance_m = np.sqrt(sum(off**2 for off in off_m))
    angle = np.arccos(np.clip(along_m / np.maximum(distance_m, 1e-3), -1.0, 1.0))
    return np.where(elevation[:, np.newaxis] > 0.0, angle, np.nan)


def _longest_spell_s(near: NDArray[np.bool_], spacing_s: float) -> Array:
    """Return the longest unbroken spell of each member [s]."""
    run = np.zeros(near.shape[1])
    longest = np.zeros(near.shape[1])
    for now in near:
        run = np.where(now, run + spacing_s, 0.0)
        longest = np.maximum(longest, run)
    return longest


def _sun(evidence: Evidence, corridor: Corridor) -> Row:
    """Return the spell very near the sun where that is too long, else the spell near it."""
    limit = evidence.limits["sight.sun"]
    angle = angle_from_sun(evidence, corridor)
    if np.all(np.isnan(angle)):
        return does_not_apply(limit, "the sun is down")
    near_s, very_near_s = (
        _longest_spell_s(angle < math.radians(limit.extra[name]), corridor.spacing_s)
        for name in ("want_within_deg", "hard_within_deg")
    )
    cause = "sun"
    act = "fly at another hour, or stand where the sun is behind the pilot"
    nearest = np.argmin(np.where(np.isnan(angle), np.inf, angle), axis=0)
    hard = evidence.row("sight.sun", very_near_s, want=limit.hard, cause=cause, act=act)
    if hard.status is Status.NO_GO:
        hard = replace(hard, note=f"within {limit.extra['hard_within_deg']:.0f} deg of the sun")
        return corridor.located(hard, very_near_s, nearest)
    row = evidence.row("sight.sun", near_s, hard=limit.want, cause=cause, act=act)
    least_deg = math.degrees(float(np.nanmedian(np.fmin.reduce(angle))))
    row = replace(
        row,
        status=Status.MARGINAL if row.status is Status.NO_GO else row.status,
        hard=None,
        share_beyond_hard=None,
        note=f"within {limit.extra['want_within_deg']:.0f} deg of the sun; nearest {least_deg:.0f}",
    )
    return corridor.located(row, near_s, nearest)


def _daylight(evidence: Evidence) -> Row:
    limit = evidence.limits["sight.daylight"]
    site = evidence.resolved.sortie.site
    launch = evidence.resolved.sortie.launch_time
    place = site.latitude_rad, site.longitude_rad
    sunset = next_passing(*place, launch, SUNRISE_RAD, rising=False)
    sunrise = next_passing(*place, launch, SUNRISE_RAD, rising=True)
    _, elevation = sun_position(*place, days_since_2000(launch))
    if elevation < SUNRISE_RAD:
        last = next_passing(*place, launch - timedelta(days=1), SUNRISE_RAD, rising=False)
        since = timedelta(days=1) if last is None else launch - last
        act = f"launch after sunrise, {sunrise:%H:%MZ}" if sunrise else "wait until the sun rises"
        note = f"sunset was {last:%H:%MZ}" if last else "the sun has not been up for a day"
        return evidence.row(
            "sight.daylight", -since.total_seconds(), cause="light", act=act, note=note
        )
    if sunset is None:
        return does_not_apply(limit, "the sun does not set within a day")
    flown = evidence.flown
    duration_s = np.where(flown.landed, flown.results[:, c.DURATION], np.nan)
    if not np.any(flown.landed):
        return evidence.unanswered("sight.daylight", "no flight came as far as its landing")
    left_s = (sunset - launch).total_seconds() - duration_s
    missing_min = (limit.want or 0.0) - float(np.nanpercentile(left_s, 10.0)) / 60.0
    return evidence.row(
        "sight.daylight",
        left_s,
        cause="light",
        act=f"launch {math.ceil(max(missing_min, 1.0))} min earlier",
        note=f"sunset {sunset:%H:%MZ} on a level horizon",
    )
