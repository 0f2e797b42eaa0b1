"""What is known of an aircraft, with what each figure rests on, and the reach it has earned."""

from dataclasses import dataclass
from pathlib import Path

from homeleg.aircraft.record import Aircraft
from homeleg.desk.face import Face
from homeleg.desk.first_figures import FirstFigures, figures_of
from homeleg.desk.guide import figures_picture
from homeleg.formats.aircraft_file import read_aircraft
from homeleg.foundation.constants import NINE_IN_TEN_Z
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.readiness.reach import Reach, earned_reach

__all__ = ["AircraftView", "Known", "aircraft_view"]

_RESTS_ON = {
    Basis.ASSUMED: "assumed from the body plan",
    Basis.FROM_GEOMETRY: "from its shape",
    Basis.MAKER: "its maker's figure",
    Basis.DECLARED: "as you told it",
    Basis.BENCH: "measured on the bench",
    Basis.FLIGHT: "measured in flight",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A figure in words: its value, the span that 8 in 10 fall into, and what it rests on."""

    name: str
    value: str
    between: str
    rests_on: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AircraftView:
    """An aircraft as its page shows it; `picture` is SVG, `narrows_most` what to measure next."""

    plan: str
    known: tuple[Known, ...]
    picture: str
    narrows_most: str
    reach: Reach
    flights: int


def aircraft_view(path: Path, face: Face) -> AircraftView:
    """Return what the page on an aircraft shows; raises InputFileError for a broken file.

    The reach is that of its flights alone: what a check adds to it hangs on the sortie.
    """
    record = read_aircraft(path)
    figures: FirstFigures = figures_of(record)
    reach = earned_reach(
        flights=record.flights, energies_inside=0, place_moved=False, sight_limit_m=0.0
    )
    return AircraftView(
        plan=record.plan.value,
        known=_known(record),
        picture=figures_picture(figures, face),
        narrows_most=figures.narrows_most,
        reach=reach,
        flights=record.flights,
    )


def _known(record: Aircraft) -> tuple[Known, ...]:
    mass, aero, motor, pack = (
        record.mass, record.aerodynamics, record.propulsion, record.battery
    )  # fmt: skip
    return (
        _told("Wing", f"{record.wing.span_m:.2f} m wide, {record.wing.area_m2:.3f} m2"),
        _told("Pack", f"{pack.cells} cells, {pack.capacity_ah:.1f} Ah"),
        _estimate("All-up mass", mass.total_kg, 1.0, "kg", 2),
        _estimate("Balance", mass.centre_of_gravity_fraction, 100.0, "% of the mean chord", 1),
        _estimate("Greatest lift coefficient", aero.maximum_lift, 1.0, "", 2),
        _estimate("Drag without lift", aero.zero_lift_drag, 1.0, "", 3),
        _estimate("Battery to thrust", motor.efficiency, 100.0, "%", 0),
        _estimate("Power at full throttle", motor.full_power_w, 1.0, "W", 0),
        _estimate("Pack resistance", pack.resistance_ohm, 1000.0, "mohm", 0),
        _estimate("Speed at release", record.takeoff.release_speed_m_s, 1.0, "m/s", 1),
    )


def _told(name: str, value: str) -> Known:
    return Known(name=name, value=value, between="", rests_on=_RESTS_ON[Basis.DECLARED])


def _estimate(name: str, one: Estimate, scale: float, unit: str, decimals: int) -> Known:
    off = NINE_IN_TEN_Z * one.sd
    value, low, high = (
        f"{scale * x:.{decimals}f}" for x in (one.value, one.value - off, one.value + off)
    )
    return Known(
        name=name,
        value=f"{value} {unit}".strip(),
        between=f"{low} to {high}",
        rests_on=_RESTS_ON[one.basis],
    )
