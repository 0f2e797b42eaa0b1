"""Whether an aircraft keeps its launch point as item 0 of the route, in front of what is loaded."""

from collections.abc import Sequence

from homeleg.link.items import Command
from homeleg.link.messages import HomePosition, Item
from homeleg.link.watch import Station

__all__ = ["home_of", "keeps_home_first"]

# 0 and 65535: the aircraft does not tell how many items it holds (common set, MISSION_CURRENT).
_NOT_TOLD = (0, 65_535)
_SAME_PLACE_STEPS = 100  # 1e-5 degree, 1.1 m: float32 degrees of older aircraft. Ours.


def keeps_home_first(station: Station, items: Sequence[Item]) -> bool | None:
    """Return whether item 0 is the launch point; None where nothing tells.

    The count that an aircraft tells leaves the launch point out; and an aircraft without a route
    that holds one item all the same, at its launch point, keeps it there.
    """
    current = station.plan_current
    if current is not None and current.total not in _NOT_TOLD:
        if current.total == len(items) - 1:
            return True
        if current.total == len(items):
            return False
    if items and station.home is not None:
        is_home = _is_at(items[0], station.home)
        if is_home or len(items) > 1:
            return is_home
    return None


def home_of(station: Station, items: Sequence[Item], *, home_first: bool) -> HomePosition | None:
    """Return the launch point as told, or as item 0 holds it; None where neither is there."""
    if station.home is not None or not (home_first and items):
        return station.home
    x, y = _steps(items[0])
    return HomePosition(latitude_e7=x, longitude_e7=y, height_amsl_mm=round(1000.0 * items[0].z))


def _is_at(item: Item, home: HomePosition) -> bool:
    x, y = _steps(item)
    return (
        item.command == Command.POINT
        and item.frame in (0, 5)
        and abs(x - home.latitude_e7) <= _SAME_PLACE_STEPS
        and abs(y - home.longitude_e7) <= _SAME_PLACE_STEPS
    )


def _steps(item: Item) -> tuple[int, int]:
    scale = 1.0 if item.precise else 1e7
    return round(scale * item.x), round(scale * item.y)
