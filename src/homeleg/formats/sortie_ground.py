"""The ground of a sortie file: by eye with its skyline, or from terrain files; trees, obstacles."""

import hashlib
import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TypeAlias

import numpy as np

from homeleg.formats.estimates import assumed, estimate_with
from homeleg.formats.geoid import undulation
from homeleg.formats.ground_fields import TerrainUnit
from homeleg.formats.kinds import Share
from homeleg.formats.plane import Plane
from homeleg.formats.reader import Values
from homeleg.foundation.constants import FOOT_M, US_SURVEY_FOOT_M
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.route.items import Route
from homeleg.world.ground import (
    CanopyArea,
    GroundByEye,
    Obstacle,
    SkylinePoint,
    Surface,
    TerrainGround,
    bilinear,
    ground_height,
    ground_sd,
    tied_to_launch,
)

__all__ = [
    "GroundFiles",
    "canopy_of",
    "extent_around",
    "ground_of",
    "obstacle_of",
    "place_of",
    "terrain_elevation",
]

# West, south, east and north, metres from the launch point.
Extent: TypeAlias = tuple[float, float, float, float]

# A height judged by eye and arm (MEMORY).
_JUDGED_SHARE = 0.15
_UNIT_M = {
    TerrainUnit.METRE: 1.0,
    TerrainUnit.FOOT: FOOT_M,
    TerrainUnit.US_SURVEY_FOOT: US_SURVEY_FOOT_M,
}
# Terrain whose error nobody told, in lidar or radar models of today's kind (MEMORY). [m]
_USUAL_LE90_M = 8.0
# Ground is read this far around the route, the launch point and the lines home. Ours.
_MARGIN_M = 1000.0
_NEAR_M = 100.0
# The launch point and the terrain there may differ by this before somebody must be wrong. Ours.
_LAUNCH_AGREES_WITHIN_M = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class GroundFiles:
    """Ground and the terrain files it was read from: name and SHA-256 of each."""

    ground: GroundByEye | TerrainGround
    sources: tuple[tuple[str, str], ...]


def place_of(table: Values) -> tuple[float, float]:
    """Return metres east and north of a bearing and a distance."""
    bearing_rad, distance_m = table.need("bearing", float), table.need("distance", float)
    return distance_m * math.sin(bearing_rad), distance_m * math.cos(bearing_rad)


def obstacle_of(table: Values) -> Obstacle:
    """Return something that stands up."""
    east_m, north_m = place_of(table)
    return Obstacle(
        name=table.need("name", str),
        east_m=east_m,
        north_m=north_m,
        height_m=estimate_with(table, "height", Share(_JUDGED_SHARE), assumed(0.0, 0.0)),
        seen=table.get("seen", datetime),
    )


def canopy_of(site: Values) -> tuple[CanopyArea, ...]:
    """Return the trees over all of the ground, and those in woods of their own."""
    areas = []
    for table in site.items("canopy", Values):
        corners = table.items("vertices_m", tuple)
        areas.append(
            CanopyArea(
                height_m=_trees(table, "height"), vertices_m=tuple((e, n) for e, n in corners)
            )
        )
    ground = site.table("ground")
    if ground.has("canopy"):
        if not ground.has("clearing"):
            ground.spot.at("canopy").report(
                "trees stand over all of the ground, and the launch point stands in them",
                'Say how far from it they begin: clearing = "150 m".',
            )
        clearing_m = ground.get("clearing", float) or 0.0
        areas.append(CanopyArea(height_m=_trees(ground, "canopy"), clearing_m=clearing_m))
    return tuple(areas)


def _trees(table: Values, key: str) -> Estimate:
    return estimate_with(table, key, Share(_JUDGED_SHARE), assumed(0.0, 0.0))


def ground_of(
    table: Values, folder: Path, launch: Plane, elevation_amsl_m: float, extent_m: Extent
) -> GroundFiles | None:
    """Return the ground of a site; None after reporting what it lacks."""
    if table.has("terrain"):
        return _terrain(table, folder, launch, elevation_amsl_m, extent_m)
    ground = _by_eye(table, elevation_amsl_m)
    return None if ground is None else GroundFiles(ground=ground, sources=())


def _by_eye(table: Values, elevation_amsl_m: float) -> GroundByEye | None:
    flat_within_m, radius_m = table.get("by_eye", float), table.get("radius", float)
    if flat_within_m is None or radius_m is None:
        table.spot.report(
            "does not say how level the ground is, and out to where",
            'Write by_eye = "flat within 5 m" and radius = "1200 m", or terrain = "tile.tif".',
        )
        return None
    points = tuple(
        _skyline_point(point, elevation_amsl_m) for point in table.items("skyline", Values)
    )
    _report_same_bearings(table.items("skyline", Values))
    flat_to_m = table.get("flat_to", float)
    if flat_to_m is not None and flat_to_m > radius_m:
        table.spot.at("flat_to").report(
            f"{flat_to_m:.0f} m lies beyond the radius of {radius_m:.0f} m",
            "Nothing is known out there: give a larger radius, or a smaller flat_to.",
        )
    if flat_to_m is None and table.has("highest") and not points:
        table.spot.at("highest").report(
            "says that the ground rises, and not from where",
            'Say how far it is flat: flat_to = "400 m".',
        )
    if flat_to_m is None:
        flat_to_m = 0.0 if points else radius_m
    highest = table.get("highest", StatedHeight)
    return GroundByEye(
        flat_within_m=flat_within_m,
        radius_m=radius_m,
        flat_to_m=flat_to_m,
        skyline=tuple(sorted(points, key=lambda point: point.bearing_true_rad)),
        highest_m=None
        if highest is None
        else _above_launch_m(table, "highest", highest, elevation_amsl_m),
    )


def _report_same_bearings(points: Sequence[Values]) -> None:
    """Report points of the skyline in the direction of an earlier one."""
    seen_rad: list[float] = []
    for point in points:
        bearing_rad = point.need("bearing", float)
        if any(math.isclose(bearing_rad, other_rad) for other_rad in seen_rad):
            point.spot.at("bearing").report(
                f"a second point lies at {math.degrees(bearing_rad):.4g} deg",
                "Keep the one that is seen higher.",
            )
        seen_rad.append(bearing_rad)


def _skyline_point(table: Values, elevation_amsl_m: float) -> SkylinePoint:
    distance_m, angle_rad = table.need("distance", float), table.get("angle", float)
    height = table.get("height", StatedHeight)
    if height is None and angle_rad is None:
        table.spot.report(
            "needs the height of the skyline, or the angle it is seen at",
            'Write height = "60 m above launch", or angle = "5 deg".',
        )
    if height is not None and angle_rad is not None:
        table.spot.at("angle").report(
            "both height and angle are given, and one is wanted", "Leave one of them out."
        )
    height_m = distance_m * math.tan(angle_rad or 0.0)
    if height is not None:
        height_m = _above_launch_m(table, "height", height, elevation_amsl_m)
    spread_m = table.get("spread", float)
    if spread_m is None:
        spread_m = _JUDGED_SHARE * abs(height_m)
    return SkylinePoint(
        bearing_true_rad=table.need("bearing", float),
        distance_m=distance_m,
        height_m=Estimate(value=height_m, sd=spread_m, basis=Basis.DECLARED),
    )


def _above_launch_m(
    table: Values, key: str, height: StatedHeight, elevation_amsl_m: float
) -> float:
    if height.above is Datum.AMSL:
        return height.value_m - elevation_amsl_m
    if height.above is not Datum.ABOVE_LAUNCH:
        table.spot.at(key).report(
            f"is {height.above.value}, and ground has its height above launch or sea level",
            'Write it as "60 m above launch" or "340 m AMSL".',
        )
    return height.value_m


def _terrain(
    table: Values, folder: Path, launch: Plane, elevation_amsl_m: float, extent_m: Extent
) -> GroundFiles | None:
    paths = _terrain_paths(table, folder)
    if table.spot.findings.problems:
        return None
    try:
        surface = _terrain_surface(table, paths, launch, elevation_amsl_m, extent_m)
        sources = tuple((path.name, _sha256(path)) for path in paths)
    except InputFileError as error:
        table.spot.findings.problems.extend(error.problems)
        return None
    above_launch_m = float(ground_height(surface, 0.0, 0.0))
    if abs(above_launch_m) > _LAUNCH_AGREES_WITHIN_M:
        names = ", ".join(path.name for path in paths)
        table.spot.at("terrain").report(
            f"the launch point is stated at {elevation_amsl_m:.0f} m AMSL, and {names} has "
            f"{elevation_amsl_m + above_launch_m:.0f} m there: {abs(above_launch_m):.0f} m apart",
            f"Which is right? {_likely_slip(launch, elevation_amsl_m, above_launch_m)}",
        )
    files = tuple(path.name for path in paths)
    return GroundFiles(
        ground=TerrainGround(surface=tied_to_launch(surface), files=files), sources=sources
    )


def _terrain_paths(table: Values, folder: Path) -> list[Path]:
    """Return the terrain files named, after reporting what is told by eye as well."""
    for key in ("by_eye", "radius", "flat_to", "skyline", "highest"):
        if table.has(key):
            table.spot.at(key).report(
                "is given, and terrain too", "Leave one of them out: by eye, or by terrain."
            )
    named = table.need("terrain", object)
    return [folder / str(name) for name in (named if isinstance(named, tuple) else (named,))]


def _terrain_surface(
    table: Values, paths: Sequence[Path], launch: Plane, elevation_amsl_m: float, extent_m: Extent
) -> Surface:
    # The terrain library is heavy: it is loaded for those who name a file.
    from homeleg.formats.terrain_file import read_terrain  # noqa: PLC0415

    unit = table.get("terrain_unit", TerrainUnit)
    grid = read_terrain(paths, launch, extent_m, None if unit is None else _UNIT_M[unit])
    return Surface(
        heights_above_launch_m=grid.heights_amsl_m - elevation_amsl_m,
        canopy_m=np.zeros_like(grid.heights_amsl_m),
        east_m=grid.east_m,
        north_m=grid.north_m,
        spacing_m=grid.spacing_m,
        radius_m=math.inf,
        error_m=_terrain_error(table),
    )


def terrain_elevation(table: Values, folder: Path, launch: Plane) -> float:
    """Return the height AMSL of the terrain at a launch point, NaN where unknown. [m].

    Raises InputFileError where a terrain file cannot be read.
    """
    # The terrain library is heavy: it is loaded for those who name a file.
    from homeleg.formats.terrain_file import read_terrain  # noqa: PLC0415

    unit = table.get("terrain_unit", TerrainUnit)
    around_m = (-_NEAR_M, -_NEAR_M, _NEAR_M, _NEAR_M)
    unit_m = None if unit is None else _UNIT_M[unit]
    grid = read_terrain(_terrain_paths(table, folder), launch, around_m, unit_m)
    column, row = -grid.east_m / grid.spacing_m, -grid.north_m / grid.spacing_m
    return float(bilinear(grid.heights_amsl_m, np.array(column), np.array(row)))


def _terrain_error(table: Values) -> Estimate:
    le90_m = table.get("terrain_le90", float)
    if le90_m is None:
        return assumed(0.0, ground_sd(_USUAL_LE90_M))
    return Estimate(value=0.0, sd=ground_sd(le90_m), basis=Basis.DECLARED)


def extent_around(route: Route, site: Values) -> Extent:
    """Return the ground to read: all lines home lie in it, also those over diversion points."""
    points = site.items("diversion_points", Values)
    places_m = np.array(
        [
            (0.0, 0.0, 0.0),
            *((item.east_m, item.north_m, item.radius_m or 0.0) for item in route.items),
            *((point.need("east", float), point.need("north", float), 0.0) for point in points),
        ]
    )
    reach_m = _MARGIN_M + places_m[:, 2:]
    lowest = (places_m[:, :2] - reach_m).min(axis=0)
    highest = (places_m[:, :2] + reach_m).max(axis=0)
    return float(lowest[0]), float(lowest[1]), float(highest[0]), float(highest[1])


def _sha256(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _likely_slip(launch: Plane, elevation_amsl_m: float, above_launch_m: float) -> str:
    """Return what may have put a stated elevation apart from the terrain."""
    terrain_amsl_m = elevation_amsl_m + above_launch_m
    for stated_m, read_m, told in (
        (elevation_amsl_m * FOOT_M, terrain_amsl_m, "the elevation"),
        (elevation_amsl_m, terrain_amsl_m * FOOT_M, "the terrain"),
    ):
        if abs(stated_m - read_m) < _LAUNCH_AGREES_WITHIN_M:
            return f"They agree if {told} is in feet: check its unit."
    geoid_m = undulation(launch.latitude_rad, launch.longitude_rad).value
    if abs(-above_launch_m - geoid_m) < _LAUNCH_AGREES_WITHIN_M:
        return (
            f"The geoid lies {geoid_m:.0f} m above the ellipsoid here: is the elevation a "
            f"receiver's height above the ellipsoid? Then write {elevation_amsl_m:.0f} m ellipsoid."
        )
    return "Check elevation, the launch point, and the unit of the terrain."
