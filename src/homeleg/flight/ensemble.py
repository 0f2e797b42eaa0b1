"""Many flights of one sortie: members laid out for the kernel, flown, and given back by name."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from homeleg.aircraft.performance import FlyingAircraft, true_per_equivalent
from homeleg.aircraft.record import LaunchMethod
from homeleg.flight import layout as c
from homeleg.flight.kernel import fly_members, fly_onwards
from homeleg.foundation.constants import FOOT_M
from homeleg.physics.battery import NOMINAL_CELL_VOLTS, OPEN_CIRCUIT_VOLTS
from homeleg.physics.propeller import induced_velocity
from homeleg.physics.turbulence import (
    horizontal_gust_sd,
    horizontal_scale_length,
    vertical_gust_sd,
    vertical_scale_length,
)
from homeleg.route.geometry import Leg, LegKind
from homeleg.sortie.draws import Draws, draw
from homeleg.sortie.resolved import Departure, ResolvedSortie
from homeleg.world.ground import with_two_spreads
from homeleg.world.wind import member_winds

Array = NDArray[np.float64]

__all__ = ["SINK_OVER_CLIMB_RATE", "Flown", "fly", "fly_home", "member_aircraft", "states_at"]

_KINDS = {
    LegKind.CLIMB_OUT: c.CLIMB_OUT,
    LegKind.TRACK: c.TRACK,
    LegKind.ORBIT: c.ORBIT,
    LegKind.FINAL: c.FINAL,
}
# MEMORY: what motor, controller and blades of a good drive together let through to the disk.
_BEST_DISK_EFFICIENCY = 0.85
_PACK_WH_PER_KG = 160.0
# The standard's turbulence holds from 10 to 1000 ft; lower and higher flights use its ends.
_TURBULENCE_LOWEST_M, _TURBULENCE_HIGHEST_M = 10.0 * FOOT_M, 1000.0 * FOOT_M
# A gust spread is about three standard deviations of the wind along (MEMORY).
_SIGMAS_IN_A_GUST = 3.0
SINK_OVER_CLIMB_RATE = 0.8
_LONGEST_FLIGHT_S = 6.0 * 3600.0
_SLOWEST_PILOT_M_S = -1.5
_BATCH = 512


@dataclass(frozen=True, slots=True, kw_only=True)
class Flown:
    """All members of one sortie flown one way.

    `results` (members, RESULT_COLUMNS), `leg_results` (members, legs, LEG_RESULT_COLUMNS) and
    `members` (members, MEMBER_COLUMNS) and `winds` (members, 2, WIND_NODES) as
    `homeleg.flight.layout` lays them out. `surroundings` are what all members share: plan, cell
    volts, ground and obstacles.
    """

    resolved: ResolvedSortie
    departure: Departure
    draws: Draws
    members: Array
    winds: Array
    wind_heights_m: Array
    surroundings: tuple[Array, Array, Array, Array]
    results: Array
    leg_results: Array
    seed: int

    @property
    def landed(self) -> NDArray[np.bool_]:
        """Which members came down where they should."""
        return np.asarray(self.results[:, c.EVENT] == c.LANDED)


def fly(
    resolved: ResolvedSortie,
    departure: Departure,
    count: int,
    seed: int,
    progress: Callable[[float], None] | None = None,
    earlier: Flown | None = None,
) -> Flown:
    """Fly `count` members of a sortie one way; `progress` hears the share done, 0 to 1.

    The same seed gives the same bits, whatever the number of threads or batches. `earlier` members
    of the same sortie, way and seed are not flown again.
    """
    draws = draw(resolved, count, seed)
    heights_m = _wind_heights(departure)
    winds = member_winds(
        resolved.wind,
        heights_m,
        speed_z=draws.normal["wind_speed"],
        direction_z=draws.normal["wind_direction"],
        exponent=draws.value["wind_exponent"],
        aloft_z=draws.normal.get("wind_aloft"),
    )
    flown = Flown(
        resolved=resolved,
        departure=departure,
        draws=draws,
        members=_member_rows(resolved, departure, draws, winds, heights_m),
        winds=winds,
        wind_heights_m=heights_m,
        surroundings=_surroundings(resolved, departure, heights_m),
        results=np.empty((count, c.RESULT_COLUMNS)),
        leg_results=np.empty((count, len(departure.legs), c.LEG_RESULT_COLUMNS)),
        seed=seed,
    )
    done = 0
    if earlier is not None:
        done = earlier.draws.members
        flown.results[:done], flown.leg_results[:done] = earlier.results, earlier.leg_results
    for start in range(done, count, _BATCH):
        part = slice(start, min(start + _BATCH, count))
        flown.results[part], flown.leg_results[part], _ = _fly_part(flown, part, np.zeros(0))
        if progress is not None:
            progress(part.stop / count)
    return flown


def states_at(flown: Flown, members: int, seconds: Array) -> tuple[Array, NDArray[np.bool_]]:
    """Return states of the first members at `seconds`, and who was then before its final.

    Shapes (seconds, members, STATE_COLUMNS) and (seconds, members). The members are flown again.
    """
    _, _, states = _fly_part(flown, slice(0, members), np.asarray(seconds, dtype=np.float64))
    states = np.swapaxes(states, 0, 1)
    before_final = states[:, :, c.LEG] < len(flown.departure.legs) - 1
    return states, np.asarray((states[:, :, c.TIME] > 0.0) & before_final)


def fly_home(
    flown: Flown, legs: tuple[Leg, ...], states: Array, flying: NDArray[np.bool_]
) -> Array:
    """Fly members on from `states` (seconds, members, STATE_COLUMNS) over other legs.

    Returns results (seconds, members, RESULT_COLUMNS), zero where a member was not flying.
    """
    results = np.zeros((*flying.shape, c.RESULT_COLUMNS))
    members = np.broadcast_to(np.arange(flying.shape[1]), flying.shape)
    results[flying] = fly_onwards(
        flown.seed,
        np.arange(flown.draws.members),
        members[flying],
        states[flying],
        flown.members,
        flown.winds,
        _leg_rows(legs),
        *flown.surroundings,
    )
    return results


def _fly_part(flown: Flown, part: slice, times: Array) -> tuple[Array, Array, Array]:
    results, leg_results, states = fly_members(
        flown.seed,
        np.arange(part.start, part.stop),
        flown.members[part],
        flown.winds[part],
        _leg_rows(flown.departure.legs),
        *flown.surroundings,
        times,
    )
    return results, leg_results, states


def _surroundings(
    resolved: ResolvedSortie, departure: Departure, heights_m: Array
) -> tuple[Array, Array, Array, Array]:
    """Return what all members share: plan, cell volts, ground and obstacles."""
    chemistry = resolved.sortie.aircraft.battery.chemistry
    return (
        _plan_row(resolved, departure, heights_m),
        np.array(OPEN_CIRCUIT_VOLTS[chemistry]),
        np.ascontiguousarray(resolved.surface.tops_above_launch_m),
        _obstacle_rows(resolved),
    )


def member_aircraft(resolved: ResolvedSortie, draws: Draws) -> FlyingAircraft:
    """Return the aircraft of every member."""
    middle = resolved.aircraft
    efficiency = draws.value["efficiency"]
    return FlyingAircraft(
        mass_kg=draws.value["mass"],
        wing_area_m2=middle.wing_area_m2,
        zero_lift_drag=draws.value["zero_lift_drag"],
        induced_factor=draws.value["induced_factor"],
        lift_at_least_drag=middle.lift_at_least_drag,
        maximum_lift=draws.value["maximum_lift"],
        efficiency=efficiency,
        climb_efficiency=efficiency * (middle.climb_efficiency / middle.efficiency),
        full_power_w=draws.value["full_power"],
        avionics_w=middle.avionics_w,
    )


def _wind_heights(departure: Departure) -> Array:
    top_m = max(1.2 * max(leg.height_m for leg in departure.legs) + 30.0, 60.0)
    return np.asarray(top_m * (np.arange(c.WIND_NODES) / (c.WIND_NODES - 1)) ** 2)


def _member_rows(
    resolved: ResolvedSortie, departure: Departure, draws: Draws, winds: Array, heights_m: Array
) -> Array:
    aircraft = member_aircraft(resolved, draws)
    value = draws.value
    rows = np.zeros((draws.members, c.MEMBER_COLUMNS))
    battery = resolved.sortie.aircraft.battery
    rows[:, c.MASS] = aircraft.mass_kg
    rows[:, c.WING_AREA] = aircraft.wing_area_m2
    rows[:, c.ZERO_LIFT_DRAG] = aircraft.zero_lift_drag
    rows[:, c.INDUCED_FACTOR] = aircraft.induced_factor
    rows[:, c.LIFT_AT_LEAST_DRAG] = aircraft.lift_at_least_drag
    rows[:, c.MAXIMUM_LIFT] = aircraft.maximum_lift
    rows[:, c.EFFICIENCY] = aircraft.efficiency
    rows[:, c.CLIMB_EFFICIENCY] = aircraft.climb_efficiency
    rows[:, c.FULL_POWER] = aircraft.full_power_w
    rows[:, c.AVIONICS_POWER] = aircraft.avionics_w
    rows[:, c.AIRSPEED_FACTOR] = value["airspeed_factor"]
    rows[:, c.BAROMETER_ERROR] = value["barometer"]
    rows[:, c.CROSS_TRACK_ERROR] = value["tracking"] + value["fix"]
    rows[:, c.GROUND_ERROR] = value["ground"]
    rows[:, c.DENSITY] = resolved.density_kg_m3
    rows[:, c.USABLE] = value["usable_charge"]
    rows[:, c.CAPACITY] = value["usable_charge"] / battery.usable_fraction.value
    rows[:, c.CHARGE_AT_START] = (1.0 - np.minimum(value["charged"], 1.0)) * rows[:, c.CAPACITY]
    rows[:, c.RESISTANCE_25] = value["resistance"]
    rows[:, c.PACK_TEMPERATURE] = value["pack_temperature"]
    rows[:, c.RELEASE_SPEED] = value.get("throw", 0.0)
    rows[:, c.MOTOR_DELAY] = resolved.motor_delay_s
    rows[:, c.GUST_SPREAD] = value["gust_spread"]
    # A pilot who gets slow speeds up.
    rows[:, c.PILOT_AIRSPEED_ERROR] = np.maximum(value["pilot_airspeed"], _SLOWEST_PILOT_M_S)
    rows[:, c.DISK_AREA] = 0.25 * np.pi * value["propeller_diameter"] ** 2
    rows[:, c.DISK_EFFICIENCY] = _disk_efficiency(resolved, aircraft, rows[:, c.DISK_AREA])
    _set_turbulence(rows, resolved, departure, winds, heights_m)
    return rows


def _disk_efficiency(resolved: ResolvedSortie, aircraft: FlyingAircraft, area_m2: Array) -> Array:
    """Return what share of battery power reaches the disk, from the efficiency when climbing."""
    true_m_s = resolved.speeds.climb_eas_m_s * true_per_equivalent(resolved.density_kg_m3)
    thrust_n = aircraft.climb_efficiency * aircraft.full_power_w / true_m_s
    induced_m_s = induced_velocity(thrust_n, resolved.density_kg_m3, area_m2, true_m_s)
    return np.minimum(
        aircraft.climb_efficiency * (true_m_s + induced_m_s) / true_m_s, _BEST_DISK_EFFICIENCY
    )


def _set_turbulence(
    rows: Array, resolved: ResolvedSortie, departure: Departure, winds: Array, heights_m: Array
) -> None:
    """Set gust intensities and lengths at the route's middle height.

    A reported gust gives the intensity along; else the standard's, from the wind at 20 ft.
    """
    height_m = float(np.median([leg.height_m for leg in departure.legs]))
    height_m = min(max(height_m, _TURBULENCE_LOWEST_M), _TURBULENCE_HIGHEST_M)
    rows[:, c.GUST_LENGTH_U] = horizontal_scale_length(height_m)
    rows[:, c.GUST_LENGTH_W] = vertical_scale_length(height_m)
    if resolved.wind.gust_reported:
        up_over_along = float(vertical_gust_sd(1.0) / horizontal_gust_sd(height_m, 1.0))
        rows[:, c.GUST_SIGMA_U] = rows[:, c.GUST_SPREAD] / _SIGMAS_IN_A_GUST
        rows[:, c.GUST_SIGMA_W] = up_over_along * rows[:, c.GUST_SIGMA_U]
        return
    speeds = np.hypot(winds[:, 0, :], winds[:, 1, :])
    low_m_s = np.array([np.interp(20.0 * FOOT_M, heights_m, row) for row in speeds])
    rows[:, c.GUST_SIGMA_U] = horizontal_gust_sd(height_m, low_m_s)
    rows[:, c.GUST_SIGMA_W] = vertical_gust_sd(low_m_s)


def _leg_rows(legs: tuple[Leg, ...]) -> Array:
    return np.array([_leg_row(leg) for leg in legs])


def _leg_row(leg: Leg) -> Array:
    row = np.zeros(c.LEG_COLUMNS)
    row[c.KIND] = _KINDS[leg.kind]
    row[c.START_EAST], row[c.START_NORTH] = leg.start_m
    row[c.END_EAST], row[c.END_NORTH] = leg.end_m
    row[c.HEIGHT] = leg.height_m
    row[c.AIRSPEED] = leg.airspeed_eas_m_s
    row[c.BANK] = leg.bank_rad
    row[c.RADIUS] = leg.radius_m
    row[c.SIDE] = leg.side_sign
    row[c.ORBIT_TURNS] = leg.turns
    row[c.ORBIT_SECONDS] = leg.duration_s
    row[c.DIRECT] = leg.direct
    row[c.SLOPE] = leg.slope
    row[c.CLEARS_GROUND] = leg.on_route
    # As in the climb-out, no headway is asked for while it circles up.
    row[c.ON_ROUTE] = leg.on_route and not leg.climbs
    row[c.PASSES_OVER] = leg.passes_over
    row[c.BY_PILOT] = leg.by_pilot
    return row


def _plan_row(resolved: ResolvedSortie, departure: Departure, heights_m: Array) -> Array:
    record = resolved.sortie.aircraft
    row = np.zeros(c.PLAN_COLUMNS)
    row[c.CLIMB_RATE] = resolved.speeds.climb_rate_m_s
    row[c.SINK_RATE] = SINK_OVER_CLIMB_RATE * resolved.speeds.climb_rate_m_s
    row[c.DENSITY_LAPSE] = resolved.density_lapse_1_m
    row[c.WIND_TOP] = heights_m[-1]
    row[c.RELEASE_HEIGHT] = record.takeoff.release_height_m
    row[c.RELEASE_HEADING] = departure.heading_rad
    row[c.LAUNCH_KIND] = record.launch is LaunchMethod.RUNWAY
    row[c.CELLS] = record.battery.cells
    row[c.CUT_OFF] = record.battery.cells * record.battery.cut_off_v_cell
    nominal_wh = record.battery.cells * NOMINAL_CELL_VOLTS * record.battery.capacity_ah
    row[c.PACK_MASS] = next(
        (station.mass_kg for station in record.stations if station.name == "pack"),
        nominal_wh / _PACK_WH_PER_KG,
    )
    surface = resolved.surface
    row[c.GROUND_EAST], row[c.GROUND_NORTH] = surface.east_m, surface.north_m
    row[c.GROUND_SPACING], row[c.GROUND_RADIUS] = surface.spacing_m, surface.radius_m
    row[c.TIME_LIMIT] = _LONGEST_FLIGHT_S
    if record.launch is LaunchMethod.RUNWAY:
        row[c.KNOWN_GROUND] = resolved.sortie.site.strip.length_m
    row[c.OUTSIDE_AIR] = resolved.sortie.weather.temperature_k.value
    return row


def _obstacle_rows(resolved: ResolvedSortie) -> Array:
    """Return obstacles with two spreads of height on top, each as wide as it is high [m]."""
    rows = [
        (o.east_m, o.north_m, with_two_spreads(o.height_m), max(o.height_m.value, 10.0))
        for o in resolved.sortie.site.obstacles
    ]
    return np.array(rows, dtype=np.float64).reshape(-1, 4)
