"""The weather of a sortie file."""

from datetime import datetime, timedelta

import numpy as np

from homeleg.formats.estimates import assumed, estimate_with
from homeleg.formats.reader import Values
from homeleg.formats.sortie_fields import WindInstrument
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.foundation.stated_text import StatedWind
from homeleg.physics.atmosphere import station_pressure_from_qnh
from homeleg.world.weather import Weather, WindReport, WindSource

__all__ = ["weather_of"]

# Our own spreads (MEMORY), one standard deviation, when the wind was seen.
_SURFACE_SHARE = 0.10
_SURFACE_FLOOR_M_S = 0.3
_LAYER_SD_M_S = 2.0
_DIRECTION_SD_RAD = float(np.radians(15.0))
_EXPONENT_SD = 0.03
_EXPONENT = assumed(0.20, 0.08)
_TEMPERATURE_SD_K = 2.0
_HUMIDITY_FRACTION = 0.65
# A person holds an anemometer at arm's length.
_HAND_HEIGHT_M = 2.0
_OLDEST = timedelta(hours=24)
_SOURCES = {
    WindInstrument.ANEMOMETER: WindSource.ANEMOMETER,
    WindInstrument.DECLARED: WindSource.DECLARED,
}


def weather_of(table: Values, launch_time: datetime, elevation_amsl_m: float) -> Weather:
    """Return the air as told; reports a wind of another day and figures that contradict."""
    surface = table.table("surface_wind")
    layers = table.items("layers", Values)
    if not table.has("surface_wind") and not layers:
        table.spot.report(
            "no wind is told", 'Add surface_wind = { value = "5.0 m/s from 225", at = "2 m" }.'
        )
    for wind in (surface, *layers):
        _report_age(wind, launch_time)
    return Weather(
        surface=_surface(surface) if table.has("surface_wind") else None,
        layers=tuple(_layer(layer, elevation_amsl_m) for layer in layers),
        exponent=estimate_with(surface, "exponent", _EXPONENT_SD, _EXPONENT),
        temperature_k=estimate_with(table, "temperature", _TEMPERATURE_SD_K, assumed(0.0, 0.0)),
        pressure_pa=_pressure(table, elevation_amsl_m),
        humidity_fraction=_or(table.get("humidity", float), _HUMIDITY_FRACTION),
        visibility_m=table.get("visibility", float),
        cloud_base_above_launch_m=_above_launch_m(table, "cloud_base", elevation_amsl_m),
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


def _speed(table: Values, default_sd_m_s: float) -> Estimate:
    sd_m_s = _or(table.get("sd", float), default_sd_m_s)
    speed_m_s = table.need("value", StatedWind).speed_m_s
    return Estimate(value=speed_m_s, sd=sd_m_s, basis=Basis.DECLARED)


def _direction(table: Values) -> Estimate:
    sd_rad = _or(table.get("direction_sd", float), _DIRECTION_SD_RAD)
    from_rad = table.need("value", StatedWind).from_true_rad
    return Estimate(value=from_rad, sd=sd_rad, basis=Basis.DECLARED)


def _report_age(table: Values, launch_time: datetime) -> None:
    seen = table.get("seen", datetime)
    if seen is None:
        return
    if seen > launch_time:
        table.spot.at("seen").report(
            f"{seen:%Y-%m-%d %H:%MZ} is after the launch at {launch_time:%Y-%m-%d %H:%MZ}",
            "Check both times: they are UTC.",
        )
    elif launch_time - seen > _OLDEST:
        hours = (launch_time - seen) / timedelta(hours=1)
        table.spot.at("seen").report(
            f"this wind was seen {hours:.0f} hours before the launch", "Look again."
        )


def _pressure(table: Values, elevation_amsl_m: float) -> float | None:
    """Return the pressure at the launch point, None where the file tells none."""
    pressure_pa, qnh_pa = table.get("pressure", float), table.get("qnh", float)
    if pressure_pa is not None and qnh_pa is not None:
        table.spot.at("qnh").report("is given, and pressure too", "Leave one of them out.")
    if qnh_pa is not None:
        return float(station_pressure_from_qnh(qnh_pa, elevation_amsl_m))
    return pressure_pa


def _above_launch_m(table: Values, key: str, elevation_amsl_m: float) -> float | None:
    """Return a height above the launch point; over its level ground AGL is the same."""
    height = table.get(key, StatedHeight)
    if height is None:
        return None
    if height.above is Datum.ELLIPSOID:
        table.spot.at(key).report(
            "heights above the ellipsoid are not read yet by this version",
            "Write it above launch or AMSL.",
        )
    return height.value_m - (elevation_amsl_m if height.above is Datum.AMSL else 0.0)


def _or(value: float | None, otherwise: float) -> float:
    return otherwise if value is None else value
