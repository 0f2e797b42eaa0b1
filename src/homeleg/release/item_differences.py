"""What two items that go together differ in, field by field, in sentences."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from homeleg.release.difference import (
    FAR_OFF_M,
    Danger,
    Difference,
    bearing_deg,
    distance_m,
    is_rounded_degree,
    is_rounded_height,
)
from homeleg.release.plain_route import Aspect, PlainItem
from homeleg.release.read_aloud import airspeed_words, height_words, kind_words, position_words
from homeleg.route.items import ItemKind, Passing

__all__ = ["is_same_place", "item_differences", "named"]

# What putting a number into 32 bits and back may change, and a little.
_RELATIVE = 1e-6
_ENDS = (ItemKind.LAND, ItemKind.HAND_OVER, ItemKind.RETURN)


@dataclass(frozen=True, slots=True)
class _Pair:
    """A released item with its number, and what was found in its place."""

    number: int
    released: PlainItem
    found: PlainItem

    def told(self, danger: Danger, aspect: Aspect | None, words: str) -> Difference:
        sentence = f"{named(self.number, self.released)}: {words}."
        return Difference(danger=danger, aspect=aspect, item=self.number, sentence=sentence)


def named(number: int, item: PlainItem) -> str:
    """Return an item as "Item 5 (Cliff)"."""
    return f"Item {number} ({item.name})" if item.name else f"Item {number}"


def item_differences(
    number: int, released: PlainItem, found: PlainItem, untold: frozenset[Aspect]
) -> list[Difference]:
    """Return what differs beyond rounding, leaving out what the source cannot tell."""
    pair = _Pair(number, released, found)
    found_all = (
        *_place(pair),
        *_height(pair),
        *_kind(pair),
        *_airspeed(pair),
        *_orbit(pair),
        *_rest(pair),
    )
    return [one for one in found_all if one.aspect not in untold]


def is_same_place(released: PlainItem, found: PlainItem) -> bool:
    """Return whether two items lie in one place, rounding left out."""
    return is_rounded_degree(released.latitude_deg, found.latitude_deg) and is_rounded_degree(
        released.longitude_deg, found.longitude_deg
    )


def _place(pair: _Pair) -> Iterator[Difference]:
    released, found = pair.released, pair.found
    if is_same_place(released, found):
        return
    off_m = distance_m(released, found)
    where = position_words(found.latitude_deg, found.longitude_deg)
    if off_m <= FAR_OFF_M:
        bearing = f"{bearing_deg(released, found):03.0f} deg"
        words = f"{_near_by(off_m)} to {bearing} of where it was released"
        yield pair.told(Danger.POSITION_OR_HIGHER, None, words)
        return
    right = position_words(released.latitude_deg, released.longitude_deg)
    far = f"{off_m:.0f} m" if off_m < 10_000.0 else f"{off_m / 1000.0:,.0f} km"
    mirrored = is_rounded_degree(
        abs(released.latitude_deg), abs(found.latitude_deg)
    ) and is_rounded_degree(abs(released.longitude_deg), abs(found.longitude_deg))
    cause = " (a sign or a letter of the position is turned)" if mirrored else ""
    yield pair.told(Danger.FAR_OFF, None, f"{far} off{cause}, at {where} instead of {right}")


def _height(pair: _Pair) -> Iterator[Difference]:
    right, got = pair.released.height, pair.found.height
    if right is None and got is None:
        return
    if got is None and right is not None:
        yield pair.told(Danger.LOWER, Aspect.HEIGHT, f"no height instead of {height_words(right)}")
    elif right is None and got is not None:
        words = f"{height_words(got)}, and none was released"
        yield pair.told(Danger.LOWER, Aspect.HEIGHT, words)
    elif right is not None and got is not None and right.above is not got.above:
        words = f"{height_words(got)} instead of {height_words(right)}: another reference"
        yield pair.told(Danger.HEIGHT_REFERENCE, Aspect.HEIGHT, words)
    elif right is not None and got is not None:
        if is_rounded_height(right.value_m, got.value_m):
            return
        lower_m = right.value_m - got.value_m
        side = "lower" if lower_m > 0.0 else "higher"
        words = (
            f"{_metres(abs(lower_m))} m {side} than released, {_metres(got.value_m)} instead of "
            f"{height_words(right)}"
        )
        danger = Danger.LOWER if lower_m > 0.0 else Danger.POSITION_OR_HIGHER
        yield pair.told(danger, Aspect.HEIGHT, words)


def _kind(pair: _Pair) -> Iterator[Difference]:
    right, got = pair.released.kind, pair.found.kind
    if right == got:
        return
    words = f"it asks for {kind_words(pair.found)} instead of {kind_words(pair.released)}"
    ends = right in _ENDS or not isinstance(got, ItemKind)
    yield pair.told(Danger.END_OF_ROUTE if ends else Danger.COMMAND, Aspect.KIND, words)


def _airspeed(pair: _Pair) -> Iterator[Difference]:
    right, got = pair.released.airspeed, pair.found.airspeed
    if right == got:
        return
    if (
        right is not None
        and got is not None
        and right.kind is got.kind
        and _near(right.value_m_s, got.value_m_s)
    ):
        return
    right_words = "the cruise airspeed" if right is None else airspeed_words(right)
    got_words = "no airspeed" if got is None else airspeed_words(got)
    yield pair.told(Danger.SPEED, Aspect.AIRSPEED, f"{got_words} instead of {right_words}")


def _orbit(pair: _Pair) -> Iterator[Difference]:
    right, got = pair.released, pair.found
    if not _near(right.radius_m, got.radius_m):
        words = f"radius {_amount(got.radius_m, 'm')} instead of {_amount(right.radius_m, 'm')}"
        yield pair.told(Danger.ORBIT, Aspect.ORBIT, words)
    if right.side is not got.side:
        sides = [side.value if side else "not told" for side in (got.side, right.side)]
        words = f"it turns {sides[0]} instead of {sides[1]}"
        yield pair.told(Danger.ORBIT, Aspect.ORBIT, words)
    ended = right.turns is not None or right.duration_s is not None
    if ended and got.turns is None and got.duration_s is None:
        yield pair.told(Danger.END_OF_ROUTE, Aspect.ORBIT, "it circles without end")
        return
    if not _near(right.turns, got.turns):
        words = f"{_amount(got.turns, 'turns')} instead of {_amount(right.turns, 'turns')}"
        yield pair.told(Danger.ORBIT, Aspect.ORBIT, words)
    if not _near(right.duration_s, got.duration_s):
        words = f"{_amount(got.duration_s, 's')} instead of {_amount(right.duration_s, 's')}"
        yield pair.told(Danger.ORBIT, Aspect.ORBIT, words)


def _rest(pair: _Pair) -> Iterator[Difference]:
    right, got = pair.released, pair.found
    if (right.passing or Passing.FLY_BY) is not (got.passing or Passing.FLY_BY):
        passed = [(one.passing or Passing.FLY_BY).value for one in (got, right)]
        words = f"passed {passed[0]} instead of {passed[1]}"
        yield pair.told(Danger.THE_REST, Aspect.PASSING, words)
    if bool(right.picture) is not bool(got.picture):
        words = "a picture leg" if got.picture else "no picture leg any more"
        yield pair.told(Danger.THE_REST, Aspect.PICTURE, words)
    if right.name != got.name:
        yield pair.told(Danger.THE_REST, Aspect.NAME, f"it is called {got.name or 'nothing'}")


def _near(right: float | None, got: float | None) -> bool:
    if right is None or got is None:
        return right is got
    return math.isclose(right, got, rel_tol=_RELATIVE)


def _amount(value: float | None, unit: str) -> str:
    return "nothing" if value is None else f"{value:g} {unit}"


def _near_by(off_m: float) -> str:
    """Return a distance as finely as it takes to be more than nothing."""
    if off_m >= 2.0:
        return f"{off_m:.0f} m"
    return f"{off_m:.1f} m" if off_m >= 0.1 else f"{100.0 * off_m:.1f} cm"


def _metres(value_m: float) -> str:
    return f"{round(value_m, 2):g}"
