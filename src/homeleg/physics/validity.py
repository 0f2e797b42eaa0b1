"""Refusal of values outside the range in which a formula is valid."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["finite", "not_negative", "positive", "within"]


def finite(name: str, values: ArrayLike) -> NDArray[np.float64]:
    """Return the values as an array; refuse NaN and infinities."""
    array = np.asarray(values, dtype=np.float64)
    _refuse(name, array, np.isfinite(array), "any finite number")
    return array


def positive(name: str, values: ArrayLike) -> NDArray[np.float64]:
    """Return the values as an array; refuse NaN, infinities, zero and negative values."""
    array = np.asarray(values, dtype=np.float64)
    _refuse(name, array, array > 0.0, "above 0")
    return array


def not_negative(name: str, values: ArrayLike) -> NDArray[np.float64]:
    """Return the values as an array; refuse NaN, infinities and negative values."""
    array = np.asarray(values, dtype=np.float64)
    _refuse(name, array, array >= 0.0, "0 or above")
    return array


def within(name: str, values: ArrayLike, lowest: float, highest: float) -> NDArray[np.float64]:
    """Return the values as an array; refuse NaN, infinities and values outside the limits."""
    array = np.asarray(values, dtype=np.float64)
    _refuse(name, array, (array >= lowest) & (array <= highest), f"{lowest:g} to {highest:g}")
    return array


def _refuse(
    name: str, array: NDArray[np.float64], is_valid: NDArray[np.bool_], valid_range: str
) -> None:
    bad = array[~(is_valid & np.isfinite(array))]
    if bad.size:
        raise ValueError(
            f"{name} holds {bad[0]:g} ({bad.size} such values); valid is {valid_range}"
        )
