"""Sortie files: `sortie.toml`, with aircraft and route beside it, to one intended flight."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from homeleg.aircraft.record import Aircraft, ReturnPath
from homeleg.formats.aircraft_file import LOWEST_FLOWN_M, aircraft_from_text
from homeleg.formats.changed_limits import changed_limits
from homeleg.formats.ellipsoid_heights import (
    items_above_sea_level,
    undulation_used,
    with_heights_above_sea_level,
)
from homeleg.formats.findings import raise_problems
from homeleg.formats.launch_here import LaunchHere, from_here
from homeleg.formats.magnetic import with_true_directions
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Values, read_document
from homeleg.formats.route_file import route_tables
from homeleg.formats.route_items import height_problems, route_of
from homeleg.formats.rules_file import profile_of
from homeleg.formats.sortie_fields import SORTIE, SORTIE_SCHEMA
from homeleg.formats.sortie_ground import extent_around, ground_of
from homeleg.formats.sortie_loading import loading_of
from homeleg.formats.sortie_outside import SiteFiles
from homeleg.formats.sortie_site import site_of
from homeleg.formats.sortie_told import pack_of, told_of
from homeleg.formats.sortie_weather import weather_of
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.formats.winds_file import foretold_winds
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.foundation.units import shown
from homeleg.route.items import Route
from homeleg.sortie.sortie import FlownBy, Sortie

__all__ = ["SortieFiles", "read_sortie", "sortie_from_text"]

Given = TypeVar("Given")
Read = TypeVar("Read")


@dataclass(frozen=True, slots=True, kw_only=True)
class SortieFiles:
    """A sortie and what it was read from.

    `texts` are the sortie's own file first, then those beside it by the name under which the sortie
    calls them; `terrain` are name and SHA-256 of every ground file:
    terrain, and what draws boundary, keep-out ground, obstacles.
    """

    sortie: Sortie
    texts: tuple[tuple[str, TextFile], ...]
    terrain: tuple[tuple[str, str], ...]

    @property
    def sources(self) -> tuple[tuple[str, str], ...]:
        """Name and SHA-256 of every file."""
        return (*((text.name, text.sha256) for _, text in self.texts), *self.terrain)


def read_sortie(path: Path | str) -> SortieFiles:
    """Return the sortie of a file and the files beside it.

    Raises InputFileError with every problem of all of them; nothing is loaded in part.
    """
    return sortie_from_text(read_text_file(Path(path)), Path(path).parent)


def sortie_from_text(
    file: TextFile,
    folder: Path,
    carried: Mapping[str, TextFile] = MappingProxyType({}),
    here: LaunchHere | None = None,
) -> SortieFiles:
    """Return the sortie of a text, as if it lay in `folder`; raises InputFileError.

    `carried` are texts to take, by the name under which the sortie calls them, before any file.
    `here` is where the launch is made from instead.
    """
    values = read_document(file, SORTIE_SCHEMA, SORTIE)
    problems = values.spot.findings.problems
    beside = _Beside(folder, carried)
    aircraft_text = beside.text(values, "aircraft", problems)
    route_text = beside.text(values, "route", problems)
    aircraft = _gather(aircraft_from_text, aircraft_text, problems)
    tables = _gather(route_tables, route_text, problems) or _inline_route(values)
    raise_problems(problems)
    if aircraft is None:
        raise TypeError("an aircraft read without problems exists")
    sortie, terrain = _sortie(values, aircraft, tables, folder, here)
    named = [
        (values.get(key, object), text)
        for key, text in (("aircraft", aircraft_text), ("route", route_text))
    ]
    texts = [(str(name), text) for name, text in named if text is not None]
    return SortieFiles(sortie=sortie, texts=((file.name, file), *texts), terrain=terrain)


@dataclass(frozen=True, slots=True)
class _Beside:
    """The files that a sortie names: texts carried along, else files beside it."""

    folder: Path
    carried: Mapping[str, TextFile]

    def text(self, values: Values, key: str, problems: list[Problem]) -> TextFile | None:
        """Return the text named under a key; None where none is named, or after its problems."""
        name = values.get(key, object)
        if not isinstance(name, str):
            return None
        path = self.folder / name
        if name not in self.carried and not path.exists():
            values.spot.at(key).report(f"no such file as {shown(name)}", f"Looked at {path}.")
            return None
        return self.carried.get(name) or _gather(read_text_file, path, problems)


def _inline_route(values: Values) -> tuple[Values, ...]:
    """Return the items of a route written into the sortie itself."""
    if isinstance(values.get("route", object), str):
        return ()
    return values.items("route", Values)


def _gather(
    read: Callable[[Given], Read], given: Given | None, problems: list[Problem]
) -> Read | None:
    """Return what is read, or None after adding its problems to those there are."""
    if given is None:
        return None
    try:
        return read(given)
    except InputFileError as error:
        problems.extend(error.problems)
        return None


def _sortie(
    values: Values,
    aircraft: Aircraft,
    tables: tuple[Values, ...],
    folder: Path,
    here: LaunchHere | None,
) -> tuple[Sortie, tuple[tuple[str, str], ...]]:
    """Return the sortie of values read without problems, and the other files it rests on.

    Raises InputFileError when the values clash.
    """
    findings = values.spot.findings
    geoid = undulation_used(values, tables)
    values = with_true_directions(with_heights_above_sea_level(values))
    if here is not None:
        values, tables = from_here(values, tables, here, folder)
    launch_time = values.table("time").need("launch", datetime)
    place = values.table("site")
    elevation_m = place.need("elevation", StatedHeight).value_m
    launch = Plane(*place.items("launch_point", float))
    loading = loading_of(values.table("loading"), aircraft)
    told = told_of(values.table("told"), values.table("pack"), launch_time)
    limits = changed_limits(values.table("limits"))
    air = values.table("weather")
    foretold = foretold_winds(air, folder, launch, launch_time, elevation_m)
    weather = weather_of(air, launch_time, launch, elevation_m, foretold.layers)
    tables = items_above_sea_level(tables, launch)
    route = route_of(tables, values.spot.at("route"), launch)
    height_problems(tables, elevation_m)
    _report_return_path(values, aircraft, route)
    _report_record_heights(values, aircraft, elevation_m)
    extent_m = extent_around(route, place)
    ground = ground_of(place.table("ground"), folder, launch, elevation_m, extent_m)
    files = SiteFiles(folder, launch)
    rules, rule_files = profile_of(values.table("rules"), folder)
    site = None if ground is None else site_of(place, ground.ground, files, geoid)
    if tables[0].spot.findings is not findings:
        findings.problems.extend(tables[0].spot.findings.problems)
    findings.raise_if_any()
    if ground is None or site is None:
        raise TypeError("ground read without problems exists")
    sortie = Sortie(
        aircraft=aircraft,
        loading=loading,
        pack=pack_of(values.table("pack")),
        site=site,
        route=route,
        weather=weather,
        launch_time=launch_time,
        flown_by=values.get("flown_by", FlownBy) or FlownBy.ROUTE,
        seed=_seed(values),
        beyond_sight=values.table("rules").get("beyond_sight", bool) or False,
        rules=rules,
        changed_limits=(*aircraft.changed_limits, *limits),
        told=told,
    )
    return sortie, (*ground.sources, *files.sources, *foretold.sources, *rule_files)


def _seed(values: Values) -> int:
    seed = values.get("seed", int)
    return 1 if seed is None else seed


def _report_record_heights(values: Values, aircraft: Aircraft, elevation_amsl_m: float) -> None:
    """Report heights of the aircraft's record above sea level that lie too low at this site."""
    heights = {
        "pattern_height": aircraft.guidance.pattern_height,
        "return_height": aircraft.link_loss.return_height,
    }
    for key, height in heights.items():
        if height is None or height.above is not Datum.AMSL:
            continue
        above_m = height.value_m - elevation_amsl_m
        if above_m < LOWEST_FLOWN_M:
            values.spot.at("aircraft").report(
                f"{key} of {aircraft.name}, {height.value_m:.0f} m AMSL, is {above_m:.0f} m above "
                "the launch point",
                f"Write it above launch, {LOWEST_FLOWN_M:.0f} m or more.",
            )


def _report_return_path(values: Values, aircraft: Aircraft, route: Route) -> None:
    """Report points of the aircraft's way home that neither site nor route has."""
    path = aircraft.link_loss.path
    spot = values.spot.at("aircraft")
    found = values.table("site").items("diversion_points", Values)
    points = [point.need("name", str) for point in found]
    if isinstance(path, ReturnPath):
        if path is not ReturnPath.STRAIGHT and not points:
            spot.report(
                f"{aircraft.name} returns {path.value}, and [site] has none",
                "Add diversion_points to [site]: "
                '[{ name = "bend", east = "620 m", north = "-480 m" }].',
            )
        return
    names = [*points, *(item.name for item in route.items)]
    for name in path or ():
        if name not in names:
            spot.report(
                f"{aircraft.name} returns over {name}, and there is no such point",
                f"Site and route have: {', '.join(names)}.",
            )
