"""What a METAR near by says of the air at the launch point."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from homeleg.formats.day_and_time import nearest_time
from homeleg.formats.metar import CloudLayer, MetarReport, parse_metar
from homeleg.formats.reader import Values
from homeleg.foundation.constants import ISA_LAPSE_RATE_K_M
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.physics.atmosphere import saturation_vapour_pressure
from homeleg.world.shear import EIGHTHS, SkyState
from homeleg.world.weather import WindReport, WindSource

__all__ = ["ANY_DIRECTION_SD_RAD", "MetarAir", "metar_air"]

# Our own spreads (MEMORY), one standard deviation, when the report was made.
_SPEED_SD_M_S = 0.5
_SPEED_SD_M_S_PER_M = 0.05 / 1000.0
_UNTOLD_DISTANCE_M = 20_000.0
_DIRECTION_SD_RAD = math.radians(10.0)
# Spread of a wind that may come from anywhere, and of one evenly spread over a sector.
ANY_DIRECTION_SD_RAD = 2.0 * math.pi / math.sqrt(12.0)
# WMO-No. 306: the anemometer stands 10 m above the ground. MEMORY.
_ANEMOMETER_M = 10.0
_TEMPERATURE_SD_K = 2.0
# Cloud of more than half the sky is a ceiling.
_CEILING_EIGHTHS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class MetarAir:
    """The air by a METAR, None where it tells nothing or there is no METAR at all.

    `understood` is false where something of it was refused: then what lacks is not missing.
    """

    understood: bool = True
    wind: WindReport | None = None
    temperature_k: Estimate | None = None
    humidity_fraction: float | None = None
    qnh_pa: float | None = None
    visibility_m: float | None = None
    cloud_base_above_launch_m: float | None = None
    sky: SkyState = field(default_factory=SkyState)
    clear_low: bool = False


def metar_air(table: Values, launch_time: datetime, elevation_amsl_m: float) -> MetarAir:
    """Return what the METAR of the weather says; reports everything wrong with it."""
    text = table.get("metar", str)
    if text is None:
        for key in ("metar_distance", "metar_elevation"):
            if table.has(key):
                table.spot.at(key).report("is given without a METAR", 'Add metar = "METAR ...".')
        return MetarAir()
    report, problems = parse_metar(text)
    for problem in problems:
        table.spot.at("metar").report(problem.problem, problem.remedy)
    if report is None:
        return MetarAir(understood=False)
    rise_m = _station_above_launch_m(table, elevation_amsl_m)
    return MetarAir(
        understood=not problems,
        wind=_wind(report, table.get("metar_distance", float), launch_time),
        temperature_k=_temperature(report, rise_m),
        humidity_fraction=_humidity(report),
        qnh_pa=report.qnh_pa,
        visibility_m=report.visibility_m,
        cloud_base_above_launch_m=_cloud_base_above_launch_m(report, rise_m),
        sky=_sky(report),
        clear_low=report.clear_low,
    )


def _station_above_launch_m(table: Values, elevation_amsl_m: float) -> float | None:
    height = table.get("metar_elevation", StatedHeight)
    if height is None:
        return None
    if height.above is not Datum.AMSL:
        table.spot.at("metar_elevation").report(
            f"is {height.above.value}, and a station's height is above mean sea level",
            'Write it as "12 m AMSL".',
        )
    return height.value_m - elevation_amsl_m


def _wind(
    report: MetarReport, distance_m: float | None, launch_time: datetime
) -> WindReport | None:
    if report.wind_speed_m_s is None:
        return None
    distance_m = _UNTOLD_DISTANCE_M if distance_m is None else distance_m
    return WindReport(
        source=WindSource.METAR,
        speed_m_s=Estimate(
            value=report.wind_speed_m_s,
            sd=_SPEED_SD_M_S + _SPEED_SD_M_S_PER_M * distance_m,
            basis=Basis.DECLARED,
        ),
        from_true_rad=_direction(report),
        height_agl_m=_ANEMOMETER_M,
        gust_m_s=report.gust_m_s,
        seen=nearest_time(report.day, report.hour, report.minute, launch_time),
    )


def _direction(report: MetarReport) -> Estimate:
    """Return the direction, any where it varies all round, wider where a sector is told."""
    if report.wind_from_true_rad is None:
        return Estimate(value=0.0, sd=ANY_DIRECTION_SD_RAD, basis=Basis.ASSUMED)
    sd_rad = _DIRECTION_SD_RAD
    if report.varying_true_rad is not None:
        begins, ends = report.varying_true_rad
        sd_rad = max(sd_rad, (ends - begins) % (2.0 * math.pi) / math.sqrt(12.0))
    return Estimate(value=report.wind_from_true_rad, sd=sd_rad, basis=Basis.DECLARED)


def _temperature(report: MetarReport, rise_m: float | None) -> Estimate | None:
    """Return the temperature at the launch point, by the standard lapse where heights are told."""
    if report.temperature_k is None:
        return None
    warmer_k = ISA_LAPSE_RATE_K_M * (rise_m or 0.0)
    return Estimate(
        value=report.temperature_k + warmer_k, sd=_TEMPERATURE_SD_K, basis=Basis.DECLARED
    )


def _humidity(report: MetarReport) -> float | None:
    if report.temperature_k is None or report.dew_point_k is None:
        return None
    vapour_pa = saturation_vapour_pressure(report.dew_point_k)
    return float(vapour_pa / saturation_vapour_pressure(report.temperature_k))


def _cloud_base_above_launch_m(report: MetarReport, rise_m: float | None) -> float | None:
    """Return the lowest base told, of any amount; None where the station's height is not told."""
    bases_m = _bases_m(report.clouds)
    return None if rise_m is None or not bases_m else min(bases_m) + rise_m


def _sky(report: MetarReport) -> SkyState:
    """Return the amount and ceiling told; CAVOK and the like leave high cloud open."""
    if report.clear:
        return SkyState(eighths=0)
    if not report.clouds:
        return SkyState()
    ceilings_m = _bases_m([one for one in report.clouds if one.most_eighths >= _CEILING_EIGHTHS])
    return SkyState(
        eighths=min(max(one.most_eighths for one in report.clouds), EIGHTHS),
        ceiling_m=min(ceilings_m, default=None),
    )


def _bases_m(clouds: Sequence[CloudLayer]) -> list[float]:
    return [cloud.base_m for cloud in clouds if cloud.base_m is not None]
