"""The ground in squares, each with its share of the places where an aircraft may lie."""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.world.ground import is_inside

Array = NDArray[np.float64]
Outline = tuple[tuple[float, float], ...]
Corner = tuple[int, int]
Loop = list[Corner]

__all__ = ["Area", "Look", "SearchSquares", "area_of", "looks", "search_squares"]

# Sides that squares may have [m], the least that leaves no more of them to search. Ours.
_SIDES_M = (10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0)
_MOST_SQUARES = 250
_MOST = 0.9
# Each place is spread over its square and the eight around it by these weights.
_SPREAD = np.outer([0.25, 0.5, 0.25], [0.25, 0.5, 0.25])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SearchSquares:
    """Shares of squares (rows going north, columns going east), and where the first begins [m]."""

    share: Array
    west_m: float
    south_m: float
    side_m: float

    def middle_m(self, row: int, column: int) -> tuple[float, float]:
        """Return the middle of a square: metres east and north of the launch point."""
        return (
            self.west_m + (column + 0.5) * self.side_m,
            self.south_m + (row + 0.5) * self.side_m,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """The fewest squares that hold a share: outlines with the holes in each, and how much ground.

    Corners are metres east and north of the launch point; no corner is written twice.
    """

    outlines: tuple[tuple[Outline, tuple[Outline, ...]], ...]
    ground_m2: float
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A place to look: its middle, and the share that lies in the three by three squares there."""

    east_m: float
    north_m: float
    share: float


def search_squares(east_m: Array, north_m: Array, weight: Array) -> SearchSquares:
    """Return the squares that hold places with their weights, which add up to 1."""
    squares = _squares(east_m, north_m, weight, _SIDES_M[0])
    for side_m in _SIDES_M[1:]:
        if np.count_nonzero(_fewest(squares, _MOST)) <= _MOST_SQUARES:
            break
        squares = _squares(east_m, north_m, weight, side_m)
    return squares


def area_of(squares: SearchSquares, share: float) -> Area:
    """Return the fewest squares that together hold a share."""
    chosen = _fewest(squares, share)
    loops = _loops(chosen)
    outer = [loop for loop in loops if _twice_area(loop) > 0]
    holes: dict[int, list[Loop]] = {number: [] for number in range(len(outer))}
    for loop in loops:
        if _twice_area(loop) < 0:
            holes[_around(loop, outer)].append(loop)
    return Area(
        outlines=tuple(
            (_placed(squares, loop), tuple(_placed(squares, hole) for hole in holes[number]))
            for number, loop in enumerate(outer)
        ),
        ground_m2=float(np.count_nonzero(chosen)) * squares.side_m**2,
        share=float(squares.share[chosen].sum()),
    )


def looks(squares: SearchSquares, count: int) -> tuple[Look, ...]:
    """Return where to look, in order: each time the three by three squares that hold most."""
    left = np.pad(squares.share, 1)
    found = []
    for _ in range(count):
        windows = np.lib.stride_tricks.sliding_window_view(left, (3, 3)).sum(axis=(2, 3))
        row, column = np.unravel_index(int(np.argmax(windows)), windows.shape)
        share = float(windows[row, column])
        if share <= 1e-9:
            break
        east_m, north_m = squares.middle_m(int(row), int(column))
        found.append(Look(east_m=east_m, north_m=north_m, share=share))
        left[row : row + 3, column : column + 3] = 0.0
    return tuple(found)


def _squares(east_m: Array, north_m: Array, weight: Array, side_m: float) -> SearchSquares:
    column = np.floor(east_m / side_m).astype(np.int64)
    row = np.floor(north_m / side_m).astype(np.int64)
    west, south = int(column.min()) - 1, int(row.min()) - 1
    counted = np.zeros((int(row.max()) - south + 2, int(column.max()) - west + 2))
    for up in range(3):
        for across in range(3):
            at = (row - south + up - 1, column - west + across - 1)
            np.add.at(counted, at, weight * _SPREAD[up, across])
    return SearchSquares(share=counted, west_m=west * side_m, south_m=south * side_m, side_m=side_m)


def _fewest(squares: SearchSquares, share: float) -> NDArray[np.bool_]:
    """Return the fewest squares that hold a share; of equal ones the first to the south-west."""
    order = np.argsort(-squares.share.ravel(), kind="stable")
    held = np.cumsum(squares.share.ravel()[order])
    count = int(np.searchsorted(held, share - 1e-12)) + 1
    chosen = np.zeros(squares.share.size, dtype=np.bool_)
    chosen[order[:count]] = True
    return chosen.reshape(squares.share.shape)


def _loops(chosen: NDArray[np.bool_]) -> list[Loop]:
    """Return the edges of chosen squares as loops of corners, what is chosen to their left.

    Squares that touch at a corner alone are kept apart.
    """
    ahead: dict[Corner, list[Corner]] = defaultdict(list)
    padded = np.pad(chosen, 1)
    for row, column in np.argwhere(chosen).tolist():
        around = [(column, row), (column + 1, row), (column + 1, row + 1), (column, row + 1)]
        beside = [
            (row, column + 1),
            (row + 1, column + 2),
            (row + 2, column + 1),
            (row + 1, column),
        ]
        for number, (up, across) in enumerate(beside):
            if not padded[up, across]:
                ahead[around[number]].append(around[(number + 1) % 4])
    loops = []
    while any(ahead.values()):
        start = next(corner for corner, ways in ahead.items() if ways)
        loops.append(_without_straight(_loop(ahead, start)))
    return loops


def _loop(ahead: dict[Corner, list[Corner]], start: Corner) -> Loop:
    """Follow edges from a corner until they close, and take them out of those `ahead`."""
    first = ahead[start].pop()
    loop, before, here = [start], start, first
    while True:
        ways = ahead[here] + ([first] if here == start else [])
        there = max(ways, key=lambda way: _left_turn(before, here, way))
        if here == start and there == first:
            return loop
        ahead[here].remove(there)
        loop.append(here)
        before, here = here, there


def _left_turn(before: Corner, here: Corner, way: Corner) -> int:
    (x0, y0), (x1, y1), (x2, y2) = before, here, way
    return (x1 - x0) * (y2 - y1) - (y1 - y0) * (x2 - x1)


def _around(hole: Loop, outer: list[Loop]) -> int:
    """Return the number of the smallest loop around a hole."""
    (x0, y0), (x1, y1) = hole[:2]
    length = abs(x1 - x0) + abs(y1 - y0)
    along_x, along_y = (x1 - x0) / length, (y1 - y0) / length
    # The middle of a square in the hole: to the right of its first edge.
    x, y = x0 + 0.5 * (along_x + along_y), y0 + 0.5 * (along_y - along_x)
    inside = [k for k, loop in enumerate(outer) if is_inside(tuple(loop), x, y)]
    return min(inside, key=lambda k: _twice_area(outer[k]))


def _placed(squares: SearchSquares, loop: Loop) -> Outline:
    return tuple(
        (squares.west_m + x * squares.side_m, squares.south_m + y * squares.side_m) for x, y in loop
    )


def _without_straight(loop: Loop) -> Loop:
    """Return the corners at which a loop turns."""
    count = len(loop)
    return [
        loop[k]
        for k in range(count)
        if not (
            loop[k - 1][0] == loop[k][0] == loop[(k + 1) % count][0]
            or loop[k - 1][1] == loop[k][1] == loop[(k + 1) % count][1]
        )
    ]


def _twice_area(loop: Loop) -> int:
    """Return twice the area inside a loop, above 0 if it goes round to the left."""
    following = [*loop[1:], loop[0]]
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in zip(loop, following, strict=True))
