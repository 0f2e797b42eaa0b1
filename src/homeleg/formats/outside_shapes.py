"""Areas and points out of what a file holds: boundaries, keep-out ground, obstacles."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from homeleg.formats.features import Feature, Features, Vertex, distance_m
from homeleg.formats.outside_heights import Heights, height_of, stated_height
from homeleg.formats.plain_shapes import PlainShape, ShapeKind
from homeleg.formats.plane import Plane
from homeleg.formats.thinning import places_that_matter
from homeleg.foundation.counted import counted

__all__ = ["ShapesFound", "areas_from", "points_from", "why_no_boundary"]

_MOST_CORNERS = 500
# An area narrower than this is a line, and a bend of a walk as small is none. Ours.
_NARROWEST_M = 1.0
# A walk around a field counts as closed where its ends lie nearer than this. Ours.
_WALK_CLOSES_WITHIN_M = 50.0

Points = Sequence[tuple[float, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapesFound:
    """Shapes out of a file; in words what was changed, and what could not be carried over."""

    shapes: tuple[PlainShape, ...]
    changed: tuple[str, ...] = ()
    lost: tuple[str, ...] = ()


def areas_from(found: Features, heights: Heights = None) -> ShapesFound:
    """Return the areas of a file: its polygons; else walks around them; else its points as corners.

    Raises InputFileError where an area crosses itself, is none, or is not closed.
    """
    polygons = [one for one in found.features if one.shape is ShapeKind.POLYGON]
    lines = [one for one in found.features if one.shape is ShapeKind.LINE]
    points = [one for one in found.features if one.shape is ShapeKind.POINT]
    lost = list(found.lost)
    changed: list[str] = []
    if polygons:
        lost += [f"lines ({len(lines)})"] if lines else []
        shapes = [_area(one, one.vertices, heights) for one in polygons]
    elif lines:
        shapes = [_walked(one, heights, changed) for one in lines]
    else:
        changed.append("the points were taken as the corners of one area, in their order")
        shapes = [_area(points[0], [point.vertices[0] for point in points], heights)]
    if points and (polygons or lines):
        lost.append(f"points ({len(points)})")
    found.findings.raise_if_any()
    lost += _heights_lost(found, shapes)
    return ShapesFound(shapes=tuple(shapes), changed=tuple(changed), lost=tuple(lost))


def _heights_lost(found: Features, shapes: Sequence[PlainShape]) -> list[str]:
    """Return in words which heights of corners no area keeps."""
    written = sum(
        vertex.height_m not in (None, 0.0) for one in found.features for vertex in one.vertices
    )
    why = next((shape.no_height for shape in shapes if shape.height is None), "")
    return [f"heights of the corners ({written}): {why}"] if written and why else []


def why_no_boundary(areas: Sequence[PlainShape], naming: str) -> tuple[str, str] | None:
    """Return why areas are not the one that a boundary is, and what to do, None where they are.

    `naming` is how one of several is named.
    """
    if len(areas) != 1:
        what, remedy = counted(len(areas), "area"), f"Name the one that is meant: {naming}."
    elif areas[0].holes:
        what, remedy = "an island", "Draw it without; the island may be keep-out ground of its own."
    else:
        return None
    return f"holds {what}, and a boundary is one area", remedy


def points_from(found: Features, heights: Heights = None) -> ShapesFound:
    """Return the points of a file; raises InputFileError where it holds none."""
    points = [one for one in found.features if one.shape is ShapeKind.POINT]
    if not points:
        found.findings.top.report("holds no points", "Lines and areas are not what is wanted here.")
    shapes = [_shape(one, one.vertices, heights) for one in points]
    found.findings.raise_if_any()
    others = len(found.features) - len(points)
    lost = (*found.lost, *((f"lines and areas ({others})",) if others else ()))
    return ShapesFound(shapes=tuple(shapes), lost=lost)


def _shape(feature: Feature, corners: Sequence[Vertex], heights: Heights) -> PlainShape:
    """Return a shape as it stands; it has a height where all its corners have the same."""
    told = [height_of(feature, vertex, heights) for vertex in corners[: _MOST_CORNERS + 1]]
    if stated := stated_height(feature.cells, feature.spot):
        told = [(stated, "")]
    level = len({height for height, _ in told}) == 1
    return PlainShape(
        name=feature.name,
        shape=feature.shape,
        corners_deg=tuple((corner.latitude_deg, corner.longitude_deg) for corner in corners),
        height=told[0][0] if level else None,
        no_height=told[0][1] if level else "its corners have different heights",
        about=feature.cells.get("kind", ""),
        holes=feature.holes,
    )


def _walked(line: Feature, heights: Heights, changed: list[str]) -> PlainShape:
    """Return the area that a line goes around, after reporting one that does not come back."""
    gap_m = distance_m(line.vertices[0], line.vertices[-1])
    if gap_m > _WALK_CLOSES_WITHIN_M:
        line.spot.report(
            f"is a line whose ends lie {gap_m:,.0f} m apart, not an area",
            f"Walk it until it closes, within {_WALK_CLOSES_WITHIN_M:.0f} m.",
        )
    kept = places_that_matter(_places_m(line.vertices), _NARROWEST_M)
    corners = [line.vertices[k] for k in kept]
    if gap_m < _NARROWEST_M and corners[1:]:
        corners.pop()
    changed.append(
        f"{line.name or 'a line'} was closed to an area over {gap_m:.0f} m, and of its "
        f"{len(line.vertices):,} places the {len(corners)} kept that turn it, within "
        f"{_NARROWEST_M:.0f} m"
    )
    return _area(line, corners, heights)


def _area(feature: Feature, corners: Sequence[Vertex], heights: Heights) -> PlainShape:
    """Return an area, after reporting one that is none."""
    shape = _shape(feature, corners, heights)
    if problem := _problem_of(_places_m(corners[: _MOST_CORNERS + 1]), len(corners)):
        feature.spot.report(*problem)
    return replace(shape, shape=ShapeKind.POLYGON)


def _places_m(vertices: Sequence[Vertex]) -> list[tuple[float, float]]:
    """Return places on the plane about the first one. [m]."""
    first = vertices[0]
    plane = Plane(math.radians(first.latitude_deg), math.radians(first.longitude_deg))
    return [
        plane.to_plane(math.radians(one.latitude_deg), math.radians(one.longitude_deg))
        for one in vertices
    ]


def _problem_of(places_m: Points, count: int) -> tuple[str, str] | None:
    if count > _MOST_CORNERS:
        return f"has {count:,} corners", f"Simplify it to {_MOST_CORNERS} at most."
    if count < 3:
        return f"has {counted(count, 'corner')}", "An area needs three that are not in one line."
    crossing = _first_crossing(places_m)
    if crossing:
        return (
            f"crosses itself: its edge {crossing[0] + 1} cuts its edge {crossing[1] + 1}",
            "Put the corners into the order in which one would walk around it.",
        )
    if abs(_twice_area_m2(places_m)) < _NARROWEST_M * _way_around_m(places_m):
        return "encloses nothing", "An area needs three corners that are not in one line."
    return None


def _twice_area_m2(places_m: Points) -> float:
    following = (*places_m[1:], *places_m[:1])
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(places_m, following, strict=True))


def _way_around_m(places_m: Points) -> float:
    following = (*places_m[1:], *places_m[:1])
    return sum(math.dist(start, end) for start, end in zip(places_m, following, strict=True))


def _first_crossing(places_m: Points) -> tuple[int, int] | None:
    """Return the numbers of the first two edges that cross, None where no two do."""
    edges = list(zip(places_m, (*places_m[1:], *places_m[:1]), strict=True))
    pairs = combinations(range(len(edges)), 2)
    return next((pair for pair in pairs if _cross(edges[pair[0]], edges[pair[1]])), None)


def _cross(first: Points, second: Points) -> bool:
    """Return whether two edges cross inside both; a common corner is no crossing."""
    (a, b), (c, d) = first, second
    return _side(a, b, c) * _side(a, b, d) < 0.0 and _side(c, d, a) * _side(c, d, b) < 0.0


def _side(a: tuple[float, float], b: tuple[float, float], point: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (point[1] - a[1]) - (b[1] - a[1]) * (point[0] - a[0])
