"""Compare a route that was fetched, or typed back, with a release, and fly what was found."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from homeleg.desk.check import CheckResult, Progress, check_read_sortie
from homeleg.desk.plain import plain_items, plane_of
from homeleg.desk.release import sortie_of_release
from homeleg.formats.columns_csv import write_columns
from homeleg.formats.comparison_json import comparison_document, document_text
from homeleg.formats.outside_file import read_outside
from homeleg.formats.outside_heights import parse_heights
from homeleg.formats.outside_route import ALTITUDE_MOVED, route_from
from homeleg.formats.release_file import is_release_text, read_release
from homeleg.formats.route_file import read_route, route_from_text
from homeleg.formats.sortie_file import SortieFiles
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.foundation.errors import InputFileError, OutOfModelError, Problem
from homeleg.foundation.units import TextError
from homeleg.release.comparison import Comparison, End, compare, pairs
from homeleg.release.difference import Danger, unlike
from homeleg.release.plain_route import Aspect, PlainItem, PlainRoute
from homeleg.release.release import Release
from homeleg.release.stored import route_of, stored_route
from homeleg.route.items import ItemKind

__all__ = [
    "Compared",
    "Consequence",
    "RowChange",
    "compare_release",
    "comparison_json",
    "flown_where_not_the_same",
    "found_route",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class RowChange:
    """A row of the verdict whose status is another one with the route that was found."""

    slug: str
    title: str
    before: str
    after: str
    cause: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Consequence:
    """What the found route would do: the word before and after, and the rows that changed.

    `not_flown` says why it could not be flown in computation; then nothing else is known.
    """

    before: str
    after: str | None
    rows: tuple[RowChange, ...]
    not_flown: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A release, how the route that was found compares, and what it would do; None where SAME."""

    release: Release
    comparison: Comparison
    consequence: Consequence | None


def compare_release(
    path: Path,
    found_at: Path,
    *,
    heights: str | None = None,
    members: int | None = None,
    progress: Progress | None = None,
) -> Compared:
    """Return how the route in a file compares with that of a release.

    Differences are flown: the checks run again on what was found, with as many members as the
    release had unless told. Raises InputFileError.
    """
    release = read_release(path)
    files = sortie_of_release(release, path)
    try:
        found = found_route(found_at, files, heights=heights)
    except InputFileError as error:
        return _two_heights(release, error)
    comparison = compare(release.route, found)
    return flown_where_not_the_same(
        release, files, found, comparison, members=members, progress=progress
    )


def _two_heights(release: Release, error: InputFileError) -> Compared:
    """Return the comparison with a file whose altitudes another program changed.

    Its items state what was released and lie elsewhere: raises the error again where that is not
    all that is wrong.
    """
    if not all(one.problem.endswith(ALTITUDE_MOVED) for one in error.problems):
        raise error
    differences = tuple(
        unlike(
            Danger.HEIGHT_REFERENCE,
            f"{one.problem[0].upper()}{one.problem[1:]}.",
            what=f"{one.where.rpartition(', ')[2]}, height",
            pair=one.problem.removesuffix(f" {ALTITUDE_MOVED}").split(", and its ", 1),
            then="Two heights for one item: which of them it would fly is not known.",
            aspect=Aspect.HEIGHT,
        )
        for one in error.problems
    )
    return Compared(
        release=release,
        comparison=Comparison(
            end=End.NOT_THE_SAME,
            differences=differences,
            unproven=(),
            rounding_m=0.0,
            remarks=(),
        ),
        consequence=Consequence(
            before=release.word, after=None, rows=(), not_flown="It holds two heights for one item."
        ),
    )


def flown_where_not_the_same(
    release: Release,
    files: SortieFiles,
    found: PlainRoute,
    comparison: Comparison,
    *,
    members: int | None = None,
    progress: Progress | None = None,
) -> Compared:
    """Return a comparison with what the route that was found would do, where it is another one."""
    consequence = None
    if comparison.end is End.NOT_THE_SAME:
        count = members or int(release.answer["members"])
        consequence = _flown(release, files, found, count, progress)
    return Compared(release=release, comparison=comparison, consequence=consequence)


def comparison_json(compared: Compared) -> str:
    """Return a comparison as JSON text."""
    release, found = compared.release, compared.consequence
    consequence = None if found is None else asdict(found)
    document = comparison_document(compared.comparison, release.code, release.digest)
    return document_text({**document, "consequence": consequence})


def found_route(path: Path, files: SortieFiles, *, heights: str | None = None) -> PlainRoute:
    """Return the route of a release, a route file, or a file of another program, as stored.

    What a person typed with more digits than a release stores is the same route. A route file in
    metres is read about the launch point of the sortie. Raises InputFileError.
    """
    found = _read_route(path, files, heights)
    return replace(route_of(stored_route(found)), untold=found.untold)


def _read_route(path: Path, files: SortieFiles, heights: str | None) -> PlainRoute:
    if path.suffix.lower() == ".csv":
        plane = plane_of(files.sortie)
        untold = frozenset({Aspect.BOUNDARY, Aspect.DIVERSIONS})
        return PlainRoute(items=plain_items(read_route(path, plane), plane), untold=untold)
    if path.suffix.lower() == ".json" and _holds_a_release(read_text_file(path)):
        return read_release(path).route
    try:
        said = None if heights is None else parse_heights(heights)
    except TextError as error:
        problem = Problem(where="--heights", problem=error.problem, remedy=error.remedy)
        raise InputFileError([problem]) from error
    return route_from(read_outside(path).found, said).route


def _holds_a_release(file: TextFile) -> bool:
    return is_release_text(file) and '"homeleg/release/' in file.text[:200]


def _flown(
    release: Release,
    files: SortieFiles,
    found: PlainRoute,
    members: int,
    progress: Progress | None,
) -> Consequence:
    if not found.items:
        return Consequence(before=release.word, after=None, rows=(), not_flown="There is no route.")
    try:
        sortie = _as_found(release, files, found)
        result = check_read_sortie(sortie, members=members, progress=progress)
    except (InputFileError, OutOfModelError) as error:
        return Consequence(before=release.word, after=None, rows=(), not_flown=str(error))
    return Consequence(
        before=release.word,
        after=result.verdict.word.value,
        rows=tuple(_changes(release.answer["rows"], result)),
    )


def _changes(before: Sequence[dict[str, Any]], result: CheckResult) -> list[RowChange]:
    """Return the rows whose status changed, in the order of the verdict."""
    statuses = {row["slug"]: row["status"] for row in before}
    return [
        RowChange(
            slug=row.limit.slug,
            title=row.limit.title,
            before=statuses[row.limit.slug],
            after=row.status.value,
            cause=row.cause,
        )
        for row in result.verdict.rows
        if statuses.get(row.limit.slug, row.status.value) != row.status.value
    ]


def _as_found(release: Release, files: SortieFiles, found: PlainRoute) -> SortieFiles:
    """Return the sortie with the route that was found; what its source cannot tell is as released.

    Raises InputFileError for a route that no sortie may have.
    """
    items = [
        _completed(right, item, found.untold, place)
        for place, (right, item) in enumerate(pairs(release.route, found), start=1)
    ]
    _refuse_what_is_not_flown(items)
    text = write_columns(replace(found, items=tuple(items))).text
    route = route_from_text(TextFile("the route found", text, ""), plane_of(files.sortie))
    sortie = files.sortie
    names = {item.name for item in route.items}
    names |= {point.name for point in sortie.site.diversion_points}
    missing = [name for name in sortie.aircraft.link_loss.named_points if name not in names]
    if missing:
        raise _refusal(f"the way home leads over {missing[0]}, which is not in it")
    return replace(files, sortie=replace(sortie, route=route))


def _completed(
    right: PlainItem | None, item: PlainItem, untold: frozenset[Aspect], place: int
) -> PlainItem:
    """Return a found item with a name, and as released in what its source cannot tell."""
    name = item.name if Aspect.NAME not in untold and item.name else f"found {place}"
    if right is None:
        return replace(item, name=name)
    fields = {
        Aspect.NAME: ("name",),
        Aspect.KIND: ("kind",),
        Aspect.HEIGHT: ("height",),
        Aspect.AIRSPEED: ("airspeed",),
        Aspect.PASSING: ("passing",),
        Aspect.ORBIT: ("radius_m", "side", "turns", "duration_s"),
        Aspect.PICTURE: ("picture",),
    }
    as_released: dict[str, Any] = {
        field: getattr(right, field)
        for aspect, names in fields.items()
        if aspect in untold
        for field in names
    }
    return replace(item, **{"name": name, **as_released})


def _refuse_what_is_not_flown(items: Sequence[PlainItem]) -> None:
    for item in items:
        if not isinstance(item.kind, ItemKind):
            raise _refusal(f"{item.name} asks for {item.kind}")
    for before, after in pairwise(items):
        place = (before.latitude_deg, before.longitude_deg)
        if place == (after.latitude_deg, after.longitude_deg) and before.kind is after.kind:
            raise _refusal(f"{after.name} lies where {before.name} does")


def _refusal(problem: str) -> InputFileError:
    remedy = "No sortie can be flown on it."
    return InputFileError([Problem(where="the route found", problem=problem, remedy=remedy)])
