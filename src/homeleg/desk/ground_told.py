"""The ground of a site as a person tells it: flat to somewhere, its skyline, or terrain files."""

import math
import re
from collections.abc import AsyncIterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from homeleg.briefing.palette import BUFF
from homeleg.briefing.skyline_ring import skyline_ring
from homeleg.desk.edit import Edit, edit_sortie, putting
from homeleg.formats.sortie_file import read_sortie
from homeleg.formats.text_file import write_whole
from homeleg.formats.toml_edit import with_item, without_item
from homeleg.formats.toml_text import parse_toml, read_text_file
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.foundation.stated_text import parse_bearing
from homeleg.foundation.units import TextError
from homeleg.world.ground import GroundByEye
from homeleg.world.wind import combined_wind

__all__ = [
    "GroundView",
    "SkylineView",
    "add_skyline_point",
    "drop_skyline_point",
    "ground_view",
    "take_terrain",
    "tell_level",
]

_GROUND = ("site", "ground")
_SKYLINE = (*_GROUND, "skyline")
_BY_EYE = ("by_eye", "radius", "flat_to", "skyline", "highest")
_TERRAIN = ("terrain", "terrain_unit", "terrain_le90")
_TERRAIN_NAME = re.compile(r"[A-Za-z0-9][\w-]{0,60}\.(tif|tiff|hgt)", re.ASCII | re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class SkylineView:
    """One point of the skyline: degrees true, metres, degrees above level.

    `index` is its place in the file; None where magnetic bearings stand there, to be changed there.
    """

    index: int | None
    bearing_deg: float
    distance_m: float
    seen_deg: float
    height_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundView:
    """The ground of a sortie as it is told: level figures in metres, skyline, or terrain files."""

    ring: str
    wind_from_deg: float
    flat_within_m: float | None
    radius_m: float | None
    flat_to_m: float | None
    skyline: tuple[SkylineView, ...]
    terrain: tuple[str, ...]


def ground_view(path: Path) -> GroundView:
    """Return the ground of a sortie file; raises InputFileError."""
    sortie = read_sortie(path).sortie
    ground = sortie.site.ground
    wind_from_rad = float(combined_wind(sortie.weather, sortie.launch_time).from_true_rad[0])
    by_eye = ground if isinstance(ground, GroundByEye) else None
    points = () if by_eye is None else by_eye.skyline
    order = _order_in_file(path)
    return GroundView(
        ring=skyline_ring(points, wind_from_rad, BUFF),
        wind_from_deg=math.degrees(wind_from_rad) % 360.0,
        flat_within_m=None if by_eye is None else by_eye.flat_within_m,
        radius_m=None if by_eye is None else by_eye.radius_m,
        flat_to_m=None if by_eye is None or not points else by_eye.flat_to_m or None,
        skyline=tuple(
            SkylineView(
                index=index,
                bearing_deg=math.degrees(point.bearing_true_rad),
                distance_m=point.distance_m,
                seen_deg=math.degrees(math.atan2(point.height_m.value, point.distance_m)),
                height_m=point.height_m.value,
            )
            for index, point in zip(order, points, strict=True)
        ),
        terrain=() if isinstance(ground, GroundByEye) else ground.files,
    )


def tell_level(path: Path, within: str, radius: str, flat_to: str) -> None:
    """Write how level the ground is and how far, in place of terrain files; lengths with units.

    `flat_to` may be empty. Raises InputFileError; the file is then as it was.
    """
    told = {"by_eye": f"flat within {within}", "radius": radius, "flat_to": flat_to or None}
    told |= dict.fromkeys(_TERRAIN)
    edit_sortie(path, [putting([*_GROUND, key], value) for key, value in told.items()])


def add_skyline_point(path: Path, point: Mapping[str, str]) -> None:
    """Write one more point of the skyline: bearing, distance, and height or angle.

    A point in the same direction is replaced. Raises InputFileError; the file is then as it was.
    """
    view = ground_view(path)
    if view.terrain:
        problem = "the ground comes from terrain files, which hold its skyline"
        remedy = "Say how level the ground is by eye first: it takes their place."
        raise InputFileError([Problem(where="Skyline", problem=problem, remedy=remedy)])
    there = [one.index for one in view.skyline if _lies_at(one, point["bearing"])]
    replaced = [_without(index) for index in there if index is not None]
    edit_sortie(path, [*replaced, lambda text: with_item(text, _SKYLINE, point)])


def drop_skyline_point(path: Path, index: int) -> None:
    """Take a point of the skyline out of the file; raises InputFileError, it is then as it was."""
    edit_sortie(path, [_without(index)])


async def take_terrain(path: Path, name: str, content: AsyncIterator[bytes]) -> None:
    """Put a terrain file beside a sortie and name it there as its ground, by eye no longer.

    Raises InputFileError, and nothing is changed, where it is no terrain of this place.
    """
    if not _TERRAIN_NAME.fullmatch(name):
        problem = "is not the name of a terrain file"
        remedy = "Letters, digits, - and _, and .tif, .tiff or .hgt at its end."
        raise InputFileError([Problem(where=name[:80], problem=problem, remedy=remedy)])
    beside = path.parent / name
    whole = b"".join([part async for part in content])
    if beside.exists() and beside.read_bytes() != whole:
        problem = "another file of that name lies beside the sortie"
        remedy = "Give this one another name, and drop it again."
        raise InputFileError([Problem(where=name, problem=problem, remedy=remedy)])
    is_new = not beside.exists()
    write_whole(beside, whole)
    try:
        files = dict.fromkeys([*ground_view(path).terrain, name])
        told = list(files) if len(files) > 1 else name
        edits = [putting([*_GROUND, key], None) for key in _BY_EYE]
        edit_sortie(path, [*edits, putting([*_GROUND, "terrain"], told)])
    except InputFileError:
        if is_new:
            beside.unlink()
        raise


def _lies_at(point: SkylineView, bearing: str) -> bool:
    try:
        told = parse_bearing(bearing)
    except TextError:
        return False  # the reader of the file says what is wrong with it
    return isinstance(told, float) and math.isclose(math.degrees(told), point.bearing_deg)


def _without(index: int) -> Edit:
    return lambda text: without_item(text, _SKYLINE, index)


def _order_in_file(path: Path) -> Sequence[int | None]:
    """Return where each point stands in the file, in the order of bearings."""
    told: object = parse_toml(read_text_file(path))
    for key in _SKYLINE:
        told = told.get(key) if isinstance(told, Mapping) else None
    listed = told if isinstance(told, list) else []
    told_rad = [parse_bearing(str(one["bearing"])) for one in listed]
    bearings_rad = [one for one in told_rad if isinstance(one, float)]
    if len(bearings_rad) < len(told_rad):
        return [None] * len(told_rad)
    return sorted(range(len(bearings_rad)), key=lambda index: bearings_rad[index])
