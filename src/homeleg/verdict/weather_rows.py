"""Rows of *Clear of ice and cloud*."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from homeleg.foundation.constants import CELSIUS_ZERO_K, FOOT_M, ISA_LAPSE_RATE_K_M
from homeleg.verdict.corridor import Corridor
from homeleg.verdict.evidence import Evidence, does_not_apply
from homeleg.verdict.result import Row, Status
from homeleg.verdict.undeclared import undeclared
from homeleg.world.weather import Weather

__all__ = ["weather_rows"]

# Visibility below which the air at the ground is fog. MEMORY (the usual definition).
_FOG_M = 1_000.0
# How far beyond its limits a row without a figure stands among the reasons.
_BEYOND = {Status.GO: 0.0, Status.MARGINAL: 0.5, Status.NO_GO: 2.0}


def weather_rows(evidence: Evidence, corridor: Corridor) -> list[Row]:
    """Return the rows of the question *Clear of ice and cloud*."""
    highest_m = float(np.nanmedian(np.fmax.reduce(corridor.up_m)))
    return [_icing(evidence, highest_m), _cloud(evidence, highest_m)]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Air:
    """The coldest air of the heights used, whether there is water to be seen in it."""

    temperature_deg_c: float
    humidity_percent: float
    in_cloud: bool

    @classmethod
    def up_to(cls, highest_m: float, weather: Weather) -> "_Air":
        base_m, visibility_m = weather.cloud_base_above_launch_m, weather.visibility_m
        coldest_k = weather.temperature_k.value - ISA_LAPSE_RATE_K_M * highest_m
        return cls(
            temperature_deg_c=coldest_k - CELSIUS_ZERO_K,
            humidity_percent=100.0 * weather.humidity_fraction,
            in_cloud=(base_m is not None and highest_m >= base_m)
            or (visibility_m is not None and visibility_m < _FOG_M),
        )


def _icing(evidence: Evidence, highest_m: float) -> Row:
    """Return the row of icing, which has words and no figure."""
    limit = evidence.limits["weather.icing"]
    air = _Air.up_to(highest_m, evidence.resolved.sortie.weather)
    status = _icing_status(air, limit.extra)
    seen = "in cloud or fog" if air.in_cloud else "no cloud or fog"
    return replace(
        does_not_apply(
            limit,
            f"{air.temperature_deg_c:.0f} degC at the highest, {air.humidity_percent:.0f} % "
            f"humidity, {seen}",
        ),
        status=status,
        shortfall=_BEYOND[status],
        cause="icing",
        act="wait until it is warmer or drier, or stay below the cloud",
    )


def _icing_status(air: _Air, extra: Mapping[str, float]) -> Status:
    cold = air.temperature_deg_c <= extra["hard_temperature_deg_c"]
    cool = air.temperature_deg_c <= extra["want_temperature_deg_c"]
    if cold and (air.in_cloud or air.humidity_percent >= extra["hard_humidity_percent"]):
        return Status.NO_GO
    if cool and air.humidity_percent > extra["want_humidity_percent"]:
        return Status.MARGINAL
    return Status.GO


def _cloud(evidence: Evidence, highest_m: float) -> Row:
    limit = evidence.limits["weather.cloud"]
    base_m = evidence.resolved.sortie.weather.cloud_base_above_launch_m
    if base_m is None and evidence.resolved.sortie.weather.no_low_cloud:
        return does_not_apply(limit, "no low cloud")
    if base_m is None:
        return undeclared(evidence, limit.slug)
    below_m = base_m - highest_m
    short_m = math.ceil(max((limit.want or 0.0) * FOOT_M - below_m, 1.0))
    return evidence.row(
        limit.slug,
        below_m,
        cause="cloud",
        act=f"fly {short_m} m lower, or wait until the cloud has lifted",
        note=f"keep {limit.extra['aside_ft']:,.0f} ft aside of cloud, by eye",
    )
