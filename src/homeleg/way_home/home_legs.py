"""The legs of one way home, link lost: climb, the points it flies over, home, and down."""

from dataclasses import dataclass, replace

from homeleg.aircraft.record import AtLaunchPoint
from homeleg.flight.ensemble import SINK_OVER_CLIMB_RATE
from homeleg.route.geometry import Leg, LegKind
from homeleg.route.pattern import hand_over_legs, pattern_legs
from homeleg.sortie.resolved import ResolvedSortie

__all__ = ["TAKEN_OVER_S", "Via", "way_home_legs"]

# Circles of the way home; and how long it orbits until the pilot takes over, if untold. Ours.
_RADIUS_PER_AIRSPEED_S = 4.0
TAKEN_OVER_S = 120.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Via:
    """A point the way home leads over: metres from the launch point, height above launch."""

    name: str
    place_m: tuple[float, float]
    height_m: float


def way_home_legs(
    resolved: ResolvedSortie,
    *,
    height_m: float,
    vias: tuple[Via, ...],
    climbs_first: bool,
    at_launch_point: AtLaunchPoint,
) -> tuple[Leg, ...]:
    """Return the legs from where the aircraft acts on the lost link to touchdown.

    The first only stands for where it then is. Heights in metres above launch.
    """
    home = _track(resolved, "overhead", resolved.pattern.landing_m, height_m)
    legs = [replace(home, end="link lost")]
    if climbs_first:
        legs.append(replace(_orbit(resolved, height_m), end="climb", direct=True))
    legs += [_track(resolved, via.name, via.place_m, via.height_m) for via in vias]
    legs.append(home)
    first = 2 if climbs_first else 1
    flown = [
        replace(leg, start=before.end, start_m=before.end_m, direct=leg.direct or number == 0)
        for number, (before, leg) in enumerate(zip(legs[first - 1 : -1], legs[first:], strict=True))
    ]
    return (*legs[:first], *flown, *_down(resolved, height_m, at_launch_point))


def _down(
    resolved: ResolvedSortie, height_m: float, at_launch_point: AtLaunchPoint
) -> tuple[Leg, ...]:
    """Return the legs from overhead the landing point to touchdown."""
    pattern = resolved.pattern
    stated_s = resolved.sortie.aircraft.link_loss.orbit_s
    once = _orbit(resolved, height_m)
    overhead = replace(once, duration_s=stated_s or 0.0, turns=1.0)
    by_itself = pattern_legs(pattern, "overhead", pattern.landing_m)
    match at_launch_point:
        case AtLaunchPoint.LAND:
            return tuple(by_itself)
        case AtLaunchPoint.ORBIT_LAND:
            return (overhead, *by_itself)
        case AtLaunchPoint.ORBIT_DESCEND:
            sink_m_s = SINK_OVER_CLIMB_RATE * resolved.speeds.climb_rate_m_s
            down_s = (height_m - pattern.height_m) / sink_m_s
            low = _orbit(resolved, pattern.height_m)
            circling = replace(low, duration_s=down_s, on_route=False)
            return (overhead, *([circling] if down_s > 0.0 else []), *by_itself)
        case AtLaunchPoint.ORBIT:
            waiting = replace(once, duration_s=stated_s or TAKEN_OVER_S)
            by_hand = hand_over_legs(pattern, "overhead", pattern.landing_m, once.radius_m)
            return (waiting, *by_hand)


def _track(resolved: ResolvedSortie, name: str, end_m: tuple[float, float], height_m: float) -> Leg:
    return Leg(
        start="link lost",
        end=name,
        kind=LegKind.TRACK,
        start_m=(0.0, 0.0),
        end_m=end_m,
        height_m=height_m,
        airspeed_eas_m_s=resolved.speeds.home_eas_m_s,
        bank_rad=resolved.sortie.aircraft.guidance.bank_rad,
        on_route=True,
        passes_over=True,
    )


def _orbit(resolved: ResolvedSortie, height_m: float) -> Leg:
    """Return a circle over the landing point, without an end of its own."""
    pattern = resolved.pattern
    return replace(
        _track(resolved, "overhead", pattern.landing_m, height_m),
        start="overhead",
        kind=LegKind.ORBIT,
        start_m=pattern.landing_m,
        radius_m=_RADIUS_PER_AIRSPEED_S * resolved.speeds.home_eas_m_s,
        side_sign=pattern.side.sign,
        passes_over=False,
    )
