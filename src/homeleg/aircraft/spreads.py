"""How doubtful a figure is by default, from what it rests on."""

from collections.abc import Mapping
from types import MappingProxyType

from homeleg.foundation.estimate import Basis

__all__ = ["CENTRE_OF_GRAVITY_SPREAD_CHORDS", "DEFAULT_RELATIVE_SPREAD", "default_sd"]

# A table column for every basis but DECLARED, which counts as a maker's figure.
_COLUMNS = (Basis.ASSUMED, Basis.FROM_GEOMETRY, Basis.MAKER, Basis.BENCH, Basis.FLIGHT)


def _by_basis(*fractions: float | None) -> Mapping[Basis, float]:
    """Return one row of the table; None where that basis does not exist for the quantity."""
    row = {b: f for b, f in zip(_COLUMNS, fractions, strict=True) if f is not None}
    return MappingProxyType(row)


# One standard deviation over the value. Our own figures (MEMORY): a value in the aircraft's
# record with its own standard deviation overrides them.
DEFAULT_RELATIVE_SPREAD: Mapping[str, Mapping[Basis, float]] = MappingProxyType(
    {
        "zero_lift_drag": _by_basis(0.20, 0.12, None, None, 0.08),
        "induced_factor": _by_basis(0.12, 0.10, None, None, 0.07),
        "efficiency": _by_basis(0.15, None, 0.10, 0.05, 0.05),
        "maximum_lift": _by_basis(0.12, 0.10, None, None, 0.05),
        "usable_charge": _by_basis(0.10, None, 0.05, 0.03, 0.03),
        "resistance": _by_basis(0.50, None, 0.30, 0.10, 0.10),
        "mass": _by_basis(0.05, None, 0.03, 0.005, 0.005),
        "airspeed_factor": _by_basis(0.05, None, 0.03, 0.02, 0.015),
    }
)

# One standard deviation of the centre of gravity, in fractions of the mean chord: a position
# has no natural zero, so a relative spread would mean nothing.
CENTRE_OF_GRAVITY_SPREAD_CHORDS = _by_basis(0.04, 0.03, 0.03, 0.008, 0.008)
_CENTRE_OF_GRAVITY = "centre_of_gravity"


def default_sd(quantity: str, value: float, basis: Basis) -> float:
    """Return the default standard deviation of a quantity, in the unit of its value.

    A declared value counts as a maker's figure. Where a basis does not exist for a quantity,
    the next weaker one that does exist is taken: a "bench" drag is no better than one from
    geometry. `centre_of_gravity` is in fractions of the mean chord, whatever the value.

    Raises ValueError for an unknown quantity, naming those there are.
    """
    if quantity == _CENTRE_OF_GRAVITY:
        return _strongest_up_to(basis, CENTRE_OF_GRAVITY_SPREAD_CHORDS)
    if quantity not in DEFAULT_RELATIVE_SPREAD:
        known = ", ".join([*DEFAULT_RELATIVE_SPREAD, _CENTRE_OF_GRAVITY])
        raise ValueError(f"no default spread for {quantity!r}; there is one for: {known}")
    return abs(value) * _strongest_up_to(basis, DEFAULT_RELATIVE_SPREAD[quantity])


def _strongest_up_to(basis: Basis, row: Mapping[Basis, float]) -> float:
    column = _COLUMNS.index(Basis.MAKER if basis is Basis.DECLARED else basis)
    return next(row[weaker] for weaker in reversed(_COLUMNS[: column + 1]) if weaker in row)
