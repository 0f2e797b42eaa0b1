"""Comparison: never SAME after an edit, always SAME through storage, the worst named first."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.release.comparison import End, compare
from homeleg.release.difference import Danger, bearing_deg, distance_m
from homeleg.release.plain_route import Aspect, PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.release.stored import route_of, stored_route
from homeleg.route.items import ItemKind, Passing

STEP = 1e-7


def item(name: str, latitude: float, longitude: float, height: float, **more: Any) -> PlainItem:
    return PlainItem(
        name=name,
        kind=more.pop("kind", ItemKind.POINT),
        latitude_deg=latitude,
        longitude_deg=longitude,
        height=StatedHeight(height, Datum.ABOVE_LAUNCH),
        airspeed=StatedAirspeed(15.5, SpeedKind.TAS),
        passing=Passing.FLY_BY,
        **more,
    )


ROUTE = PlainRoute(
    items=(
        item("takeoff", 55.0, -5.0, 60.0, kind=ItemKind.TAKEOFF),
        item("A", 54.998, -5.003, 60.0),
        item("B", 54.997, -4.998, 70.0),
        item("C", 54.999, -4.991, 70.0),
        item("Cliff", 55.001, -4.988, 85.0),
        item(
            "Ring", 55.003, -4.989, 85.0, kind=ItemKind.ORBIT, radius_m=80.0, side=Side.LEFT,
            turns=2.0,
        ),
        item("F", 55.003, -4.994, 85.0),
        item("land", 55.0, -5.0, 0.0, kind=ItemKind.LAND),
    ),
    launch_point=PlainPlace(
        name="launch point",
        latitude_deg=55.0,
        longitude_deg=-5.0,
        height=StatedHeight(35.0, Datum.AMSL),
    ),
    boundary=PlainBoundary(
        corners_deg=((55.01, -5.01), (55.01, -4.98), (54.99, -4.98), (54.99, -5.01)),
        top=StatedHeight(118.0, Datum.ABOVE_LAUNCH),
    ),
    diversions=(PlainPlace(name="beach", latitude_deg=54.998, longitude_deg=-5.001),),
)  # fmt: skip


def with_item(place: int, **changes: Any) -> PlainRoute:
    items = list(ROUTE.items)
    items[place] = replace(items[place], **changes)
    return replace(ROUTE, items=tuple(items))


def first_words(found: PlainRoute) -> str:
    result = compare(ROUTE, found)
    assert result.end is End.NOT_THE_SAME
    return result.differences[0].sentence


def test_a_route_is_the_same_as_itself() -> None:
    result = compare(ROUTE, ROUTE)
    assert (result.end, result.differences, result.rounding_m) == (End.SAME, (), 0.0)


def test_the_sentence_of_a_lower_item() -> None:
    found = with_item(4, height=StatedHeight(55.0, Datum.ABOVE_LAUNCH))
    words = "Item 5 (Cliff): 30 m lower than released, 55 instead of 85 m above launch."
    assert first_words(found) == words


# Through storage: whole steps of 1e-7 degree one step off, or 32-bit degrees with one step;
# heights in 32 bits or whole centimetres.
def float32(value: float) -> float:
    return float(np.float32(value))


LATITUDES, LONGITUDES = st.floats(-89.0, 89.0), st.floats(-179.0, 179.0)
STEPS = st.integers(-1, 1)
HEIGHTS_M = st.floats(-100.0, 4000.0)


@given(LATITUDES, LONGITUDES, STEPS, STEPS, st.sampled_from([float, float32]), HEIGHTS_M)
def test_storage_is_no_difference(
    latitude: float, longitude: float, a: int, b: int, through: Any, height: float
) -> None:
    # The release itself is what storage gives.
    route = PlainRoute(items=(item("X", latitude, longitude, height),))
    released = route_of(stored_route(route))
    [right] = released.items
    assert right.height is not None
    moved = replace(
        right,
        latitude_deg=through(right.latitude_deg) + a * STEP,
        longitude_deg=through(right.longitude_deg) + b * STEP,
        height=StatedHeight(float32(right.height.value_m), Datum.ABOVE_LAUNCH),
    )
    found = replace(released, items=(moved,))
    assert compare(released, found).end is End.SAME
    # What was released from is the same as well, although it held more digits.
    assert compare(released, route).end is End.SAME


def test_the_size_of_rounding_is_said() -> None:
    # One step of 1e-7 degree of latitude: 11.1 mm on a sphere of 6371 km.
    found = with_item(1, latitude_deg=54.998 + STEP)
    result = compare(ROUTE, found)
    assert result.end is End.SAME
    assert result.rounding_m == pytest.approx(0.0111, abs=0.0001)


ITEM_EDITS = st.one_of(
    st.tuples(st.just("latitude_deg"), st.floats(2e-5, 5.0)),
    st.tuples(st.just("longitude_deg"), st.floats(2e-5, 5.0)),
    st.tuples(st.just("height"), st.floats(0.02, 500.0)),
    st.tuples(st.just("above"), st.sampled_from([Datum.AMSL, Datum.AGL, Datum.ELLIPSOID])),
    st.tuples(st.just("airspeed"), st.floats(1e-4, 30.0)),
    st.tuples(st.just("kind"), st.sampled_from([*ItemKind, "wait here", "go back to item 2"])),
    st.tuples(st.just("passing"), st.just(Passing.FLY_OVER)),
    st.tuples(st.just("radius_m"), st.floats(200.0, 900.0)),
    st.tuples(st.just("turns"), st.floats(5.0, 900.0)),
    st.tuples(st.just("duration_s"), st.floats(5.0, 900.0)),
    st.tuples(st.just("side"), st.just(Side.RIGHT)),
    st.tuples(st.just("name"), st.just("another")),
    st.tuples(st.just("picture"), st.sampled_from([True])),
    st.tuples(st.just("without"), st.sampled_from(["height", "airspeed"])),
)


@given(st.integers(0, len(ROUTE.items) - 1), ITEM_EDITS, st.sampled_from([-1.0, 1.0]))
def test_an_edited_item_is_never_the_same(place: int, edit: tuple[str, Any], sign: float) -> None:
    field, value = edit
    old = ROUTE.items[place]
    assert old.height is not None
    assert old.airspeed is not None
    changes: dict[str, Any] = {field: value}
    match field:
        case "latitude_deg" | "longitude_deg":
            changes = {field: getattr(old, field) + sign * value}
        case "height":
            changes = {"height": StatedHeight(old.height.value_m + sign * value, old.height.above)}
        case "above":
            changes = {"height": StatedHeight(old.height.value_m, value)}
        case "airspeed":
            changes = {"airspeed": StatedAirspeed(15.5 + value, SpeedKind.TAS)}
        case "without":
            changes = {value: None}
        case _:
            pass
    found = with_item(place, **changes)
    if found == ROUTE:
        return
    assert compare(ROUTE, found).end is End.NOT_THE_SAME


@given(st.data())
def test_missing_added_and_moved_items_are_never_the_same(data: st.DataObject) -> None:
    items = list(ROUTE.items)
    place = data.draw(st.integers(0, len(items) - 1))
    match data.draw(st.sampled_from(["missing", "added", "moved", "doubled", "cut"])):
        case "missing":
            del items[place]
        case "added":
            items.insert(place, item("new", 55.0005, -4.9905, 65.0))
        case "moved":
            items.insert(data.draw(st.integers(0, len(items) - 1)), items.pop(place))
        case "doubled":
            items.insert(place, items[place])
        case _:
            items = items[:place]
    if tuple(items) == ROUTE.items:
        return
    assert compare(ROUTE, replace(ROUTE, items=tuple(items))).end is End.NOT_THE_SAME


def test_one_missing_item_is_one_sentence() -> None:
    items = (*ROUTE.items[:3], *ROUTE.items[4:])
    result = compare(ROUTE, replace(ROUTE, items=items))
    assert [one.sentence for one in result.differences] == ["Item 4 (C), point, is missing."]


def test_two_swapped_items_are_one_sentence() -> None:
    items = list(ROUTE.items)
    items[2], items[3] = items[3], items[2]
    [only] = compare(ROUTE, replace(ROUTE, items=tuple(items))).differences
    assert only.sentence == "Item 3 (B) and Item 4 (C) are swapped."
    nameless = tuple(replace(one, name="") for one in items)
    found = replace(ROUTE, items=nameless, untold=frozenset({Aspect.NAME}))
    [only] = compare(ROUTE, found).differences
    assert only.danger is Danger.ITEMS


def test_one_added_item_is_one_sentence() -> None:
    items = (*ROUTE.items[:5], item("new", 55.0005, -4.9905, 65.0), *ROUTE.items[5:])
    [only] = compare(ROUTE, replace(ROUTE, items=items)).differences
    assert only.sentence.startswith("An item was added in place 6, new: point at 55.0005000 N")


# The order of danger, as stated in this project's own reference for the comparison: each edit is
# told before every later one.
EDITS: list[tuple[Danger, Callable[[PlainRoute], PlainRoute]]] = [
    (
        Danger.LAUNCH_MOVED,
        lambda r: replace(r, launch_point=replace(ROUTE.launch_point, latitude_deg=55.001)),  # type: ignore[type-var]
    ),
    (Danger.FAR_OFF, lambda r: edited(r, 1, latitude_deg=-54.998)),
    (
        Danger.HEIGHT_REFERENCE,
        lambda r: edited(r, 2, height=StatedHeight(70.0, Datum.AMSL)),
    ),
    (Danger.LOWER, lambda r: edited(r, 3, height=StatedHeight(60.0, Datum.ABOVE_LAUNCH))),
    (Danger.END_OF_ROUTE, lambda r: edited(r, -1, kind="go back to item 2")),
    (Danger.ITEMS, lambda r: replace(r, items=(*r.items[:-1], *r.items[-2:]))),
    (Danger.BOUNDARY, lambda r: replace(r, boundary=None)),
    (Danger.COMMAND, lambda r: edited(r, -2, kind=ItemKind.ORBIT)),
    (Danger.POSITION_OR_HIGHER, lambda r: edited(r, -3, latitude_deg=55.0031)),
    (Danger.SPEED, lambda r: edited(r, -3, airspeed=StatedAirspeed(20.0, SpeedKind.TAS))),
    (Danger.ORBIT, lambda r: edited(r, -3, radius_m=120.0)),
    (Danger.THE_REST, lambda r: edited(r, -3, name="Rang")),
]


def edited(route: PlainRoute, place: int, **changes: Any) -> PlainRoute:
    items = list(route.items)
    items[place] = replace(items[place], **changes)
    return replace(route, items=tuple(items))


def test_the_most_dangerous_difference_is_told_first() -> None:
    found = ROUTE
    for danger, edit in reversed(EDITS):
        found = edit(found)
        assert compare(ROUTE, found).differences[0].danger is danger


def test_no_route_and_another_route() -> None:
    assert first_words(replace(ROUTE, items=())) == "There is no route: no item was found."
    elsewhere = tuple(
        replace(one, latitude_deg=one.latitude_deg + 1.0, name=f"P{k}", height=None)
        for k, one in enumerate(ROUTE.items)
    )
    assert first_words(replace(ROUTE, items=elsewhere)).startswith("It is another route")


def test_a_turned_sign_is_named() -> None:
    words = first_words(with_item(3, longitude_deg=4.991))
    assert "a sign or a letter of the position is turned" in words


def test_an_orbit_without_end() -> None:
    assert first_words(with_item(5, turns=None)) == "Item 6 (Ring): it circles without end."


def test_what_a_source_cannot_tell_is_never_the_same() -> None:
    found = replace(
        ROUTE,
        items=tuple(replace(one, airspeed=None) for one in ROUTE.items),
        untold=frozenset({Aspect.AIRSPEED, Aspect.PICTURE}),
    )
    result = compare(ROUTE, found)
    assert (result.end, result.unproven) == (End.CANNOT_TELL, (Aspect.AIRSPEED,))
    assert first_words(replace(found, untold=frozenset())).startswith("Item 1 (takeoff): no air")


def test_a_boundary_may_begin_anywhere_and_run_either_way() -> None:
    assert ROUTE.boundary is not None
    corners = ROUTE.boundary.corners_deg
    turned = replace(ROUTE.boundary, corners_deg=(*corners[2:], *corners[:2])[::-1])
    assert compare(ROUTE, replace(ROUTE, boundary=turned)).end is End.SAME
    moved = replace(ROUTE.boundary, corners_deg=((55.02, -5.01), *corners[1:]))
    assert compare(ROUTE, replace(ROUTE, boundary=moved)).end is End.NOT_THE_SAME
    lower = replace(ROUTE.boundary, top=StatedHeight(100.0, Datum.ABOVE_LAUNCH))
    assert "100 m above launch instead of 118" in first_words(replace(ROUTE, boundary=lower))


def test_diversion_points_are_looked_for_each() -> None:
    assert "is missing" in first_words(replace(ROUTE, diversions=()))


@pytest.mark.parametrize(("moved_deg", "end"), [(5e-5, End.SAME), (1.1e-4, End.NOT_THE_SAME)])
def test_the_launch_point_within_ten_metres(moved_deg: float, end: End) -> None:
    # 10 m are 9.0e-5 degree of latitude (111.2 km a degree).
    assert ROUTE.launch_point is not None
    launch = replace(ROUTE.launch_point, latitude_deg=55.0 + moved_deg)
    result = compare(ROUTE, replace(ROUTE, launch_point=launch))
    assert result.end is end
    assert end is not End.SAME or "5.6 m" in result.remarks[0]


def test_distances_and_bearings() -> None:
    # A degree of latitude is 111.195 km on a sphere of 6371 km; by hand.
    south, north = item("", 0.0, 0.0, 0.0), item("", 1.0, 0.0, 0.0)
    assert distance_m(south, north) == pytest.approx(111_195.0, abs=1.0)
    assert bearing_deg(south, north) == pytest.approx(0.0)
    assert bearing_deg(item("", 0.0, 179.9999, 0.0), item("", 0.0, -179.9999, 0.0)) == 90.0


def test_a_small_difference_is_told_as_more_than_nothing() -> None:
    # 3e-7 degrees of latitude are 3.3 cm on a sphere of 6371 km.
    assert "3.3 cm to 000 deg" in first_words(
        with_item(1, latitude_deg=ROUTE.items[1].latitude_deg + 3.0 * STEP)
    )
