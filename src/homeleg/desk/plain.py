"""The route of a sortie with its places in degrees, as it is released, compared and exported."""

import math

from homeleg.formats.plane import Plane
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.release.plain_route import PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.route.items import ItemKind, RouteItem
from homeleg.sortie.sortie import Sortie
from homeleg.world.site import Boundary

__all__ = ["plain_of", "plane_of"]


def plane_of(sortie: Sortie) -> Plane:
    """Return the plane about the launch point of a sortie."""
    return Plane(sortie.site.latitude_rad, sortie.site.longitude_rad)


def plain_of(sortie: Sortie) -> PlainRoute:
    """Return the route of a sortie with its launch point.

    A boundary stated as a margin around the route is a limit of the check, not something to load.
    """
    site = sortie.site
    launch = PlainPlace(
        name="launch point",
        latitude_deg=math.degrees(site.latitude_rad),
        longitude_deg=math.degrees(site.longitude_rad),
        height=StatedHeight(site.elevation_amsl_m, Datum.AMSL),
    )
    plane = plane_of(sortie)
    return PlainRoute(
        items=tuple(_item(item, plane) for item in sortie.route.items),
        launch_point=launch,
        boundary=_drawn(site.boundary, plane),
    )


def _drawn(boundary: Boundary | None, plane: Plane) -> PlainBoundary | None:
    if boundary is None or not boundary.vertices_m:
        return None
    corners_rad = (plane.to_geographic(*corner_m) for corner_m in boundary.vertices_m)
    corners_deg = tuple(
        (math.degrees(latitude_rad), math.degrees(longitude_rad))
        for latitude_rad, longitude_rad in corners_rad
    )
    return PlainBoundary(corners_deg=corners_deg, top=boundary.top)


def _item(item: RouteItem, plane: Plane) -> PlainItem:
    latitude_rad, longitude_rad = plane.to_geographic(item.east_m, item.north_m)
    is_orbit = item.kind is ItemKind.ORBIT
    return PlainItem(
        name=item.name,
        kind=item.kind,
        latitude_deg=math.degrees(latitude_rad),
        longitude_deg=math.degrees(longitude_rad),
        height=item.height,
        airspeed=item.airspeed,
        passing=item.passing if item.kind is ItemKind.POINT else None,
        radius_m=item.radius_m,
        side=item.side if is_orbit else None,
        turns=item.turns,
        duration_s=item.duration_s,
        picture=item.picture,
    )
