"""Where to look for an aircraft that did not come back, from where it was seen last."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from homeleg.briefing.palette import BLACK_ON_WHITE
from homeleg.briefing.paper import PaperSize
from homeleg.briefing.search_map import search_map
from homeleg.briefing.search_sheet import SearchSheet, search_pdf, spot_line
from homeleg.desk.check import Progress
from homeleg.desk.field_release import PAPERS
from homeleg.desk.plain import plane_of
from homeleg.desk.release import sortie_of_release
from homeleg.desk.search_words import Known, area_words, kept_words, notes, seen_words, spot
from homeleg.flight.ensemble import fly
from homeleg.formats.day_and_time import time_after
from homeleg.formats.plane import Plane
from homeleg.formats.release_file import read_release
from homeleg.formats.search_kml import DegreesArea, NamedPlace, Ring, search_kml
from homeleg.formats.text_file import write_new_text, write_whole
from homeleg.foundation.errors import InputFileError, Problem, RefusedError
from homeleg.foundation.stated_text import parse_place
from homeleg.foundation.units import TextError
from homeleg.release.release import Release
from homeleg.sortie.planning import height_above_launch
from homeleg.sortie.resolve import resolve
from homeleg.sortie.resolved import ResolvedSortie
from homeleg.verdict.wording import clock
from homeleg.way_home.last_seen import End, LastSeen, ends_of, height_as_planned
from homeleg.way_home.search_squares import Area, area_of, looks, search_squares
from homeleg.world.ground import ground_height

__all__ = [
    "ENDS",
    "Searched",
    "SearchedWithPapers",
    "Sighting",
    "search",
    "search_with_papers",
    "write_search",
]

# What each way of coming down is called where one is chosen.
ENDS = {"gliding": End.GLIDE, "circling": End.SPIRAL, "home": End.HOME}
_MEMBERS = 512
_MOST_SPOTS = 8
_SEED = 1
_LONGEST_S = 6.0 * 3600.0
_HIGHEST_M = 3000.0
# Nobody gets as far as this: so much faster than planned, and so far off. Ours.
_SPEED_MARGIN, _PLACE_MARGIN_M = 1.5, 300.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """What a person says of it, as typed: where it was last and when; the launch; how it went.

    `only` names the ways of coming down that are kept, by ENDS; none: all of them.
    """

    place: str
    at: str
    launched: str | None = None
    only: Sequence[str] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Searched:
    """Where to look: the page in words, and the areas as the text of a KML file."""

    sheet: SearchSheet
    kml: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchedWithPapers:
    """Where to look, and the page to walk with as PDF, by the size of its paper."""

    found: Searched
    papers: dict[str, bytes]


def search(path: Path, sighting: Sighting, *, progress: Progress | None = None) -> Searched:
    """Return where the aircraft of a release may lie, in the wind and over the ground released.

    Raises InputFileError for a sighting that cannot be, RefusedError where all that is kept ends at
    the landing point.
    """
    release = read_release(path)
    typed = _read(sighting, release)
    sortie = sortie_of_release(release, path).sortie
    resolved, plane = resolve(sortie), plane_of(sortie)
    place_m, height_m = _placed(resolved, typed, plane)
    tell = progress or (lambda _words, _share: None)
    flown = fly(
        resolved,
        resolved.departures[0],
        _MEMBERS,
        sortie.seed,
        lambda share: tell("flying", share),
    )
    if height_m is None:
        height_m = height_as_planned(flown, typed.after_s)
    seen = LastSeen(east_m=place_m[0], north_m=place_m[1], height_m=height_m, after_s=typed.after_s)
    tell("coming down", 0.0)
    kept = [ENDS[name] for name in sighting.only] or list(End)
    ends = ends_of(flown, seen, kept, _SEED)
    if not ends.weight.size:
        problem = f"all {_MEMBERS} computed flights home land at the landing point"
        remedy = "Look there. If it is not there, leave out --only home."
        raise RefusedError([Problem(where="--only", problem=problem, remedy=remedy)])
    squares = search_squares(ends.east_m, ends.north_m, ends.weight)
    most, half = area_of(squares, 0.9), area_of(squares, 0.5)
    found = looks(squares, _MOST_SPOTS)
    spots = tuple(spot(number, look, plane) for number, look in enumerate(found, start=1))
    sheet = SearchSheet(
        name=sortie.aircraft.name,
        code=release.code,
        seen=seen_words(typed, seen, plane),
        kept=kept_words(ends, _MEMBERS),
        area=area_words(most, half),
        spots=spots,
        around=1.5 * squares.side_m,
        notes=notes(typed, release, ends),
        picture=search_map(most, half, found, place_m, BLACK_ON_WHITE),
    )
    return Searched(sheet=sheet, kml=_kml(sheet, typed, most, half, plane))


def search_with_papers(
    path: Path, sighting: Sighting, *, progress: Progress | None = None
) -> SearchedWithPapers:
    """Return what `search` does, with its page on every paper."""
    found = search(path, sighting, progress=progress)
    papers = {name: search_pdf(found.sheet, PaperSize[name.upper()]) for name in PAPERS}
    return SearchedWithPapers(found=found, papers=papers)


def write_search(
    found: Searched, kml: Path | None, page: Path | None, *, sheet: str = "A4"
) -> None:
    """Write the areas as KML and the page as PDF where files are named; `sheet` A4 or Letter.

    Raises InputFileError where a file is there already or cannot be written.
    """
    if kml is not None:
        write_new_text(kml, found.kml)
    if page is not None:
        write_whole(page, search_pdf(found.sheet, PaperSize[sheet.upper()]))


def _read(sighting: Sighting, release: Release) -> Known:
    """Return what was typed, all that is wrong with it in one error."""
    problems: list[Problem] = []
    launched, at, place = release.launch_time, None, None
    try:
        if sighting.launched is not None:
            launched = time_after(sighting.launched, launched.replace(hour=0, minute=0, second=0))
    except TextError as error:
        problems.append(_problem("--launched", error))
    try:
        at = time_after(sighting.at, launched)
    except TextError as error:
        problems.append(_problem("--at", error))
    try:
        place = parse_place(sighting.place)
    except TextError as error:
        problems.append(_problem("--last-seen", error))
    after_s = 0.0 if at is None else (at - launched).total_seconds()
    if at is not None and not problems and not 1.0 <= after_s <= _LONGEST_S:
        when = "before" if after_s < 1.0 else "more than six hours after"
        problem = f"{at:%Y-%m-%d %H:%M:%S}Z is {when} the launch at {launched:%Y-%m-%d %H:%M:%S}Z"
        remedy = "Give the time it was seen last, and --launched if it left at another time."
        problems.append(Problem(where="--at", problem=problem, remedy=remedy))
    if problems or at is None or place is None:
        raise InputFileError(problems)
    return Known(place=place, at=at, launched=launched, after_s=after_s)


def _problem(where: str, error: TextError) -> Problem:
    return Problem(where=where, problem=error.problem, remedy=error.remedy)


def _placed(
    resolved: ResolvedSortie, typed: Known, plane: Plane
) -> tuple[tuple[float, float], float | None]:
    """Return where it was, and how high where told; raises InputFileError for what cannot be."""
    east_m, north_m = plane.to_plane(typed.place.latitude_rad, typed.place.longitude_rad)
    wind_m_s = float(resolved.wind.speeds_m_s.max() + 2.0 * resolved.wind.speed_sds_m_s.max())
    cruise_m_s = resolved.speeds.cruise_eas_m_s * resolved.tas_per_eas
    farthest_m = _SPEED_MARGIN * (cruise_m_s + wind_m_s) * typed.after_s + _PLACE_MARGIN_M
    away_m = math.hypot(east_m, north_m)
    if away_m > farthest_m:
        problem = (
            f"this is {away_m / 1000.0:.1f} km from the launch point, {clock(typed.after_s)} after "
            f"launch: it gets {farthest_m / 1000.0:.1f} km at most"
        )
        remedy = "Check place and time. Latitude comes first; west and south have their letter."
        raise InputFileError([Problem(where="--last-seen", problem=problem, remedy=remedy)])
    if typed.place.height is None:
        return (east_m, north_m), None
    ground_m = float(ground_height(resolved.surface, east_m, north_m))
    elevation_m = resolved.sortie.site.elevation_amsl_m
    height_m = height_above_launch(typed.place.height, elevation_m, ground_m, "--last-seen")
    if not (0.0 if math.isnan(ground_m) else ground_m) <= height_m <= _HIGHEST_M:
        level = "above 3000 m" if height_m > _HIGHEST_M else "below the ground there"
        problem = f"{height_m:.0f} m above launch is {level}"
        remedy = "Check what the height is above: launch, AGL or AMSL; or leave it out."
        raise InputFileError([Problem(where="--last-seen", problem=problem, remedy=remedy)])
    return (east_m, north_m), height_m


def _kml(sheet: SearchSheet, typed: Known, most: Area, half: Area, plane: Plane) -> str:
    places = [
        NamedPlace(
            name=f"{spot.number}",
            words=", ".join(spot_line(spot)[:3]) + " from the launch point",
            latitude_deg=spot.latitude_deg,
            longitude_deg=spot.longitude_deg,
        )
        for spot in sheet.spots
    ]
    degrees = (math.degrees(plane.latitude_rad), math.degrees(plane.longitude_rad))
    seen = (math.degrees(typed.place.latitude_rad), math.degrees(typed.place.longitude_rad))
    for name, words, (latitude_deg, longitude_deg) in (
        ("last seen", sheet.seen, seen),
        ("launch point", sheet.code, degrees),
    ):
        places.append(
            NamedPlace(
                name=name, words=words, latitude_deg=latitude_deg, longitude_deg=longitude_deg
            )
        )
    areas = [
        _degrees_area("nine in ten", "most", most, plane),
        _degrees_area("five in ten", "half", half, plane),
    ]
    return search_kml(f"Where to look: {sheet.name}, release {sheet.code}", areas, places)


def _degrees_area(name: str, style: str, area: Area, plane: Plane) -> DegreesArea:
    def ring(outline: Sequence[tuple[float, float]]) -> Ring:
        corners = (plane.to_geographic(*corner) for corner in outline)
        return tuple((math.degrees(north), math.degrees(east)) for north, east in corners)

    return DegreesArea(
        name=name,
        style=style,
        outlines=tuple(
            (ring(outer), tuple(ring(hole) for hole in holes)) for outer, holes in area.outlines
        ),
    )
