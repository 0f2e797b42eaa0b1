"""A way walked with a phone, seen under the board: a GPX file kept beside the sortie as it came."""

import math
import tempfile
from pathlib import Path

from homeleg.desk.dropped import safe_name
from homeleg.desk.plain import plane_of
from homeleg.formats.features import Vertex
from homeleg.formats.outside_file import read_outside
from homeleg.formats.plain_shapes import ShapeKind
from homeleg.formats.plane import Plane
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.text_file import write_whole
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["drop_walked", "take_walked", "walked_way"]

_MOST_POINTS = 2000
_FARTHEST_M = 50_000.0

Lines = list[list[list[float]]]


def walked_way(path: Path) -> Lines:
    """Return the walked lines of a sortie, metres east and north; none where there are none."""
    kept = _kept(path)
    if not kept.exists():
        return []
    try:
        return _lines(kept, plane_of(read_sortie(path).sortie))
    except InputFileError:
        return []  # it was changed by hand: there is nothing to see


def take_walked(path: Path, name: str, content: bytes) -> None:
    """Keep a walked way in place of the one before; raises InputFileError, and keeps that then."""
    safe = safe_name(name, (".gpx",))
    launch = plane_of(read_sortie(path).sortie)
    with tempfile.TemporaryDirectory(prefix="homeleg-") as folder:
        source = Path(folder) / safe
        write_whole(source, content)
        lines = _lines(source, launch)
    farthest_m = max((math.hypot(*point) for line in lines for point in line), default=0.0)
    if not any(len(line) > 1 for line in lines) or farthest_m > _FARTHEST_M:
        problem = "holds no track" if not lines else "was not walked near the launch point"
        raise InputFileError([Problem(where=safe, problem=problem, remedy="Drop another file.")])
    write_whole(_kept(path), content)


def drop_walked(path: Path) -> None:
    """Take the walked way away."""
    _kept(path).unlink(missing_ok=True)


def _kept(path: Path) -> Path:
    return path.with_name(f"{path.stem}.walked.gpx")


def _lines(path: Path, launch: Plane) -> Lines:
    lines = []
    for feature in read_outside(path).found.features:
        if feature.shape is not ShapeKind.LINE:
            continue
        every = max(math.ceil(len(feature.vertices) / _MOST_POINTS), 1)
        lines.append(
            [
                [round(axis, 1) for axis in launch.to_plane(*_radians(one))]
                for one in feature.vertices[::every]
            ]
        )
    return lines


def _radians(vertex: Vertex) -> tuple[float, float]:
    return math.radians(vertex.latitude_deg), math.radians(vertex.longitude_deg)
