"""CSV from outside: one place a line, its columns named by whoever brings it; routes written.

There is no standard of units or datum: a column is read only under a name of ours, which says
the unit, and a height whose datum no column says is asked about.
"""

import csv
import io

from homeleg.formats.features import Feature, Features, Vertex
from homeleg.formats.findings import Findings, KeyPath, Spot
from homeleg.formats.plain_shapes import ShapeKind, Written, beside
from homeleg.formats.route_cells import cells_of
from homeleg.formats.route_file import ROUTE_COLUMNS
from homeleg.formats.toml_text import TextFile
from homeleg.formats.wording import nearest, one_of
from homeleg.foundation.constants import FOOT_M
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import TextError, parse_number, shown
from homeleg.release.plain_route import PlainRoute

__all__ = ["parse_columns", "read_columns", "write_columns"]

_PLACE = ("latitude_deg", "longitude_deg")
_ON_PLANE = ("east_m", "north_m")
_READABLE = tuple(column for column in ROUTE_COLUMNS if column not in _ON_PLANE)
_HEIGHTS_M = {"height_m": 1.0, "height_ft": FOOT_M}
_DOUBT = "no column says what the heights are above"


def parse_columns(text: str) -> dict[str, str]:
    """Return the file's own column for each of ours, of "name=Point, height_m=Alt".

    Raises TextError.
    """
    columns: dict[str, str] = {}
    for part in text.split(","):
        ours, equals, theirs = (word.strip() for word in part.partition("="))
        example = 'Write it as "name=Point, latitude_deg=Lat, longitude_deg=Lon, height_m=Alt".'
        if not equals or not theirs:
            raise TextError(f"{shown(part)} does not say which column is which", example)
        if ours not in _READABLE:
            problem = f"{shown(ours)} is not a column of ours{nearest(ours, _READABLE)}"
            raise TextError(problem, one_of(_READABLE))
        if ours in columns:
            raise TextError(f"{ours} is given twice", example)
        columns[ours] = theirs
    return columns


def read_columns(file: TextFile, columns: dict[str, str] | None = None) -> Features:
    """Return the places of a CSV file, by columns of ours or as `columns` tells.

    Problems stand in its findings; raises InputFileError when the columns cannot be told.
    """
    header, *rows = _rows(file)
    names = columns or {name: name for name in header if name in _READABLE}
    _refuse_header(file.name, header, names)
    wanted = {header.index(theirs): ours for ours, theirs in names.items()}
    lines: dict[KeyPath, int] = {(index,): index + 2 for index in range(len(rows))}
    findings = Findings(file.name, lines, columns=names)
    features = []
    for index, row in enumerate(rows):
        if not any(cell.strip() for cell in row):
            continue
        if any(cell.strip() for cell in row[len(header) :]):
            problem = f"has {len(row)} cells under {len(header)} columns"
            findings.top.at(index).report(problem, "Put a cell that holds a comma into quotes.")
        cells = {wanted[i]: cell.strip() for i, cell in enumerate(row) if i in wanted}
        feature = _feature({k: cell for k, cell in cells.items() if cell}, findings.top.at(index))
        features += [] if feature is None else [feature]
    passed = [name for name in header if name not in names.values()]
    lost = [f"columns {', '.join(passed)}"] if passed else []
    return Features(findings=findings, features=tuple(features), lost=tuple(lost))


def _rows(file: TextFile) -> list[list[str]]:
    lines = file.text.splitlines()
    if not lines[0].strip():
        raise _refusal(f"{file.name}, line 1", "is empty", "Write the names of the columns there.")
    separator = max(",;\t", key=lines[0].count)
    try:
        return list(csv.reader(lines, delimiter=separator, skipinitialspace=True, strict=True))
    except csv.Error as error:
        problem = f"is not a table: {error}"
        raise _refusal(file.name, problem, "Close every quote, or take it out.") from error


def _refuse_header(name: str, header: list[str], names: dict[str, str]) -> None:
    """Raise InputFileError where a column that is needed or named is not there, or there twice."""
    missing = [shown(theirs) for theirs in names.values() if theirs not in header]
    twice = [shown(theirs) for theirs in names.values() if header.count(theirs) > 1]
    where, there = f"{name}, line 1", f"The columns are: {', '.join(header)[:400]}."
    if missing or twice:
        problem = f"has no column {missing[0]}" if missing else f"has two columns {twice[0]}"
        raise _refusal(where, problem, there)
    if lacking := [column for column in _PLACE if column not in names]:
        raise _refusal(
            where,
            f"no column is known as {' or '.join(lacking)}",
            f'Say which is which: --columns "{lacking[0]}=...". {there}',
        )
    if "height_m" in names and "height_ft" in names:
        raise _refusal(where, "gives the height twice, in m and in ft", "Name one of them.")


def _feature(cells: dict[str, str], spot: Spot) -> Feature | None:
    """Return the place of a line; a height without a datum is kept apart from what is stated."""
    numbers: dict[str, float] = {}
    bare = [] if "above" in cells else [column for column in _HEIGHTS_M if column in cells]
    for column in (*_PLACE, *bare):
        try:
            numbers[column] = parse_number(cells.pop(column, ""))
        except TextError as error:
            spot.at(column).report_text(error)
            return None
    return Feature(
        shape=ShapeKind.POINT,
        spot=spot,
        vertices=(
            Vertex(
                latitude_deg=numbers["latitude_deg"],
                longitude_deg=numbers["longitude_deg"],
                height_m=numbers[bare[0]] * _HEIGHTS_M[bare[0]] if bare else None,
            ),
        ),
        name=cells.get("name", ""),
        cells=cells,
        doubt=_DOUBT,
    )


def write_columns(route: PlainRoute, _: str = "") -> Written:
    """Return the items of a route as `route.csv`, by latitude and longitude; it has no name."""
    rows = [
        {
            **cells_of(item),
            "latitude_deg": f"{item.latitude_deg:.8f}",
            "longitude_deg": f"{item.longitude_deg:.8f}",
        }
        for item in route.items
    ]
    header = [column for column in ROUTE_COLUMNS if any(column in row for row in rows)]
    stream = io.StringIO()
    writer = csv.DictWriter(stream, header, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    losses = tuple(
        f"the {shape.about}"
        if shape.name in ("", shape.about)
        else f"the {shape.about} {shape.name}"
        for shape in beside(route)
    )
    return Written(text=stream.getvalue(), losses=losses)


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
