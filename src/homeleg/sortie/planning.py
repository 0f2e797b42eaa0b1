"""The plan in numbers: equivalent airspeeds, and every item with its height above launch."""

import math

from homeleg.aircraft.performance import (
    FlyingAircraft,
    full_power_climb,
    true_per_equivalent,
)
from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.foundation.errors import OutOfModelError
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.route.geometry import PlannedItem
from homeleg.route.items import ItemKind, Passing, RouteItem
from homeleg.sortie.resolved import PlannedSpeeds
from homeleg.sortie.sortie import Sortie
from homeleg.world.ground import GroundByEye, Surface, ground_height
from homeleg.world.wind import WindProfile, profile_speed

__all__ = ["height_above_launch", "planned_items", "planned_speeds", "proposed_cruise_eas"]

# Proposals where the record leaves a speed open, over the stall speed; over one that nine in ten
# stay below where nobody measured the lift. Ours.
_CRUISE_OVER_STALL = 1.5
_CLIMB_OVER_STALL = 1.4
_BASE_OVER_STALL = 1.4
_FINAL_OVER_STALL = 1.3
# Nobody flies a pattern slower than the wind: proposed airspeeds make this much headway. Ours.
_PATTERN_HEADWAY_M_S = 5.0
_USUAL_CLIMB_RATE_M_S = 3.0
_SHARE_OF_FULL_POWER_CLIMB = 0.6
# Below this over the stall speed a stated airspeed is a slip; nearer the ground than this, a
# planned height is. Ours.
_LOWEST_OVER_STALL = 1.1
_LOWEST_OVER_GROUND_M = 5.0
_ON_THE_GROUND = (ItemKind.TAKEOFF, ItemKind.LAND)


def _equivalent(airspeed: StatedAirspeed, tas_per_eas: float) -> float:
    """Return the equivalent airspeed; at these speeds indicated and calibrated equal it."""
    if airspeed.kind is SpeedKind.TAS:
        return airspeed.value_m_s / tas_per_eas
    return airspeed.value_m_s


def _flyable(name: str, airspeed: StatedAirspeed, tas_per_eas: float, stall: float) -> float:
    """Return the equivalent airspeed of one that holds the aircraft up."""
    equivalent = _equivalent(airspeed, tas_per_eas)
    lowest = _LOWEST_OVER_STALL * stall
    if equivalent < lowest:
        relation = "below" if equivalent < stall else "too near"
        raise OutOfModelError(
            f"{name}: {airspeed.value_m_s:.3g} m/s {airspeed.kind.value} is {relation} the stall "
            f"speed of this aircraft as loaded, {stall:.1f} m/s EAS. Plan {lowest:.1f} m/s EAS "
            "or more, or check mass, wing area and maximum_lift."
        )
    return equivalent


def _likely_highest_stall(stall_m_s: float, maximum_lift: Estimate) -> float:
    """Return the stall speed that nine in ten stay below where the lift is only assumed."""
    if maximum_lift.basis is not Basis.ASSUMED:
        return stall_m_s
    return stall_m_s * (1.0 + 0.5 * NINE_IN_TEN_Z * maximum_lift.sd / maximum_lift.value)


def proposed_cruise_eas(stall_m_s: float, maximum_lift: Estimate) -> float:
    """Return the cruise airspeed proposed for a middle stall speed and its doubt. [m/s EAS]."""
    return _CRUISE_OVER_STALL * _likely_highest_stall(stall_m_s, maximum_lift)


def planned_speeds(
    sortie: Sortie, aircraft: FlyingAircraft, density: float, wind: WindProfile
) -> PlannedSpeeds:
    """Return the planned airspeeds: as stated, else proposed from the stall speed.

    Raises OutOfModelError when a stated one is too near the stall, naming it, and when the
    aircraft cannot climb at full power.
    """
    stated = sortie.aircraft.speeds
    stall, maximum_lift = float(aircraft.stall_eas_m_s), sortie.aircraft.aerodynamics.maximum_lift
    highest_stall = _likely_highest_stall(stall, maximum_lift)
    half_gust = 0.5 * wind.gust_spread_m_s.value
    ratio = true_per_equivalent(density)

    def planned(name: str, airspeed: StatedAirspeed | None, proposal_m_s: float) -> float:
        return proposal_m_s if airspeed is None else _flyable(name, airspeed, ratio, stall)

    # Low down and turning, half the gust goes on top as it does in the pattern.
    in_climb = _CLIMB_OVER_STALL * highest_stall + half_gust
    in_cruise = max(proposed_cruise_eas(stall, maximum_lift), in_climb)
    cruise = planned("cruise", stated.cruise, in_cruise)
    climb = planned("climb", stated.climb, in_climb)
    steepest = float(full_power_climb(aircraft, climb, density))
    if steepest <= 0.0:
        raise OutOfModelError(
            f"at full power ({float(aircraft.full_power_w):.0f} W) and {climb:.1f} m/s EAS this "
            f"aircraft sinks at {-steepest:.1f} m/s: it cannot climb. Check mass, full power "
            "and efficiency."
        )
    pattern_m = sortie.aircraft.guidance.pattern_height.value_m
    into_wind = (math.hypot(*profile_speed(wind, pattern_m)) + _PATTERN_HEADWAY_M_S) / ratio
    slowest_base = max(_BASE_OVER_STALL * highest_stall + half_gust, into_wind)
    slowest_final = max(_FINAL_OVER_STALL * highest_stall + half_gust, into_wind)
    return PlannedSpeeds(
        cruise_eas_m_s=cruise,
        climb_eas_m_s=climb,
        climb_rate_m_s=stated.climb_rate_m_s
        or min(_USUAL_CLIMB_RATE_M_S, _SHARE_OF_FULL_POWER_CLIMB * steepest),
        base_eas_m_s=planned("base", stated.base, slowest_base),
        final_eas_m_s=planned("final", stated.final, slowest_final),
        home_eas_m_s=planned("link_loss airspeed", sortie.aircraft.link_loss.airspeed, cruise),
    )


def height_above_launch(
    height: StatedHeight, elevation_amsl_m: float, ground_m: float, name: str
) -> float:
    """Return a height above launch, over ground that lies `ground_m` above launch there."""
    match height.above:
        case Datum.ABOVE_LAUNCH:
            return height.value_m
        case Datum.AGL:
            if math.isnan(ground_m):
                raise OutOfModelError(
                    f"{name}: {height.value_m:.0f} m AGL, and the ground under it is not known. "
                    "Give ground that reaches there, or the height above launch or AMSL."
                )
            return ground_m + height.value_m
        case Datum.AMSL:
            return height.value_m - elevation_amsl_m
        case Datum.ELLIPSOID:
            raise OutOfModelError(
                f"{name}: a height above the ellipsoid belongs to one place on earth. "
                "Give it above launch or AMSL."
            )


def planned_items(
    sortie: Sortie,
    aircraft: FlyingAircraft,
    surface: Surface,
    speeds: PlannedSpeeds,
    density: float,
    lapse: float,
) -> tuple[PlannedItem, ...]:
    """Return every item with height above launch and equivalent airspeed; heights carry on.

    Raises OutOfModelError, naming the item, where it is planned too near the stall or the ground.
    """
    bank, stall = sortie.aircraft.guidance.bank_rad, float(aircraft.stall_eas_m_s)
    planned: list[PlannedItem] = []
    height_m: float | None = None
    for item in sortie.route.items:
        if item.height is not None:
            height_m = _item_height(item, item.height, sortie, surface)
        if height_m is None:
            height_m = _first_height(sortie, surface)
        _check_over_ground(item, height_m, sortie, surface)
        airspeed = speeds.cruise_eas_m_s
        if item.airspeed is not None:
            ratio = true_per_equivalent(density * (1 - lapse * height_m))
            airspeed = _flyable(f"{item.name}, airspeed", item.airspeed, ratio, stall)
        planned.append(_planned_item(item, height_m, speeds, bank, airspeed))
    return tuple(planned)


def _item_height(item: RouteItem, height: StatedHeight, sortie: Sortie, surface: Surface) -> float:
    ground_m = float(ground_height(surface, item.east_m, item.north_m))
    return height_above_launch(height, sortie.site.elevation_amsl_m, ground_m, item.name)


def _check_over_ground(item: RouteItem, height_m: float, sortie: Sortie, surface: Surface) -> None:
    """Raise OutOfModelError for an item planned in the ground or at it, where that is known."""
    ground_m = float(ground_height(surface, item.east_m, item.north_m))
    told = sortie.site.ground
    if isinstance(told, GroundByEye) and math.hypot(item.east_m, item.north_m) > told.flat_to_m:
        return  # there the surface is what the ground may reach at most
    over_m = height_m - ground_m
    if item.kind in _ON_THE_GROUND or math.isnan(over_m) or over_m >= _LOWEST_OVER_GROUND_M:
        return
    where = f"{-over_m:.0f} m below" if over_m <= -0.5 else f"{max(over_m, 0.0):.0f} m above"
    raise OutOfModelError(
        f"{item.name} is planned {where} the ground there: {height_m:.0f} m above launch, and the "
        f"ground lies {ground_m:.0f} m above launch. Plan {_LOWEST_OVER_GROUND_M:.0f} m above the "
        "ground or more: is the height meant above launch, AGL or AMSL?"
    )


def _first_height(sortie: Sortie, surface: Surface) -> float:
    for item in sortie.route.items:
        if item.height is not None:
            return _item_height(item, item.height, sortie, surface)
    raise OutOfModelError("no item of the route has a height: give at least one")


def _planned_item(
    item: RouteItem, height_m: float, speeds: PlannedSpeeds, bank_rad: float, airspeed_eas: float
) -> PlannedItem:
    return PlannedItem(
        name=item.name,
        kind=item.kind,
        east_m=item.east_m,
        north_m=item.north_m,
        height_m=height_m,
        airspeed_eas_m_s=airspeed_eas,
        approach_eas_m_s=speeds.cruise_eas_m_s,
        bank_rad=bank_rad,
        passes_over=item.passing is Passing.FLY_OVER,
        radius_m=item.radius_m or 0.0,
        side=item.side,
        turns=item.turns or 0.0,
        duration_s=item.duration_s or 0.0,
        picture=item.picture,
    )
