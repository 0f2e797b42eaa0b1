"""Obstacles out of what a file holds: its points, and points along its lines.

A row of trees walked with a phone, or a wire drawn from mast to mast, stands all along.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from homeleg.formats.features import Feature, Features, Vertex
from homeleg.formats.outside_heights import Heights
from homeleg.formats.outside_shapes import ShapesFound, points_from
from homeleg.formats.plain_shapes import ShapeKind
from homeleg.formats.plane import Plane
from homeleg.formats.thinning import places_that_matter
from homeleg.foundation.counted import counted

__all__ = ["obstacles_from"]

# An obstacle is flown past as if it were this wide to each side or more: nothing shows between two
# that stand as near.
_APART_M = 10.0
# A bend smaller than this is none. Ours.
_STRAIGHT_WITHIN_M = 1.0
_MOST_POINTS = 200


def obstacles_from(found: Features, heights: Heights = None) -> ShapesFound:
    """Return the points of a file and points along its lines, without a height of their own.

    What was walked has the elevation of the ground: how high it stands a person says. Raises
    InputFileError where the file holds neither, or a line too long.
    """
    features: list[Feature] = []
    changed = []
    for one in found.features:
        if one.shape is not ShapeKind.LINE:
            features.append(one)
            continue
        along = list(_along(one))
        if len(along) > _MOST_POINTS:
            problem = f"is a line of {(len(along) - 1) * _APART_M / 1000.0:.1f} km"
            one.spot.report(problem, "Keep the part that lies near this flight.")
        changed.append(
            f"{one.name or 'a line'} stands as {counted(len(along), 'point')}, no more than "
            f"{_APART_M:.0f} m apart"
        )
        features += along
    points = points_from(replace(found, features=tuple(features)), heights)
    return replace(points, changed=tuple(changed))


def _along(line: Feature) -> Iterator[Feature]:
    """Yield points along a line, each with the line's name and its number."""
    first = line.vertices[0]
    plane = Plane(math.radians(first.latitude_deg), math.radians(first.longitude_deg))
    walked_m = [
        plane.to_plane(math.radians(one.latitude_deg), math.radians(one.longitude_deg))
        for one in line.vertices
    ]
    bends_m = [walked_m[number] for number in places_that_matter(walked_m, _STRAIGHT_WITHIN_M)]
    places_m = bends_m[:1]
    for start_m, end_m in pairwise(bends_m):
        steps = max(math.ceil(math.dist(start_m, end_m) / _APART_M), 1)
        places_m += [
            (
                start_m[0] + (end_m[0] - start_m[0]) * step / steps,
                start_m[1] + (end_m[1] - start_m[1]) * step / steps,
            )
            for step in range(1, steps + 1)
        ]
    for number, place_m in enumerate(places_m, start=1):
        latitude_rad, longitude_rad = plane.to_geographic(*place_m)
        vertex = Vertex(
            latitude_deg=math.degrees(latitude_rad), longitude_deg=math.degrees(longitude_rad)
        )
        name = f"{line.name} {number}" if line.name else ""
        yield replace(line, shape=ShapeKind.POINT, vertices=(vertex,), name=name)
