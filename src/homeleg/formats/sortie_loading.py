"""What is on board today, from a sortie file."""

from homeleg.aircraft.loading import LoadChange, Loading, StationMove, loaded_mass
from homeleg.aircraft.record import Aircraft
from homeleg.formats.estimates import estimate_from
from homeleg.formats.reader import StatedEstimate, Values
from homeleg.formats.wing_geometry import chord_fraction, spread_fraction
from homeleg.formats.wording import nearest, one_of
from homeleg.foundation.estimate import Basis, Estimate
from homeleg.foundation.units import shown

__all__ = ["loading_of"]


def loading_of(table: Values, aircraft: Aircraft) -> Loading:
    """Return the loading; reports moves that cannot be made and changes that leave no mass."""
    moves = table.items("move", Values)
    for move in moves:
        _report_move(move, aircraft)
    loading = Loading(
        changes=tuple(
            LoadChange(
                name=change.need("name", str),
                mass_kg=change.need("mass", float),
                arm_m=change.need("arm", float),
            )
            for change in table.items("change", Values)
        ),
        moves=tuple(
            StationMove(station=move.need("station", str), by_m=move.need("by", float))
            for move in moves
        ),
        weighed_kg=_weighed(table),
        weighed_centre_fraction=_balanced(table, aircraft),
    )
    if not table.spot.findings.problems:
        _report_impossible(table, aircraft, loading)
    return loading


def _report_move(table: Values, aircraft: Aircraft) -> None:
    slides_m = {station.name: station.slide_m for station in aircraft.stations}
    name, by_m = table.need("station", str), table.need("by", float)
    if name not in slides_m:
        names = list(slides_m)
        table.spot.at("station").report(
            f"{aircraft.name} has no station {shown(name)}{nearest(name, names)}",
            one_of(names) if names else "Add [[stations]] to the aircraft file.",
        )
    elif abs(by_m) > slides_m[name]:
        table.spot.at("by").report(
            f"{shown(name)} slides {slides_m[name] * 1000.0:.0f} mm at most",
            "Correct the move, or the slide in the aircraft file.",
        )


def _weighed(table: Values) -> Estimate | None:
    stated = table.get("weighed", StatedEstimate)
    if stated is None:
        return None
    return estimate_from(stated, "mass", table.spot.at("weighed"), Basis.BENCH)


def _balanced(table: Values, aircraft: Aircraft) -> Estimate | None:
    key = "centre_of_gravity"
    stated = table.get(key, StatedEstimate)
    if stated is None:
        return None
    spot = table.spot.at(key)
    sd = None if stated.sd is None else spread_fraction(stated.sd, aircraft.wing)
    no_geometry = Values(spot, {})
    value = chord_fraction(stated.value, no_geometry, aircraft.wing, aircraft.plan, spot)
    return estimate_from(StatedEstimate(value, sd, stated.basis, None), key, spot, Basis.BENCH)


def _report_impossible(table: Values, aircraft: Aircraft, loading: Loading) -> None:
    try:
        loaded_mass(aircraft, loading)
    except ValueError as error:
        table.spot.report(str(error), "Check the masses that are taken out.")
