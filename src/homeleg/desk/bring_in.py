"""Bring a route or ground from another program into files of ours, and say what was left behind."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from homeleg.formats.columns_csv import parse_columns, write_columns
from homeleg.formats.features import Features
from homeleg.formats.geojson import write_geojson_shapes
from homeleg.formats.outside_file import read_outside
from homeleg.formats.outside_heights import NO_HEIGHT, Heights, parse_heights
from homeleg.formats.outside_obstacles import obstacles_from
from homeleg.formats.outside_route import RouteFound, only_named, route_from
from homeleg.formats.outside_shapes import (
    ShapesFound,
    areas_from,
    why_no_boundary,
)
from homeleg.formats.text_file import refuse_taken, write_new_text
from homeleg.foundation.counted import counted
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.heights import Datum
from homeleg.foundation.units import TextError
from homeleg.release.plain_route import PlainItem
from homeleg.route.items import ItemKind
from homeleg.world.site import KeepOutKind

__all__ = ["BroughtIn", "HeightsAskedError", "Purpose", "bring_in"]

Said = TypeVar("Said")

_ENDS = (ItemKind.LAND, ItemKind.HAND_OVER)


class HeightsAskedError(InputFileError):
    """Heights mean nothing until a person says what they are above."""


class Purpose(Enum):
    """What a file from outside is wanted for."""

    ROUTE = "route"
    BOUNDARY = "boundary"
    KEEP_OUT = "keep-out"
    COME_DOWN = "come-down"
    OBSTACLES = "obstacles"


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtIn:
    """What was written: how much, what was changed, what was left behind, and where it goes."""

    count: str
    changed: tuple[str, ...]
    lost: tuple[str, ...]
    next_step: str


_KEYS: Mapping[Purpose, str] = MappingProxyType(
    {
        Purpose.ROUTE: 'route = "{}"',
        Purpose.BOUNDARY: '[site] boundary = {{ file = "{}", top = "..." }}, with how high one may '
        'fly: "118 m above launch"',
        Purpose.KEEP_OUT: '[site] keep_out = [{{ file = "{}", kind = "..." }}], with what it is: '
        f"{', '.join(kind.value for kind in KeepOutKind)}",
        Purpose.COME_DOWN: '[site] come_down = ["{}"]',
        Purpose.OBSTACLES: '[site] obstacle = ["{}"]',
    }
)


def bring_in(
    source: Path,
    target: Path,
    purpose: Purpose,
    *,
    heights: str | None = None,
    columns: str | None = None,
    only: str | None = None,
) -> BroughtIn:
    """Write `target`, a new file, from the file of another program.

    Raises InputFileError with every problem, and where only a person can say what heights are
    above; then nothing is written.
    """
    refuse_taken(target)
    said = _option("--heights", heights, parse_heights)
    found = read_outside(source, _option("--columns", columns, parse_columns)).found
    found = found if only is None else only_named(found, only)
    if purpose is Purpose.ROUTE:
        route = route_from(found, said)
        _ask_heights(source.name, route)
        text, changed, lost = _route_text(route)
        count = counted(len(route.route.items), "item")
    else:
        ground = _ground(source.name, found, purpose, said)
        text = write_geojson_shapes(ground.shapes, source.stem).text
        count = counted(len(ground.shapes), "shape")
        changed, lost = ground.changed, ground.lost
    write_new_text(target, text)
    next_step = f"In the sortie: {_KEYS[purpose].format(target.name)}"
    return BroughtIn(count=count, changed=changed, lost=lost, next_step=next_step)


def _option(name: str, text: str | None, parse: Callable[[str], Said]) -> Said | None:
    if text is None:
        return None
    try:
        return parse(text)
    except TextError as error:
        raise _refusal(name, error.problem, error.remedy) from error


def _ground(name: str, found: Features, purpose: Purpose, said: Heights) -> ShapesFound:
    """Return the ground that is wanted; raises InputFileError where this file does not draw it."""
    if purpose is Purpose.OBSTACLES:
        ground = obstacles_from(found, said)
        _ask_heights_above_ground(name, ground)
        return ground
    ground = areas_from(found, said)
    if purpose is Purpose.BOUNDARY and (
        refused := why_no_boundary(ground.shapes, '--only "its name"')
    ):
        raise _refusal(name, *refused)
    islands = sum(shape.holes for shape in ground.shapes)
    if islands and purpose is Purpose.COME_DOWN:
        problem = f"holds {counted(islands, 'island')} where it must not come down"
        raise _refusal(name, problem, "Draw the areas between them, without islands.")
    if islands:
        told = f"islands in the ground ({islands}) count as part of it"
        return replace(ground, changed=(*ground.changed, told))
    return ground


def _ask_heights(name: str, found: RouteFound) -> None:
    """Raise InputFileError where items have no height, and say which option answers."""
    items = found.route.items
    asked = [
        why
        for item, why in zip(items, found.no_heights, strict=True)
        if item.height is None and item.kind not in _ENDS
    ]
    if asked:
        remedy = 'Give all one height: --heights "80 m above launch".'
        if any(why != NO_HEIGHT for why in asked):
            remedy = (
                'Say what the heights are above: --heights "AMSL", "AGL", "above launch" or '
                '"ellipsoid"; or give all one height: --heights "80 m above launch".'
            )
        few = f"{len(asked)} of {counted(len(items), 'item')}"
        problem = f"{few} without a height: {asked[0]}"
        raise HeightsAskedError([Problem(where=name, problem=problem, remedy=remedy)])


def _ask_heights_above_ground(name: str, ground: ShapesFound) -> None:
    for shape in ground.shapes:
        if shape.height is None or shape.height.above is not Datum.AGL:
            why = shape.no_height if shape.height is None else f"it is {shape.height.above.value}"
            what = shape.name or "an obstacle"
            problem = f"the height of {what} above the ground is not known: {why}"
            remedy = 'Say so if the heights are above the ground: --heights "AGL".'
            if shape.no_height == NO_HEIGHT:
                remedy = 'Say how high it stands: --heights "12 m AGL".'
            raise HeightsAskedError([Problem(where=name, problem=problem, remedy=remedy)])


def _route_text(found: RouteFound) -> tuple[str, tuple[str, ...], tuple[str, ...]]:
    """Return a route file, what was changed, and what was left behind.

    It takes off and lands at the launch point where it does not say so itself.
    """
    changed, lost = [], list(found.lost)
    items = _with_names_of_their_own(found.route.items)
    if items != found.route.items:
        changed.append("names that stood there twice have numbers behind them")
    kinds = sorted({item.kind for item in items if isinstance(item.kind, str)})
    if kinds:
        items = tuple(replace(i, kind=ItemKind.POINT if i.kind in kinds else i.kind) for i in items)
        lost.append(f"what items ask for: {', '.join(kinds)}; they are points now")
    lines = write_columns(replace(found.route, items=items)).text.splitlines()
    if items[0].kind is not ItemKind.TAKEOFF:
        lines.insert(1, "takeoff,takeoff")
        changed.append("it takes off at the launch point")
    if items[-1].kind not in _ENDS:
        lines.append("land,land")
        changed.append("it lands at the launch point")
    return "\n".join(lines) + "\n", tuple(changed), tuple(lost)


def _with_names_of_their_own(items: tuple[PlainItem, ...]) -> tuple[PlainItem, ...]:
    taken: set[str] = set()
    named = []
    for item in items:
        name, number = item.name, 2
        while name in taken:
            name, number = f"{item.name} {number}", number + 1
        taken.add(name)
        named.append(replace(item, name=name))
    return tuple(named)


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
