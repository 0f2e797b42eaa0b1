"""What a file from outside holds, before anybody has said what it is for: named shapes."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from geographiclib.geodesic import Geodesic

from homeleg.formats.findings import Findings, Spot
from homeleg.formats.plain_shapes import ShapeKind
from homeleg.foundation.heights import Datum

__all__ = ["Feature", "Features", "Vertex", "distance_m", "report_bad_places"]

# The farthest apart that two neighbours may lie: beyond it a sign or an order is wrong. Ours.
_LONGEST_LEG_M = 50_000.0
_MOST_VERTICES = 20_000
_LOWEST_M, _HIGHEST_M = -500.0, 9000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Vertex:
    """A place as written, and the height written with it, above what nobody has said yet. [m]."""

    latitude_deg: float
    longitude_deg: float
    height_m: float | None = None
    name: str = ""
    cells: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """A shape of a file. `cells` are what it says of itself, by name.

    `above` is what its heights are above where the file says so; else `doubt` says in words why
    that is not known.
    """

    shape: ShapeKind
    spot: Spot
    vertices: tuple[Vertex, ...]
    name: str = ""
    cells: Mapping[str, str] = field(default_factory=dict)
    above: Datum | None = None
    doubt: str = ""
    holes: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Features:
    """The shapes of a file in its order, and in words what of it was passed over."""

    findings: Findings
    features: tuple[Feature, ...]
    lost: tuple[str, ...] = ()


def report_bad_places(found: Features) -> None:
    """Report places that are not on earth, heights that are none, and neighbours far apart.

    One problem for each shape: what follows from it would be wrong too.
    """
    if sum(len(feature.vertices) for feature in found.features) > _MOST_VERTICES:
        found.findings.top.report(
            f"holds more than {_MOST_VERTICES:,} places", "Keep what this flight needs."
        )
        return
    for feature in found.features:
        problems = (_problem_of(vertex) for vertex in feature.vertices)
        problem = next((problem for problem in problems if problem), None) or _leap(feature)
        if problem:
            feature.spot.report(*problem)


def distance_m(start: Vertex, end: Vertex) -> float:
    """Return the distance on the ellipsoid; the antimeridian is no obstacle to it. [m]."""
    line = Geodesic.WGS84.Inverse(
        start.latitude_deg, start.longitude_deg, end.latitude_deg, end.longitude_deg
    )
    return float(line["s12"])


def _problem_of(vertex: Vertex) -> tuple[str, str] | None:
    height_m = vertex.height_m or 0.0
    if not all(math.isfinite(x) for x in (vertex.latitude_deg, vertex.longitude_deg, height_m)):
        return "holds a place that is not a number", "Write latitude and longitude in degrees."
    for name, value, largest in (
        ("latitude", vertex.latitude_deg, 90.0),
        ("longitude", vertex.longitude_deg, 180.0),
    ):
        if abs(value) > largest:
            return (
                f"{name} {value:g} is beyond {largest:.0f} degrees",
                "Are latitude and longitude swapped?",
            )
    if not _LOWEST_M <= height_m <= _HIGHEST_M:
        return (
            f"the height {height_m:g} m is outside {_LOWEST_M:.0f} to {_HIGHEST_M:.0f} m",
            "Check the number and its unit.",
        )
    return None


def _leap(feature: Feature) -> tuple[str, str] | None:
    """Return the problem of neighbours that lie too far apart for any flight."""
    for number, (start, end) in enumerate(pairwise(feature.vertices), start=1):
        if (leg_m := distance_m(start, end)) > _LONGEST_LEG_M:
            return (
                f"from its place {number} to the next it is {leg_m / 1000.0:,.0f} km",
                "Is a sign missing, or are latitude and longitude swapped?",
            )
    return None
