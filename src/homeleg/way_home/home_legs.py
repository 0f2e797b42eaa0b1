"""The legs of a straight way home: to the landing point, once round, then the pattern."""

from dataclasses import dataclass

from homeleg.foundation.heights import Datum
from homeleg.route.geometry import Leg, LegKind
from homeleg.route.pattern import pattern_legs
from homeleg.sortie.resolved import ResolvedSortie

__all__ = ["HomePlan", "home_plan"]

# Assumed where the record does not say: the timer, and the circle flown overhead. Ours.
_UNTOLD_TIMER_S = 10.0
_OVERHEAD_RADIUS_PER_AIRSPEED_S = 4.0


@dataclass(frozen=True, slots=True, kw_only=True)
class HomePlan:
    """What the aircraft does when the link is lost: after how long, at what height, which legs.

    The first leg only stands for where the aircraft then is; heights in metres above launch.
    """

    after_s: float
    height_m: float
    legs: tuple[Leg, ...]
    assumed: tuple[str, ...]


def home_plan(resolved: ResolvedSortie) -> HomePlan:
    """Return the straight way home of a sortie, as its aircraft record states it.

    An untold return height is the highest of the route, an untold timer ten seconds.
    """
    stated = resolved.sortie.aircraft.link_loss
    assumed = []
    if stated.return_height is None:
        height_m = max(item.height_m for item in resolved.items)
        assumed.append("return height: the highest of the route")
    else:
        height_m = stated.return_height.value_m
        if stated.return_height.above is Datum.AMSL:
            height_m -= resolved.sortie.site.elevation_amsl_m
    if stated.after_s is None:
        assumed.append(f"link-loss timer: {_UNTOLD_TIMER_S:.0f} s")
    pattern = resolved.pattern
    cruise = resolved.speeds.home_eas_m_s
    bank = resolved.sortie.aircraft.guidance.bank_rad
    home = Leg(
        start="link lost",
        end="overhead",
        kind=LegKind.TRACK,
        start_m=(0.0, 0.0),
        end_m=pattern.landing_m,
        height_m=height_m,
        airspeed_eas_m_s=cruise,
        bank_rad=bank,
        direct=True,
        on_route=True,
        passes_over=True,
    )
    overhead = Leg(
        start="overhead",
        end="overhead",
        kind=LegKind.ORBIT,
        start_m=pattern.landing_m,
        end_m=pattern.landing_m,
        height_m=height_m,
        airspeed_eas_m_s=cruise,
        bank_rad=bank,
        radius_m=_OVERHEAD_RADIUS_PER_AIRSPEED_S * cruise,
        side_sign=pattern.side.sign,
        turns=1.0,
        on_route=True,
    )
    return HomePlan(
        after_s=_UNTOLD_TIMER_S if stated.after_s is None else stated.after_s,
        height_m=height_m,
        legs=(home, home, overhead, *pattern_legs(pattern, "overhead", pattern.landing_m)),
        assumed=tuple(assumed),
    )
