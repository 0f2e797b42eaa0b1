"""Aircraft files: `aircraft.toml` to the record of an airframe."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import numpy as np

from homeleg.aircraft.priors import BodyPlan, PlanPrior, plan_prior
from homeleg.aircraft.record import (
    Aerodynamics,
    Aircraft,
    AtLaunchPoint,
    Battery,
    FlownEnergy,
    Guidance,
    LaunchMethod,
    Learned,
    LinkLoss,
    MassProperties,
    Propulsion,
    Radio,
    ReturnPath,
    Speeds,
    Station,
    TakeOff,
    TakeoffPath,
    Wing,
)
from homeleg.aircraft.spreads import default_sd
from homeleg.formats.aircraft_fields import AIRCRAFT, AIRCRAFT_SCHEMA
from homeleg.formats.changed_limits import changed_limits
from homeleg.formats.estimates import assumed, estimate_from, estimate_of, estimate_with, scaled
from homeleg.formats.reader import StatedEstimate, Values, read_document
from homeleg.formats.toml_text import TextFile, read_text_file
from homeleg.formats.wing_geometry import chord_fraction, spread_fraction, wing_of
from homeleg.foundation import constants as c
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.heights import Datum, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.foundation.stated_text import ChordPosition
from homeleg.physics.battery import Chemistry, resistance_ratio
from homeleg.physics.polar import induced_factor, stall_speed_eas

__all__ = ["LOWEST_FLOWN_M", "aircraft_from_text", "read_aircraft"]

# What is assumed where the file is silent (MEMORY: the trade's habit, chosen not to flatter).
_USABLE = assumed(0.85, 0.085)
_AVIONICS_W = 8.0
_PROPELLER_M = assumed(0.28, 0.04)
_PROPELLER_DECLARED_SD_M = 0.005
_CUT_OFF_V_CELL = {Chemistry.LITHIUM_POLYMER: 3.0, Chemistry.LITHIUM_ION: 2.8}
_BANK_RAD = float(np.radians(30.0))
_PATTERN_BANK_RAD = float(np.radians(20.0))
_PATTERN_HEIGHT = StatedHeight(40.0, Datum.ABOVE_LAUNCH)
# No pattern is flown lower or higher than this above launch, no way home lower. Ours. [m]
LOWEST_FLOWN_M = 10.0
_PATTERN_LIMITS_M = (LOWEST_FLOWN_M, 150.0)
_RETURN_LIMITS_M = (LOWEST_FLOWN_M, 9000.0)
_HAND_THROW_M_S = assumed(7.0, 1.0)
_BUNGEE_RELEASE_M_S = assumed(12.0, 1.5)
_RELEASE_SD_M_S = 0.5
_RELEASE_HEIGHT_M = {
    LaunchMethod.HAND: 1.5,
    LaunchMethod.BUNGEE: 1.0,
    LaunchMethod.RUNWAY: 0.0,
}
_LIFT_OFF_STALL_RATIO = 1.2
_ANTENNA_HEIGHT_M = 2.0


def read_aircraft(path: Path | str) -> Aircraft:
    """Return the aircraft of a file; raises InputFileError with every problem of it."""
    return aircraft_from_text(read_text_file(Path(path)))


def aircraft_from_text(file: TextFile) -> Aircraft:
    """Return the aircraft of a file already read; raises InputFileError."""
    values = read_document(file, AIRCRAFT_SCHEMA, AIRCRAFT)
    values.spot.findings.raise_if_any()
    aircraft = _aircraft(values)
    values.spot.findings.raise_if_any()
    if aircraft is None:
        raise TypeError("an aircraft read without problems exists")
    return aircraft


def _aircraft(values: Values) -> Aircraft | None:
    plan = values.need("plan", BodyPlan)
    launch = values.need("launch", LaunchMethod)
    prior = plan_prior(plan)
    wing = wing_of(values.table("wing"))
    if wing is None:
        return None
    mass = _mass(values, wing, plan, prior)
    aerodynamics = _aerodynamics(values.table("aero"), wing, prior)
    lift_off_m_s = _LIFT_OFF_STALL_RATIO * float(
        stall_speed_eas(
            mass.total_kg.value * c.STANDARD_GRAVITY_M_S2,
            wing.area_m2,
            aerodynamics.maximum_lift.value,
        )
    )
    return Aircraft(
        name=values.need("name", str),
        plan=plan,
        flights=values.get("flights", int) or 0,
        cards_flown=values.items("cards", str),
        energies=tuple(_energy(flown) for flown in values.items("flown", Values)),
        launch=launch,
        wing=wing,
        mass=mass,
        stations=tuple(_station(station) for station in values.items("stations", Values)),
        aerodynamics=aerodynamics,
        propulsion=_propulsion(values.table("propulsion"), mass.total_kg.value, prior),
        battery=_battery(values.table("battery"), prior),
        speeds=_speeds(values.table("speeds")),
        guidance=_guidance(values.table("guidance")),
        takeoff=_take_off(values.table("takeoff"), launch, lift_off_m_s),
        link_loss=_link_loss(values.table("link_loss")),
        radio=_radio(values.table("radio")) if values.has("radio") else None,
        learned=_learned(values.table("learned")) if values.has("learned") else None,
        changed_limits=changed_limits(values.table("limits")),
    )


def _mass(values: Values, wing: Wing, plan: BodyPlan, prior: PlanPrior) -> MassProperties:
    table = values.table("mass")

    def fraction(position: ChordPosition, key: str) -> float:
        return chord_fraction(position, values.table("wing"), wing, plan, table.spot.at(key))

    neutral = table.get("neutral_point", ChordPosition)
    return MassProperties(
        total_kg=estimate_from(table.need("total", StatedEstimate), "mass", table.spot.at("total")),
        flown_maximum_kg=table.get("flown_maximum", float),
        centre_of_gravity_fraction=_centre_of_gravity(table, wing, fraction, prior),
        flown_range_fraction=_flown_range(table, fraction),
        neutral_point_fraction=None if neutral is None else fraction(neutral, "neutral_point"),
        lateral_centre_m=table.get("lateral", float),
    )


def _centre_of_gravity(
    table: Values, wing: Wing, fraction: Callable[[ChordPosition, str], float], prior: PlanPrior
) -> Estimate:
    key = "centre_of_gravity"
    stated = table.get(key, StatedEstimate)
    if stated is None:
        return prior.centre_of_gravity_fraction
    sd = stated.sd and spread_fraction(stated.sd, wing)
    in_chords = StatedEstimate(fraction(stated.value, key), sd, stated.basis, None)
    return estimate_from(in_chords, key, table.spot.at(key))


def _flown_range(
    table: Values, fraction: Callable[[ChordPosition, str], float]
) -> tuple[float, float] | None:
    positions = table.items("flown_range", ChordPosition)
    if not positions:
        return None
    foremost, rearmost = (fraction(position, "flown_range") for position in positions)
    if foremost >= rearmost:
        table.spot.at("flown_range").report(
            "the foremost position is not ahead of the rearmost", "Write the foremost first."
        )
    return foremost, rearmost


def _station(table: Values) -> Station:
    return Station(
        name=table.need("name", str),
        mass_kg=table.need("mass", float),
        arm_m=table.need("arm", float),
        slide_m=table.get("slide", float) or 0.0,
    )


def _energy(table: Values) -> FlownEnergy:
    return FlownEnergy(
        on=table.need("on", datetime),
        duration_s=60.0 * table.need("minutes", float),
        charge_ah=table.need("charged", float),
    )


def _aerodynamics(table: Values, wing: Wing, prior: PlanPrior) -> Aerodynamics:
    if table.has("span_efficiency") and table.has("induced_factor"):
        table.spot.at("induced_factor").report(
            "is given, and span_efficiency too: they are the same thing", "Leave one of them out."
        )
    airspeed_factor = assumed(1.0, default_sd("airspeed_factor", 1.0, Basis.ASSUMED))
    return Aerodynamics(
        zero_lift_drag=estimate_of(table, "zero_lift_drag", "zero_lift_drag", prior.zero_lift_drag),
        induced_factor=_induced_factor(table, wing, prior),
        lift_at_least_drag=table.get("lift_at_least_drag", float) or 0.0,
        maximum_lift=estimate_of(table, "maximum_lift", "maximum_lift", prior.maximum_lift),
        airspeed_factor=estimate_of(table, "airspeed_factor", "airspeed_factor", airspeed_factor),
    )


def _induced_factor(table: Values, wing: Wing, prior: PlanPrior) -> Estimate:
    """Return k as stated, from the stated span efficiency, or from geometry and body plan."""
    efficiency = estimate_of(table, "span_efficiency", "induced_factor", prior.span_efficiency)
    factor = float(induced_factor(efficiency.value, wing.aspect_ratio))
    if not table.has("span_efficiency"):
        sd = default_sd("induced_factor", factor, Basis.FROM_GEOMETRY)
        otherwise = Estimate(value=factor, sd=sd, basis=Basis.FROM_GEOMETRY)
    else:
        # k is proportional to 1 / e: to first order both have the same relative spread.
        sd = factor * efficiency.sd / efficiency.value
        otherwise = Estimate(value=factor, sd=sd, basis=efficiency.basis)
    return estimate_of(table, "induced_factor", "induced_factor", otherwise)


def _propulsion(table: Values, mass_kg: float, prior: PlanPrior) -> Propulsion:
    avionics_w = table.get("avionics", float)
    full_power = scaled(prior.full_power_w_per_kg, mass_kg)
    return Propulsion(
        efficiency=estimate_of(table, "efficiency", "efficiency", prior.propulsion_efficiency),
        climb_efficiency=estimate_of(
            table, "climb_efficiency", "efficiency", prior.climb_efficiency
        ),
        # Full power is measured the way efficiency is: it takes the same default spreads.
        full_power_w=estimate_of(table, "full_power", "efficiency", full_power),
        avionics_w=_AVIONICS_W if avionics_w is None else avionics_w,
        propeller_diameter_m=estimate_with(
            table, "propeller_diameter", _PROPELLER_DECLARED_SD_M, _PROPELLER_M
        ),
    )


def _battery(table: Values, prior: PlanPrior) -> Battery:
    chemistry = table.get("chemistry", Chemistry) or Chemistry.LITHIUM_POLYMER
    cells, capacity_ah = table.need("cells", int), table.need("capacity", float)
    new_pack = scaled(prior.resistance_per_cell_ohm_ah, cells / capacity_ah)
    resistance = estimate_of(table, "resistance", "resistance", new_pack)
    stated = table.get("resistance", StatedEstimate)
    if stated is not None and stated.at is not None:
        resistance = scaled(resistance, 1.0 / float(resistance_ratio(stated.at)))
    return Battery(
        chemistry=chemistry,
        cells=cells,
        capacity_ah=capacity_ah,
        usable_fraction=estimate_of(table, "usable", "usable_charge", _USABLE),
        resistance_ohm=resistance,
        cut_off_v_cell=table.get("cut_off", float) or _CUT_OFF_V_CELL[chemistry],
        lowest_tested_k=table.get("lowest_tested", float),
    )


def _speeds(table: Values) -> Speeds:
    return Speeds(
        cruise=table.get("cruise", StatedAirspeed),
        climb=table.get("climb", StatedAirspeed),
        climb_rate_m_s=table.get("climb_rate", float),
        base=table.get("base", StatedAirspeed),
        final=table.get("final", StatedAirspeed),
    )


def _guidance(table: Values) -> Guidance:
    return Guidance(
        bank_rad=table.get("bank", float) or _BANK_RAD,
        pattern_bank_rad=table.get("pattern_bank", float) or _PATTERN_BANK_RAD,
        pattern_height=_height(table, "pattern_height", *_PATTERN_LIMITS_M) or _PATTERN_HEIGHT,
        pattern_side=table.get("pattern_side", Side) or Side.LEFT,
        launch_point_first=table.get("launch_point_first", bool),
    )


def _take_off(table: Values, launch: LaunchMethod, lift_off_m_s: float) -> TakeOff:
    by_hand = launch is LaunchMethod.HAND
    key, other = ("throw", "release_speed") if by_hand else ("release_speed", "throw")
    if table.has(other):
        table.spot.at(other).report(f"does not belong to a {launch.value} launch", f"Use {key}.")
    silent = {
        LaunchMethod.HAND: _HAND_THROW_M_S,
        LaunchMethod.BUNGEE: _BUNGEE_RELEASE_M_S,
        LaunchMethod.RUNWAY: assumed(lift_off_m_s, _RELEASE_SD_M_S),
    }
    height_m = table.get("release_height", float)
    return TakeOff(
        along=table.get("along", TakeoffPath),
        release_speed_m_s=estimate_with(table, key, _RELEASE_SD_M_S, silent[launch]),
        release_height_m=_RELEASE_HEIGHT_M[launch] if height_m is None else height_m,
        motor_delay_s=table.get("motor_delay", float),
    )


def _link_loss(table: Values) -> LinkLoss:
    return LinkLoss(
        after_s=table.get("after", float),
        climb_first=table.get("climb_first", bool),
        return_height=_height(table, "return_height", *_RETURN_LIMITS_M),
        airspeed=table.get("airspeed", StatedAirspeed),
        path=_return_path(table),
        at_launch_point=table.get("at_launch_point", AtLaunchPoint),
        orbit_s=table.get("orbit_for", float),
    )


def _height(table: Values, key: str, lowest_m: float, highest_m: float) -> StatedHeight | None:
    """Return a height, after reporting one that no aircraft flies at.

    What a height above sea level is above launch, only the sortie knows.
    """
    height = table.get(key, StatedHeight)
    if height is None or height.above is Datum.AMSL:
        return height
    limits = f"{lowest_m:.0f} to {highest_m:.0f} m above launch"
    if height.above is Datum.ELLIPSOID:
        table.spot.at(key).report(
            "is above the ellipsoid, which is another height above launch at every site",
            f"Write {limits}.",
        )
    elif not lowest_m <= height.value_m <= highest_m:
        table.spot.at(key).report(
            f"{height.value_m:.4g} m {height.above.value} is outside what this program accepts "
            f"({limits})",
            f"Write {limits}.",
        )
    return height


def _return_path(table: Values) -> ReturnPath | tuple[str, ...] | None:
    """Return the way home in a word, or the names of the points flown over."""
    if isinstance(table.get("path", object), ReturnPath | None):
        return table.get("path", ReturnPath)
    return table.items("path", str)


def _radio(table: Values) -> Radio:
    aircraft_dbi, ground_dbi = table.items("gain", float)
    antenna_height_m = table.get("antenna_height", float)
    return Radio(
        frequency_hz=table.need("frequency", float),
        power_w=table.need("power", float),
        gain_dbi=(aircraft_dbi, ground_dbi),
        losses_db=table.get("losses", float) or 0.0,
        sensitivity_dbm=table.need("sensitivity", float),
        antenna_height_m=_ANTENNA_HEIGHT_M if antenna_height_m is None else antenna_height_m,
    )


def _learned(table: Values) -> Learned | None:
    rows = table.items("covariance", tuple)
    size = len(rows)
    spot = table.spot.at("covariance")
    if [len(row) for row in rows] != list(range(1, size + 1)):
        spot.report("is not a lower triangle", "Write rows of 1, 2, 3 ... numbers.")
        return None
    lower = np.zeros((size, size))
    for index, row in enumerate(rows):
        lower[index, : index + 1] = row
    try:
        return Learned(
            names=table.items("names", str),
            mean=np.array(table.items("mean", float)),
            covariance=lower + np.tril(lower, -1).T,
            flights=table.need("flights", int),
            valid=table.need("valid", str),
            learned_from=table.need("from", str),
        )
    except ValueError as error:
        spot.report(str(error), "Take the figures of one debrief together.")
        return None
