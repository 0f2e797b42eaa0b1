"""Route files: `route.csv`, one item a line, units and datum in the columns.

A line is rewritten as the table of an inline item, and read by the same rules.
"""

import csv
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from homeleg.formats.findings import Findings, Spot
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Values
from homeleg.formats.route_items import ROUTE_ITEM, ROUTE_ITEMS, route_of
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.formats.wording import nearest, one_of
from homeleg.foundation.units import shown
from homeleg.route.items import Route

__all__ = ["ROUTE_COLUMNS", "read_route", "route_tables"]

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
    file = read_text_file(Path(path))
    tables = route_tables(file)
    spot = tables[0].spot if tables else Findings(file.name, {}).top
    route = route_of(tables, spot, launch)
    spot.findings.raise_if_any()
    return route


def route_tables(file: TextFile) -> tuple[Values, ...]:
    """Return the items of a route file as tables; raises InputFileError."""
    rows = _rows(file)
    findings = Findings(file.name, {(index,): line for index, (line, _) in enumerate(rows)})
    if len(rows) < ROUTE_ITEMS.shortest:
        findings.top.report("holds no route", "Give at least a take-off and a landing.")
    tables = [
        ROUTE_ITEM.read(_inline(row, findings.top.at(index)), findings.top.at(index))
        for index, (_, row) in enumerate(rows)
    ]
    findings.raise_if_any()
    return tuple(table for table in tables if table is not None)


def _rows(file: TextFile) -> list[tuple[int, dict[str, str]]]:
    """Return each line that holds something, with its number, as cells by column."""
    findings = Findings(file.name, {("header",): 1})
    reader = csv.reader(file.text.splitlines(), skipinitialspace=True)
    rows: list[tuple[int, dict[str, str]]] = []
    try:
        header = [name.strip() for name in next(reader)]
        _report_header(header, findings.top.at("header"))
        for cells in reader:
            if any(cell.strip() for cell in cells):
                spot = Findings(file.name, {("line",): reader.line_num}, findings.problems)
                rows.append((reader.line_num, _cells(header, cells, spot.top.at("line"))))
    except csv.Error as error:
        findings.top.report(f"is not a table: {error}", "Write one item a line.")
    findings.raise_if_any()
    return rows


def _report_header(header: list[str], spot: Spot) -> None:
    for name in header:
        if name not in ROUTE_COLUMNS:
            spot.report(
                f"{shown(name)} is not a column{nearest(name, ROUTE_COLUMNS)}",
                one_of(ROUTE_COLUMNS),
            )
    keys = [_MEASURED[name][0] if name in _MEASURED else name for name in header]
    for key in sorted({key for key in keys if keys.count(key) > 1}):
        spot.report(f"more than one column gives {shown(key)}", "Keep one of them.")
    for name in ("name", "kind"):
        if name not in header:
            spot.report(f"there is no column {shown(name)}", "Add it.")


def _cells(header: list[str], cells: list[str], spot: Spot) -> dict[str, str]:
    if len(cells) > len(header):
        spot.report(
            f"has {len(cells)} cells under {len(header)} columns",
            "Put a text that holds a comma in quotes.",
        )
    return {name: cell.strip() for name, cell in zip(header, cells, strict=False) if cell.strip()}


def _inline(row: Mapping[str, str], spot: Spot) -> dict[str, object]:
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
