"""Winds at heights as CSV: height, what it is above, speed, and where it blows from.

Columns: `height_m` or `height_ft`, `above`, `speed_m_s` or `speed_kt`, `from_deg`.

Optional: `sd_m_s` or `sd_kt`, `direction_sd_deg`, `seen`. Directions are true, where it blows from.
"""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from homeleg.formats.toml_text import TextFile
from homeleg.formats.wording import nearest, one_of
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.units import shown

__all__ = ["WIND_COLUMNS", "CsvLayers", "csv_layers"]

# Column: the key of a layer, and the unit behind the cell.
_KEYS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "height_m": ("at", " m"),
        "height_ft": ("at", " ft"),
        "speed_m_s": ("value", " m/s"),
        "speed_kt": ("value", " kt"),
        "sd_m_s": ("sd", " m/s"),
        "sd_kt": ("sd", " kt"),
        "direction_sd_deg": ("direction_sd", " deg"),
        "seen": ("seen", ""),
    }
)
_COMPLETING = ("above", "from_deg")
WIND_COLUMNS = (*_KEYS, *_COMPLETING)


@dataclass(frozen=True, slots=True)
class CsvLayers:
    """Each line's number and its layer, and the columns that each key of a layer is from."""

    layers: list[tuple[int, dict[str, str]]]
    columns: Mapping[str, str]


def csv_layers(file: TextFile) -> CsvLayers:
    """Return the layers of a CSV file; raises InputFileError."""
    lines = file.text.splitlines()
    separator = max(",;\t", key=lines[0].count)
    try:
        rows = list(csv.reader(lines, delimiter=separator, skipinitialspace=True, strict=True))
    except csv.Error as error:
        raise _refusal(file.name, f"is not a table: {error}", "Close every quote.") from error
    header = [name.strip() for name in rows[0]]
    keys = [_KEYS[name][0] if name in _KEYS else name for name in header]
    for name in header:
        if name not in WIND_COLUMNS:
            problem = f"{shown(name)} is not a column{nearest(name, WIND_COLUMNS)}"
            raise _refusal(f"{file.name}, line 1", problem, one_of(WIND_COLUMNS))
    if len(set(keys)) < len(keys) or not {"at", "value", *_COMPLETING} <= set(keys):
        raise _refusal(
            f"{file.name}, line 1",
            "needs one column each for height, above, speed and from_deg",
            one_of(WIND_COLUMNS),
        )
    layers = []
    for number, row in enumerate(rows[1:], start=2):
        cells = [cell.strip() for cell in row]
        if any(cells[len(header) :]):
            problem = f"has {len(cells)} cells under {len(header)} columns"
            remedy = "Write points in numbers, and one wind a line."
            raise _refusal(f"{file.name}, line {number}", problem, remedy)
        if any(cells):
            layers.append((number, _layer(dict(zip(header, cells, strict=False)))))
    return CsvLayers(layers, _columns(dict(zip(keys, header, strict=True))))


def _columns(header: dict[str, str]) -> dict[str, str]:
    """Return which columns a person looks at for each key of a layer."""
    speed, height = header["value"], header["at"]
    return header | {"value": f"{speed} and from_deg", "at": f"{height} and above"}


def _layer(cells: dict[str, str]) -> dict[str, str]:
    layer = {
        _KEYS[name][0]: cell + _KEYS[name][1]
        for name, cell in cells.items()
        if name in _KEYS and cell
    }
    layer["value"] = f"{layer.get('value', '')} from {cells.get('from_deg', '')}"
    layer["at"] = f"{layer.get('at', '')} {cells.get('above', '')}"
    return layer


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
