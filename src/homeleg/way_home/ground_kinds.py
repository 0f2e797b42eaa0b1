"""Where an aircraft may come down: keep-out ground and declared places as a grid of kinds."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.flight import gliding as g
from homeleg.world.outline import distance_outside
from homeleg.world.site import GROUND_OF_PEOPLE, Site

Array = NDArray[np.float64]

__all__ = ["CLEAR_OF_PEOPLE_M", "GroundKinds", "ground_kinds"]

# Ground this near to keep-out ground for people is not counted on: nobody aims better. Ours.
CLEAR_OF_PEOPLE_M = 10.0
_SPACING_M = 5.0
_MOST_CELLS = 300


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GroundKinds:
    """Kinds (rows, columns) at the nodes of a grid, south-west node first; all else is open.

    `place` is east and north of that node and the spacing [m].
    """

    kinds: Array
    place: Array


def ground_kinds(site: Site, around_m: tuple[float, float, float, float]) -> GroundKinds:
    """Return what the site declares of the ground, inside west, south, east and north. [m].

    Water and forest are ground where it may be lost; a declared place is open, whatever is around.
    """
    marked = [
        (min(east), min(north), max(east), max(north))
        for east, north in (zip(*one.vertices_m, strict=True) for one in site.keep_out)
    ]
    if not marked:
        return GroundKinds(kinds=np.zeros((1, 1)), place=np.array([0.0, 0.0, 1.0]))
    wide = CLEAR_OF_PEOPLE_M + _SPACING_M
    west_m = max(min(box[0] for box in marked) - wide, around_m[0])
    south_m = max(min(box[1] for box in marked) - wide, around_m[1])
    east_m = max(min(max(box[2] for box in marked) + wide, around_m[2]), west_m)
    north_m = max(min(max(box[3] for box in marked) + wide, around_m[3]), south_m)
    spacing_m = max(_SPACING_M, max(east_m - west_m, north_m - south_m) / _MOST_CELLS)
    east = west_m + spacing_m * np.arange(math.ceil((east_m - west_m) / spacing_m) + 1)
    north = south_m + spacing_m * np.arange(math.ceil((north_m - south_m) / spacing_m) + 1)
    kinds = np.zeros((north.size, east.size))
    for one, box in zip(site.keep_out, marked, strict=True):
        columns = slice(*np.searchsorted(east, (box[0] - wide, box[2] + wide)))
        rows = slice(*np.searchsorted(north, (box[1] - wide, box[3] + wide)))
        outside_m = distance_outside(
            one.vertices_m, *np.meshgrid(east[columns], north[rows], indexing="xy")
        )
        of_people = one.kind in GROUND_OF_PEOPLE
        kind, within_m = (g.OF_PEOPLE, CLEAR_OF_PEOPLE_M) if of_people else (g.LOST, 0.0)
        part = kinds[rows, columns]
        part[outside_m < within_m] = np.maximum(part[outside_m < within_m], kind)
    for place in site.come_down:
        off_m = np.hypot(*np.meshgrid(east - place.east_m, north - place.north_m))
        kinds[off_m <= place.radius_m] = g.OPEN
    return GroundKinds(kinds=kinds, place=np.array([west_m, south_m, spacing_m]))
