"""Wind over height: reports combined by their spread, brought to height per member."""

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from homeleg.foundation.estimate import Basis, Estimate
from homeleg.physics.turbulence import gust_from_mean
from homeleg.world.weather import Weather, WindReport

__all__ = ["WindProfile", "combined_wind", "member_winds", "profile_speed"]

# MEMORY: a report drifts from the truth by 1.2 m/s times the square root of its age in hours.
_AGEING_M_S_PER_ROOT_HOUR = 1.2
_UNKNOWN_AGE_HOURS = 1.0
_SECONDS_PER_HOUR = 3600.0
_LEAST_EXPONENT, _GREATEST_EXPONENT = 0.02, 0.8
# Relative spread of a gust spread: read off an instrument, or from a published gust factor.
_GUST_SPREAD_READ = 0.10
_GUST_SPREAD_ASSUMED = 0.30
_AVERAGING_PERIOD_S = 600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class WindProfile:
    """Wind at one or more heights with spreads; power law beyond the lowest and highest.

    Arrays are of equal length, heights above ground rising. One standard normal number moves all
    speeds together and one all directions: errors of wind go together over height.
    `gust_spread_m_s` is gust less mean.
    """

    heights_m: NDArray[np.float64]
    speeds_m_s: NDArray[np.float64]
    speed_sds_m_s: NDArray[np.float64]
    from_true_rad: NDArray[np.float64]
    direction_sds_rad: NDArray[np.float64]
    exponent: Estimate
    gust_spread_m_s: Estimate
    gust_reported: bool


def combined_wind(weather: Weather, at: datetime) -> WindProfile:
    """Return the wind at time `at`: all reports aged, brought to each other's heights and combined.

    Raises ValueError when there is no report at all.
    """
    reports = [*([weather.surface] if weather.surface else []), *weather.layers]
    if not reports:
        raise ValueError("no wind at all was told: give a surface wind or a layer")
    heights_m = np.unique([report.height_agl_m for report in reports])
    nodes = [_combined_at(height_m, reports, weather.exponent, at) for height_m in heights_m]
    speeds, speed_sds, directions, direction_sds = np.array(nodes).T
    gusty = next((report for report in reports if report.gust_m_s is not None), None)
    if gusty is not None and gusty.gust_m_s is not None:
        spread_m_s = max(gusty.gust_m_s - gusty.speed_m_s.value, 0.0)
        gust = Estimate(
            value=spread_m_s, sd=_GUST_SPREAD_READ * spread_m_s, basis=gusty.speed_m_s.basis
        )
    else:
        mean_m_s = reports[0].speed_m_s.value
        spread_m_s = float(gust_from_mean(mean_m_s, _AVERAGING_PERIOD_S)) - mean_m_s
        gust = Estimate(value=spread_m_s, sd=_GUST_SPREAD_ASSUMED * spread_m_s, basis=Basis.ASSUMED)
    return WindProfile(
        heights_m=heights_m,
        speeds_m_s=speeds,
        speed_sds_m_s=speed_sds,
        from_true_rad=directions,
        direction_sds_rad=direction_sds,
        exponent=weather.exponent,
        gust_spread_m_s=gust,
        gust_reported=gusty is not None,
    )


def _combined_at(
    height_m: float, reports: list[WindReport], exponent: Estimate, at: datetime
) -> tuple[float, float, float, float]:
    """Return speed and direction at one height with spreads, weighted by 1 / variance."""
    speeds, variances, directions, direction_variances = [], [], [], []
    for report in reports:
        ratio = height_m / report.height_agl_m
        speed_m_s = report.speed_m_s.value * ratio**exponent.value
        aged_sd_m_s = np.hypot(report.speed_m_s.sd, _ageing(report, at))
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


def _ageing(report: WindReport, at: datetime) -> float:
    if report.seen is None:
        hours = _UNKNOWN_AGE_HOURS
    else:
        hours = max((at - report.seen).total_seconds() / _SECONDS_PER_HOUR, 0.0)
    return float(_AGEING_M_S_PER_ROOT_HOUR * np.sqrt(hours))


def member_winds(
    profile: WindProfile,
    heights_m: NDArray[np.float64],
    *,
    speed_z: NDArray[np.float64],
    direction_z: NDArray[np.float64],
    exponent: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return each member's air motion, (members, 2, heights): east and north [m/s].

    `speed_z` and `direction_z` are standard normal numbers, `exponent` the drawn exponents, one a
    member. Between two told heights the wind is linear in the logarithm of height; beyond them it
    follows the power law with the drawn exponent.
    """
    exponent = np.clip(exponent, _LEAST_EXPONENT, _GREATEST_EXPONENT)[:, np.newaxis]
    speeds = profile.speeds_m_s + speed_z[:, np.newaxis] * profile.speed_sds_m_s
    speeds = np.maximum(speeds, 0.0)
    directions = profile.from_true_rad + direction_z[:, np.newaxis] * profile.direction_sds_rad
    east, north = -speeds * np.sin(directions), -speeds * np.cos(directions)
    told_m = profile.heights_m
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
