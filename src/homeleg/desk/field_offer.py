"""The numbers measured at the field as a sortie has them: offered, to be measured again."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from homeleg.desk.calls import keep_answers
from homeleg.formats.field_answers import FieldAnswers
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.constants import CELSIUS_ZERO_K

__all__ = ["FieldOffer", "field_offer", "keep_numbers"]

# A wind older than this is measured before anything else is answered. Ours.
_STANDS = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldOffer:
    """Wind and pack temperature of a sortie, None where not told; `old` where it was long ago.

    Speeds in m/s at a height in m above ground, direction in degrees true the wind blows from.
    """

    speed_m_s: float | None
    gust_m_s: float | None
    from_deg: float | None
    height_m: float
    pack_deg_c: float | None
    seen: datetime | None
    old: bool


def field_offer(path: Path, now: datetime) -> FieldOffer:
    """Return what a sortie file says of wind and pack; raises InputFileError."""
    sortie = read_sortie(path).sortie
    wind, pack_k = sortie.weather.surface, sortie.pack.temperature_k
    pack_deg_c = None if pack_k is None else pack_k.value - CELSIUS_ZERO_K
    passed = sortie.launch_time < now
    if wind is None:
        return FieldOffer(
            speed_m_s=None,
            gust_m_s=None,
            from_deg=None,
            height_m=2.0,
            pack_deg_c=pack_deg_c,
            seen=None,
            old=passed,
        )
    return FieldOffer(
        speed_m_s=wind.speed_m_s.value,
        gust_m_s=wind.gust_m_s,
        from_deg=math.degrees(wind.from_true_rad.value) % 360.0,
        height_m=wind.height_agl_m,
        pack_deg_c=pack_deg_c,
        seen=wind.seen,
        old=passed and (wind.seen is None or now - wind.seen > _STANDS),
    )


def keep_numbers(path: Path, typed: Mapping[str, str], speed_unit: str, now: datetime) -> None:
    """Write speed, gust, from, height and pack, typed as bare numbers, into a sortie file.

    Gust and pack may be empty. Raises InputFileError; the file is then as it was.
    """
    answers = FieldAnswers(
        wind=f"{typed['speed']} {speed_unit} from {typed['from']} at {typed['height']} m",
        gust=f"{typed['gust']} {speed_unit}" if typed["gust"] else None,
        pack_temperature=f"{typed['pack']} degC" if typed["pack"] else None,
    )
    keep_answers(path, answers, now)
