"""Wind over height: reports combined by their spread, brought to height per member."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from homeleg.foundation.estimate import Basis, Estimate
from homeleg.physics.turbulence import Exposure, gust_from_mean
from homeleg.world.shear import ALOFT_DIRECTION_SD_RAD, ALOFT_M
from homeleg.world.weather import Weather, WindReport

__all__ = ["WindProfile", "combined_wind", "member_winds", "profile_speed"]

# MEMORY: a report drifts from the truth by 1.2 m/s times the square root of its age in hours.
AGEING_M_S_PER_ROOT_HOUR = 1.2
_UNKNOWN_AGE_HOURS = 1.0
_SECONDS_PER_HOUR = 3600.0
_LEAST_EXPONENT, _GREATEST_EXPONENT = 0.02, 0.8
# Relative spread of a gust spread: read off an instrument, from a published gust factor, and from
# the same where an eye saw gusts: the factors are those of strong winds, and in light ones driven
# by the sun they are larger. Ours.
_GUST_SPREAD_READ = 0.10
_GUST_SPREAD_ASSUMED = 0.30
_GUST_SPREAD_SEEN = 0.50
_AVERAGING_PERIOD_S = 600.0
_FACTORS_HOLD_AT_M = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WindProfile:
    """Wind at one or more heights with spreads; power law beyond the lowest and highest.

    Arrays are of equal length, heights above ground rising. One standard normal number moves all
    speeds together and one all directions: errors of wind go together over height.
    `gust_spread_m_s` is gust less mean. `aloft` is a wind at 100 m of its own, drawn apart, where
    the surface may hide it.
    """

    heights_m: NDArray[np.float64]
    speeds_m_s: NDArray[np.float64]
    speed_sds_m_s: NDArray[np.float64]
    from_true_rad: NDArray[np.float64]
    direction_sds_rad: NDArray[np.float64]
    exponent: Estimate
    gust_spread_m_s: Estimate
    gust_reported: bool
    aloft: Estimate | None = None


def combined_wind(weather: Weather, at: datetime) -> WindProfile:
    """Return the wind at time `at`: all reports aged, brought to each other's heights and combined.

    Raises ValueError when there is no report at all.
    """
    reports = weather.reports
    if not reports:
        raise ValueError("no wind at all was told: give a surface wind or a layer")
    heights_m = np.unique([report.height_agl_m for report in reports])
    nodes = [_combined_at(height_m, reports, weather.exponent, at) for height_m in heights_m]
    speeds, speed_sds, directions, direction_sds = np.array(nodes).T
    mean_m_s = _combined_at(_FACTORS_HOLD_AT_M, reports, weather.exponent, at)[0]
    read = [report for report in reports if report.gust_m_s is not None]
    return WindProfile(
        heights_m=heights_m,
        speeds_m_s=speeds,
        speed_sds_m_s=speed_sds,
        from_true_rad=directions,
        direction_sds_rad=direction_sds,
        exponent=weather.exponent,
        gust_spread_m_s=_read_gust(read, at) if read else _unread_gust(reports, mean_m_s),
        gust_reported=bool(read) or any(report.gusty for report in reports),
        aloft=weather.aloft,
    )


def _read_gust(read: Sequence[WindReport], at: datetime) -> Estimate:
    """Return gust less mean as told; of several reports by the one with the least spread."""

    def over_mean_m_s(report: WindReport) -> float:
        return max((report.gust_m_s or 0.0) - report.speed_m_s.value, 0.0)

    best = min(read, key=lambda report: (_aged_sd(report, at), -over_mean_m_s(report)))
    spread_m_s = over_mean_m_s(best)
    return Estimate(value=spread_m_s, sd=_GUST_SPREAD_READ * spread_m_s, basis=best.speed_m_s.basis)


def _unread_gust(reports: Sequence[WindReport], mean_m_s: float) -> Estimate:
    """Return gust less mean by published factors: a gust that nobody told is not none.

    Where an eye saw no gusts the smoother of the two exposures is taken, and no less.
    """
    seen = [report.gusty for report in reports if report.gusty is not None]
    exposure = Exposure.OFF_LAND if seen and not any(seen) else Exposure.IN_LAND
    spread_m_s = float(gust_from_mean(mean_m_s, _AVERAGING_PERIOD_S, exposure)) - mean_m_s
    relative = _GUST_SPREAD_SEEN if any(seen) else _GUST_SPREAD_ASSUMED
    return Estimate(value=spread_m_s, sd=relative * spread_m_s, basis=Basis.ASSUMED)


def _combined_at(
    height_m: float, reports: Sequence[WindReport], exponent: Estimate, at: datetime
) -> tuple[float, float, float, float]:
    """Return speed and direction at one height with spreads, weighted by 1 / variance."""
    speeds, variances, directions, direction_variances = [], [], [], []
    for report in reports:
        ratio = height_m / report.height_agl_m
        speed_m_s = report.speed_m_s.value * ratio**exponent.value
        aged_sd_m_s = _aged_sd(report, at)
        carried_sd_m_s = speed_m_s * abs(np.log(ratio)) * exponent.sd
        speeds.append(speed_m_s)
        variances.append((aged_sd_m_s * ratio**exponent.value) ** 2 + carried_sd_m_s**2 + 1e-12)
        directions.append(report.from_true_rad.value)
        direction_variances.append(report.from_true_rad.sd**2 + 1e-12)
    weights = 1.0 / np.array(variances)
    turns = 1.0 / np.array(direction_variances)
    east = np.sum(turns * np.sin(directions))
    north = np.sum(turns * np.cos(directions))
    return (
        float(np.sum(weights * speeds) / np.sum(weights)),
        float(np.sum(weights) ** -0.5),
        float(np.arctan2(east, north) % (2.0 * np.pi)),
        float(np.sum(turns) ** -0.5),
    )


def _aged_sd(report: WindReport, at: datetime) -> float:
    """Return the spread of a report's speed now [m/s]."""
    if report.seen is None:
        hours = _UNKNOWN_AGE_HOURS
    else:
        hours = max((at - report.seen).total_seconds() / _SECONDS_PER_HOUR, 0.0)
    return float(np.hypot(report.speed_m_s.sd, AGEING_M_S_PER_ROOT_HOUR * np.sqrt(hours)))


def member_winds(
    profile: WindProfile,
    heights_m: NDArray[np.float64],
    *,
    speed_z: NDArray[np.float64],
    direction_z: NDArray[np.float64],
    exponent: NDArray[np.float64],
    aloft_z: NDArray[np.float64] | None = None,
) -> NDArray[np.float64]:
    """Return each member's air motion, (members, 2, heights): east and north [m/s].

    `speed_z` and `direction_z` are standard normal numbers, `exponent` the drawn exponents, one a
    member; `aloft_z`, of the wind aloft where the profile has one, is zero when left out. Between
    two told heights the wind is linear in the logarithm of height; beyond them it follows the
    power law with the drawn exponent.
    """
    exponent = np.clip(exponent, _LEAST_EXPONENT, _GREATEST_EXPONENT)[:, np.newaxis]
    speeds = profile.speeds_m_s + speed_z[:, np.newaxis] * profile.speed_sds_m_s
    directions = profile.from_true_rad + direction_z[:, np.newaxis] * profile.direction_sds_rad
    told_m = profile.heights_m
    if profile.aloft is not None:
        told_m = np.append(told_m, ALOFT_M)
        above = profile.aloft.drawn(np.zeros_like(speed_z) if aloft_z is None else aloft_z)
        turned = profile.from_true_rad[-1] + direction_z * ALOFT_DIRECTION_SD_RAD
        speeds = np.column_stack([speeds, above])
        directions = np.column_stack([directions, turned])
    speeds = np.maximum(speeds, 0.0)
    east, north = -speeds * np.sin(directions), -speeds * np.cos(directions)
    inside_m = np.clip(heights_m, told_m[0], told_m[-1])
    beyond = (heights_m / inside_m)[np.newaxis, :] ** exponent
    return np.stack(
        [_between(east, told_m, inside_m) * beyond, _between(north, told_m, inside_m) * beyond],
        axis=1,
    )


def _between(
    values: NDArray[np.float64], told_m: NDArray[np.float64], heights_m: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Interpolate (members, told) linearly in log height to (members, heights)."""
    if told_m.size == 1:
        return np.broadcast_to(values, (values.shape[0], heights_m.size))
    logs = np.log(told_m)
    wanted = np.log(heights_m)
    node = np.clip(np.searchsorted(logs, wanted, side="right") - 1, 0, told_m.size - 2)
    share = (wanted - logs[node]) / (logs[node + 1] - logs[node])
    return np.asarray(values[:, node] * (1.0 - share) + values[:, node + 1] * share)


def profile_speed(profile: WindProfile, height_m: float) -> tuple[float, float]:
    """Return the middle wind at a height: east and north of the air's motion [m/s]."""
    winds = member_winds(
        profile,
        np.array([height_m]),
        speed_z=np.zeros(1),
        direction_z=np.zeros(1),
        exponent=np.array([profile.exponent.value]),
    )
    return float(winds[0, 0, 0]), float(winds[0, 1, 0])
