"""A new aircraft or sortie file, written from answers and read back before it is left standing."""

import os
import tomllib
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from homeleg.aircraft.record import Aircraft, LaunchMethod
from homeleg.desk.first_figures import figures_of
from homeleg.desk.route_shapes import shape_text
from homeleg.desk.starting_files import (
    AIRCRAFT_ASKS,
    AIRCRAFT_REMARKS,
    SORTIE_ASKS,
    SORTIE_REMARKS,
    Ask,
    starting_text,
    toml_value,
)
from homeleg.formats.aircraft_fields import AIRCRAFT
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.formats.findings import Findings
from homeleg.formats.kinds import Kind
from homeleg.formats.reader import TableOf
from homeleg.formats.sortie_fields import SORTIE
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.text_file import refuse_taken, write_new_text
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import MagneticWind, parse_wind
from homeleg.foundation.units import TextError

_QUARTER_HOUR = timedelta(minutes=15)


def refuse_aircraft_at(path: Path) -> None:
    """Raise InputFileError where no new aircraft file can be written, before anything is asked."""
    refuse_taken(path)


def refuse_sortie_at(path: Path, aircraft: Path) -> None:
    """Raise InputFileError where no new sortie can be written, or its aircraft cannot be read."""
    refuse_taken(path)
    refuse_taken(_route_beside(path))
    if not aircraft.exists():
        remedy = f"Write it first: homeleg new aircraft {aircraft}"
        problem = "there is no such aircraft file"
        raise InputFileError([Problem(where=str(aircraft), problem=problem, remedy=remedy)])
    read_aircraft(aircraft)


def refusal_of(ask: Ask, answer: str) -> str | None:
    """Return why a file would refuse this answer, and what would be right; None if it would not."""
    document = AIRCRAFT if ask in AIRCRAFT_ASKS else SORTIE
    findings = Findings("", {})
    raw = tomllib.loads(f"answer = {toml_value(ask, answer)}")["answer"]
    _kind_of(document, ask).read(raw, findings.top)
    problems = (f"{problem.problem}. {problem.remedy}" for problem in findings.problems)
    return " ".join(problems) or None


def new_aircraft(path: Path, answers: Mapping[str, str]) -> None:
    """Write a starting aircraft file from answers by option name.

    Raises InputFileError when the path is taken, or holds what the answers make wrong; then no
    file is left behind.
    """
    top = {"schema": "homeleg/aircraft/1"}
    asks = tuple(_as_launched(ask, answers["launch"]) for ask in AIRCRAFT_ASKS)
    write_new_text(path, starting_text(AIRCRAFT_REMARKS, top, asks, answers))
    try:
        _refuse_below_stall(path.name, read_aircraft(path))
    except BaseException:
        path.unlink()
        raise


def _refuse_below_stall(name: str, aircraft: Aircraft) -> None:
    """Raise InputFileError for a cruise that the wing cannot carry."""
    cruise = aircraft.speeds.cruise
    stall = figures_of(aircraft, with_time=False).figures[0]
    if cruise is not None and cruise.value_m_s <= stall.p50:
        problem = f"{cruise.value_m_s:g} m/s is no faster than the stall, {stall.p50:.1f} m/s"
        remedy = f"Plan a cruise of {1.3 * stall.p50:.0f} m/s or more, or look at mass and wing."
        raise InputFileError([Problem(where=f"{name}, cruise", problem=problem, remedy=remedy)])


def new_sortie(path: Path, aircraft: Path, answers: Mapping[str, str], *, now: datetime) -> Path:
    """Write a starting sortie file and a small circuit beside it; return the route's path.

    Without an answer the wind counts as seen now, and the launch is at the second quarter of an
    hour from now.
    Raises InputFileError as `new_aircraft` does.
    """
    route = _route_beside(path)
    top = {
        "schema": "homeleg/sortie/1",
        "aircraft": Path(os.path.relpath(aircraft, path.parent)).as_posix(),
        "route": route.name,
    }
    answers = {
        "flown-by": "assisted",
        "wind-seen": utc_text(now),
        "launch-time": utc_text(second_quarter(now)),
        **answers,
    }
    write_new_text(path, starting_text(SORTIE_REMARKS, top, SORTIE_ASKS, answers))
    try:
        write_new_text(route, shape_text("circuit", _wind_from_rad(answers["wind"])))
    except BaseException:
        path.unlink()
        raise
    try:
        read_sortie(path)
    except BaseException:
        path.unlink()
        route.unlink()
        raise
    return route


def _kind_of(document: TableOf, ask: Ask) -> Kind:
    """Return what the answer to a question must be."""
    for name in ask.table.split(".") if ask.table else ():
        table = _field_kind(document, name)
        if not isinstance(table, TableOf):
            raise TypeError(f"{name} is no table")
        document = table
    return _field_kind(document, ask.key)


def _field_kind(table: TableOf, key: str) -> Kind:
    return next(field.kind for field in table.fields if field.key == key)


def _route_beside(path: Path) -> Path:
    return path.parent / ("route.csv" if path.stem == "sortie" else f"{path.stem}-route.csv")


def _as_launched(ask: Ask, launch: str) -> Ask:
    """Return the question with the key that this launch method has for its answer."""
    if ask.option == "release-speed" and launch != LaunchMethod.HAND.value:
        return replace(ask, key="release_speed")
    return ask


def second_quarter(now: datetime) -> datetime:
    """Return the second quarter of an hour from now."""
    quarter_s = _QUARTER_HOUR.total_seconds()
    return datetime.fromtimestamp((now.timestamp() // quarter_s + 2) * quarter_s, tz=UTC)


def utc_text(moment: datetime) -> str:
    """Return a moment as files hold it."""
    return f"{moment.astimezone(UTC):%Y-%m-%d %H:%MZ}"


def _wind_from_rad(text: str) -> float:
    """Return about where the wind blows from: a circuit may lie a few degrees askew."""
    try:
        wind = parse_wind(text)
    except TextError:
        return 0.0  # the circuit may lie anyhow: reading the file names the fault in a moment
    if isinstance(wind, MagneticWind):
        return wind.blows_from.from_magnetic_rad
    return wind.from_true_rad
