"""Files of routes and grounds from outside: which reader reads which, and what all must keep."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from homeleg.formats.columns_csv import read_columns
from homeleg.formats.features import Features, report_bad_places
from homeleg.formats.geojson import read_geojson
from homeleg.formats.gpx import read_gpx
from homeleg.formats.held_kind import other_kind
from homeleg.formats.kml import read_kml
from homeleg.formats.kmz import read_kmz
from homeleg.formats.toml_text import LARGEST_BYTES, TextFile, read_text_file
from homeleg.formats.wording import one_of
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["OUTSIDE_ENDINGS", "OutsideFile", "read_outside"]

_READERS: Mapping[str, Callable[[TextFile], Features]] = MappingProxyType(
    {
        ".kml": read_kml,
        ".kmz": read_kml,
        ".gpx": read_gpx,
        ".geojson": read_geojson,
        ".json": read_geojson,
    }
)
OUTSIDE_ENDINGS = (*_READERS, ".csv")
_WANTED: Mapping[str, str] = MappingProxyType(
    {
        ".kml": "KML",
        ".kmz": "KMZ",
        ".gpx": "GPX",
        ".geojson": "GeoJSON",
        ".json": "GeoJSON",
        ".csv": "CSV",
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class OutsideFile:
    """What a file from outside holds, with its name and SHA-256."""

    found: Features
    source: tuple[str, str]


def read_outside(path: Path, columns: dict[str, str] | None = None) -> OutsideFile:
    """Return the shapes of a KML, KMZ, GPX, GeoJSON or CSV file, told apart by its ending.

    `columns` names the columns of a CSV file. Raises InputFileError with every problem of it.
    """
    ending = path.suffix.lower()
    if ending not in OUTSIDE_ENDINGS:
        raise other_kind(path, "KML, KMZ, GPX, GeoJSON or CSV") or _refusal(
            path, "is no kind of file that is read here", one_of(OUTSIDE_ENDINGS)
        )
    if columns and ending != ".csv":
        raise _refusal(path, "has no columns to name", "Leave --columns out.")
    try:
        return _read(path, ending, columns)
    except InputFileError as error:
        if other := other_kind(path, _WANTED[ending]):
            raise other from error
        raise


def _read(path: Path, ending: str, columns: dict[str, str] | None) -> OutsideFile:
    long = {"longest_line": LARGEST_BYTES}
    file = read_kmz(path) if ending == ".kmz" else read_text_file(path, **long)
    found = read_columns(file, columns) if ending == ".csv" else _READERS[ending](file)
    found.findings.raise_if_any()
    report_bad_places(found)
    if not found.features and not found.findings.problems:
        beside = f"; not read: {', '.join(found.lost)}" if found.lost else ""
        problem = f"holds no places{beside}"
        found.findings.top.report(problem, "Choose the file that holds them.")
    found.findings.raise_if_any()
    return OutsideFile(found=found, source=(file.name, file.sha256))


def _refusal(path: Path, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=path.name, problem=problem, remedy=remedy)])
