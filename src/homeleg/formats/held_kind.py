"""What a file that could not be read as meant holds instead, told from how it begins."""

import re
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["other_kind"]

_LOOKED_AT_BYTES = 4096
_BEGINNINGS: Mapping[bytes, str] = MappingProxyType(
    {
        b"PK\x03\x04": "a ZIP archive",
        b"%PDF": "a PDF document",
        b"\x89PNG": "a picture (PNG)",
        b"\xff\xd8\xff": "a picture (JPEG)",
        b"GIF8": "a picture (GIF)",
        b"II*\x00": "a picture or terrain (TIFF)",
        b"MM\x00*": "a picture or terrain (TIFF)",
        b"GRIB": "a forecast (GRIB)",
    }
)
_ROOTS: Mapping[str, str] = MappingProxyType({"kml": "KML", "gpx": "GPX", "html": "a web page"})
# Each kind that is read under an ending of its own, and that ending.
_ENDINGS: Mapping[str, str] = MappingProxyType(
    {"KML": ".kml", "GPX": ".gpx", "GeoJSON": ".geojson", "a ZIP archive": ".kmz"}
)
_ROOT = re.compile(r"<(?:[\w.-]+:)?([A-Za-z][\w.-]*)")
_OURS = re.compile(r'"?schema"?\s*[=:]\s*"homeleg/([a-z-]+)/\d')
_TABLE = re.compile(r"^\s*\[\[?[A-Za-z][\w.-]*\]\]?\s*$", re.MULTILINE)
_TYPE = '"type"'


def other_kind(path: Path, wanted: str) -> InputFileError | None:
    """Return the refusal of a file that shows itself to be of another kind than is wanted."""
    held = _held_kind(path)
    ending = _ENDINGS.get(held)
    if held in ("", wanted) or ending == path.suffix.lower():
        return None
    renamed = f"Let its name end in {ending}, or give" if ending else "Give"
    problem, remedy = f"is {held}, not {wanted}", f"{renamed} a file of {wanted}."
    return InputFileError([Problem(where=path.name, problem=problem, remedy=remedy)])


def _held_kind(path: Path) -> str:
    """Return in words what a file holds, "" where its beginning does not tell."""
    try:
        with path.open("rb") as stream:
            content = stream.read(_LOOKED_AT_BYTES)
    except OSError:
        return ""
    for beginning, kind in _BEGINNINGS.items():
        if content.startswith(beginning):
            return kind
    return _kind_of_text(content.decode("utf-8-sig", errors="ignore").lstrip())


def _kind_of_text(text: str) -> str:
    if ours := _OURS.search(text):
        return f"a {ours[1]} file of this program"
    if text.startswith("<"):
        root = _ROOT.search(re.sub(r"<!--.*?-->", "", text, flags=re.DOTALL))
        return _ROOTS.get(root[1].lower(), f"XML (<{root[1][:40]}>)") if root else ""
    if text.startswith("{") and _TYPE in text:
        return "GeoJSON"
    return "TOML" if _TABLE.search(text) else ""
