"""What two items that go together differ in, field by field, in sentences."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from homeleg.foundation.heights import Datum, StatedHeight
from homeleg.release.difference import (
    FAR_OFF_M,
    Danger,
    Difference,
    bearing_deg,
    distance_m,
    is_rounded_degree,
    is_rounded_height,
    unlike,
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
    """A released item with its number, what was found in its place, and the launch's elevation."""

    number: int
    released: PlainItem
    found: PlainItem
    launch_amsl_m: float | None


@dataclass(frozen=True, slots=True)
class _Unlike:
    """A field that differs: in words, as a pair, and what it would do then."""

    danger: Danger
    aspect: Aspect | None
    words: str
    what: str
    released: str
    aboard: str
    then: str

    def of(self, pair: _Pair) -> Difference:
        name = named(pair.number, pair.released)
        return unlike(
            self.danger,
            f"{name}: {self.words}.",
            aspect=self.aspect,
            item=pair.number,
            what=f"{name}, {self.what}",
            pair=(self.released, self.aboard),
            then=self.then,
        )


def named(number: int, item: PlainItem) -> str:
    """Return an item as "Item 5 (Cliff)"."""
    return f"Item {number} ({item.name})" if item.name else f"Item {number}"


def item_differences(
    number: int,
    released: PlainItem,
    found: PlainItem,
    untold: frozenset[Aspect],
    launch_amsl_m: float | None = None,
) -> list[Difference]:
    """Return what differs beyond rounding, leaving out what the source cannot tell.

    `launch_amsl_m` is the released elevation of the launch point, where it is known. [m]
    """
    pair = _Pair(number, released, found, launch_amsl_m)
    found_all = (
        *_place(pair),
        *_height(pair),
        *_kind(pair),
        *_airspeed(pair),
        *_orbit(pair),
        *_rest(pair),
    )
    return [one.of(pair) for one in found_all if one.aspect not in untold]


def is_same_place(released: PlainItem, found: PlainItem) -> bool:
    """Return whether two items lie in one place, rounding left out."""
    return is_rounded_degree(released.latitude_deg, found.latitude_deg) and is_rounded_degree(
        released.longitude_deg, found.longitude_deg
    )


def _place(pair: _Pair) -> Iterator[_Unlike]:
    released, found = pair.released, pair.found
    if is_same_place(released, found):
        return
    off_m = distance_m(released, found)
    where = position_words(found.latitude_deg, found.longitude_deg)
    right = position_words(released.latitude_deg, released.longitude_deg)
    if off_m <= FAR_OFF_M:
        off = f"{_near_by(off_m)} to {bearing_deg(released, found):03.0f} deg"
        danger, words = Danger.POSITION_OR_HIGHER, f"{off} of where it was released"
        then = f"It would fly {off} of where you released, over ground that was not checked."
    else:
        far = f"{off_m:.0f} m" if off_m < 10_000.0 else f"{off_m / 1000.0:,.0f} km"
        mirrored = is_rounded_degree(
            abs(released.latitude_deg), abs(found.latitude_deg)
        ) and is_rounded_degree(abs(released.longitude_deg), abs(found.longitude_deg))
        cause = " (a sign or a letter of the position is turned)" if mirrored else ""
        danger, words = Danger.FAR_OFF, f"{far} off{cause}, at {where} instead of {right}"
        then = f"It would fly to another place, {far} away{cause}."
    yield _Unlike(danger, None, words, "position", right, where, then)


def _height(pair: _Pair) -> Iterator[_Unlike]:
    right, got = pair.released.height, pair.found.height
    if right is None and got is None:
        return
    right_words = "none" if right is None else height_words(right)
    got_words = "none" if got is None else height_words(got)
    danger = Danger.LOWER
    if right is None or got is None:
        words = f"{got_words}, and none was released"
        if got is None:
            words = f"no height instead of {right_words}"
        then = "At which height it would fly is not known."
    elif right.above is not got.above:
        danger = Danger.HEIGHT_REFERENCE
        words = f"{got_words} instead of {right_words}: another reference"
        then = _other_reference(right, got, pair.launch_amsl_m)
    elif is_rounded_height(right.value_m, got.value_m):
        return
    else:
        lower_m = right.value_m - got.value_m
        off = f"{_metres(abs(lower_m))} m {'lower' if lower_m > 0.0 else 'higher'}"
        words = f"{off} than released, {_metres(got.value_m)} instead of {right_words}"
        danger = Danger.LOWER if lower_m > 0.0 else Danger.POSITION_OR_HIGHER
        then = f"The aircraft would pass {off} than you released."
    yield _Unlike(danger, Aspect.HEIGHT, words, "height", right_words, got_words, then)


def _other_reference(right: StatedHeight, got: StatedHeight, launch_amsl_m: float | None) -> str:
    """Return how much lower or higher another reference brings it, where that can be told."""
    amsl_m = []
    for height in (right, got):
        if height.above is Datum.AMSL:
            amsl_m.append(height.value_m)
        elif height.above is Datum.ABOVE_LAUNCH and launch_amsl_m is not None:
            amsl_m.append(height.value_m + launch_amsl_m)
    if len(amsl_m) < 2:
        return "The same number means another height: how far off, only the ground tells."
    lower_m = amsl_m[0] - amsl_m[1]
    side = "lower" if lower_m > 0.0 else "higher"
    return f"The aircraft would pass {_metres(abs(lower_m))} m {side} than you released."


def _kind(pair: _Pair) -> Iterator[_Unlike]:
    right, got = pair.released.kind, pair.found.kind
    if right == got:
        return
    released, aboard = kind_words(pair.released), kind_words(pair.found)
    danger, then = Danger.COMMAND, "What it would do there was not checked."
    if right in _ENDS or not isinstance(got, ItemKind):
        danger = Danger.END_OF_ROUTE
        if right in _ENDS:
            then = "It would not end its flight as you released."
    words = f"it asks for {aboard} instead of {released}"
    yield _Unlike(danger, Aspect.KIND, words, "what it asks", released, aboard, then)


def _airspeed(pair: _Pair) -> Iterator[_Unlike]:
    right, got = pair.released.airspeed, pair.found.airspeed
    if right == got:
        return
    same_kind = right is not None and got is not None and right.kind is got.kind
    then = "How fast it would fly was not checked."
    if right is not None and got is not None and same_kind:
        if _near(right.value_m_s, got.value_m_s):
            return
        faster_m_s = got.value_m_s - right.value_m_s
        side = "faster" if faster_m_s > 0.0 else "slower"
        then = f"It would fly {abs(faster_m_s):.2g} m/s {side}."
    right_words = "the cruise airspeed" if right is None else airspeed_words(right)
    got_words = "no airspeed" if got is None else airspeed_words(got)
    words = f"{got_words} instead of {right_words}"
    yield _Unlike(Danger.SPEED, Aspect.AIRSPEED, words, "airspeed", right_words, got_words, then)


def _orbit(pair: _Pair) -> Iterator[_Unlike]:
    right, got = pair.released, pair.found
    if not _near(right.radius_m, got.radius_m):
        yield _amounts("radius", "m", right.radius_m, got.radius_m, "It would circle another way.")
    if right.side is not got.side:
        sides = [side.value if side else "not told" for side in (got.side, right.side)]
        words, then = f"it turns {sides[0]} instead of {sides[1]}", "It would turn the other way."
        yield _Unlike(Danger.ORBIT, Aspect.ORBIT, words, "side", sides[1], sides[0], then)
    ended = right.turns is not None or right.duration_s is not None
    if ended and got.turns is None and got.duration_s is None:
        released = _amount(right.turns, "turns") if right.turns else _amount(right.duration_s, "s")
        then = "It would circle until the pack is empty."
        words = "it circles without end"
        yield _Unlike(
            Danger.END_OF_ROUTE, Aspect.ORBIT, words, "orbit", released, "without end", then
        )
        return
    longer = "It would stay another time than was checked, and the charge with it."
    if not _near(right.turns, got.turns):
        yield _amounts("", "turns", right.turns, got.turns, longer)
    if not _near(right.duration_s, got.duration_s):
        yield _amounts("", "s", right.duration_s, got.duration_s, longer)


def _amounts(name: str, unit: str, right: float | None, got: float | None, then: str) -> _Unlike:
    released, aboard = _amount(right, unit), _amount(got, unit)
    words = f"{name} {aboard} instead of {released}".lstrip()
    return _Unlike(
        Danger.ORBIT, Aspect.ORBIT, words, name or f"orbit, {unit}", released, aboard, then
    )


def _rest(pair: _Pair) -> Iterator[_Unlike]:
    right, got = pair.released, pair.found
    if (right.passing or Passing.FLY_BY) is not (got.passing or Passing.FLY_BY):
        aboard, released = [(one.passing or Passing.FLY_BY).value for one in (got, right)]
        words, then = (
            f"passed {aboard} instead of {released}",
            "It would cut this corner otherwise.",
        )
        yield _Unlike(
            Danger.THE_REST, Aspect.PASSING, words, "how it is passed", released, aboard, then
        )
    if bool(right.picture) is not bool(got.picture):
        words = "a picture leg" if got.picture else "no picture leg any more"
        released, aboard = ["yes" if one.picture else "no" for one in (right, got)]
        then = "Its pictures would not be those planned."
        yield _Unlike(Danger.THE_REST, Aspect.PICTURE, words, "picture leg", released, aboard, then)
    if right.name != got.name:
        words = f"it is called {got.name or 'nothing'}"
        then = "It would fly the same; paper and aircraft call it by two names."
        yield _Unlike(
            Danger.THE_REST, Aspect.NAME, words, "name", right.name, got.name or "none", then
        )


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
