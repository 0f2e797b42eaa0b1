"""From items to legs: what the aircraft is asked to fly, straight lines and circles in order."""

import math
from dataclasses import dataclass, replace
from enum import Enum

from homeleg.foundation.side import Side
from homeleg.route.items import ItemKind

__all__ = ["Leg", "LegKind", "PlannedItem", "climb_out_leg", "route_legs"]

# A climb-out along a heading has no end of its own: its line is drawn this far. [m]
_CLIMB_LINE_M = 20_000.0


class LegKind(Enum):
    """How a leg is flown."""

    CLIMB_OUT = "climb-out"
    TRACK = "track"
    ORBIT = "orbit"
    FINAL = "final"


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedItem:
    """A route item with everything resolved: metres above launch, equivalent airspeed, bank."""

    name: str
    kind: ItemKind
    east_m: float
    north_m: float
    height_m: float
    airspeed_eas_m_s: float
    approach_eas_m_s: float
    bank_rad: float
    passes_over: bool
    radius_m: float
    side: Side
    turns: float
    duration_s: float
    picture: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One leg. An orbit's end is its centre; a direct leg starts where the aircraft then is.

    A direct orbit lies beside that place; one without turns or duration ends at its height.

    Heights in metres above launch, airspeed equivalent, angles in radians.
    """

    start: str
    end: str
    kind: LegKind
    start_m: tuple[float, float]
    end_m: tuple[float, float]
    height_m: float
    airspeed_eas_m_s: float
    bank_rad: float
    radius_m: float = 0.0
    side_sign: float = 0.0
    turns: float = 0.0
    duration_s: float = 0.0
    direct: bool = False
    slope: float = 0.0
    on_route: bool = False
    passes_over: bool = False
    by_pilot: bool = False
    picture: bool = False

    @property
    def length_m(self) -> float:
        """Length of the drawn line."""
        return math.hypot(self.end_m[0] - self.start_m[0], self.end_m[1] - self.start_m[1])

    @property
    def climbs(self) -> bool:
        """Whether it is an orbit flown until its height is reached."""
        return self.kind is LegKind.ORBIT and self.turns == self.duration_s == 0.0

    @property
    def course_rad(self) -> float:
        """Course of the drawn line, true."""
        east, north = (b - a for a, b in zip(self.start_m, self.end_m, strict=True))
        return math.atan2(east, north) % (2.0 * math.pi)


def climb_out_leg(
    *,
    heading_rad: float | None,
    first: PlannedItem,
    height_m: float,
    airspeed_eas_m_s: float,
    bank_rad: float,
) -> Leg:
    """Return the climb-out: along a heading, or towards the first item if it is None."""
    if heading_rad is None:
        end_m = (first.east_m, first.north_m)
    else:
        end_m = (_CLIMB_LINE_M * math.sin(heading_rad), _CLIMB_LINE_M * math.cos(heading_rad))
    return Leg(
        start="launch",
        end="climb-out",
        kind=LegKind.CLIMB_OUT,
        start_m=(0.0, 0.0),
        end_m=end_m,
        height_m=height_m,
        airspeed_eas_m_s=airspeed_eas_m_s,
        bank_rad=bank_rad,
    )


def route_legs(items: tuple[PlannedItem, ...]) -> list[Leg]:
    """Return the legs over all items; the first starts where the climb-out ended.

    An orbit is flown at its item's airspeed, the leg to it at its approach airspeed.
    """
    legs: list[Leg] = []
    at_m, name, direct = (0.0, 0.0), "launch", True
    for item in items:
        if item.kind is ItemKind.ORBIT:
            entry_m = _tangent_entry(at_m, item)
            if entry_m is not None:
                approach = replace(item, airspeed_eas_m_s=item.approach_eas_m_s)
                legs.append(_track(name, approach, at_m, entry_m, direct=direct, passes_over=True))
            legs.append(_orbit(item, entry_m or at_m))
        else:
            end_m = (item.east_m, item.north_m)
            legs.append(
                _track(name, item, at_m, end_m, direct=direct, passes_over=item.passes_over)
            )
        at_m, name, direct = (item.east_m, item.north_m), item.name, item.kind is ItemKind.ORBIT
    return legs


def _track(
    start: str,
    item: PlannedItem,
    start_m: tuple[float, float],
    end_m: tuple[float, float],
    *,
    direct: bool,
    passes_over: bool,
) -> Leg:
    return Leg(
        start=start,
        end=item.name,
        kind=LegKind.TRACK,
        start_m=start_m,
        end_m=end_m,
        height_m=item.height_m,
        airspeed_eas_m_s=item.airspeed_eas_m_s,
        bank_rad=item.bank_rad,
        direct=direct,
        on_route=True,
        passes_over=passes_over,
        picture=item.picture,
    )


def _orbit(item: PlannedItem, entry_m: tuple[float, float]) -> Leg:
    return Leg(
        start=item.name,
        end=item.name,
        kind=LegKind.ORBIT,
        start_m=entry_m,
        end_m=(item.east_m, item.north_m),
        height_m=item.height_m,
        airspeed_eas_m_s=item.airspeed_eas_m_s,
        bank_rad=item.bank_rad,
        radius_m=item.radius_m,
        side_sign=item.side.sign,
        turns=item.turns,
        duration_s=item.duration_s,
        on_route=True,
        picture=item.picture,
    )


def _tangent_entry(at_m: tuple[float, float], item: PlannedItem) -> tuple[float, float] | None:
    """Return where a line from `at_m` touches the orbit in its own sense, None if inside."""
    east, north = item.east_m - at_m[0], item.north_m - at_m[1]
    distance_m = math.hypot(east, north)
    if distance_m <= item.radius_m:
        return None
    # The centre lies to the side the orbit turns to.
    course = math.atan2(east, north) - item.side.sign * math.asin(item.radius_m / distance_m)
    length_m = math.sqrt(distance_m**2 - item.radius_m**2)
    return (at_m[0] + length_m * math.sin(course), at_m[1] + length_m * math.cos(course))
