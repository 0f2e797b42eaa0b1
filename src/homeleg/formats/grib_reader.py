"""The process that reads winds out of a GRIB file, at the grid point nearest to the launch point.

It prints JSON: `layers` as a sortie would write them, or `problem` and `remedy`.

Three traps, each shown by a sample in tests/reference/grib: winds along the axes of a grid that
does not point north; u and v in one message, the second of which a plain loop never sees; and
levels at which one of the two is missing, where no wind must be formed.

References: WMO-No. 306, volume I.2, FM 92 GRIB (MEMORY), flag table 3.3 for `uvRelativeToGrid`. The
turn of a Lambert grid: J. P. Snyder, Map Projections: A Working Manual, USGS PP 1395, chapter 15
(MEMORY).
"""

import json
import math
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType

from homeleg.formats.plane import Plane
from homeleg.foundation.stated_text import shown_time
from homeleg.foundation.units import TextError
from homeleg.physics.atmosphere import pressure_altitude

__all__ = ["layers_of"]

_PARTS = {"u": "east", "10u": "east", "v": "north", "10v": "north", "gh": "height"}
_LEVELS = ("isobaricInhPa", "heightAboveGround")
# Levels lower in pressure lie above every site, and their winds are not looked at. [hPa]
_LOWEST_PRESSURE_HPA = 500
# A grid point farther away than this says nothing of the site: the place lies outside the grid.
_FARTHEST_KM = 120.0
_HPA = 100.0
_GRIDS_TO_NORTH = ("regular_ll", "regular_gg", "reduced_gg")


@dataclass(frozen=True, slots=True)
class _Level:
    """Where and when a value holds: kind and number of the level, valid time, hash of the grid."""

    kind: str
    number: int
    valid: datetime
    grid: str


@dataclass(frozen=True, slots=True)
class _Spot:
    """A grid point: its index, and how far its grid's north is turned from true north. [rad]."""

    index: int
    turn_rad: float


def layers_of(path: Path, launch: Plane, launch_time: datetime) -> list[dict[str, str]]:
    """Return the layers of a file, each level at the valid time nearest to the launch.

    Raises TextError when it is not GRIB, does not reach the place, or holds no winds.
    """
    library = _library()
    parts: dict[_Level, dict[str, float]] = {}
    spots: dict[str, _Spot] = {}
    try:
        for message in _messages(library, path):
            _gather(library, message, launch, parts, spots)
    except TextError:
        raise
    except (library.CodesInternalError, OSError, ArithmeticError, ValueError) as error:
        problem = f"is damaged, or no GRIB: {error}"
        raise TextError(problem, "Fetch it again.") from error
    if not spots:
        raise TextError("holds no wind that is written as GRIB", "Is it the right file?")
    winds = {level: told for level, told in parts.items() if {"east", "north"} <= told.keys()}
    if not winds:
        raise TextError("holds no level with both parts of a wind", "Is it the right file?")
    nearest = min({level.valid for level in winds}, key=lambda valid: abs(valid - launch_time))
    return [
        _layer(level, told, spots[level.grid].turn_rad)
        for level, told in winds.items()
        if level.valid == nearest
    ]


def _library() -> ModuleType:
    try:
        import eccodes  # noqa: PLC0415 (an extra: loaded for those who name such a file)
    except ImportError as error:
        remedy = 'Install it: pip install "homeleg[grib]". Or give the winds as .csv.'
        raise TextError("is GRIB, and what reads it is not installed", remedy) from error
    library: ModuleType = eccodes
    return library


def _messages(library: ModuleType, path: Path) -> Iterator[int]:
    """Yield each field of a file, those that share a message one by one."""
    library.codes_grib_multi_support_on()
    try:
        with path.open("rb") as stream:
            while (message := library.codes_grib_new_from_file(stream)) is not None:
                try:
                    yield message
                finally:
                    library.codes_release(message)
    finally:
        library.codes_grib_multi_support_off()


def _gather(
    library: ModuleType,
    message: int,
    launch: Plane,
    parts: dict[_Level, dict[str, float]],
    spots: dict[str, _Spot],
) -> None:
    """Add the value of a field at the grid point nearest to the launch point, where it matters."""
    part = _PARTS.get(library.codes_get(message, "shortName"))
    level = None if part is None else _level_of(library, message)
    if part is None or level is None:
        return
    if level.grid not in spots:
        spots[level.grid] = _spot_of(library, message, launch)
    value = library.codes_get_double_element(message, "values", spots[level.grid].index)
    if value != library.codes_get_double(message, "missingValue"):
        parts.setdefault(level, {})[part] = value


def _level_of(library: ModuleType, message: int) -> _Level | None:
    """Return the level of a field, None for one that says nothing of the air at a site."""
    kind = library.codes_get(message, "typeOfLevel")
    number = library.codes_get_long(message, "level")
    if kind not in _LEVELS or (kind == "isobaricInhPa" and number < _LOWEST_PRESSURE_HPA):
        return None
    day = library.codes_get_long(message, "validityDate")
    clock = library.codes_get_long(message, "validityTime")
    valid = datetime(
        day // 10_000, day // 100 % 100, day % 100, clock // 100, clock % 100, tzinfo=UTC
    )
    grid = library.codes_get_string(message, "md5GridSection")
    return _Level(kind=kind, number=number, valid=valid, grid=grid)


def _spot_of(library: ModuleType, message: int, launch: Plane) -> _Spot:
    latitude_deg = math.degrees(launch.latitude_rad)
    longitude_deg = math.degrees(launch.longitude_rad)
    (near,) = library.codes_grib_find_nearest(message, latitude_deg, longitude_deg)
    if near["distance"] > _FARTHEST_KM:
        raise TextError(
            f"its nearest grid point lies {near['distance']:.0f} km from the launch point",
            "Fetch it for the region flown in.",
        )
    return _Spot(index=near["index"], turn_rad=_turn_rad(library, message, near["lon"]))


def _turn_rad(library: ModuleType, message: int, longitude_deg: float) -> float:
    """Return how far east of true north the grid's north points, 0 where winds are true."""
    kind = library.codes_get_string(message, "gridType")
    if kind in _GRIDS_TO_NORTH or not library.codes_get_long(message, "uvRelativeToGrid"):
        return 0.0
    if kind != "lambert":
        problem = f"gives its winds along the axes of a {kind} grid, and those are not turned"
        raise TextError(problem, "Fetch it with winds by true north.")
    first_rad, second_rad = (
        math.radians(library.codes_get_double(message, f"Latin{n}InDegrees")) for n in (1, 2)
    )
    cone = math.sin(first_rad)
    if not math.isclose(first_rad, second_rad):
        cone = math.log(math.cos(first_rad) / math.cos(second_rad)) / math.log(
            math.tan(math.pi / 4 + second_rad / 2) / math.tan(math.pi / 4 + first_rad / 2)
        )
    upright_deg = library.codes_get_double(message, "LoVInDegrees")
    east_of_it_deg = (longitude_deg - upright_deg + 180.0) % 360.0 - 180.0
    return cone * math.radians(east_of_it_deg)


def _layer(level: _Level, told: dict[str, float], turn_rad: float) -> dict[str, str]:
    """Return a layer as it would be written.

    A pressure level whose height no field tells lies where the standard atmosphere has it.
    """
    speed_m_s = math.hypot(told["east"], told["north"])
    towards_rad = math.atan2(told["east"], told["north"]) + turn_rad
    from_deg = (math.degrees(towards_rad) + 180.0) % 360.0
    height = f"{level.number} m AGL"
    if level.kind == "isobaricInhPa":
        standard_m = float(pressure_altitude(_HPA * level.number))
        height = f"{told.get('height', standard_m):.0f} m AMSL"
    return {
        "value": f"{speed_m_s:.3f} m/s from {from_deg:.2f}",
        "at": height,
        "seen": shown_time(level.valid),
    }


def _answer(path: str, latitude: str, longitude: str, launch_time: str) -> dict[str, object]:
    launch = Plane(float(latitude), float(longitude))
    try:
        return {"layers": layers_of(Path(path), launch, datetime.fromisoformat(launch_time))}
    except TextError as error:
        return {"problem": error.problem, "remedy": error.remedy}


if __name__ == "__main__":
    sys.stdout.write(json.dumps(_answer(*sys.argv[1:])))
