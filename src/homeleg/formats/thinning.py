"""A walked line with fewer places: those that turn it stay.

References: D. H. Douglas and T. K. Peucker, Cartographica 10, 112 (1973). MEMORY of the reference.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

__all__ = ["places_that_matter"]


def places_that_matter(places_m: Sequence[tuple[float, float]], within_m: float) -> list[int]:
    """Return the numbers of the places to keep: the line through them is within a distance of all.

    The first and the last are kept. [m]
    """
    line_m = np.array(places_m, dtype=np.float64)
    kept = {0, len(line_m) - 1}
    spans = [(0, len(line_m) - 1)]
    while spans:
        start, end = spans.pop()
        if end - start < 2:
            continue
        off_m = _off_m(line_m[start], line_m[end], line_m[start + 1 : end])
        farthest = int(np.argmax(off_m))
        if off_m[farthest] > within_m:
            number = start + 1 + farthest
            kept.add(number)
            spans += [(start, number), (number, end)]
    return sorted(kept)


def _off_m(
    start: NDArray[np.float64], end: NDArray[np.float64], places: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the distances of places (places, 2) from the straight line between two others. [m]."""
    along = end - start
    length_2 = float(along @ along)
    share = (places - start) @ along / length_2 if length_2 > 0.0 else np.zeros(len(places))
    nearest = start + np.clip(share, 0.0, 1.0)[:, np.newaxis] * along
    distances: NDArray[np.float64] = np.hypot(*(places - nearest).T)
    return distances
