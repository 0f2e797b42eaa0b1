"""The items of a route, in flying order, on a plane in metres about the launch point."""

from dataclasses import dataclass
from enum import Enum

from homeleg.foundation.heights import StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side


class ItemKind(Enum):
    """What an item asks of the aircraft."""

    TAKEOFF = "takeoff"
    POINT = "point"
    ORBIT = "orbit"
    RETURN = "return"
    LAND = "land"
    HAND_OVER = "hand_over"


class Passing(Enum):
    """How a point is passed: the corner cut, or overflown."""

    FLY_BY = "fly-by"
    FLY_OVER = "fly-over"


@dataclass(frozen=True, slots=True, kw_only=True)
class RouteItem:
    """One item. Positions in metres east and north of the launch point.

    `airspeed` None means the aircraft's cruise airspeed; an orbit has turns or a duration;
    `picture` marks the leg that leads to this item as a picture leg.
    """

    name: str
    kind: ItemKind
    east_m: float
    north_m: float
    height: StatedHeight | None
    airspeed: StatedAirspeed | None = None
    passing: Passing = Passing.FLY_BY
    radius_m: float | None = None
    side: Side = Side.RIGHT
    turns: float | None = None
    duration_s: float | None = None
    picture: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """Items in flying order: first a take-off, last a landing or a hand-over to the pilot."""

    items: tuple[RouteItem, ...]
