"""The site of a sortie file."""

from collections.abc import Callable
from typing import TypeVar

from homeleg.formats.aircraft_file import LOWEST_FLOWN_M
from homeleg.formats.reader import Values
from homeleg.formats.sortie_ground import canopy_of, obstacle_of, place_of
from homeleg.formats.sortie_outside import SiteFiles
from homeleg.foundation.estimate import Estimate
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.world.ground import CanopyArea, GroundByEye, TerrainGround, is_inside
from homeleg.world.site import (
    Boundary,
    ComeDownPlace,
    DiversionPoint,
    KeepOutGround,
    KeepOutKind,
    PeopleOnGround,
    Site,
    Strip,
    TreeLine,
)

T = TypeVar("T")

__all__ = ["site_of"]


def site_of(
    table: Values,
    ground: GroundByEye | TerrainGround,
    files: SiteFiles,
    geoid_m: Estimate | None,
) -> Site:
    """Return the site on its ground; `files` reads what it names, `geoid_m` was used."""
    latitude_rad, longitude_rad = table.items("launch_point", float)
    _report_low_top(table)
    return Site(
        latitude_rad=latitude_rad,
        longitude_rad=longitude_rad,
        elevation_amsl_m=table.need("elevation", StatedHeight).value_m,
        pilot_m=place_of(table.table("pilot")) if table.has("pilot") else (0.0, 0.0),
        launch_heading_true_rad=table.get("launch_heading", float),
        strip=_strip(table.table("strip")),
        ground=ground,
        canopy=_canopy(table),
        obstacles=_all(table, "obstacle", files.obstacles, obstacle_of),
        tree_line=_tree_line(table.table("tree_line")) if table.has("tree_line") else None,
        boundary=_boundary(table.table("boundary"), files) if table.has("boundary") else None,
        keep_out=_all(table, "keep_out", files.keep_out, _keep_out),
        come_down=_all(table, "come_down", files.come_down, _come_down),
        keep_out_told=table.has("keep_out"),
        people=table.get("people", PeopleOnGround),
        geoid_m=geoid_m,
        diversion_points=_diversion_points(table),
    )


def _all(
    site: Values,
    key: str,
    of_file: Callable[[Values], tuple[T, ...]],
    of_table: Callable[[Values], T],
) -> tuple[T, ...]:
    """Return what the items under a key hold: each one thing, or those of a file."""
    found: list[T] = []
    for item in site.items(key, Values):
        found += of_file(item) if item.has("file") else (of_table(item),)
    return tuple(found)


def _canopy(table: Values) -> tuple[CanopyArea, ...]:
    """Return the trees, after reporting a wood that the launch point stands in."""
    areas = canopy_of(table)
    if any(area.vertices_m and is_inside(area.vertices_m, 0.0, 0.0) for area in areas):
        table.spot.at("canopy").report(
            "the launch point stands in a wood", "Check its corners: metres east, then north."
        )
    return areas


def _strip(table: Values) -> Strip:
    return Strip(
        length_m=table.need("length", float),
        direction_true_rad=table.get("direction", float),
        both_ways=table.get("both_ways", bool) or False,
        approach_obstacle_m=table.get("approach_obstacle", float) or 0.0,
    )


def _tree_line(table: Values) -> TreeLine:
    east_m, north_m = place_of(table)
    return TreeLine(east_m=east_m, north_m=north_m, height_m=table.need("height", float))


def _boundary(table: Values, files: SiteFiles) -> Boundary | None:
    if not table.has("file"):
        return Boundary(
            hull_margin_m=table.need("hull_margin", float), top=table.need("top", StatedHeight)
        )
    boundary = files.boundary(table)
    if boundary is not None and not is_inside(boundary.vertices_m, 0.0, 0.0):
        table.spot.at("file").report(
            "the launch point lies outside this boundary", "Check both: latitude, then longitude."
        )
    return boundary


def _report_low_top(site: Values) -> None:
    """Report a top of the boundary under which nothing can be flown."""
    top = site.table("boundary").get("top", StatedHeight)
    if top is None:
        return
    elevation_amsl_m = site.need("elevation", StatedHeight).value_m
    above_m = top.value_m - (top.above is Datum.AMSL) * elevation_amsl_m
    if above_m < LOWEST_FLOWN_M:
        site.table("boundary").spot.at("top").report(
            f"{top.value_m:.0f} m {top.above.value} leaves {above_m:.0f} m to fly in",
            f"Give {LOWEST_FLOWN_M:.0f} m or more, and check what it is above.",
        )


def _keep_out(table: Values) -> KeepOutGround:
    corners = table.items("vertices_m", tuple)
    return KeepOutGround(
        name=table.need("name", str),
        kind=table.need("kind", KeepOutKind),
        vertices_m=tuple((east_m, north_m) for east_m, north_m in corners),
    )


def _come_down(table: Values) -> ComeDownPlace:
    return ComeDownPlace(
        name=table.need("name", str),
        east_m=table.need("east", float),
        north_m=table.need("north", float),
        radius_m=table.need("radius", float),
    )


def _diversion_points(table: Values) -> tuple[DiversionPoint, ...]:
    """Return the points of the way home, after reporting a name that is given twice."""
    points = []
    names: set[str] = set()
    for item in table.items("diversion_points", Values):
        name = item.need("name", str)
        if name in names:
            item.spot.at("name").report(f"a second point is called {name}", "Rename one of them.")
        names.add(name)
        points.append(
            DiversionPoint(
                name=name,
                east_m=item.need("east", float),
                north_m=item.need("north", float),
                height=item.get("height", StatedHeight),
            )
        )
    return tuple(points)
