"""The wind told anew by eye or by a METAR, written into a sortie in place of the one before."""

from datetime import datetime
from pathlib import Path

from homeleg.desk.calls import SOON
from homeleg.desk.edit import Edit, edit_sortie, putting
from homeleg.desk.guided_sortie import COMPASS, SIGNS
from homeleg.formats.metar import MetarReport, parse_metar
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.toml_edit import TomlValue
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import shown_time

__all__ = ["tell_metar", "tell_signs"]

_TAP_ALL = Problem(
    where="By eye",
    problem="the wind is not told yet",
    remedy="Tap what it does, where it blows from, and whether it comes in gusts.",
)
_METAR = ("metar", "metar_distance", "metar_elevation")


def tell_signs(path: Path, sign: str, blows_from: str, gusty: str, now: datetime) -> None:
    """Write what the wind does on land, seen now; `gusty` is yes or no.

    Raises InputFileError; the file is then as it was.
    """
    if not (sign in SIGNS and blows_from in COMPASS and gusty in ("yes", "no")):
        raise InputFileError([_TAP_ALL])
    seen: dict[str, TomlValue] = {
        "sign": sign,
        "from": blows_from,
        "gusty": gusty == "yes",
        "seen": shown_time(now),
    }
    edits = [putting(["weather", "surface_wind"], None), putting(["weather", "beaufort"], seen)]
    edit_sortie(path, [*edits, *_launch(path, now)])


def tell_metar(path: Path, report: str, distance: str, now: datetime) -> None:
    """Write a METAR, and its station's distance where told, in place of all that it tells.

    Raises InputFileError; the file is then as it was.
    """
    words = " ".join(report.split()).rstrip("=")
    read, problems = parse_metar(words)
    if read is None or problems:
        where = "METAR"
        raise InputFileError(
            [Problem(where=where, problem=one.problem, remedy=one.remedy) for one in problems]
        )
    replaced = (*_METAR, *_told_by(read))
    edits = [putting(["weather", key], None) for key in replaced]
    edits.append(putting(["weather", "metar"], words))
    if distance:
        edits.append(putting(["weather", "metar_distance"], distance))
    edit_sortie(path, [*edits, *_launch(path, now)])


def _told_by(report: MetarReport) -> list[str]:
    """Return the keys of a sortie's weather that a report speaks for."""
    tells = {
        ("surface_wind", "beaufort"): report.wind_speed_m_s is not None,
        ("temperature",): report.temperature_k is not None,
        ("humidity",): report.dew_point_k is not None,
        ("pressure", "qnh"): report.qnh_pa is not None,
        ("visibility",): report.visibility_m is not None,
        ("sky", "cloud_base"): bool(report.clouds) or report.clear or report.clear_low,
    }
    return [key for keys, told in tells.items() if told for key in keys]


def _launch(path: Path, now: datetime) -> list[Edit]:
    """Return the edit that makes of a launch that has passed one soon from now."""
    if read_sortie(path).sortie.launch_time >= now:
        return []
    return [putting(["time", "launch"], shown_time(now + SOON))]
