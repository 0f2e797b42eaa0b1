"""One intended flight as a person stated it."""

from dataclasses import dataclass
from datetime import datetime
from enum import Enum

from homeleg.aircraft.loading import Loading
from homeleg.aircraft.record import Aircraft, ChangedLimit
from homeleg.foundation.estimate import Estimate
from homeleg.readiness.told import ToldAnswer
from homeleg.route.items import Route
from homeleg.sortie.rules import RuleProfile
from homeleg.world.site import Site
from homeleg.world.weather import Weather


class FlownBy(Enum):
    """Who flies: the pilot's hands, the pilot helped by the autopilot, or the route."""

    HAND = "hand"
    ASSISTED = "assisted"
    ROUTE = "route"


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """The battery on board today, against a new one of its kind.

    `charged_fraction` is how full it is; `second_wh` and `second_w` describe a separate video or
    payload pack, None where there is none. `cell_spread_v` is the highest less the lowest cell.
    """

    temperature_k: Estimate | None
    charged_fraction: Estimate
    capacity_fraction: Estimate
    resistance_factor: Estimate
    second_wh: float | None
    second_w: float | None
    cell_spread_v: float | None = None
    swollen: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sortie:
    """One intended flight: aircraft, loading, pack, site, route, weather, time, limits, told items.

    `beyond_sight` says that flight beyond sight is authorised; `rules` None means own limits.
    Times are aware, UTC.
    """

    aircraft: Aircraft
    loading: Loading
    pack: Pack
    site: Site
    route: Route
    weather: Weather
    launch_time: datetime
    flown_by: FlownBy
    seed: int
    beyond_sight: bool
    rules: RuleProfile | None
    changed_limits: tuple[ChangedLimit, ...]
    told: tuple[ToldAnswer, ...]
