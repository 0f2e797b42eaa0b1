"""What a file says of the wing, completed: area, mean chord, and where positions lie on it."""

from homeleg.aircraft.priors import BodyPlan
from homeleg.aircraft.record import Wing
from homeleg.formats.findings import Spot
from homeleg.formats.reader import Values
from homeleg.foundation.stated_text import ChordPosition, PositionReference

__all__ = ["chord_fraction", "spread_fraction", "wing_of"]

# The mean aerodynamic chord of ordinary tapers is 1.00 to 1.15 of area over span.
_CHORD_RATIO_LOWEST = 0.85
_CHORD_RATIO_HIGHEST = 1.35


def wing_of(table: Values) -> Wing | None:
    """Return the wing from whatever pair of figures pins it; None after reporting what lacks."""
    span_m = table.need("span", float)
    root_m, tip_m = table.get("root_chord", float), table.get("tip_chord", float)
    area_m2, chord_m = table.get("area", float), table.get("mean_chord", float)
    if root_m is not None and tip_m is not None:
        area_m2 = area_m2 or span_m * (root_m + tip_m) / 2.0
        chord_m = chord_m or _mean_aerodynamic_chord(root_m, tip_m)
    if area_m2 is None and chord_m is None:
        table.spot.report(
            "the wing has neither area nor chord", "Add area, mean_chord, or root and tip chord."
        )
        return None
    area_m2 = area_m2 or span_m * (chord_m or 0.0)
    chord_m = chord_m or area_m2 / span_m
    if not _CHORD_RATIO_LOWEST <= chord_m * span_m / area_m2 <= _CHORD_RATIO_HIGHEST:
        table.spot.report(
            f"span {span_m:.3g} m times chord {chord_m:.3g} m is {span_m * chord_m:.3g} m2, "
            f"but the area is {area_m2:.3g} m2",
            "Check span, area and chord: one of them is wrong.",
        )
        return None
    return Wing(span_m=span_m, area_m2=area_m2, mean_chord_m=chord_m)


def _mean_aerodynamic_chord(root_m: float, tip_m: float) -> float:
    """Return the mean aerodynamic chord of a straight taper, in metres."""
    taper = tip_m / root_m
    return 2.0 / 3.0 * root_m * (1.0 + taper + taper**2) / (1.0 + taper)


def chord_fraction(
    position: ChordPosition, table: Values, wing: Wing, plan: BodyPlan, spot: Spot
) -> float:
    """Return a position as a fraction of the mean chord.

    Where the file does not say how far the mean chord lies behind the root's edge, the quarter
    chord is taken as straight across; a flying wing is swept, and has to say.
    """
    if position.reference is PositionReference.MEAN_CHORD:
        return position.value
    behind_m = table.get("mean_chord_behind_root", float)
    if behind_m is None and plan is BodyPlan.FLYING_WING:
        spot.report(
            "is measured at the root, and a swept wing's mean chord lies further back",
            "Add mean_chord_behind_root to [wing], or write the position in % MAC.",
        )
    if behind_m is None:
        root_m = table.get("root_chord", float) or wing.mean_chord_m
        behind_m = (root_m - wing.mean_chord_m) / 4.0
    return (position.value - behind_m) / wing.mean_chord_m


def spread_fraction(spread: ChordPosition, wing: Wing) -> float:
    """Return a fore-and-aft spread as a fraction of the mean chord."""
    if spread.reference is PositionReference.MEAN_CHORD:
        return spread.value
    return spread.value / wing.mean_chord_m
