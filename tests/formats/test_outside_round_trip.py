"""A route written and read again is the same route, in every format."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from homeleg.formats.geojson import write_geojson_shapes
from homeleg.formats.outside_file import read_outside
from homeleg.formats.outside_route import route_from
from homeleg.formats.outside_shapes import areas_from
from homeleg.formats.plain_shapes import PlainShape, ShapeKind
from homeleg.formats.route_writers import ROUTE_WRITERS
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.release.plain_route import (
    Aspect,
    PlainBoundary,
    PlainItem,
    PlainPlace,
    PlainRoute,
)
from homeleg.route.items import ItemKind, Passing

LAUNCH = PlainPlace(
    name="field", latitude_deg=55.0, longitude_deg=-5.0, height=StatedHeight(35.0, Datum.AMSL)
)
BESIDE = PlainRoute(
    items=(),
    launch_point=LAUNCH,
    boundary=PlainBoundary(
        corners_deg=((55.0, -5.0), (55.0, -4.99), (55.01, -4.99)),
        top=StatedHeight(118.0, Datum.ABOVE_LAUNCH),
    ),
    diversions=(replace(LAUNCH, name="quarry", height=None),),
)
NAMES = st.text(
    st.characters(categories=["L", "N", "P", "S"]), min_size=1, max_size=12
) | st.sampled_from(['"', "a, b", "<&>", "'", "];]]>"])


@st.composite
def items(draw: st.DrawFn) -> PlainItem:
    kind = draw(st.sampled_from([ItemKind.POINT, ItemKind.ORBIT]))
    orbit = kind is ItemKind.ORBIT
    turns = draw(st.none() | st.integers(1, 40).map(lambda quarter: quarter / 4)) if orbit else None
    height_m = draw(st.integers(-4000, 40_000)) / 10
    return PlainItem(
        name=draw(NAMES),
        kind=kind,
        latitude_deg=draw(st.integers(54_900_000, 55_100_000)) / 1e6,
        longitude_deg=draw(st.integers(-5_100_000, -4_900_000)) / 1e6,
        height=StatedHeight(height_m, draw(st.sampled_from(list(Datum)))),
        airspeed=draw(
            st.none()
            | st.builds(
                StatedAirspeed,
                st.integers(40, 700).map(lambda tenth: tenth / 10),
                st.sampled_from(list(SpeedKind)),
            )
        ),
        passing=draw(st.none() | st.sampled_from(Passing)),
        radius_m=draw(st.integers(10, 5000)) * 1.0 if orbit else None,
        side=draw(st.sampled_from(Side)) if orbit else None,
        turns=turns,
        duration_s=draw(st.integers(1, 600)) * 60.0 if orbit and turns is None else None,
        picture=draw(st.none() | st.booleans()),
    )


@pytest.mark.parametrize("ending", list(ROUTE_WRITERS))
def test_route_comes_back(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"route{ending}"

    @settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow])
    @given(st.lists(items(), min_size=1, max_size=5))
    def check(several: list[PlainItem]) -> None:
        route = replace(BESIDE, items=tuple(several))
        path.write_text(ROUTE_WRITERS[ending](route, "r").text, "utf-8")
        back = route_from(read_outside(path).found).route
        if ending == ".csv":  # it holds items alone
            beside = {Aspect.LAUNCH_POINT, Aspect.BOUNDARY, Aspect.DIVERSIONS}
            route = PlainRoute(items=route.items, untold=frozenset(beside))
        assert back == route

    check()


def test_area_comes_back(tmp_path: Path) -> None:
    corners = ((55.0, -5.0), (55.0, -4.99), (55.01, -4.99))
    shape = PlainShape(name="Wood", shape=ShapeKind.POLYGON, corners_deg=corners, about="forest")
    path = tmp_path / "wood.geojson"
    path.write_text(write_geojson_shapes((shape,), "r").text, "utf-8")
    (back,) = areas_from(read_outside(path).found).shapes
    assert (back.name, back.shape, back.about) == ("Wood", ShapeKind.POLYGON, "forest")
    assert back.corners_deg == corners


@pytest.mark.parametrize("ending", [".kml", ".gpx"])
def test_an_altitude_changed_elsewhere_is_seen(tmp_path: Path, ending: str) -> None:
    several = tuple(
        PlainItem(
            name=name,
            kind=ItemKind.POINT,
            latitude_deg=55.0,
            longitude_deg=-5.0,
            height=StatedHeight(80.0, Datum.ABOVE_LAUNCH),
        )
        for name in ("A", "B")
    )
    text = ROUTE_WRITERS[ending](PlainRoute(items=several, launch_point=LAUNCH), "r").text
    head, _, tail = text.rpartition("115.00")
    path = tmp_path / f"route{ending}"
    path.write_text(f"{head}155.00{tail}", "utf-8")
    with pytest.raises(InputFileError, match="B is stated at 80 m above launch") as caught:
        route_from(read_outside(path).found)
    assert "altitude of 155 m" in str(caught.value)


def test_what_another_program_does_not_tell(tmp_path: Path) -> None:
    path = tmp_path / "way.gpx"
    gpx = '<gpx xmlns="http://www.topografix.com/GPX/1/1"><rte><rtept lat="1" lon="1"/></rte></gpx>'
    path.write_text(gpx, "utf-8")
    found = route_from(read_outside(path).found)
    assert found.route.untold == frozenset(Aspect)
    assert found.no_heights == ("no height is written",)
