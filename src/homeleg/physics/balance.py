"""Mass and balance: where the aircraft balances, and where it must to be stable.

Arms are positive aft, all from one datum. Masses may be given as weights if all are.

References
----------
S1: FAA-H-8083-1, Weight and Balance Handbook (FOUND via worked examples).
S2: SFTE Flight Test Engineering Reference Handbook, ch. 7, Mass Properties (FOUND).
S3: straight-tapered wing, closed forms as in the Public Domain Aeronautical Software example on
    the mean aerodynamic chord (FOUND).
S4: neutral point of wing and tail, textbook form (FOUND via a worked problem).
"""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from homeleg.physics.validity import finite, not_negative, positive, within

__all__ = [
    "aspect_ratio",
    "centre_of_gravity",
    "centre_of_gravity_after_adding",
    "centre_of_gravity_shift",
    "mean_aerodynamic_chord",
    "mean_chord_position",
    "neutral_point",
    "static_margin",
    "tail_volume",
]


def centre_of_gravity(masses_kg: ArrayLike, arms_m: ArrayLike) -> NDArray[np.float64]:
    """Return the arm of the centre of gravity of several items.

    Parameters
    ----------
    masses_kg
        Masses along the last axis; an item taken out is negative. [kg]
    arms_m
        Their arms, aft positive. [m]

    Returns
    -------
    NDArray[np.float64]
        Arm of the centre of gravity, without the last axis. [m]

    Raises
    ------
    ValueError
        If a value is not finite or a total mass is not above 0.

    References
    ----------
    S1: sum(m x) / sum(m).
    """
    masses = finite("masses_kg", masses_kg)
    total = positive("total of masses_kg", np.sum(masses, axis=-1))
    moment: NDArray[np.float64] = np.sum(masses * finite("arms_m", arms_m), axis=-1)
    return moment / total


def centre_of_gravity_shift(
    moved_mass_kg: ArrayLike, distance_m: ArrayLike, total_mass_kg: ArrayLike
) -> NDArray[np.float64]:
    """Return how far the centre of gravity moves when something aboard is moved.

    Parameters
    ----------
    moved_mass_kg
        Mass of what is moved. [kg]
    distance_m
        How far it is moved, aft positive. [m]
    total_mass_kg
        Mass of the whole aircraft. [kg]

    Returns
    -------
    NDArray[np.float64]
        Shift of the centre of gravity, aft positive, in the broadcast shape of the inputs. [m]

    Raises
    ------
    ValueError
        If a mass is not above 0, more is moved than there is, or the distance is not finite.

    References
    ----------
    S1: m d / M.
    """
    moved = positive("moved_mass_kg", moved_mass_kg)
    share = within("moved_mass_kg / total", moved / positive("total_mass_kg", total_mass_kg), 0, 1)
    return share * finite("distance_m", distance_m)


def centre_of_gravity_after_adding(
    total_mass_kg: ArrayLike,
    centre_of_gravity_m: ArrayLike,
    added_mass_kg: ArrayLike,
    added_arm_m: ArrayLike,
) -> NDArray[np.float64]:
    """Return the centre of gravity after something is added, or taken out.

    Parameters
    ----------
    total_mass_kg
        Mass before. [kg]
    centre_of_gravity_m
        Arm of the centre of gravity before. [m]
    added_mass_kg
        Mass added; negative if taken out. [kg]
    added_arm_m
        Arm of what is added. [m]

    Returns
    -------
    NDArray[np.float64]
        Arm of the centre of gravity after, in the broadcast shape of the inputs. [m]

    Raises
    ------
    ValueError
        If a value is not finite or nothing is left.

    References
    ----------
    S1: x + m (x_added - x) / (M + m).
    """
    before = positive("total_mass_kg", total_mass_kg)
    added = finite("added_mass_kg", added_mass_kg)
    arm = finite("centre_of_gravity_m", centre_of_gravity_m)
    after = positive("total_mass_kg + added_mass_kg", before + added)
    return arm + added * (finite("added_arm_m", added_arm_m) - arm) / after


def mean_aerodynamic_chord(root_chord_m: ArrayLike, tip_chord_m: ArrayLike) -> NDArray[np.float64]:
    """Return the mean aerodynamic chord of a straight-tapered wing.

    Parameters
    ----------
    root_chord_m
        Chord at the centre line. [m]
    tip_chord_m
        Chord at the tip; 0 for a delta. [m]

    Returns
    -------
    NDArray[np.float64]
        Mean aerodynamic chord, in the broadcast shape of the inputs. [m]

    Raises
    ------
    ValueError
        If the root chord is not above 0 or the tip chord is negative.

    References
    ----------
    S3: (2/3) c_root (1 + t + t^2) / (1 + t), t = c_tip / c_root.
    """
    taper = _taper(root_chord_m, tip_chord_m)
    return 2.0 / 3.0 * np.asarray(root_chord_m) * (1.0 + taper + taper**2) / (1.0 + taper)


def mean_chord_position(
    root_chord_m: ArrayLike,
    tip_chord_m: ArrayLike,
    span_m: ArrayLike,
    tip_leading_edge_m: ArrayLike,
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return where the mean aerodynamic chord of a straight-tapered wing lies.

    Parameters
    ----------
    root_chord_m, tip_chord_m
        Chords at the centre line and the tip. [m]
    span_m
        Whole span, tip to tip. [m]
    tip_leading_edge_m
        How far the leading edge of the tip lies behind that of the root. [m]

    Returns
    -------
    tuple[NDArray[np.float64], NDArray[np.float64]]
        Distance from the centre line, and of its leading edge behind that of the root. [m]

    Raises
    ------
    ValueError
        If the root chord or span is not above 0, the tip chord negative or the sweep not finite.

    References
    ----------
    S3: y = (b/6) (1 + 2t) / (1 + t); on a straight leading edge x = x_tip y / (b/2).
    """
    taper = _taper(root_chord_m, tip_chord_m)
    share_of_semispan = (1.0 + 2.0 * taper) / (3.0 * (1.0 + taper))
    from_centre_m = share_of_semispan * positive("span_m", span_m) / 2.0
    return from_centre_m, share_of_semispan * finite("tip_leading_edge_m", tip_leading_edge_m)


def aspect_ratio(span_m: ArrayLike, wing_area_m2: ArrayLike) -> NDArray[np.float64]:
    """Return the aspect ratio, span squared over area.

    Parameters
    ----------
    span_m
        Whole span. [m]
    wing_area_m2
        Wing area. [m2]

    Returns
    -------
    NDArray[np.float64]
        Aspect ratio, in the broadcast shape of the inputs. [1]

    Raises
    ------
    ValueError
        If an input is not above 0.

    References
    ----------
    S3, definition.
    """
    return positive("span_m", span_m) ** 2 / positive("wing_area_m2", wing_area_m2)


def tail_volume(
    tail_area_m2: ArrayLike,
    tail_arm_m: ArrayLike,
    wing_area_m2: ArrayLike,
    mean_chord_m: ArrayLike,
) -> NDArray[np.float64]:
    """Return the horizontal tail volume coefficient, S_t l_t / (S c).

    Parameters
    ----------
    tail_area_m2
        Horizontal tail area. [m2]
    tail_arm_m
        From the aerodynamic centre of the wing to that of the tail. [m]
    wing_area_m2
        Wing area. [m2]
    mean_chord_m
        Mean aerodynamic chord of the wing. [m]

    Returns
    -------
    NDArray[np.float64]
        Tail volume coefficient, in the broadcast shape of the inputs. [1]

    Raises
    ------
    ValueError
        If an input is not above 0.

    References
    ----------
    S4.
    """
    tail_m3 = positive("tail_area_m2", tail_area_m2) * positive("tail_arm_m", tail_arm_m)
    return tail_m3 / (
        positive("wing_area_m2", wing_area_m2) * positive("mean_chord_m", mean_chord_m)
    )


def neutral_point(
    aerodynamic_centre_fraction: ArrayLike,
    tail_volume: ArrayLike,
    lift_slope_ratio: ArrayLike,
    downwash_gradient: ArrayLike,
) -> NDArray[np.float64]:
    """Return the stick-fixed neutral point of wing and tail.

    Parameters
    ----------
    aerodynamic_centre_fraction
        Aerodynamic centre of wing and body, in mean chords behind its leading edge. [1]
    tail_volume
        Horizontal tail volume coefficient; 0 without a tail. [1]
    lift_slope_ratio
        Lift-curve slope of the tail over that of wing and body. [1]
    downwash_gradient
        Change of downwash at the tail with angle of attack, 0 to 1. [1]

    Returns
    -------
    NDArray[np.float64]
        Neutral point, in mean chords behind its leading edge. [1]

    Raises
    ------
    ValueError
        If the aerodynamic centre is not finite, the lift-slope ratio not above 0, the tail volume
        negative or the downwash gradient outside 0 to 1.

    References
    ----------
    S4: h_ac + V_H (a_t / a) (1 - d eps / d alpha). Fuselage and propeller are left out.
    """
    volume = not_negative("tail_volume", tail_volume)
    downwash = within("downwash_gradient", downwash_gradient, 0.0, 1.0)
    tail_share = volume * positive("lift_slope_ratio", lift_slope_ratio) * (1.0 - downwash)
    return finite("aerodynamic_centre_fraction", aerodynamic_centre_fraction) + tail_share


def static_margin(
    neutral_point_fraction: ArrayLike, centre_of_gravity_fraction: ArrayLike
) -> NDArray[np.float64]:
    """Return how far the centre of gravity lies ahead of the neutral point.

    Parameters
    ----------
    neutral_point_fraction, centre_of_gravity_fraction
        In mean chords behind its leading edge. [1]

    Returns
    -------
    NDArray[np.float64]
        Static margin in mean chords, stable positive. [1]

    Raises
    ------
    ValueError
        If a value is NaN or infinite.

    References
    ----------
    S4: h_n - h.
    """
    return finite("neutral_point_fraction", neutral_point_fraction) - finite(
        "centre_of_gravity_fraction", centre_of_gravity_fraction
    )


def _taper(root_chord_m: ArrayLike, tip_chord_m: ArrayLike) -> NDArray[np.float64]:
    """Return tip chord over root chord."""
    tip = not_negative("tip_chord_m", tip_chord_m)
    return tip / positive("root_chord_m", root_chord_m)
