"""The place flown from: launch point, strip, the ground around it, what stands on it."""

from dataclasses import dataclass
from enum import Enum

from homeleg.foundation.estimate import Estimate
from homeleg.foundation.heights import StatedHeight
from homeleg.world.ground import CanopyArea, GroundByEye, Obstacle, TerrainGround


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """Where the aircraft lands: length and the direction landed in [m, rad true].

    `both_ways` says that it may also be used in the opposite direction. `approach_obstacle_m` is
    what stands at the near end of it, zero when it is open.
    """

    length_m: float
    direction_true_rad: float | None
    both_ways: bool
    approach_obstacle_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class TreeLine:
    """A tree line near the touchdown point: where its nearest point stands, and its height [m]."""

    east_m: float
    north_m: float
    height_m: float


class KeepOutKind(Enum):
    """What must not be flown over or fallen onto."""

    PEOPLE = "people"
    ROAD = "road"
    BUILDING = "building"
    RAILWAY = "railway"
    WATER = "water"
    FOREST = "forest"


# Where a falling aircraft meets people. On water and in a forest it is only lost.
GROUND_OF_PEOPLE = frozenset(
    {KeepOutKind.PEOPLE, KeepOutKind.ROAD, KeepOutKind.BUILDING, KeepOutKind.RAILWAY}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepOutGround:
    """A polygon of ground with a kind; vertices in metres from the launch point."""

    name: str
    kind: KeepOutKind
    vertices_m: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ComeDownPlace:
    """A place where the aircraft may be lost: a circle [m]."""

    name: str
    east_m: float
    north_m: float
    radius_m: float


@dataclass(frozen=True, slots=True)
class PeopleOnGround:
    """How many people are on the ground flown over; None per km2 says that it is controlled."""

    per_km2: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DiversionPoint:
    """A point of the way home, link lost: metres from the launch point; None: at return height."""

    name: str
    east_m: float
    north_m: float
    height: StatedHeight | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Boundary:
    """The boundary as stated: a margin around the route's hull, or an area of its own; and a top.

    `vertices_m` are the corners of the area, none where the margin is meant.
    """

    hull_margin_m: float = 0.0
    vertices_m: tuple[tuple[float, float], ...] = ()
    top: StatedHeight


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """The place flown from. Angles in radians true, lengths in metres, height AMSL.

    `keep_out_told` says that somebody listed the keep-out ground, even if there is none. `geoid_m`
    is the geoid above the ellipsoid, None where no height was given above the ellipsoid.
    """

    latitude_rad: float
    longitude_rad: float
    elevation_amsl_m: float
    pilot_m: tuple[float, float]
    launch_heading_true_rad: float | None
    strip: Strip
    ground: GroundByEye | TerrainGround
    canopy: tuple[CanopyArea, ...]
    obstacles: tuple[Obstacle, ...]
    tree_line: TreeLine | None
    boundary: Boundary | None
    keep_out: tuple[KeepOutGround, ...]
    come_down: tuple[ComeDownPlace, ...]
    keep_out_told: bool
    diversion_points: tuple[DiversionPoint, ...]
    people: PeopleOnGround | None = None
    geoid_m: Estimate | None = None
