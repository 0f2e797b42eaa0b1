"""Check a sortie again with the field's numbers in it; its file stays as it is."""

import math
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from homeleg.desk.answer_file import refuse_answer_file
from homeleg.desk.check import DEFAULT_MEMBERS, Change, CheckResult, Progress, check_read_sortie
from homeleg.formats.field_answers import FieldAnswers
from homeleg.formats.launch_here import launch_here_of
from homeleg.formats.plane import Plane
from homeleg.formats.sortie_edit import edited_sortie
from homeleg.formats.sortie_file import sortie_from_text
from homeleg.formats.sortie_weather import OLDEST_WIND
from homeleg.formats.toml_text import read_text_file
from homeleg.foundation.constants import CELSIUS_ZERO_K
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import shown_time
from homeleg.sortie.sortie import Pack, Sortie
from homeleg.world.site import Site
from homeleg.world.weather import Weather

__all__ = ["recheck_sortie"]


def recheck_sortie(
    path: Path,
    answers: FieldAnswers,
    *,
    now: datetime,
    members: int = DEFAULT_MEMBERS,
    quick: bool = False,
    answer_files: Sequence[Path] = (),
    progress: Progress | None = None,
) -> CheckResult:
    """Return the verdict on the sortie of a file with answers seen `now` (aware) in their place.

    A launch that would lie before `now` is made now. The result says what changed against the file.
    Raises InputFileError and OutOfModelError as the check does.
    """
    here = launch_here_of(answers)
    file = read_text_file(path)
    told = sortie_from_text(file, path.parent)
    for answer_file in answer_files:
        refuse_answer_file(answer_file, told.sources)
    problems: list[Problem] = []
    if answers.launch is None and told.sortie.launch_time < now:
        answers = replace(answers, launch=shown_time(now))
        problems = _old_wind(told.sortie.weather, answers, now)
    try:
        edited = replace(file, text=edited_sortie(file.text, answers, now))
        files = sortie_from_text(edited, path.parent, here=here)
    except InputFileError as error:
        raise InputFileError([*problems, *error.problems]) from error
    if problems:
        raise InputFileError(problems)
    result = check_read_sortie(files, members=members, quick=quick, progress=progress)
    return replace(result, changes=_changes(told.sortie, files.sortie))


def _old_wind(weather: Weather, answers: FieldAnswers, now: datetime) -> list[Problem]:
    """Return the problem of a launch made now on a wind of the file from long ago."""
    seen = None if weather.surface is None else weather.surface.seen
    if answers.wind is not None or seen is None or now - seen <= OLDEST_WIND:
        return []
    problem = f"the launch would be made now, and the wind of the file was seen {shown_time(seen)}"
    remedy = (
        'Measure it: --wind "6 m/s from 250 at 2 m". Or say when the numbers were taken: '
        f'--seen "{shown_time(seen)}".'
    )
    return [Problem(where="--wind", problem=problem, remedy=remedy)]


def _changes(before: Sortie, after: Sortie) -> tuple[Change, ...]:
    """Return what the field's numbers changed, in words."""
    both = [
        ("wind", _wind(before.weather), _wind(after.weather)),
        ("launch", shown_time(before.launch_time), shown_time(after.launch_time)),
        ("launch point", _launch_point(before.site), _launch_point(after.site, before.site)),
        ("pack temperature", _pack_temperature(before.pack), _pack_temperature(after.pack)),
    ]
    changes = [Change(what=what, in_file=old, now=new) for what, old, new in both if old != new]
    still = {answer.item for answer in after.told}
    void = [answer.item for answer in before.told if answer.item not in still]
    if void:
        changes.append(Change(what="told", in_file=", ".join(void), now="to be answered again"))
    return tuple(changes)


def _wind(weather: Weather) -> str:
    report = weather.surface
    if report is None:
        return "not told"
    gust = "" if report.gust_m_s is None else f" gusting {report.gust_m_s:.1f}"
    seen = "" if report.seen is None else f", seen {report.seen.astimezone(UTC):%H:%MZ}"
    return (
        f"{report.speed_m_s.value:.1f} m/s{gust} from "
        f"{math.degrees(report.from_true_rad.value):03.0f} at {report.height_agl_m:g} m{seen}"
    )


def _launch_point(site: Site, from_site: Site | None = None) -> str:
    latitude, longitude = math.degrees(site.latitude_rad), math.degrees(site.longitude_rad)
    words = (
        f"{abs(latitude):.5f} {'N' if latitude >= 0.0 else 'S'} "
        f"{abs(longitude):.5f} {'E' if longitude >= 0.0 else 'W'}, "
        f"{site.elevation_amsl_m:.0f} m AMSL"
    )
    if from_site is None:
        return words
    plane = Plane(from_site.latitude_rad, from_site.longitude_rad)
    moved_m = plane.distance_m(site.latitude_rad, site.longitude_rad)
    return words if moved_m < 1.0 else f"{words}, {moved_m:.0f} m away"


def _pack_temperature(pack: Pack) -> str:
    if pack.temperature_k is None:
        return "not told"
    return f"{pack.temperature_k.value - CELSIUS_ZERO_K:.0f} degC"
