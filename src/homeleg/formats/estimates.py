"""From an estimate as written to one with a spread and a basis."""

from homeleg.aircraft.spreads import default_sd
from homeleg.formats.findings import Spot
from homeleg.formats.kinds import Share
from homeleg.formats.reader import StatedEstimate, Values
from homeleg.foundation.estimate import Basis, Estimate

__all__ = ["assumed", "estimate_from", "estimate_of", "estimate_with", "scaled"]


def assumed(value: float, sd: float) -> Estimate:
    """Return an estimate that nobody measured or declared."""
    return Estimate(value=value, sd=sd, basis=Basis.ASSUMED)


def estimate_of(table: Values, key: str, quantity: str, otherwise: Estimate) -> Estimate:
    """Return the estimate under a key, or `otherwise` where it was left out."""
    stated = table.get(key, StatedEstimate)
    if stated is None:
        return otherwise
    return estimate_from(stated, quantity, table.spot.at(key))


def estimate_from(
    stated: StatedEstimate, quantity: str, spot: Spot, plain: Basis = Basis.DECLARED
) -> Estimate:
    """Return a stated estimate, with the default spread of its quantity where it has none.

    A value without a basis counts as `plain`.
    """
    basis = stated.basis or plain
    sd = stated.sd
    if sd is None:
        sd = default_sd(quantity, stated.value, basis)
    return _checked(stated.value, sd, basis, spot)


def estimate_with(table: Values, key: str, sd: float | Share, otherwise: Estimate) -> Estimate:
    """Return the estimate under a key whose default spread is the same whatever its basis."""
    stated = table.get(key, StatedEstimate)
    if stated is None:
        return otherwise
    spread = sd if stated.sd is None else stated.sd
    return _checked(stated.value, spread, stated.basis or Basis.DECLARED, table.spot.at(key))


def _checked(value: float, sd: float | Share, basis: Basis, spot: Spot) -> Estimate:
    if isinstance(sd, Share):
        sd = sd.fraction * abs(value)
    if 0.0 < value < sd:
        spot.report(
            f"the standard deviation {sd:.4g} is larger than the value {value:.4g}",
            'Write it in the unit of the value; 8 % of the value is "8 % of value".',
        )
    return Estimate(value=value, sd=sd, basis=basis)


def scaled(estimate: Estimate, factor: float) -> Estimate:
    """Return an estimate times a constant."""
    return Estimate(
        value=estimate.value * factor, sd=estimate.sd * abs(factor), basis=estimate.basis
    )
