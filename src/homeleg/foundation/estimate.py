"""A value with its standard deviation and what it rests on."""

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray


class Basis(Enum):
    """What an estimate rests on, weakest first."""

    ASSUMED = "assumed"
    FROM_GEOMETRY = "from geometry"
    MAKER = "maker's figure"
    DECLARED = "declared"
    BENCH = "bench"
    FLIGHT = "flight"


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A value in SI units with its standard deviation (same unit, 1 sigma) and basis."""

    value: float
    sd: float
    basis: Basis

    def __post_init__(self) -> None:
        if not (math.isfinite(self.value) and math.isfinite(self.sd) and self.sd >= 0.0):
            raise ValueError(f"not an estimate: value {self.value}, standard deviation {self.sd}")

    @property
    def is_assumed(self) -> bool:
        """Whether nobody measured or declared this value."""
        return self.basis in (Basis.ASSUMED, Basis.FROM_GEOMETRY)

    def drawn(self, normal: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return the values that standard normal numbers stand for; larger gives larger."""
        return self.value + self.sd * normal
