"""Shapes on the ground as other programs hold them, and what becomes of a route among them."""

from dataclasses import dataclass
from enum import Enum

from homeleg.foundation.heights import StatedHeight
from homeleg.release.plain_route import PlainBoundary, PlainPlace, PlainRoute

__all__ = ["BOUNDARY", "DIVERSION", "LAUNCH_POINT", "PlainShape", "ShapeKind", "Written", "beside"]

# What we write beside the items of a route is known by these words when it comes back.
LAUNCH_POINT, BOUNDARY, DIVERSION = "launch point", "boundary", "diversion"


class ShapeKind(Enum):
    """What a shape on the ground is."""

    POINT = "point"
    LINE = "line"
    POLYGON = "polygon"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainShape:
    """A point, line or polygon: corners as latitude and longitude, the first one not repeated.

    `about` is the word that says what kind of ground it is, "" where nothing says it; `no_height`
    says in words why there is no height; `holes` counts the islands left out of a polygon.
    """

    name: str
    shape: ShapeKind
    corners_deg: tuple[tuple[float, float], ...]
    height: StatedHeight | None = None
    no_height: str = ""
    about: str = ""
    holes: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """The text of a file, and in words what its format could not hold."""

    text: str
    losses: tuple[str, ...]


def beside(route: PlainRoute) -> tuple[PlainShape, ...]:
    """Return what a route holds beside its items: launch point, boundary, diversion points."""
    launch = () if route.launch_point is None else (_place(route.launch_point, LAUNCH_POINT),)
    boundary = () if route.boundary is None else (_area(route.boundary),)
    return (*launch, *boundary, *(_place(place, DIVERSION) for place in route.diversions))


def _place(place: PlainPlace, about: str) -> PlainShape:
    return PlainShape(
        name=place.name,
        shape=ShapeKind.POINT,
        corners_deg=((place.latitude_deg, place.longitude_deg),),
        height=place.height,
        about=about,
    )


def _area(boundary: PlainBoundary) -> PlainShape:
    return PlainShape(
        name=BOUNDARY,
        shape=ShapeKind.POLYGON,
        corners_deg=boundary.corners_deg,
        height=boundary.top,
        about=BOUNDARY,
    )
