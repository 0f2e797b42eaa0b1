"""The remarks behind RMK in a weather report, where they say more than its body."""

import re
from dataclasses import dataclass

from homeleg.foundation.constants import CELSIUS_ZERO_K, KNOT_M_S

__all__ = ["MetarRemarks", "PeakWind", "remarks_of"]

# FMH-1 (FCM-H1-1995), 12.7.1 and 12.7.2 (FOUND): sign 1 is below zero, tenths of a degree.
_PEAK_WIND = re.compile(r"\bPK WND (\d{3})(\d{2,3})/(\d{2})?(\d{2})\b", re.ASCII)
_TENTHS = re.compile(r"T([01]\d{3})([01]\d{3})?", re.ASCII)
_HIGHEST_6_H = re.compile(r"1([01]\d{3})", re.ASCII)
_LOWEST_6_H = re.compile(r"2([01]\d{3})", re.ASCII)
_EXTREMES_24_H = re.compile(r"4([01]\d{3})([01]\d{3})", re.ASCII)
_SEA_LEVEL = re.compile(r"SLP(\d{3})", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class PeakWind:
    """The strongest wind since the last report, with its time; `hour` None: of the report."""

    speed_m_s: float
    from_true_deg: float
    hour: int | None
    minute: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MetarRemarks:
    """What the remarks tell, None where they do not; temperatures in kelvin, pressure in pascal.

    `sea_level_pressure_pa` is reduced with the temperature: it is no altimeter setting.
    """

    peak_wind: PeakWind | None = None
    temperature_k: float | None = None
    dew_point_k: float | None = None
    sea_level_pressure_pa: float | None = None
    highest_6_h_k: float | None = None
    lowest_6_h_k: float | None = None
    highest_24_h_k: float | None = None
    lowest_24_h_k: float | None = None


def remarks_of(text: str) -> MetarRemarks:
    """Return what is known to this program in the text behind RMK; the rest is free text."""
    groups = text.split()
    tenths, extremes = _first(_TENTHS, groups, 2), _first(_EXTREMES_24_H, groups, 2)
    return MetarRemarks(
        peak_wind=_peak_wind(text),
        temperature_k=_kelvin(tenths[0]),
        dew_point_k=_kelvin(tenths[1]),
        sea_level_pressure_pa=_sea_level(_first(_SEA_LEVEL, groups, 1)[0]),
        highest_6_h_k=_kelvin(_first(_HIGHEST_6_H, groups, 1)[0]),
        lowest_6_h_k=_kelvin(_first(_LOWEST_6_H, groups, 1)[0]),
        highest_24_h_k=_kelvin(extremes[0]),
        lowest_24_h_k=_kelvin(extremes[1]),
    )


def _first(pattern: re.Pattern[str], groups: list[str], count: int) -> tuple[str | None, ...]:
    """Return the parts of the first group of a pattern, None for each where there is none."""
    found = next((match for match in map(pattern.fullmatch, groups) if match), None)
    return (None,) * count if found is None else found.groups()


def _kelvin(signed_tenths: str | None) -> float | None:
    if signed_tenths is None:
        return None
    sign = -1.0 if signed_tenths[0] == "1" else 1.0
    return CELSIUS_ZERO_K + sign * int(signed_tenths[1:]) / 10.0


def _sea_level(tenths: str | None) -> float | None:
    """Return the pressure whose last three digits, in tenths of a hectopascal, are told."""
    if tenths is None:
        return None
    return 10.0 * (int(tenths) + (9_000.0 if int(tenths) >= 500 else 10_000.0))


def _peak_wind(text: str) -> PeakWind | None:
    found = _PEAK_WIND.search(text)
    if found is None:
        return None
    direction, speed, hour, minute = found.groups()
    return PeakWind(
        speed_m_s=int(speed) * KNOT_M_S,
        from_true_deg=float(direction),
        hour=None if hour is None else int(hour),
        minute=int(minute),
    )
