"""Turn a sortie as stated into numbers: heights, speeds, directions, air, inputs to draw."""

import math

import numpy as np

from homeleg.aircraft.loading import loaded_mass
from homeleg.aircraft.performance import (
    FlyingAircraft,
    best_glide_eas,
    full_power_climb,
    true_per_equivalent,
)
from homeleg.aircraft.record import Aircraft, LaunchMethod, TakeoffPath
from homeleg.foundation.constants import (
    AIR_GAS_CONSTANT_J_KG_K,
    ISA_LAPSE_RATE_K_M,
    STANDARD_GRAVITY_M_S2,
)
from homeleg.foundation.errors import OutOfModelError
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.physics.atmosphere import isa_pressure, moist_air_density
from homeleg.route.geometry import PlannedItem, climb_out_leg, route_legs
from homeleg.route.items import ItemKind, Passing, RouteItem
from homeleg.route.pattern import PatternPlan, hand_over_legs, pattern_legs
from homeleg.sortie.resolved import Departure, PlannedSpeeds, ResolvedSortie
from homeleg.sortie.sortie import Sortie
from homeleg.world.ground import Surface, ground_height, surface_of
from homeleg.world.wind import WindProfile, combined_wind, profile_speed

__all__ = ["resolve"]

# Proposals where the record leaves a speed open, over the stall speed. Ours.
_CRUISE_OVER_STALL = 1.5
_CLIMB_OVER_STALL = 1.4
_BASE_OVER_STALL = 1.4
_FINAL_OVER_STALL = 1.3
_USUAL_CLIMB_RATE_M_S = 3.0
_SHARE_OF_FULL_POWER_CLIMB = 0.6
# The final is laid out flatter than the glide at its airspeed, so that it can be held. Ours.
_SLOPE_OVER_GLIDE = 0.8
_UNKNOWN_MOTOR_DELAY_S = 0.3
_CALM_M_S = 0.5
# Hand-flown approaches and the 1-sigma spreads of barometer, fix and tracking. Ours.
_PILOT_AIRSPEED_SD_M_S = 1.0
_BAROMETER_SD_M = 4.0
_FIX_SD_M = 3.0
_TRACKING_SD_M = 3.0
_UNTOLD_PACK_TEMPERATURE_SD_K = 5.0


def resolve(sortie: Sortie) -> ResolvedSortie:
    """Return the sortie in numbers.

    Raises OutOfModelError, naming the item, where the model does not cover what was stated.
    """
    loaded = loaded_mass(sortie.aircraft, sortie.loading)
    aircraft = _middle_aircraft(sortie.aircraft, loaded.total_kg.value)
    density, lapse = _air(sortie)
    wind = combined_wind(sortie.weather, sortie.launch_time)
    speeds = _planned_speeds(sortie, aircraft, density, wind)
    surface = surface_of(sortie.site.ground, sortie.site.canopy)
    items = _planned_items(sortie, surface, speeds, density, lapse)
    pattern = _pattern(sortie, aircraft, speeds, items[-1], wind, density)
    joint = _joint(sortie.aircraft)
    return ResolvedSortie(
        sortie=sortie,
        loaded=loaded,
        aircraft=aircraft,
        density_kg_m3=density,
        density_lapse_1_m=lapse,
        wind=wind,
        surface=surface,
        speeds=speeds,
        items=items,
        departures=_departures(sortie, speeds, items, pattern),
        pattern=pattern,
        motor_delay_s=_UNKNOWN_MOTOR_DELAY_S
        if sortie.aircraft.takeoff.motor_delay_s is None
        else sortie.aircraft.takeoff.motor_delay_s,
        inputs=_inputs(sortie, loaded.total_kg, loaded.centre_of_gravity_fraction, wind, surface),
        joint_names=joint[0],
        joint_mean=joint[1],
        joint_covariance=joint[2],
    )


def _middle_aircraft(record: Aircraft, mass_kg: float) -> FlyingAircraft:
    learned = {}
    if record.learned is not None:
        learned = dict(zip(record.learned.names, record.learned.mean, strict=True))
    aero, propulsion = record.aerodynamics, record.propulsion
    efficiency = learned.get("efficiency", propulsion.efficiency.value)
    return FlyingAircraft(
        mass_kg=np.float64(learned.get("mass", mass_kg)),
        wing_area_m2=record.wing.area_m2,
        zero_lift_drag=np.float64(learned.get("zero_lift_drag", aero.zero_lift_drag.value)),
        induced_factor=np.float64(learned.get("induced_factor", aero.induced_factor.value)),
        lift_at_least_drag=aero.lift_at_least_drag,
        maximum_lift=np.float64(learned.get("maximum_lift", aero.maximum_lift.value)),
        efficiency=np.float64(efficiency),
        climb_efficiency=np.float64(
            propulsion.climb_efficiency.value * efficiency / propulsion.efficiency.value
        ),
        full_power_w=np.float64(learned.get("full_power", propulsion.full_power_w.value)),
        avionics_w=propulsion.avionics_w,
    )


def _air(sortie: Sortie) -> tuple[float, float]:
    """Return density at the launch point and the share of it lost per metre of height."""
    weather = sortie.weather
    pressure_pa = weather.pressure_pa or float(isa_pressure(sortie.site.elevation_amsl_m))
    temperature_k = weather.temperature_k.value
    density = float(moist_air_density(pressure_pa, temperature_k, weather.humidity_fraction))
    lapse = (STANDARD_GRAVITY_M_S2 / AIR_GAS_CONSTANT_J_KG_K - ISA_LAPSE_RATE_K_M) / temperature_k
    return density, lapse


def _equivalent(airspeed: StatedAirspeed, tas_per_eas: float) -> float:
    """Return the equivalent airspeed; at these speeds indicated and calibrated equal it."""
    if airspeed.kind is SpeedKind.TAS:
        return airspeed.value_m_s / tas_per_eas
    return airspeed.value_m_s


def _planned_speeds(
    sortie: Sortie, aircraft: FlyingAircraft, density: float, wind: WindProfile
) -> PlannedSpeeds:
    stated = sortie.aircraft.speeds
    stall = float(aircraft.stall_eas_m_s)
    half_gust = 0.5 * wind.gust_spread_m_s.value
    ratio = true_per_equivalent(density)

    def planned(airspeed: StatedAirspeed | None, proposal_m_s: float) -> float:
        return proposal_m_s if airspeed is None else _equivalent(airspeed, ratio)

    cruise = planned(stated.cruise, _CRUISE_OVER_STALL * stall)
    climb = planned(stated.climb, _CLIMB_OVER_STALL * stall)
    steepest = float(full_power_climb(aircraft, climb, density))
    if steepest <= 0.0:
        raise OutOfModelError(
            f"at full power ({float(aircraft.full_power_w):.0f} W) and {climb:.1f} m/s EAS this "
            f"aircraft sinks at {-steepest:.1f} m/s: it cannot climb. Check mass, full power "
            "and efficiency."
        )
    return PlannedSpeeds(
        cruise_eas_m_s=cruise,
        climb_eas_m_s=climb,
        climb_rate_m_s=stated.climb_rate_m_s
        or min(_USUAL_CLIMB_RATE_M_S, _SHARE_OF_FULL_POWER_CLIMB * steepest),
        base_eas_m_s=planned(stated.base, _BASE_OVER_STALL * stall + half_gust),
        final_eas_m_s=planned(stated.final, _FINAL_OVER_STALL * stall + half_gust),
        home_eas_m_s=planned(sortie.aircraft.link_loss.airspeed, cruise),
    )


def _above_launch(
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
                f"{name}: a height above the ellipsoid needs the geoid, which this version does "
                "not hold. Give it above launch or AMSL."
            )


def _planned_items(
    sortie: Sortie, surface: Surface, speeds: PlannedSpeeds, density: float, lapse: float
) -> tuple[PlannedItem, ...]:
    bank = sortie.aircraft.guidance.bank_rad
    planned: list[PlannedItem] = []
    height_m: float | None = None
    for item in sortie.route.items:
        if item.height is not None:
            height_m = _item_height(item, item.height, sortie, surface)
        if height_m is None:
            height_m = _first_height(sortie, surface)
        planned.append(
            _planned_item(item, height_m, speeds, bank, density * (1 - lapse * height_m))
        )
    return tuple(planned)


def _item_height(item: RouteItem, height: StatedHeight, sortie: Sortie, surface: Surface) -> float:
    ground_m = float(ground_height(surface, item.east_m, item.north_m))
    return _above_launch(height, sortie.site.elevation_amsl_m, ground_m, item.name)


def _first_height(sortie: Sortie, surface: Surface) -> float:
    for item in sortie.route.items:
        if item.height is not None:
            return _item_height(item, item.height, sortie, surface)
    raise OutOfModelError("no item of the route has a height: give at least one")


def _planned_item(
    item: RouteItem, height_m: float, speeds: PlannedSpeeds, bank_rad: float, density: float
) -> PlannedItem:
    airspeed = speeds.cruise_eas_m_s
    if item.airspeed is not None:
        airspeed = _equivalent(item.airspeed, true_per_equivalent(density))
    return PlannedItem(
        name=item.name,
        kind=item.kind,
        east_m=item.east_m,
        north_m=item.north_m,
        height_m=height_m,
        airspeed_eas_m_s=airspeed,
        bank_rad=bank_rad,
        passes_over=item.passing is Passing.FLY_OVER,
        radius_m=item.radius_m or 0.0,
        side=item.side,
        turns=item.turns or 0.0,
        duration_s=item.duration_s or 0.0,
        picture=item.picture,
    )


def _into_wind(wind: WindProfile) -> float | None:
    """Return the heading into the middle wind at 10 m, None in a calm."""
    east, north = profile_speed(wind, 10.0)
    if math.hypot(east, north) < _CALM_M_S:
        return None
    return math.atan2(-east, -north) % (2.0 * math.pi)


def _landing_heading(sortie: Sortie, wind: WindProfile) -> float:
    strip = sortie.site.strip
    upwind = _into_wind(wind)
    if strip.direction_true_rad is None:
        return upwind if upwind is not None else 0.0
    if strip.both_ways and upwind is not None:
        other = strip.direction_true_rad + math.pi
        if math.cos(upwind - strip.direction_true_rad) < 0.0:
            return other % (2.0 * math.pi)
    return strip.direction_true_rad


def _departures(
    sortie: Sortie,
    speeds: PlannedSpeeds,
    items: tuple[PlannedItem, ...],
    pattern: PatternPlan,
) -> tuple[Departure, ...]:
    guidance = sortie.aircraft.guidance
    takeoff, middle, last = items[0], items[1:-1], items[-1]
    if not middle:
        raise OutOfModelError("the route has no item between take-off and landing: add a point")
    legs = route_legs(middle)
    start, start_m = middle[-1].name, (middle[-1].east_m, middle[-1].north_m)
    if last.kind is ItemKind.HAND_OVER:
        radius_m = last.radius_m or 4.0 * speeds.base_eas_m_s
        legs += hand_over_legs(pattern, start, start_m, radius_m)
    else:
        legs += pattern_legs(pattern, start, start_m)
    first = middle[0]
    heading = sortie.site.launch_heading_true_rad
    if heading is None:
        heading = pattern.direction_rad
    stated = sortie.aircraft.takeoff.along
    departures = []
    for path in (stated,) if stated is not None else tuple(TakeoffPath):
        towards = path is TakeoffPath.TOWARDS_FIRST_ITEM
        climb = climb_out_leg(
            heading_rad=None if towards else heading,
            first=first,
            height_m=takeoff.height_m,
            airspeed_eas_m_s=speeds.climb_eas_m_s,
            bank_rad=guidance.pattern_bank_rad,
        )
        release = climb.course_rad
        if towards and sortie.site.launch_heading_true_rad is not None:
            release = sortie.site.launch_heading_true_rad
        words = (
            f"leaves towards {first.name}, {math.degrees(climb.course_rad):.0f} deg"
            if towards
            else f"leaves along {math.degrees(release):.0f} deg"
        )
        departures.append(Departure(words=words, heading_rad=release, legs=(climb, *legs)))
    return tuple(departures)


def _pattern(
    sortie: Sortie,
    aircraft: FlyingAircraft,
    speeds: PlannedSpeeds,
    last: PlannedItem,
    wind: WindProfile,
    density: float,
) -> PatternPlan:
    landing_heading = _landing_heading(sortie, wind)
    guidance = sortie.aircraft.guidance
    height_m = _above_launch(
        guidance.pattern_height, sortie.site.elevation_amsl_m, 0.0, "[guidance] pattern_height"
    )
    ratio = true_per_equivalent(density)
    east, north = profile_speed(wind, height_m)
    true_m_s = speeds.final_eas_m_s * ratio
    head_wind = -(east * math.sin(landing_heading) + north * math.cos(landing_heading))
    over_ground = max(true_m_s - head_wind, 0.3 * true_m_s)
    glide = float(aircraft.drag_n(speeds.final_eas_m_s) / aircraft.weight_n)
    _, best = best_glide_eas(aircraft)
    return PatternPlan(
        landing_m=(last.east_m, last.north_m),
        direction_rad=landing_heading,
        height_m=height_m,
        side=guidance.pattern_side,
        bank_rad=guidance.pattern_bank_rad,
        downwind_eas_m_s=max(speeds.cruise_eas_m_s, speeds.base_eas_m_s),
        base_eas_m_s=speeds.base_eas_m_s,
        final_eas_m_s=speeds.final_eas_m_s,
        slope=_SLOPE_OVER_GLIDE * max(glide, 1.0 / float(best)) * true_m_s / over_ground,
        wind_east_m_s=east,
        wind_north_m_s=north,
        tas_per_eas=ratio,
    )


def _joint(
    record: Aircraft,
) -> tuple[
    tuple[str, ...],
    "np.ndarray[tuple[int], np.dtype[np.float64]]",
    "np.ndarray[tuple[int, int], np.dtype[np.float64]]",
]:
    if record.learned is None:
        return (), np.zeros(0), np.zeros((0, 0))
    return record.learned.names, record.learned.mean, record.learned.covariance


def _inputs(
    sortie: Sortie, mass_kg: Estimate, centre: Estimate, wind: WindProfile, surface: Surface
) -> dict[str, Estimate]:
    """Return every drawn input by name, the ones that usually matter most first."""
    record, pack = sortie.aircraft, sortie.pack
    battery = record.battery

    def ours(value: float, sd: float) -> Estimate:
        return Estimate(value=value, sd=sd, basis=Basis.DECLARED)

    usable_ah = battery.capacity_ah * pack.capacity_fraction.value * battery.usable_fraction.value
    relative = math.hypot(
        battery.usable_fraction.sd / battery.usable_fraction.value,
        pack.capacity_fraction.sd / pack.capacity_fraction.value,
    )
    resistance = battery.resistance_ohm.value * pack.resistance_factor.value
    resistance_relative = math.hypot(
        battery.resistance_ohm.sd / battery.resistance_ohm.value,
        pack.resistance_factor.sd / pack.resistance_factor.value,
    )
    temperature = pack.temperature_k or Estimate(
        value=sortie.weather.temperature_k.value,
        sd=_UNTOLD_PACK_TEMPERATURE_SD_K,
        basis=Basis.ASSUMED,
    )
    report_basis = sortie.weather.reports[0].speed_m_s.basis
    inputs = {
        "wind_speed": Estimate(
            value=float(wind.speeds_m_s[0]), sd=float(wind.speed_sds_m_s[0]), basis=report_basis
        ),
        "wind_direction": Estimate(
            value=float(wind.from_true_rad[0]),
            sd=float(wind.direction_sds_rad[0]),
            basis=report_basis,
        ),
        "wind_exponent": wind.exponent,
        "gust_spread": wind.gust_spread_m_s,
        "mass": mass_kg,
        "zero_lift_drag": record.aerodynamics.zero_lift_drag,
        "induced_factor": record.aerodynamics.induced_factor,
        "efficiency": record.propulsion.efficiency,
        "maximum_lift": record.aerodynamics.maximum_lift,
        "usable_charge": Estimate(
            value=usable_ah, sd=relative * usable_ah, basis=battery.usable_fraction.basis
        ),
        "resistance": Estimate(
            value=resistance,
            sd=resistance_relative * resistance,
            basis=battery.resistance_ohm.basis,
        ),
        "airspeed_factor": record.aerodynamics.airspeed_factor,
        "barometer": ours(0.0, _BAROMETER_SD_M),
        "fix": ours(0.0, _FIX_SD_M),
        "tracking": ours(0.0, _TRACKING_SD_M),
        "ground": surface.error_m,
        "throw": record.takeoff.release_speed_m_s,
        "centre_of_gravity": centre,
        "pack_temperature": temperature,
        "charged": pack.charged_fraction,
        "propeller_diameter": record.propulsion.propeller_diameter_m,
        "full_power": record.propulsion.full_power_w,
        "pilot_airspeed": ours(0.0, _PILOT_AIRSPEED_SD_M_S),
    }
    if record.launch is LaunchMethod.RUNWAY:
        del inputs["throw"]
    if wind.aloft is not None:
        inputs["wind_aloft"] = wind.aloft
    return inputs
