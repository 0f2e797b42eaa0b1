"""The route of a sortie with its places in degrees, as it is released, compared and exported."""

import math

from homeleg.formats.plane import Plane
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.release.plain_route import PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.route.items import ItemKind, Route, RouteItem
from homeleg.sortie.sortie import Sortie

__all__ = ["plain_items", "plain_of", "plane_of"]


def plane_of(sortie: Sortie) -> Plane:
    """Return the plane about the launch point of a sortie."""
    return Plane(sortie.site.latitude_rad, sortie.site.longitude_rad)


def plain_of(sortie: Sortie) -> PlainRoute:
    """Return the route of a sortie with its launch point, and its boundary where one is drawn.

    A boundary stated as a margin around the route is a limit of the check, not something to load.
    """
    site, plane = sortie.site, plane_of(sortie)
    launch = PlainPlace(
        name="launch point",
        latitude_deg=math.degrees(site.latitude_rad),
        longitude_deg=math.degrees(site.longitude_rad),
        height=StatedHeight(site.elevation_amsl_m, Datum.AMSL),
    )
    boundary = None
    if site.boundary is not None and site.boundary.vertices_m:
        corners_deg = tuple(_degrees(plane, *corner) for corner in site.boundary.vertices_m)
        boundary = PlainBoundary(corners_deg=corners_deg, top=site.boundary.top)
    return PlainRoute(
        items=plain_items(sortie.route, plane), launch_point=launch, boundary=boundary
    )


def plain_items(route: Route, plane: Plane) -> tuple[PlainItem, ...]:
    """Return the items of a route on a plane, with their places in degrees."""
    return tuple(_item(item, plane) for item in route.items)


def _item(item: RouteItem, plane: Plane) -> PlainItem:
    latitude_deg, longitude_deg = _degrees(plane, item.east_m, item.north_m)
    return PlainItem(
        name=item.name,
        kind=item.kind,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        height=item.height,
        airspeed=item.airspeed,
        passing=item.passing if item.kind is ItemKind.POINT else None,
        radius_m=item.radius_m,
        side=item.side if item.kind is ItemKind.ORBIT else None,
        turns=item.turns,
        duration_s=item.duration_s,
        picture=item.picture,
    )


def _degrees(plane: Plane, east_m: float, north_m: float) -> tuple[float, float]:
    latitude_rad, longitude_rad = plane.to_geographic(east_m, north_m)
    return math.degrees(latitude_rad), math.degrees(longitude_rad)
