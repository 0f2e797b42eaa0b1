"""Changing items of a route file; every column and every other line stays as it was written."""

import csv
import io
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from homeleg.formats.plane import Plane
from homeleg.foundation.constants import KNOT_M_S
from homeleg.foundation.heights import StatedAirspeed

__all__ = ["RouteEdit", "turned_round", "with_edit", "with_order"]

_HEIGHT_COLUMNS: tuple[str, ...] = ("height_m", "height_ft", "height", "above")
_AIRSPEED_COLUMNS: tuple[str, ...] = ("airspeed", "airspeed_m_s", "airspeed_kt")
_WITH_A_PLACE: tuple[str, ...] = ("point", "orbit")
_OF_ONE_ITEM: tuple[str, ...] = ("radius_m", "turns", "minutes", "picture")


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteEdit:
    """One change: `name` is the item, None values leave things as they are.

    A point called `new_name` is added behind the item when that is given, with its height and
    airspeed; `drop` takes the item away. Positions are metres from the launch point.
    """

    name: str
    new_name: str | None = None
    east_m: float | None = None
    north_m: float | None = None
    height_m: float | None = None
    airspeed: StatedAirspeed | None = None
    duration_s: float | None = None
    drop: bool = False


def with_edit(text: str, edit: RouteEdit, launch: Plane) -> str:
    """Return a route file with one change; raises ValueError where it cannot be made."""
    header, *rows = list(csv.reader(io.StringIO(text), skipinitialspace=True))
    header = [name.strip() for name in header]
    at = next((i for i, row in enumerate(rows) if _cell(header, row, "name") == edit.name), None)
    if at is None:
        raise ValueError(f"the route has no {edit.name}")
    if edit.drop:
        del rows[at]
        return _text(header, rows)
    cells = _placed(header, edit, launch) | _raised(header, edit)
    if edit.airspeed is not None:
        if not any(column in header for column in _AIRSPEED_COLUMNS):
            header.append("airspeed")
        cells |= _flown_at(header, edit.airspeed)
    if edit.duration_s is not None:
        cells |= {"minutes": f"{edit.duration_s / 60.0:g}"}
    if edit.new_name is None:
        rows[at] = _changed(header, rows[at], cells)
    else:
        like = _changed(
            header, rows[at], dict.fromkeys(("radius_m", "turns", "minutes", "picture"), "")
        )
        cells |= {"name": edit.new_name, "kind": "point"}
        if not (_cell(header, like, "height_m") or _cell(header, like, "height")):
            cells |= _height_before(header, rows, at)
        rows.insert(at + 1, _changed(header, like, cells))
    return _text(header, rows)


def with_order(text: str, names: Sequence[str]) -> str:
    """Return a route file with its items in another order; raises ValueError for other items."""
    header, *rows = list(csv.reader(io.StringIO(text), skipinitialspace=True))
    header = [name.strip() for name in header]
    by_name = {_cell(header, row, "name"): row for row in rows if any(row)}
    if sorted(by_name) != sorted(names):
        raise ValueError(f"the route holds {', '.join(by_name)}, not {', '.join(names)}")
    return _text(header, [by_name[name] for name in names])


def turned_round(text: str) -> str:
    """Return a route file whose points are flown in the other order, the same legs for pictures.

    Raises ValueError where there are not two of them, one after the other.
    """
    header, *rows = list(csv.reader(io.StringIO(text), skipinitialspace=True))
    header = [name.strip() for name in header]
    points = [k for k, row in enumerate(rows) if _cell(header, row, "kind") in _WITH_A_PLACE]
    first, last = (points[0], points[-1]) if points else (0, 0)
    if len(points) < 2 or points != list(range(first, last + 1)):
        raise ValueError("there are no two points one after the other to turn round")
    # A picture leg is marked at its end, which is its start now.
    marks = [_cell(header, row, "picture") for row in rows[first : last + 2]]
    turned = [*reversed(rows[first : last + 1]), *rows[last + 1 : last + 2]]
    if any(marks):
        pairs = zip(turned, reversed(marks), strict=True)
        turned = [_changed(header, row, {"picture": mark}) for row, mark in pairs]
    return _text(header, [*rows[:first], *turned, *rows[last + 2 :]])


def _placed(header: list[str], edit: RouteEdit, launch: Plane) -> dict[str, str]:
    """Return the cells of a position, in the columns that the file has."""
    if edit.east_m is None or edit.north_m is None:
        return {}
    if "east_m" in header:
        return {"east_m": f"{edit.east_m:.0f}", "north_m": f"{edit.north_m:.0f}"}
    latitude, longitude = launch.to_geographic(edit.east_m, edit.north_m)
    return {
        "latitude_deg": f"{math.degrees(latitude):.7f}",
        "longitude_deg": f"{math.degrees(longitude):.7f}",
    }


def _raised(header: list[str], edit: RouteEdit) -> dict[str, str]:
    """Return the cells of a height above launch."""
    if edit.height_m is None:
        return {}
    if "height_m" in header and "above" in header:
        return {"height_m": f"{edit.height_m:.0f}", "above": "launch"}
    if "height" in header:
        completed = "above" in header
        words = f"{edit.height_m:.0f} m" if completed else f"{edit.height_m:.0f} m above launch"
        return {"height": words, **({"above": "launch"} if completed else {})}
    raise ValueError("this file holds its heights in a way that is not changed here: edit it there")


def _flown_at(header: list[str], airspeed: StatedAirspeed) -> dict[str, str]:
    """Return the cells of an airspeed, in the column that the file has."""
    number, kind = airspeed.value_m_s, airspeed.kind.value
    column = next(one for one in _AIRSPEED_COLUMNS if one in header)
    if "airspeed_kind" in header:
        words = {"airspeed": f"{number:g} m/s", "airspeed_m_s": f"{number:.1f}"}
        words["airspeed_kt"] = f"{number / KNOT_M_S:.1f}"
        return {column: words[column], "airspeed_kind": kind}
    if column == "airspeed":
        return {column: f"{number:g} m/s {kind}"}
    raise ValueError("this file does not say which airspeeds it holds: edit them there")


def _height_before(header: list[str], rows: list[list[str]], at: int) -> dict[str, str]:
    """Return the height cells of the nearest item before that has them."""
    columns = [one for one in _HEIGHT_COLUMNS if one in header]
    for row in reversed(rows[: at + 1]):
        cells = {name: _cell(header, row, name) for name in columns}
        if any(cells.values()):
            return cells
    return {}


def _cell(header: list[str], row: list[str], name: str) -> str:
    index = header.index(name) if name in header else len(row)
    return row[index].strip() if index < len(row) else ""


def _changed(header: list[str], row: list[str], cells: Mapping[str, str]) -> list[str]:
    full = row + [""] * (len(header) - len(row))
    return [cells.get(name, cell) for name, cell in zip(header, full, strict=False)]


def _text(header: list[str], rows: list[list[str]]) -> str:
    written = io.StringIO()
    csv.writer(written, lineterminator="\n").writerows([header, *rows])
    return written.getvalue()
