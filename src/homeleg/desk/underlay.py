"""A picture under the board, tied to the ground, only to be looked at.

Beside the sortie lie the picture as it came, and where its corners lie: in degrees, so that it
stays where it is when the launch point moves. No figure is computed from it.
"""

import json
import math
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from homeleg.desk.dropped import safe_name
from homeleg.desk.plain import plane_of
from homeleg.desk.walked_way import walked_way
from homeleg.formats.ground_overlay import overlay_of, picture_in
from homeleg.formats.kmz import read_kmz
from homeleg.formats.picture_file import Picture, picture_of
from homeleg.formats.plane import Plane
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.text_file import write_text, write_whole
from homeleg.formats.toml_text import LARGEST_BYTES, read_text_file
from homeleg.formats.world_file import corners_by_world_file
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import parse_place
from homeleg.foundation.units import Dimension, TextError, parse_quantity
from homeleg.sortie.sortie import Sortie
from homeleg.world.picture_tie import TieError, tied_by_two

__all__ = [
    "LAUNCH",
    "drop_underlay",
    "picture_path",
    "take_overlay",
    "take_picture",
    "tie_by_points",
    "tie_by_world",
    "underlay_of",
]

LAUNCH = "launch point"
_SCHEMA = "homeleg/underlay/1"

Corners = Sequence[tuple[float, float]]
Tied = dict[str, object]


@dataclass(frozen=True, slots=True)
class _Beside:
    """The files of an underlay beside a sortie's."""

    path: Path

    @property
    def placed(self) -> Path:
        return self.path.with_name(f"{self.path.stem}.underlay.json")

    def picture(self, ending: str) -> Path:
        return self.path.with_name(f"{self.path.stem}.underlay{ending}")

    @property
    def pictures(self) -> list[Path]:
        return [one for one in map(self.picture, (".png", ".jpg")) if one.exists()]


def underlay_of(path: Path) -> dict[str, object]:
    """Return what lies under the board, as plain values in metres east and north.

    `picture` is None where there is none, or it is not tied yet; `waits` tells which.
    """
    beside, launch = _Beside(path), plane_of(read_sortie(path).sortie)
    told = _placed(beside)
    pictures = beside.pictures
    return {
        "picture": None if told is None or not pictures else _on_plane(told, launch),
        "waits": bool(pictures) and told is None,
        "words": "" if told is None else told["words"],
        "walked": walked_way(path),
    }


def picture_path(path: Path) -> tuple[Path, str] | None:
    """Return the picture's file and its media type; None where there is none."""
    for picture in _Beside(path).pictures:
        return picture, "image/png" if picture.suffix == ".png" else "image/jpeg"
    return None


def take_picture(path: Path, name: str, content: bytes) -> Picture:
    """Keep a picture beside the sortie in place of the one before, not tied yet.

    Raises InputFileError where it is none; nothing is changed then.
    """
    picture = picture_of(name, content)
    beside = _Beside(path)
    drop_underlay(path)
    write_whole(beside.picture(picture.ending), content)
    return picture


def tie_by_points(path: Path, pixels: Sequence[Sequence[float]], places: Sequence[str]) -> None:
    """Tie the picture by two of its pixels and where they lie in words; raises InputFileError.

    A place is "launch point", the name of a point of the route, "340 m at 225", or latitude and
    longitude.
    """
    sortie = read_sortie(path).sortie
    picture = _picture(path)
    (x0, y0), (x1, y1) = pixels
    first, second = (_place(text, sortie) for text in places)
    try:
        tie = tied_by_two(((x0, y0), (x1, y1)), (first, second), (picture.width, picture.height))
    except TieError as error:
        raise _refusal("Two points", str(error), "Nothing was tied.") from error
    words = (
        f"Tied by two points: {tie.metres_per_pixel:.2f} m a pixel, its top towards "
        f"{math.degrees(tie.turned_rad) % 360.0:03.0f}. If each point is off by "
        f"{tie.slip_pixels:.0f} pixels, the worst corner is off by {tie.slip_m:.0f} m."
    )
    _write(path, plane_of(sortie), tie.corners_m, words)


def tie_by_world(path: Path, text: str) -> None:
    """Tie the picture by its world file; raises InputFileError."""
    launch = plane_of(read_sortie(path).sortie)
    picture = _picture(path)
    corners_m, words = corners_by_world_file(text, (picture.width, picture.height), launch)
    _write(path, launch, corners_m, f"Tied by its world file, read as {words}.")


def take_overlay(path: Path, name: str, content: bytes) -> None:
    """Tie a picture as a KML or KMZ file lays it: that of the archive, or the one dropped before.

    Raises InputFileError; what was there stays then.
    """
    safe = safe_name(name, (".kml", ".kmz"))
    launch = plane_of(read_sortie(path).sortie)
    with tempfile.TemporaryDirectory(prefix="homeleg-") as folder:
        source = Path(folder) / safe
        write_whole(source, content)
        is_archive = source.suffix == ".kmz"
        long = {"longest_line": LARGEST_BYTES}
        file = read_kmz(source) if is_archive else read_text_file(source, **long)
    overlay = overlay_of(file, launch)
    if is_archive:
        take_picture(path, overlay.picture, picture_in(safe, content, overlay.picture))
    _picture(path)
    off_m = _bent_m(overlay.corners_m)
    bent = f", bent by up to {off_m:.0f} m, which is left out" if off_m >= 1.0 else ""
    _write(path, launch, overlay.corners_m[:3], f"Tied as {safe} lays it{bent}.")


def drop_underlay(path: Path) -> None:
    """Take picture and tie away; the walked way stays."""
    beside = _Beside(path)
    for file in (*beside.pictures, beside.placed):
        file.unlink(missing_ok=True)


def _place(text: str, sortie: Sortie) -> tuple[float, float]:
    """Return a place on the plane as a person says it; raises InputFileError."""
    words = " ".join(text.split())
    if words.lower() == LAUNCH:
        return 0.0, 0.0
    for item in sortie.route.items:
        if item.name.lower() == words.lower():
            return item.east_m, item.north_m
    try:
        if " at " in words:
            far, _, bearing = words.partition(" at ")
            metres = parse_quantity(far, Dimension.LENGTH)
            turn = parse_quantity(bearing.removesuffix("deg").strip() + " deg", Dimension.ANGLE)
            return metres * math.sin(turn), metres * math.cos(turn)
        place = parse_place(words)
    except TextError as error:
        remedy = f'Write "{LAUNCH}", a point of the route, "340 m at 225", or "55.0 N, 5.0 W".'
        raise _refusal(words[:40] or "A place", error.problem, remedy) from error
    return plane_of(sortie).to_plane(place.latitude_rad, place.longitude_rad)


def _picture(path: Path) -> Picture:
    found = picture_path(path)
    if found is None:
        raise _refusal("Picture", "there is none yet", "Drop a PNG or JPEG picture first.")
    return picture_of(found[0].name, found[0].read_bytes())


def _write(path: Path, launch: Plane, corners_m: Corners, words: str) -> None:
    corners_deg = [
        [round(math.degrees(angle), 8) for angle in launch.to_geographic(*corner)]
        for corner in corners_m
    ]
    told = {"schema": _SCHEMA, "corners_deg": corners_deg, "words": words}
    write_text(_Beside(path).placed, json.dumps(told, indent=1) + "\n")


def _placed(beside: _Beside) -> dict[str, Any] | None:
    """Return where the picture lies; None where that is not told, or no longer can be read."""
    if not beside.placed.exists():
        return None
    try:
        told = json.loads(beside.placed.read_text("utf-8"))
        corners = [[float(angle) for angle in corner] for corner in told["corners_deg"]]
    except (ValueError, KeyError, TypeError):
        return None
    if len(corners) != 3 or any(len(corner) != 2 for corner in corners):
        return None
    return {"corners_deg": corners, "words": str(told.get("words", ""))}


def _on_plane(told: dict[str, Any], launch: Plane) -> Tied:
    corners = [
        [round(axis, 2) for axis in launch.to_plane(*(math.radians(angle) for angle in corner))]
        for corner in told["corners_deg"]
    ]
    return {"corners": corners}


def _bent_m(corners_m: Corners) -> float:
    """Return how far the fourth corner lies from where the other three put it."""
    first, right, down, opposite = corners_m
    return math.dist(opposite, [right[axis] + down[axis] - first[axis] for axis in (0, 1)])


def _refusal(where: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
