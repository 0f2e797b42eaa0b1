"""A route as any file or aircraft may hold it: places in degrees, heights and speeds as stated.

What a release holds, what `homeleg.formats` reads and writes and what a link fetches all become
this, so that one comparison serves them all. Degrees and stated heights on purpose: this is what is
stored outside, before anything is resolved.
"""

from dataclasses import dataclass
from enum import Enum

from homeleg.foundation.heights import StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.route.items import ItemKind, Passing

__all__ = ["Aspect", "PlainBoundary", "PlainItem", "PlainPlace", "PlainRoute"]


class Aspect(Enum):
    """Something of a route that a source may not be able to tell."""

    NAME = "names"
    KIND = "what each item asks"
    HEIGHT = "heights"
    AIRSPEED = "airspeeds"
    PASSING = "how points are passed"
    ORBIT = "radius, side and turns of orbits"
    PICTURE = "which legs are picture legs"
    LAUNCH_POINT = "the launch point"
    BOUNDARY = "the boundary"
    DIVERSIONS = "the diversion points"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainPlace:
    """A named place: WGS 84 latitude (north +) and longitude (east +) [deg], and a height."""

    name: str
    latitude_deg: float
    longitude_deg: float
    height: StatedHeight | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainItem:
    """One item of a route [deg WGS 84, m, s].

    `kind` is a text where the source asks for something that no item of ours is, such as "wait
    here". A value of None was not given; whether the source can give it at all is said once, in
    `PlainRoute.untold`.
    """

    name: str
    kind: ItemKind | str
    latitude_deg: float
    longitude_deg: float
    height: StatedHeight | None = None
    airspeed: StatedAirspeed | None = None
    passing: Passing | None = None
    radius_m: float | None = None
    side: Side | None = None
    turns: float | None = None
    duration_s: float | None = None
    picture: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainBoundary:
    """What must not be left: corners as (latitude, longitude) [deg], and its top."""

    corners_deg: tuple[tuple[float, float], ...]
    top: StatedHeight | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainRoute:
    """A route with its launch point, boundary and diversion points, as one source holds them.

    `untold` names what this source cannot tell: a comparison never takes that for equal.
    """

    items: tuple[PlainItem, ...]
    launch_point: PlainPlace | None = None
    boundary: PlainBoundary | None = None
    diversions: tuple[PlainPlace, ...] = ()
    untold: frozenset[Aspect] = frozenset()
