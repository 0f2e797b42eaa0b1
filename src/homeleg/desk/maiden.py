"""The maiden offered to a never-flown aircraft whose sortie asks more than a maiden does."""

from dataclasses import replace

from homeleg.desk.route_shapes import circuit_corners
from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.route.items import ItemKind, Route, RouteItem
from homeleg.sortie.sortie import FlownBy, Sortie
from homeleg.verdict.result import Status, Verdict

__all__ = ["asks_more_than_a_maiden", "maiden_of"]

_HEIGHT = StatedHeight(60.0, Datum.ABOVE_LAUNCH)


def asks_more_than_a_maiden(sortie: Sortie, verdict: Verdict) -> bool:
    """Tell whether a never-flown aircraft is asked to go beyond what it has earned."""
    reach = next(row for row in verdict.rows if row.limit.slug == "reach.step")
    return sortie.aircraft.flights == 0 and reach.status is Status.NO_GO


def maiden_of(sortie: Sortie) -> Sortie:
    """Return the maiden: one circuit by hand inside its 200 m, long along the wind."""
    into_wind_rad = sortie.weather.reports[0].from_true_rad.value
    corners = [
        RouteItem(
            name=f"circuit {number}",
            kind=ItemKind.POINT,
            east_m=east_m,
            north_m=north_m,
            height=_HEIGHT,
        )
        for number, (east_m, north_m) in enumerate(circuit_corners(into_wind_rad), start=1)
    ]
    launch, landing = (
        RouteItem(name=name, kind=kind, east_m=0.0, north_m=0.0, height=_HEIGHT)
        for name, kind in (("launch", ItemKind.TAKEOFF), ("landing", ItemKind.HAND_OVER))
    )
    route = Route(items=(launch, *corners, landing))
    return replace(sortie, route=route, flown_by=FlownBy.HAND)
