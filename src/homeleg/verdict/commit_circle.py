"""The commit circle: two turns overhead that tell wind and airspeed, and what they must read.

Nothing is flown for it. In a steady wind w an aircraft that circles at true airspeed V shows ground
speeds from |V - w| to V + w, so that half their difference is the wind and their mean the airspeed
(the other way round in a wind stronger than its airspeed). Each computed flight gives the two
readings it would have shown; the limits are those that let most flights go on of which few enough
miss what is wanted.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import level_electrical_power
from homeleg.flight import layout as c
from homeleg.foundation.constants import STANDARD_GRAVITY_M_S2
from homeleg.physics.battery import NOMINAL_CELL_VOLTS
from homeleg.verdict.evidence import Evidence
from homeleg.verdict.judging import EVENT_SHARE, are_beyond, wilson
from homeleg.verdict.result import CommitCircle, Row

Array = NDArray[np.float64]
Mask = NDArray[np.bool_]

__all__ = ["CircleLimits", "commit_circle", "limits_of_readings", "readings"]

_TURNS = 2
_TOLD_BY_THE_CIRCLE = ("home.charge", "reserve.charge", "headway.ground_speed", "speed.gust")
_CHARGE_ROWS = ("home.charge", "reserve.charge")
# How well a person reads the highest and the lowest of a changing number. Ours. [m/s]
_READING_SD_M_S = 0.3
_WANTED_SHARE_MISSED = 0.1
# Limits that hardly any flight passes are none. Ours.
_LEAST_PASSING_SHARE = 0.05
_HALF_PERCENTILES = np.arange(3.0, 100.0, 4.0)
_LOW_PERCENTILES = (1.0, 3.0, 6.0, 12.0, 20.0, 30.0, 40.0, 50.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class CircleLimits:
    """Go on only if both readings lie within these, as printed in tenths [m/s]."""

    most_half_difference_m_s: float
    least_mean_m_s: float
    most_mean_m_s: float

    def passed(self, half_difference_m_s: Array, mean_m_s: Array) -> Mask:
        """Return whose readings, as shown in tenths, let them go on."""
        half, mean = np.round(half_difference_m_s, 1), np.round(mean_m_s, 1)
        within = (mean >= self.least_mean_m_s) & (mean <= self.most_mean_m_s)
        return np.asarray(within & (half <= self.most_half_difference_m_s))


def readings(
    true_airspeed_m_s: Array, wind_m_s: Array, reading_errors_m_s: Array
) -> tuple[Array, Array]:
    """Return half the difference and the mean of the highest and lowest ground speed (members,).

    `reading_errors_m_s` (members, 2) are those of the highest and of the lowest.
    """
    highest = true_airspeed_m_s + wind_m_s + reading_errors_m_s[:, 0]
    lowest = np.abs(true_airspeed_m_s - wind_m_s) + reading_errors_m_s[:, 1]
    return 0.5 * (highest - lowest), 0.5 * (highest + lowest)


def commit_circle(evidence: Evidence, rows: Sequence[Row]) -> CommitCircle | None:
    """Return the circle at the route's greatest height and cruise airspeed, None if it tells none.

    A flight misses what is wanted when it does not land, or when one of `rows` that wind aloft and
    airspeed decide lies beyond its want limit, the charge of the circle taken off.
    """
    flown, resolved = evidence.flown, evidence.resolved
    height_m = max(
        (leg.height_m for leg in flown.departure.legs if leg.on_route),
        default=resolved.pattern.height_m,
    )
    planned_m_s = resolved.speeds.cruise_eas_m_s * evidence.tas_per_eas_at(height_m)
    bank_rad = resolved.sortie.aircraft.guidance.pattern_bank_rad
    duration_s = _TURNS * turn_time(planned_m_s, bank_rad)
    charge_ah = _charge(evidence, bank_rad, duration_s)
    told = [row for row in rows if row.limit.slug in _TOLD_BY_THE_CIRCLE and row.values is not None]
    count = min((row.values.size for row in told if row.values is not None), default=0)
    got_away = flown.results[:count, c.EVENT] != c.LOST_AT_LAUNCH
    if not np.any(got_away):
        return None
    half, mean = readings(
        planned_m_s * flown.members[:count, c.AIRSPEED_FACTOR],
        np.hypot(*evidence.wind_at(height_m))[:count],
        _reading_errors(evidence)[:count],
    )
    lost = ~flown.landed[:count]
    missed = lost.copy()
    for row in told:
        missed |= _missed(row, count, charge_ah / resolved.inputs["usable_charge"].value)
    limits = limits_of_readings(half[got_away], mean[got_away], missed[got_away], lost[got_away])
    if limits is None:
        return None
    passed = limits.passed(half, mean) & got_away
    return CommitCircle(
        height_above_launch_m=height_m,
        true_airspeed_m_s=planned_m_s,
        bank_rad=bank_rad,
        turns=_TURNS,
        most_half_difference_m_s=limits.most_half_difference_m_s,
        least_mean_m_s=limits.least_mean_m_s,
        most_mean_m_s=limits.most_mean_m_s,
        duration_s=duration_s,
        charge_ah=charge_ah,
        go_on=wilson(int(passed.sum()), int(got_away.sum())),
        rows=tuple(row.limit.slug for row in told),
        missed_of_those=wilson(int((passed & missed).sum()), int(passed.sum())),
    )


def limits_of_readings(half: Array, mean: Array, missed: Mask, lost: Mask) -> CircleLimits | None:
    """Return the limits that let most flights go on, or None where no limits help (members,).

    Of those that go on at most 1 in 10 miss what is wanted, by the upper end of the share's
    interval, and at most 1 in 100 are lost. Limits are percentiles of the readings themselves,
    so that nothing is allowed that no flight has shown, rounded inwards to tenths.
    """
    most_half = np.floor(10.0 * np.percentile(half, _HALF_PERCENTILES)) / 10.0
    lows = np.ceil(10.0 * np.percentile(mean, _LOW_PERCENTILES)) / 10.0
    highs = np.floor(10.0 * np.percentile(mean, [100.0 - p for p in _LOW_PERCENTILES])) / 10.0
    bands = [(low, high) for low in lows for high in highs if low <= high]
    if not bands:
        return None
    slow_wind = np.round(half, 1) <= most_half[:, np.newaxis]
    in_band = np.array([(np.round(mean, 1) >= a) & (np.round(mean, 1) <= b) for a, b in bands])
    going_on = slow_wind.astype(np.float64) @ in_band.T.astype(np.float64)
    for place in np.argsort(-going_on, axis=None, kind="stable"):
        at_half, at_band = np.unravel_index(place, going_on.shape)
        passed = slow_wind[at_half] & in_band[at_band]
        count = int(passed.sum())
        if count < max(_LEAST_PASSING_SHARE * half.size, 1.0):
            return None
        few_miss = wilson(int((passed & missed).sum()), count).high <= _WANTED_SHARE_MISSED
        if few_miss and (passed & lost).sum() <= EVENT_SHARE * count:
            low, high = bands[int(at_band)]
            return CircleLimits(
                most_half_difference_m_s=float(most_half[at_half]),
                least_mean_m_s=float(low),
                most_mean_m_s=float(high),
            )
    return None


def turn_time(true_airspeed_m_s: float, bank_rad: float) -> float:
    """Return how long a full level turn takes, 2 pi V / (g tan bank) [s]."""
    return 2.0 * math.pi * true_airspeed_m_s / (STANDARD_GRAVITY_M_S2 * math.tan(bank_rad))


def _charge(evidence: Evidence, bank_rad: float, duration_s: float) -> float:
    """Return the charge that level turns of this bank take at cruise airspeed [Ah]."""
    resolved = evidence.resolved
    power_w = float(
        level_electrical_power(
            resolved.aircraft,
            resolved.speeds.cruise_eas_m_s,
            resolved.density_kg_m3,
            load_factor=1.0 / math.cos(bank_rad),
        )
    )
    volts = NOMINAL_CELL_VOLTS * resolved.sortie.aircraft.battery.cells
    return power_w * duration_s / 3600.0 / volts


def _reading_errors(evidence: Evidence) -> Array:
    """Return errors of the highest and lowest reading (members, 2), each seen twice in the gusts.

    More members never change the errors of the earlier ones.
    """
    flown = evidence.flown
    normal = np.random.default_rng(flown.seed).standard_normal((flown.draws.members, 2))
    gust_m_s = flown.members[:, c.GUST_SIGMA_U] / math.sqrt(_TURNS)
    return np.asarray(normal * np.hypot(_READING_SD_M_S, gust_m_s)[:, np.newaxis])


def _missed(row: Row, count: int, charge_share: float) -> Mask:
    """Return which of the first flights miss what a row wants; what was not read is not missed."""
    if row.values is None or row.want is None:
        return np.zeros(count, dtype=np.bool_)
    values = row.values[:count]
    if row.limit.slug in _CHARGE_ROWS:
        values = values - 100.0 * charge_share
    return np.asarray(np.isfinite(values) & are_beyond(values, row.want, row.limit.sense))
