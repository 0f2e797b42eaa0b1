"""A route as whole numbers, and back: nothing is lost beyond what an aircraft stores."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.release.plain_route import PlainBoundary, PlainItem, PlainPlace, PlainRoute
from homeleg.release.stored import route_of, stored_route
from homeleg.route.items import ItemKind, Passing

HEIGHTS = st.builds(StatedHeight, st.floats(-500, 9000), st.sampled_from(Datum))
SPEEDS = st.builds(StatedAirspeed, st.floats(5, 60), st.sampled_from(SpeedKind))
LATITUDES, LONGITUDES = st.floats(-90, 90), st.floats(-180, 180)
ITEMS = st.builds(
    PlainItem,
    name=st.text(min_size=1, max_size=9),
    kind=st.sampled_from(ItemKind) | st.just("wait here"),
    latitude_deg=LATITUDES,
    longitude_deg=LONGITUDES,
    height=st.none() | HEIGHTS,
    airspeed=st.none() | SPEEDS,
    passing=st.none() | st.sampled_from(Passing),
    radius_m=st.none() | st.floats(10, 5000),
    side=st.none() | st.sampled_from(Side),
    turns=st.none() | st.floats(0.25, 100),
    duration_s=st.none() | st.floats(6, 3600),
    picture=st.none() | st.booleans(),
)
PLACES = st.builds(
    PlainPlace,
    name=st.text(max_size=9),
    latitude_deg=LATITUDES,
    longitude_deg=LONGITUDES,
    height=st.none() | HEIGHTS,
)
ROUTES = st.builds(
    PlainRoute,
    items=st.lists(ITEMS, max_size=5).map(tuple),
    launch_point=st.none() | PLACES,
    boundary=st.none()
    | st.builds(
        PlainBoundary,
        corners_deg=st.lists(st.tuples(LATITUDES, LONGITUDES), max_size=4).map(tuple),
        top=st.none() | HEIGHTS,
    ),
    diversions=st.lists(PLACES, max_size=2).map(tuple),
)


@given(ROUTES)
def test_what_is_stored_comes_back_the_same(route: PlainRoute) -> None:
    stored = stored_route(route)
    back = route_of(json.loads(json.dumps(stored)))
    assert stored_route(back) == stored


@given(ITEMS)
def test_nothing_moves_by_more_than_half_a_step(item: PlainItem) -> None:
    [back] = route_of(stored_route(PlainRoute(items=(item,)))).items
    assert back.latitude_deg == pytest.approx(item.latitude_deg, abs=0.51e-7)
    assert back.longitude_deg == pytest.approx(item.longitude_deg, abs=0.51e-7)
    assert (back.name, back.kind, back.passing, back.side) == (
        item.name,
        item.kind,
        item.passing,
        item.side,
    )
    if item.height is not None and back.height is not None:
        assert back.height.value_m == pytest.approx(item.height.value_m, abs=0.0051)
        assert back.height.above is item.height.above
    if item.airspeed is not None and back.airspeed is not None:
        assert back.airspeed.value_m_s == pytest.approx(item.airspeed.value_m_s, abs=0.051)


def test_keys_say_their_units(make_release: Any) -> None:
    # 55 N is 550,000,000 steps of 1e-7 degree; 60 m are 6,000 cm; 15.5 m/s are 155 dm/s.
    route = make_release().frozen["route"]
    assert route["launch_point"]["latitude_1e7_deg"] == 550_000_000
    assert route["items"][1]["height"] == {"cm": 6000, "above": "above launch"}
    assert route["items"][1]["airspeed"] == {"dm_s": 155, "kind": "TAS"}
