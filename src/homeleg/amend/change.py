"""A change that a pilot can make at the field: as data, made to a sortie in memory."""

from dataclasses import dataclass, fields, replace
from datetime import datetime
from typing import TypeVar

from homeleg.aircraft.loading import StationMove
from homeleg.aircraft.record import Aircraft, TakeoffPath
from homeleg.foundation.heights import Datum, StatedAirspeed, StatedHeight
from homeleg.route.items import Route, RouteItem
from homeleg.sortie.sortie import Sortie

Changing = TypeVar("Changing", "Change", "ItemChange")

__all__ = ["Change", "ItemChange", "airspeed_words", "both", "changed_sortie"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemChange:
    """What becomes of one item; None leaves it. Metres from the launch point, and above it.

    `duration_s` is that of an orbit.
    """

    name: str
    airspeed: StatedAirspeed | None = None
    height_m: float | None = None
    place_m: tuple[float, float] | None = None
    duration_s: float | None = None
    drop: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A change in words, what it costs the plan, and what becomes of what; None leaves things.

    `words` is a verb, what, to what; `cost` has no unit, see `homeleg.amend.candidates`. `order` is
    all items in their new order; `home_over` the items over which it comes home, link lost;
    `moved` the one station with its whole move; the climb-out too is along `launch_heading_rad`.
    """

    words: str
    cost: float
    items: tuple[ItemChange, ...] = ()
    order: tuple[str, ...] | None = None
    bank_rad: float | None = None
    home_airspeed: StatedAirspeed | None = None
    return_height_m: float | None = None
    home_over: tuple[str, ...] | None = None
    launch_heading_rad: float | None = None
    moved: StationMove | None = None
    launch_time: datetime | None = None

    @property
    def effect(self) -> "Change":
        """The change without its words and cost: two with the same effect are the same."""
        items = tuple(sorted(self.items, key=lambda item: item.name))
        return replace(self, words="", cost=0.0, items=items)

    @property
    def is_of_route(self) -> bool:
        """Whether the route changes: what the aircraft holds is then another one."""
        return bool(self.items) or self.order is not None

    @property
    def is_of_settings(self) -> bool:
        """Whether what the aircraft does by itself changes."""
        settings = (self.bank_rad, self.home_airspeed, self.return_height_m, self.home_over)
        return any(one is not None for one in settings)

    @property
    def voided(self) -> tuple[str, ...]:
        """The told items that have to be told again after this change."""
        route = ("route_aboard",) if self.is_of_route else ()
        return (*route, *(("settings",) if self.is_of_settings else ()))


def both(first: Change, second: Change) -> Change | None:
    """Return two changes as one; None where they change the same thing."""
    items = _both_items(first.items, second.items)
    merged = _merged(replace(first, items=()), replace(second, items=()), ("words", "cost"))
    if items is None or merged is None:
        return None
    return replace(
        merged,
        words=f"{first.words}, {second.words}",
        cost=first.cost + second.cost,
        items=items,
    )


def _both_items(
    first: tuple[ItemChange, ...], second: tuple[ItemChange, ...]
) -> tuple[ItemChange, ...] | None:
    """Return the changes of items together; None where two change the same of one item."""
    items = {item.name: item for item in first}
    for item in second:
        known = items.get(item.name)
        together = item if known is None else _merged(known, item, ("name",))
        if together is None or (known is not None and (known.drop or item.drop)):
            return None
        items[item.name] = together
    return tuple(items.values())


def _merged(first: Changing, second: Changing, apart: tuple[str, ...]) -> Changing | None:
    """Return the first with what the second changes; None where both change a field."""
    merged = {}
    for field in fields(first):
        one, other = getattr(first, field.name), getattr(second, field.name)
        if field.name in apart or other == field.default:
            continue
        if one != field.default:
            return None
        merged[field.name] = other
    return replace(first, **merged)


def changed_sortie(sortie: Sortie, change: Change) -> Sortie:
    """Return the sortie with a change made, and without the answers that it makes worthless."""
    site, loading = sortie.site, sortie.loading
    if change.launch_heading_rad is not None:
        site = replace(site, launch_heading_true_rad=change.launch_heading_rad)
    if change.moved is not None:
        kept = [one for one in loading.moves if one.station != change.moved.station]
        loading = replace(loading, moves=(*kept, change.moved))
    return replace(
        sortie,
        aircraft=_changed_aircraft(sortie.aircraft, change),
        loading=loading,
        site=site,
        route=_changed_route(sortie.route, change),
        launch_time=change.launch_time or sortie.launch_time,
        told=tuple(answer for answer in sortie.told if answer.item not in change.voided),
    )


def airspeed_words(airspeed: StatedAirspeed) -> str:
    """Return an airspeed as it is said and written: 20.5 m/s TAS."""
    return f"{airspeed.value_m_s:.1f} m/s {airspeed.kind.value}"


def _changed_aircraft(aircraft: Aircraft, change: Change) -> Aircraft:
    guidance, lost, takeoff = aircraft.guidance, aircraft.link_loss, aircraft.takeoff
    if change.bank_rad is not None:
        guidance = replace(guidance, bank_rad=change.bank_rad)
    if change.home_airspeed is not None:
        lost = replace(lost, airspeed=change.home_airspeed)
    if change.return_height_m is not None:
        height = StatedHeight(change.return_height_m, Datum.ABOVE_LAUNCH)
        lost = replace(lost, return_height=height)
    if change.home_over is not None:
        lost = replace(lost, path=change.home_over)
    if change.launch_heading_rad is not None:
        takeoff = replace(takeoff, along=TakeoffPath.RELEASE_HEADING)
    return replace(aircraft, guidance=guidance, link_loss=lost, takeoff=takeoff)


def _changed_route(route: Route, change: Change) -> Route:
    items = {item.name: item for item in route.items}
    for one in change.items:
        if one.drop:
            del items[one.name]
        else:
            items[one.name] = _changed_item(items[one.name], one)
    if change.order is not None:
        items = {name: items[name] for name in change.order if name in items}
    return Route(items=tuple(items.values()))


def _changed_item(item: RouteItem, change: ItemChange) -> RouteItem:
    height, place_m = item.height, change.place_m or (item.east_m, item.north_m)
    if change.height_m is not None:
        height = StatedHeight(change.height_m, Datum.ABOVE_LAUNCH)
    return replace(
        item,
        airspeed=change.airspeed or item.airspeed,
        height=height,
        east_m=place_m[0],
        north_m=place_m[1],
        duration_s=change.duration_s or item.duration_s,
    )
