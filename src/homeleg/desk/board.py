"""The board of a sortie: what lies around the launch point in metres, and changes of its route."""

import math
from collections.abc import Mapping
from pathlib import Path

from homeleg.desk.plain import plane_of
from homeleg.desk.relief import relief_of
from homeleg.desk.route_shapes import SHAPES, shape_text
from homeleg.formats.route_edit import RouteEdit, with_edit
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.text_file import write_text
from homeleg.formats.toml_text import parse_toml, read_text_file
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.heights import Datum
from homeleg.route.items import RouteItem
from homeleg.sortie.sortie import Sortie
from homeleg.world.wind import combined_wind

__all__ = ["RouteEdit", "as_of", "board_of", "change_route", "stamp_route"]

_DIGITS = 12
_ON_THE_GROUND = ("takeoff", "land")


def board_of(path: Path) -> dict[str, object]:
    """Return what a board shows, as plain values: metres east and north, degrees true."""
    files = read_sortie(path)
    sortie = files.sortie
    site = sortie.site
    boundary = site.boundary.vertices_m if site.boundary is not None else ()
    return {
        "wind_from_deg": math.degrees(_wind_from_rad(sortie)) % 360.0,
        "wind_m_s": float(combined_wind(sortie.weather, sortie.launch_time).speeds_m_s[0]),
        "items": [_item(item) for item in sortie.route.items],
        "boundary": [list(corner) for corner in boundary],
        "keep_out": [
            {"name": one.name, "kind": one.kind.value, "corners": [list(v) for v in one.vertices_m]}
            for one in site.keep_out
        ],
        "come_down": [
            {"name": one.name, "east": one.east_m, "north": one.north_m, "radius": one.radius_m}
            for one in site.come_down
        ],
        "pilot": list(site.pilot_m),
        "editable": _route_path(path) is not None,
        "relief": _relief(path),
        "as_of": as_of(files.sources),
    }


def _relief(path: Path) -> dict[str, object] | None:
    relief = relief_of(path)
    if relief is None:
        return None
    corners = [list(corner) for corner in relief.corners_m]
    return {"columns": relief.columns, "rows": relief.rows, "corners": corners}


def as_of(sources: tuple[tuple[str, str], ...]) -> str:
    """Return what stands for the files that something was made from (name, SHA-256)."""
    return "-".join(digest[:_DIGITS] for _, digest in sources)


def change_route(path: Path, edit: RouteEdit) -> None:
    """Make one change to the route of a sortie; raises InputFileError, and nothing is changed."""
    sortie = read_sortie(path).sortie
    route = _editable(path)
    text = read_text_file(route).text
    try:
        changed = with_edit(text, edit, plane_of(sortie))
    except ValueError as error:
        raise _refusal(route.name, str(error)) from error
    _write_tried(path, route, text, changed)


def stamp_route(path: Path, shape: str, size_m: float) -> None:
    """Put a shape in place of the route; raises InputFileError, and nothing is changed."""
    if shape not in SHAPES:
        raise _refusal(shape, "there is no such shape", f"There are: {', '.join(SHAPES)}.")
    sortie = read_sortie(path).sortie
    route = _editable(path)
    text = read_text_file(route).text
    _write_tried(path, route, text, shape_text(shape, _wind_from_rad(sortie), size_m))


def _write_tried(path: Path, route: Path, before: str, after: str) -> None:
    """Write the route and read the sortie again; put the old route back where that is refused."""
    write_text(route, after)
    try:
        read_sortie(path)
    except InputFileError:
        write_text(route, before)
        raise


def _wind_from_rad(sortie: Sortie) -> float:
    return float(combined_wind(sortie.weather, sortie.launch_time).from_true_rad[0])


def _item(item: RouteItem) -> Mapping[str, object]:
    height = item.height
    return {
        "name": item.name,
        "kind": item.kind.value,
        "east": item.east_m,
        "north": item.north_m,
        "height": None if height is None else height.value_m,
        "above": None if height is None else height.above.value,
        "by_launch": height is not None and height.above is Datum.ABOVE_LAUNCH,
        "radius": item.radius_m or 0.0,
        "movable": item.kind.value not in _ON_THE_GROUND,
    }


def _route_path(path: Path) -> Path | None:
    """Return the route's own file; None where the route stands in the sortie itself."""
    named = parse_toml(read_text_file(path)).get("route")
    return path.parent / named if isinstance(named, str) else None


def _editable(path: Path) -> Path:
    route = _route_path(path)
    if route is None:
        raise _refusal(path.name, "its route stands in the sortie's file", "Change it there.")
    return route


def _refusal(
    where: str, problem: str, remedy: str = "The route was left as it is."
) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
