"""The weather of a sortie file."""

from collections import Counter
from datetime import datetime, timedelta

import numpy as np

from homeleg.formats.estimates import assumed, estimate_with
from homeleg.formats.findings import Spot
from homeleg.formats.metar_air import ANY_DIRECTION_SD_RAD, MetarAir, metar_air
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Values
from homeleg.formats.weather_fields import WindInstrument
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.foundation.stated_text import StatedWind, shown_time
from homeleg.physics.atmosphere import station_pressure_from_qnh
from homeleg.physics.beaufort import FORCE_OF_SIGN, LandSign, beaufort_limits
from homeleg.physics.stability import RURAL_EXPONENTS, StabilityClass
from homeleg.physics.sun import FIRST_YEAR, LAST_YEAR
from homeleg.world.shear import ALOFT_M, SkyState, air_classes, shear_exponent, wind_aloft
from homeleg.world.weather import Weather, WindReport, WindSource

__all__ = ["OLDEST_WIND", "weather_of"]

# Our own spreads (MEMORY), one standard deviation, when the wind was seen.
_SURFACE_SHARE = 0.10
_SURFACE_FLOOR_M_S = 0.3
_LAYER_SD_M_S = 2.0
_DIRECTION_SD_RAD = float(np.radians(15.0))
_EXPONENT_SD = 0.03
# A wind told at another height is brought to that of the stability classes as if the air were
# neutral, and one told half way up to the wind aloft tells of it. Ours.
_CLASSES_HEIGHT_M = 10.0
_NEUTRAL_EXPONENT = RURAL_EXPONENTS[StabilityClass.D]
_ALOFT_IS_TOLD_M = 0.5 * ALOFT_M
# The forces hold for the wind at 10 m.
_BEAUFORT_SHARE = 1.0 / 3.0
_BEAUFORT_DIRECTION_SD_RAD = float(np.radians(20.0))
_BEAUFORT_HEIGHT_M = 10.0
_TEMPERATURE_SD_K = 2.0
_HUMIDITY_FRACTION = 0.65
# A person holds an anemometer at arm's length.
_HAND_HEIGHT_M = 2.0
OLDEST_WIND = timedelta(hours=24)
_SOURCES = {
    WindInstrument.ANEMOMETER: WindSource.ANEMOMETER,
    WindInstrument.DECLARED: WindSource.DECLARED,
}


def weather_of(
    table: Values,
    launch_time: datetime,
    launch: Plane,
    elevation_amsl_m: float,
    foretold: tuple[Values, ...] = (),
) -> Weather:
    """Return the air as told; reports a wind of another day and figures that contradict.

    What is stated goes before what a METAR says; winds are all kept, `foretold` layers too.
    """
    stated, layers = table.table("surface_wind"), (*table.items("layers", Values), *foretold)
    metar = metar_air(table, launch_time, elevation_amsl_m)
    near = [
        _surface(stated) if table.has("surface_wind") else None,
        _beaufort(table.table("beaufort")) if table.has("beaufort") else None,
        metar.wind,
    ]
    reports = [report for report in near if report is not None]
    told = [_layer(layer, elevation_amsl_m) for layer in layers]
    _report_twins(table.spot, told)
    reports += told
    if not reports and metar.understood and not table.has("beaufort"):
        table.spot.report(
            "no wind is told", 'Add surface_wind = { value = "5.0 m/s from 225", at = "2 m" }.'
        )
    for wind in (stated, table.table("beaufort"), *layers):
        _report_age(wind.spot.at("seen"), wind.get("seen", datetime), launch_time)
    if metar.wind is not None:
        _report_age(table.spot.at("metar"), metar.wind.seen, launch_time)
    cloud_base_m = _above_launch_m(table, "cloud_base", elevation_amsl_m)
    if cloud_base_m is None:
        cloud_base_m = metar.cloud_base_above_launch_m
    sky = _sky(table, metar.sky, cloud_base_m)
    exponent, aloft = _shear(table, reports, sky, launch_time, launch)
    is_surface = bool(reports) and reports[0].source is not WindSource.LAYER
    return Weather(
        surface=reports[0] if is_surface else None,
        layers=tuple(reports[1:] if is_surface else reports),
        exponent=exponent,
        aloft=aloft,
        temperature_k=_temperature(table, metar),
        pressure_pa=_pressure(table, metar.qnh_pa, elevation_amsl_m),
        humidity_fraction=_or(
            table.get("humidity", float), _or(metar.humidity_fraction, _HUMIDITY_FRACTION)
        ),
        visibility_m=table.get("visibility", float) or metar.visibility_m,
        cloud_base_above_launch_m=cloud_base_m,
        no_low_cloud=metar.clear_low or sky.eighths == 0,
    )


def _surface(table: Values) -> WindReport:
    wind = table.need("value", StatedWind)
    gust_m_s = table.get("gust", float)
    if gust_m_s is not None and gust_m_s < wind.speed_m_s:
        table.spot.at("gust").report(
            f"a gust of {gust_m_s:.1f} m/s is below the mean wind of {wind.speed_m_s:.1f} m/s",
            "Write the strongest gust as a whole speed, not what it adds.",
        )
    instrument = table.get("by", WindInstrument) or WindInstrument.ANEMOMETER
    return WindReport(
        source=_SOURCES[instrument],
        speed_m_s=_speed(table, _SURFACE_SHARE * wind.speed_m_s + _SURFACE_FLOOR_M_S),
        from_true_rad=_direction(table),
        height_agl_m=_or(table.get("at", float), _HAND_HEIGHT_M),
        gust_m_s=gust_m_s,
        seen=table.get("seen", datetime),
    )


def _beaufort(table: Values) -> WindReport | None:
    """Return the wind by a force or by its sign; its middle, a third of its width as spread."""
    force, sign = table.get("force", int), table.get("sign", LandSign)
    if (force is None) == (sign is None):
        table.spot.report(
            "needs either a force or a sign",
            f'Add force = 3 or sign = "{LandSign.TWIGS_MOVE.value}".',
        )
        return None
    if force is None and sign is not None:
        force = FORCE_OF_SIGN[sign]
    begins_m_s, ends_m_s = beaufort_limits(force or 0)
    from_true_rad = table.get("from", float)
    if from_true_rad is None and force:
        table.spot.report("does not say where the wind blows from", 'Add from = "225 deg".')
    return WindReport(
        source=WindSource.BEAUFORT,
        speed_m_s=Estimate(
            value=0.5 * (begins_m_s + ends_m_s),
            sd=_BEAUFORT_SHARE * (ends_m_s - begins_m_s),
            basis=Basis.DECLARED,
        ),
        from_true_rad=Estimate(
            value=_or(from_true_rad, 0.0),
            sd=ANY_DIRECTION_SD_RAD if from_true_rad is None else _BEAUFORT_DIRECTION_SD_RAD,
            basis=Basis.DECLARED,
        ),
        height_agl_m=_BEAUFORT_HEIGHT_M,
        gust_m_s=None,
        seen=table.get("seen", datetime),
        gusty=table.get("gusty", bool),
    )


def _sky(table: Values, of_metar: SkyState, cloud_base_above_launch_m: float | None) -> SkyState:
    """Return cloud and its height as told; what a person states goes before a METAR."""
    eighths = table.get("sky", int)
    if eighths is None:
        return of_metar
    if cloud_base_above_launch_m is None:
        return SkyState(eighths=eighths)
    return SkyState(eighths=eighths, ceiling_m=max(cloud_base_above_launch_m, 0.0))


def _shear(
    table: Values,
    reports: list[WindReport],
    sky: SkyState,
    launch_time: datetime,
    launch: Plane,
) -> tuple[Estimate, Estimate | None]:
    """Return the exponent of wind over height, stated or by sun and sky, and the wind aloft."""
    stated = table.table("surface_wind")
    if stated.has("exponent") or not reports:
        return estimate_with(stated, "exponent", _EXPONENT_SD, assumed(0.0, 0.0)), None
    if not FIRST_YEAR < launch_time.year < LAST_YEAR:
        table.spot.report(
            f"how the sun stands is known from {FIRST_YEAR + 1} to {LAST_YEAR - 1}",
            "Check the launch time.",
        )
        return assumed(0.0, 0.0), None
    lowest = reports[0]
    to_ten_m = (_CLASSES_HEIGHT_M / lowest.height_agl_m) ** _NEUTRAL_EXPONENT
    wind_10m_m_s = lowest.speed_m_s.value * to_ten_m
    place = launch.latitude_rad, launch.longitude_rad
    classes = air_classes(launch_time, *place, sky, wind_10m_m_s)
    basis = Basis.ASSUMED if sky.eighths is None else Basis.DECLARED
    exponent = shear_exponent(classes, basis)
    if any(report.height_agl_m >= _ALOFT_IS_TOLD_M for report in reports):
        return exponent, None
    return exponent, wind_aloft(classes, exponent, wind_10m_m_s)


def _temperature(table: Values, metar: MetarAir) -> Estimate:
    if not table.has("temperature") and metar.temperature_k is None and metar.understood:
        table.spot.at("temperature").report(
            "is missing", "Add it: air temperature at the launch point, or a METAR that tells it."
        )
    return estimate_with(
        table, "temperature", _TEMPERATURE_SD_K, metar.temperature_k or assumed(0.0, 0.0)
    )


def _layer(table: Values, elevation_amsl_m: float) -> WindReport:
    height_m = _above_launch_m(table, "at", elevation_amsl_m)
    if height_m is None or height_m <= 0.0:
        table.spot.at("at").report("is not above the launch point", "Check the height.")
        height_m = 1.0
    return WindReport(
        source=WindSource.LAYER,
        speed_m_s=_speed(table, _LAYER_SD_M_S),
        from_true_rad=_direction(table),
        height_agl_m=height_m,
        gust_m_s=None,
        seen=table.get("seen", datetime),
    )


def _report_twins(spot: Spot, layers: list[WindReport]) -> None:
    """Report each height for which layers tell more than one wind: only one can blow there."""
    counts = Counter(round(layer.height_agl_m, 1) for layer in layers)
    for height_m in sorted(height_m for height_m, count in counts.items() if count > 1):
        spot.report(
            f"{counts[height_m]} winds are told for {height_m:g} m above launch",
            "Keep one of them, among layers and winds_file.",
        )


def _speed(table: Values, default_sd_m_s: float) -> Estimate:
    sd_m_s = _or(table.get("sd", float), default_sd_m_s)
    speed_m_s = table.need("value", StatedWind).speed_m_s
    return Estimate(value=speed_m_s, sd=sd_m_s, basis=Basis.DECLARED)


def _direction(table: Values) -> Estimate:
    sd_rad = _or(table.get("direction_sd", float), _DIRECTION_SD_RAD)
    from_rad = table.need("value", StatedWind).from_true_rad
    return Estimate(value=from_rad, sd=sd_rad, basis=Basis.DECLARED)


def _report_age(spot: Spot, seen: datetime | None, launch_time: datetime) -> None:
    if seen is None:
        return
    if seen > launch_time:
        spot.report(
            f"{shown_time(seen)} is after the launch at {shown_time(launch_time)}",
            "Check both times: they are UTC.",
        )
    elif launch_time - seen > OLDEST_WIND:
        hours = (launch_time - seen) / timedelta(hours=1)
        spot.report(
            f"this wind was seen {hours:.0f} hours before the launch, at {shown_time(seen)}",
            "Look again.",
        )


def _pressure(
    table: Values, qnh_of_metar_pa: float | None, elevation_amsl_m: float
) -> float | None:
    """Return the pressure at the launch point, None where nothing tells it."""
    pressure_pa, qnh_pa = table.get("pressure", float), table.get("qnh", float)
    if pressure_pa is not None and qnh_pa is not None:
        table.spot.at("qnh").report("is given, and pressure too", "Leave one of them out.")
    if pressure_pa is None and qnh_pa is None:
        qnh_pa = qnh_of_metar_pa
    if qnh_pa is not None:
        return float(station_pressure_from_qnh(qnh_pa, elevation_amsl_m))
    return pressure_pa


def _above_launch_m(table: Values, key: str, elevation_amsl_m: float) -> float | None:
    """Return a height above the launch point; over its level ground AGL is the same."""
    height = table.get(key, StatedHeight)
    if height is None:
        return None
    return height.value_m - (elevation_amsl_m if height.above is Datum.AMSL else 0.0)


def _or(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value
