"""Scrambled Sobol points: evenly spread draws, in scrambles of a fixed size.

Point `i` of the whole set is point `i % SCRAMBLE_SIZE` of scramble `i // SCRAMBLE_SIZE`, so that
more members only add scrambles and never change the members already drawn.
"""

import numpy as np
from numpy.typing import NDArray

__all__ = ["GREATEST_DIMENSION", "SCRAMBLE_SIZE", "scrambled_points", "sobol_points"]

SCRAMBLE_SIZE = 256
_BITS = 32

# Primitive polynomial (leading and trailing one included) and initial direction integers of each
# dimension: S. Joe and F. Y. Kuo, SIAM J. Sci. Comput. 30, 2635 (2008), file new-joe-kuo-6,
# first dimensions. FOUND via the copy inside SciPy, against which the tests compare the points.
_DIRECTIONS: tuple[tuple[int, tuple[int, ...]], ...] = (
    (1, (1,)),
    (3, (1,)),
    (7, (1, 3)),
    (11, (1, 3, 1)),
    (13, (1, 1, 1)),
    (19, (1, 1, 3, 3)),
    (25, (1, 3, 5, 13)),
    (37, (1, 1, 5, 5, 17)),
    (41, (1, 1, 5, 5, 5)),
    (47, (1, 1, 7, 11, 19)),
    (55, (1, 1, 5, 1, 1)),
    (59, (1, 1, 1, 3, 11)),
    (61, (1, 3, 5, 5, 31)),
    (67, (1, 3, 3, 9, 7, 49)),
    (91, (1, 1, 1, 15, 21, 21)),
    (97, (1, 3, 1, 13, 27, 49)),
    (103, (1, 1, 1, 15, 7, 5)),
    (109, (1, 3, 1, 15, 13, 25)),
    (115, (1, 1, 5, 5, 19, 61)),
    (131, (1, 3, 7, 11, 23, 15, 103)),
    (137, (1, 3, 7, 13, 13, 15, 69)),
    (143, (1, 1, 3, 13, 7, 35, 63)),
    (145, (1, 3, 5, 9, 1, 25, 53)),
    (157, (1, 3, 1, 13, 9, 35, 107)),
    (167, (1, 3, 1, 5, 27, 61, 31)),
    (171, (1, 1, 5, 11, 19, 41, 61)),
    (185, (1, 3, 5, 3, 3, 13, 69)),
    (191, (1, 1, 7, 13, 1, 19, 1)),
)
GREATEST_DIMENSION = len(_DIRECTIONS)


def _direction_integers(dimension: int) -> NDArray[np.uint32]:
    polynomial, initial = _DIRECTIONS[dimension]
    if dimension == 0:
        return np.array([1 << (_BITS - 1 - k) for k in range(_BITS)], dtype=np.uint32)
    degree = polynomial.bit_length() - 1
    integers = list(initial)
    for k in range(degree, _BITS):
        new = integers[k - degree] ^ (integers[k - degree] << degree)
        for j in range(1, degree):
            if (polynomial >> (degree - j)) & 1:
                new ^= integers[k - j] << j
        integers.append(new)
    return np.array([m << (_BITS - 1 - k) for k, m in enumerate(integers)], dtype=np.uint32)


def sobol_points(count: int, dimensions: int) -> NDArray[np.uint32]:
    """Return the first `count` Sobol points, (count, dimensions), in Gray-code order.

    32-bit integers: divide by 2^32 for the unit interval. Raises ValueError for more dimensions
    than there are.
    """
    if not 1 <= dimensions <= GREATEST_DIMENSION:
        raise ValueError(f"{dimensions} dimensions asked; there are 1 to {GREATEST_DIMENSION}")
    points = np.zeros((count, dimensions), dtype=np.uint32)
    gray = np.arange(count, dtype=np.uint32)
    gray ^= gray >> np.uint32(1)
    for dimension in range(dimensions):
        integers = _direction_integers(dimension)
        for bit in range(max(count - 1, 1).bit_length()):
            chosen = ((gray >> np.uint32(bit)) & np.uint32(1)).astype(bool)
            points[chosen, dimension] ^= integers[bit]
    return points


def scrambled_points(count: int, dimensions: int, seed: int) -> NDArray[np.float64]:
    """Return `count` scrambled points inside the open unit cube, (count, dimensions).

    Each scramble of `SCRAMBLE_SIZE` points is the same Sobol set under its own hash-based Owen
    scramble (B. Burley, J. Comput. Graph. Tech. 9(4), 2020; hash constants MEMORY, its
    stratification is what the tests hold it to).
    """
    base = sobol_points(SCRAMBLE_SIZE, dimensions)
    scrambles = -(-count // SCRAMBLE_SIZE)
    keys = np.random.default_rng(seed).integers(
        0, 2**32, size=(scrambles, dimensions), dtype=np.uint32
    )
    shuffled = _owen(base[np.newaxis, :, :], keys[:, np.newaxis, :])
    unit = (shuffled.astype(np.float64) + 0.5) / 2.0**_BITS
    return unit.reshape(-1, dimensions)[:count]


def _owen(values: NDArray[np.uint32], keys: NDArray[np.uint32]) -> NDArray[np.uint32]:
    x = _reverse_bits(np.broadcast_to(values, np.broadcast_shapes(values.shape, keys.shape)).copy())
    x ^= x * np.uint32(0x3D20ADEA)
    x += keys
    x *= (keys >> np.uint32(16)) | np.uint32(1)
    x ^= x * np.uint32(0x05526C56)
    x ^= x * np.uint32(0x53A22864)
    return _reverse_bits(x)


def _reverse_bits(x: NDArray[np.uint32]) -> NDArray[np.uint32]:
    for shift, mask in (
        (1, 0x55555555),
        (2, 0x33333333),
        (4, 0x0F0F0F0F),
        (8, 0x00FF00FF),
        (16, 0x0000FFFF),
    ):
        keep = np.uint32(mask)
        by = np.uint32(shift)
        x = ((x >> by) & keep) | ((x & keep) << by)
    return x
