"""Winds at heights from a file of outside, as layers of the weather: those that matter."""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from homeleg.formats.findings import Findings, KeyPath
from homeleg.formats.grib_winds import GRIB_ENDINGS, grib_layers
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Values
from homeleg.formats.sounding import SOUNDING_COLUMNS, is_sounding, sounding_layers
from homeleg.formats.toml_text import file_bytes, read_text_file
from homeleg.formats.weather_fields import LAYER
from homeleg.formats.winds_aloft import is_winds_aloft, winds_aloft_layers
from homeleg.formats.winds_csv import csv_layers
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.foundation.stated_text import parse_height
from homeleg.foundation.units import TextError

__all__ = ["ForetoldWinds", "foretold_winds"]

# Air higher than this above the launch point says little of the air flown in; the lowest level
# above the launch point is kept all the same. Ours.
_MATTERS_BELOW_M = 1000.0
# Levels that lie far above any site are not even looked at. [m AMSL or above launch]
_NO_SITE_ABOVE_M = 7000.0
_LARGEST_GRIB_BYTES = 30_000_000

Raw = tuple[int, dict[str, str]]


@dataclass(frozen=True, slots=True, kw_only=True)
class ForetoldWinds:
    """Layers out of a file, none where none is named; name and SHA-256 of the file."""

    layers: tuple[Values, ...] = ()
    sources: tuple[tuple[str, str], ...] = ()


def foretold_winds(
    weather: Values, folder: Path, launch: Plane, launch_time: datetime, elevation_amsl_m: float
) -> ForetoldWinds:
    """Return the layers of the file that the weather names, after reporting its problems.

    Levels at or below the launch point are left out, and all but the lowest of those that lie
    higher than 1,000 m above it. A forecast for a later hour counts as old as one for an earlier.
    """
    if not weather.has("winds_file"):
        return ForetoldWinds()
    table = weather.table("winds_file")
    path = folder / table.need("file", str)
    try:
        raw, columns, source = _read(path, table.get("station", str), launch, launch_time)
        layers = _layers(path.name, raw, columns)
    except InputFileError as error:
        table.spot.findings.problems.extend(error.problems)
        return ForetoldWinds()
    told = [_as_told(layer, table, launch_time) for layer in _near(layers, elevation_amsl_m)]
    if not told:
        table.spot.at("file").report("holds no wind above the launch point", "Is it the right one?")
    if not all(layer.has("seen") for layer in told):
        table.spot.at("seen").report(
            "is missing, and the file does not say when", 'Add seen = "2026-06-09 12:00Z".'
        )
    return ForetoldWinds(layers=tuple(told), sources=(source,))


def _read(
    path: Path, station: str | None, launch: Plane, launch_time: datetime
) -> tuple[list[Raw], Mapping[str, str], tuple[str, str]]:
    """Return the layers of a file as they would be written, each with its line, 0 for none.

    And the columns of a table, by the key of a layer that each gives; and the source.
    """
    if path.suffix.lower() in GRIB_ENDINGS:
        content = file_bytes(path, _LARGEST_GRIB_BYTES)
        told = [(0, layer) for layer in grib_layers(path, launch, launch_time)]
        return told, {}, (path.name, hashlib.sha256(content).hexdigest())
    file = read_text_file(path)
    source = (file.name, file.sha256)
    if is_winds_aloft(file):
        return [(0, one) for one in winds_aloft_layers(file, station, launch_time)], {}, source
    if is_sounding(file):
        return sounding_layers(file), SOUNDING_COLUMNS, source
    if path.suffix.lower() != ".csv":
        problem = "is neither a winds-aloft forecast (FT ...) nor a sounding (HGHT, DRCT, SKNT)"
        remedy = "Or give the winds as .csv, or as GRIB (.grib2, .grb ...)."
        raise InputFileError([Problem(where=path.name, problem=problem, remedy=remedy)])
    table = csv_layers(file)
    return table.layers, table.columns, source


def _layers(name: str, raw: list[Raw], columns: Mapping[str, str]) -> list[Values]:
    """Return the layers read; raises InputFileError with every problem of them."""
    lines: dict[KeyPath, int] = {(index,): line for index, (line, _) in enumerate(raw) if line}
    findings = Findings(name, lines, columns=columns)
    read = [
        LAYER.read(one, findings.top.at(index))
        for index, (_, one) in enumerate(raw)
        if not _is_far_up(one["at"])
    ]
    findings.raise_if_any()
    return [layer for layer in read if layer is not None]


def _is_far_up(height: str) -> bool:
    try:
        return parse_height(height).value_m > _NO_SITE_ABOVE_M
    except TextError:
        return False  # the reader of layers will say what is wrong


def _near(layers: list[Values], elevation_amsl_m: float) -> list[Values]:
    def above_launch_m(layer: Values) -> float:
        height = layer.need("at", StatedHeight)
        return height.value_m - (elevation_amsl_m if height.above is Datum.AMSL else 0.0)

    above = sorted((one for one in layers if above_launch_m(one) > 0.0), key=above_launch_m)
    return above[:1] + [one for one in above[1:] if above_launch_m(one) <= _MATTERS_BELOW_M]


def _as_told(layer: Values, table: Values, launch_time: datetime) -> Values:
    """Return a layer with what the sortie says of the whole file, as seen no later than launch."""
    found = {**layer.found, **{key: table.found[key] for key in ("seen", "sd") if table.has(key)}}
    seen = found.get("seen")
    if isinstance(seen, datetime):
        found["seen"] = launch_time - abs(launch_time - seen)
    return Values(table.spot, found)
