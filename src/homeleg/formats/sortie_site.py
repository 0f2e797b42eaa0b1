"""The site of a sortie file."""

import math

from homeleg.formats.estimates import assumed, estimate_with
from homeleg.formats.kinds import Share
from homeleg.formats.reader import Values
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.world.site import (
    Boundary,
    ComeDownPlace,
    GroundByEye,
    KeepOutGround,
    KeepOutKind,
    Obstacle,
    Site,
    Strip,
    TreeLine,
)

__all__ = ["site_of"]

# A height judged by eye and arm (MEMORY).
_OBSTACLE_SHARE = 0.15


def site_of(table: Values) -> Site | None:
    """Return the site; None after reporting what it lacks."""
    latitude_rad, longitude_rad = table.items("launch_point", float)
    elevation = table.need("elevation", StatedHeight)
    if elevation.above is not Datum.AMSL:
        table.spot.at("elevation").report(
            f"is {elevation.above.value}, and the elevation is above mean sea level",
            'Write it as "35 m AMSL".',
        )
    ground = _ground(table.table("ground"))
    if ground is None:
        return None
    return Site(
        latitude_rad=latitude_rad,
        longitude_rad=longitude_rad,
        elevation_amsl_m=elevation.value_m,
        pilot_m=_place(table.table("pilot")) if table.has("pilot") else (0.0, 0.0),
        launch_heading_true_rad=table.get("launch_heading", float),
        strip=_strip(table.table("strip")),
        ground=ground,
        obstacles=tuple(_obstacle(item) for item in table.items("obstacle", Values)),
        tree_line=_tree_line(table.table("tree_line")) if table.has("tree_line") else None,
        boundary=_boundary(table.table("boundary")) if table.has("boundary") else None,
        keep_out=tuple(_keep_out(item) for item in table.items("keep_out", Values)),
        come_down=tuple(_come_down(item) for item in table.items("come_down", Values)),
    )


def _place(table: Values) -> tuple[float, float]:
    """Return metres east and north of a bearing and a distance."""
    bearing_rad, distance_m = table.need("bearing", float), table.need("distance", float)
    return distance_m * math.sin(bearing_rad), distance_m * math.cos(bearing_rad)


def _ground(table: Values) -> GroundByEye | None:
    flat_within_m, radius_m = table.get("by_eye", float), table.get("radius", float)
    if flat_within_m is None or radius_m is None:
        table.spot.report(
            "does not say how level the ground is, and out to where",
            'Write by_eye = "flat within 5 m" and radius = "1200 m".',
        )
        return None
    return GroundByEye(flat_within_m=flat_within_m, radius_m=radius_m)


def _strip(table: Values) -> Strip:
    return Strip(
        length_m=table.need("length", float),
        direction_true_rad=table.get("direction", float),
        both_ways=table.get("both_ways", bool) or False,
        approach_obstacle_m=table.get("approach_obstacle", float) or 0.0,
    )


def _obstacle(table: Values) -> Obstacle:
    east_m, north_m = _place(table)
    return Obstacle(
        name=table.need("name", str),
        east_m=east_m,
        north_m=north_m,
        height_m=estimate_with(table, "height", Share(_OBSTACLE_SHARE), assumed(0.0, 0.0)),
    )


def _tree_line(table: Values) -> TreeLine:
    east_m, north_m = _place(table)
    return TreeLine(east_m=east_m, north_m=north_m, height_m=table.need("height", float))


def _boundary(table: Values) -> Boundary | None:
    hull_margin_m, top = table.get("hull_margin", float), table.get("top", StatedHeight)
    if hull_margin_m is None or top is None:
        table.spot.report(
            "needs a margin and a top", 'Add hull_margin = "250 m" and top = "118 m above launch".'
        )
        return None
    return Boundary(hull_margin_m=hull_margin_m, top=top)


def _keep_out(table: Values) -> KeepOutGround:
    corners = table.items("vertices_m", tuple)
    if not corners:
        table.spot.report("has no corners", "Add vertices_m = [[east, north], ...] in metres.")
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
