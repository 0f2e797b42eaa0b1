"""Route files: `route.csv`, one item a line, units and datum in the columns.

A line is rewritten as the table of an inline item, and read by the same rules.
"""

import csv
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from homeleg.formats.ellipsoid_heights import items_above_sea_level
from homeleg.formats.findings import Findings, KeyPath, raise_problems
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Values
from homeleg.formats.route_items import ROUTE_ITEM, ROUTE_ITEMS, route_of
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.formats.wording import nearest, one_of
from homeleg.foundation.errors import Problem
from homeleg.foundation.units import shown
from homeleg.route.items import Route

__all__ = ["ROUTE_COLUMNS", "inline_item", "read_route", "route_from_text", "route_tables"]

# Column: the key of an inline item, and what is added to the cell to make it a quantity.
_MEASURED: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "east_m": ("east", " m"),
        "north_m": ("north", " m"),
        "latitude_deg": ("latitude", ""),
        "longitude_deg": ("longitude", ""),
        "height": ("height", ""),
        "height_m": ("height", " m"),
        "height_ft": ("height", " ft"),
        "airspeed": ("airspeed", ""),
        "airspeed_m_s": ("airspeed", " m/s"),
        "airspeed_kt": ("airspeed", " kt"),
        "radius_m": ("radius", " m"),
    }
)
_OTHER_SEPARATORS: Mapping[str, str] = MappingProxyType({";": "semicolons", "\t": "tabs"})
_PLAIN = ("name", "kind", "pass", "side")
_NUMBERS = ("turns", "minutes")
# Column: the key whose text it completes.
_COMPLETING: Mapping[str, str] = MappingProxyType({"above": "height", "airspeed_kind": "airspeed"})
ROUTE_COLUMNS = (*_PLAIN, *_MEASURED, *_COMPLETING, *_NUMBERS, "picture")
_YES_NO: Mapping[str, bool] = MappingProxyType(
    {"yes": True, "true": True, "no": False, "false": False}
)


def read_route(path: Path | str, launch: Plane) -> Route:
    """Return the route of a file; raises InputFileError with every problem of it."""
    return route_from_text(read_text_file(Path(path)), launch)


def route_from_text(file: TextFile, launch: Plane) -> Route:
    """Return the route of a file already read; raises InputFileError."""
    tables = items_above_sea_level(route_tables(file), launch)
    spot = tables[0].spot if tables else Findings(file.name, {}).top
    route = route_of(tables, spot, launch)
    spot.findings.raise_if_any()
    return route


def route_tables(file: TextFile) -> tuple[Values, ...]:
    """Return the items of a route file as tables; raises InputFileError."""
    header, rows = _rows(file)
    lines: dict[KeyPath, int] = {(index,): line for index, (line, _) in enumerate(rows)}
    columns = {_MEASURED[name][0] if name in _MEASURED else name: name for name in header}
    findings = Findings(file.name, lines, columns=columns)
    if len(rows) < ROUTE_ITEMS.shortest:
        findings.top.report("holds no route", "Give at least a take-off and a landing.")
    tables = [
        ROUTE_ITEM.read(inline_item(cells), findings.top.at(index))
        for index, (_, cells) in enumerate(rows)
    ]
    findings.raise_if_any()
    return tuple(table for table in tables if table is not None)


def _rows(file: TextFile) -> tuple[list[str], list[tuple[int, dict[str, str]]]]:
    """Return the header, and each line that holds something: its number, its cells by column."""
    first, *others = file.text.splitlines()
    problems: list[Problem] = []
    header = _cells_of_line(first, f"{file.name}, line 1", problems)
    # Under a wrong header every line would be wrong too: the header comes first.
    problems = problems or _header_problems(header, f"{file.name}, line 1")
    raise_problems(problems)
    read = [
        (number, _cells_of_line(line, f"{file.name}, line {number}", problems))
        for number, line in enumerate(others, start=2)
    ]
    lines = [(number, cells) for number, cells in read if any(cells)]
    problems += [
        Problem(
            where=f"{file.name}, line {line}",
            problem=f"has {len(cells)} cells under {len(header)} columns",
            remedy="Put a text that holds a comma in quotes.",
        )
        for line, cells in lines
        if len(cells) > len(header)
    ]
    raise_problems(problems)
    return header, [(line, _cells(header, cells)) for line, cells in lines]


def _cells_of_line(line: str, where: str, problems: list[Problem]) -> list[str]:
    """Return the cells of a line, after reporting one that goes on into the next line."""
    reader = csv.reader([line, ""], skipinitialspace=True)
    cells = [cell.strip() for cell in next(reader)]
    if reader.line_num > 1:
        problem = "a quote is opened here and not closed"
        problems.append(Problem(where=where, problem=problem, remedy="Close it, or take it out."))
    return cells


def _header_problems(header: list[str], where: str) -> list[Problem]:
    separators = [name for letter, name in _OTHER_SEPARATORS.items() if letter in "".join(header)]
    if separators:
        return [
            Problem(
                where=where,
                problem=f"the columns are separated by {separators[0]}",
                remedy="Use commas between columns, and points in numbers.",
            )
        ]
    keys = [_MEASURED[name][0] if name in _MEASURED else name for name in header]
    wrong = [
        (f"{shown(name)} is not a column{nearest(name, ROUTE_COLUMNS)}", one_of(ROUTE_COLUMNS))
        for name in header
        if name not in ROUTE_COLUMNS
    ]
    wrong += [
        (f"more than one column gives {shown(key)}", "Keep one of them.")
        for key in sorted({key for key in keys if keys.count(key) > 1})
    ]
    wrong += [
        (f"there is no column {shown(name)}", "Add it.")
        for name in ("name", "kind")
        if name not in header
    ]
    return [Problem(where=where, problem=problem, remedy=remedy) for problem, remedy in wrong]


def _cells(header: list[str], cells: list[str]) -> dict[str, str]:
    return {name: cell for name, cell in zip(header, cells, strict=False) if cell}


def inline_item(row: Mapping[str, str]) -> dict[str, object]:
    """Return a line as the table of an inline item."""
    item: dict[str, object] = {key: row[key] for key in _PLAIN if key in row}
    for column, (key, unit) in _MEASURED.items():
        if column in row:
            item[key] = row[column] + unit
    for column, key in _COMPLETING.items():
        if column in row and key in item:
            word = "above launch" if row[column] == "launch" else row[column]
            item[key] = f"{item[key]} {word}"
    for key in _NUMBERS:
        if key in row:
            item[key] = _number_or_text(row[key])
    if "picture" in row:
        item["picture"] = _YES_NO.get(row["picture"].lower(), row["picture"])
    return item


def _number_or_text(cell: str) -> float | str:
    """Return a number, or the cell as it stands for the reader to refuse."""
    try:
        return float(cell)
    except ValueError:
        return cell
