import math

import pytest

from homeleg.formats.plane import Plane
from homeleg.formats.route_edit import RouteEdit, with_edit, with_order
from homeleg.foundation.heights import SpeedKind, StatedAirspeed

CLIFF = "Cliff, north"
LAUNCH = Plane(math.radians(55.0), math.radians(-5.0))
ROUTE = """\
name,kind,east_m,north_m,height_m,above,airspeed_m_s,airspeed_kind,picture
Start,takeoff,0,0,60,launch,,,
"Cliff, north",point,100,200,80,AMSL,15.5,TAS,yes
Land,land,0,0,,,,,
"""


def lines(text: str) -> list[str]:
    return text.splitlines()


def test_a_moved_point_changes_its_two_cells_alone() -> None:
    changed = with_edit(ROUTE, RouteEdit(name="Cliff, north", east_m=120.4, north_m=-7.6), LAUNCH)
    before = lines(ROUTE)
    assert lines(changed)[2] == '"Cliff, north",point,120,-8,80,AMSL,15.5,TAS,yes'
    assert [lines(changed)[i] for i in (0, 1, 3)] == [before[i] for i in (0, 1, 3)]


def test_a_height_is_above_launch() -> None:
    changed = with_edit(ROUTE, RouteEdit(name="Start", height_m=75.0), LAUNCH)
    assert lines(changed)[1] == "Start,takeoff,0,0,75,launch,,,"


def test_a_point_added_flies_as_the_one_before_and_is_no_picture_leg() -> None:
    edit = RouteEdit(name="Cliff, north", new_name="B", east_m=5.0, north_m=6.0)
    assert lines(with_edit(ROUTE, edit, LAUNCH))[3] == "B,point,5,6,80,AMSL,15.5,TAS,"


def test_a_point_added_behind_a_landing_height_takes_the_height_before() -> None:
    text = ROUTE.replace("Land,land,0,0,,,,,", "Back,return,0,0,,,,,\nLand,land,0,0,,,,,")
    edit = RouteEdit(name="Back", new_name="B", east_m=5.0, north_m=6.0)
    assert "B,point,5,6,80,AMSL,,," in lines(with_edit(text, edit, LAUNCH))


def test_degrees_stay_degrees() -> None:
    text = "name,kind,latitude_deg,longitude_deg,height\nA,point,55.001,-5,80 m above launch\n"
    changed = with_edit(text, RouteEdit(name="A", east_m=0.0, north_m=1000.0), LAUNCH)
    latitude, longitude = lines(changed)[1].split(",")[2:4]
    # Hand: a degree of latitude at 55 N is 111,339 m (WGS 84, meridian radius 6,379,3xx m).
    assert float(latitude) == pytest.approx(55.0 + 1000.0 / 111_339.0, abs=2e-6)
    assert float(longitude) == pytest.approx(-5.0, abs=1e-7)


def test_dropping_takes_the_line_away() -> None:
    assert len(lines(with_edit(ROUTE, RouteEdit(name="Cliff, north", drop=True), LAUNCH))) == 3


def test_an_item_that_is_not_there_is_refused() -> None:
    with pytest.raises(ValueError, match="no Cliff"):
        with_edit(ROUTE, RouteEdit(name="Cliff", drop=True), LAUNCH)


def test_heights_in_feet_are_not_mixed_with_metres() -> None:
    text = ROUTE.replace("height_m", "height_ft")
    with pytest.raises(ValueError, match="edit it there"):
        with_edit(text, RouteEdit(name="Start", height_m=75.0), LAUNCH)


def test_an_airspeed_goes_into_the_columns_there_are() -> None:
    edit = RouteEdit(name="Cliff, north", airspeed=StatedAirspeed(13.5, SpeedKind.EAS))
    assert lines(with_edit(ROUTE, edit, LAUNCH))[2].endswith(",13.5,EAS,yes")


def test_an_airspeed_makes_its_column_where_there_is_none() -> None:
    text = "name,kind,east_m,north_m\nA,point,1,2\nLand,land,,\n"
    edit = RouteEdit(name="A", airspeed=StatedAirspeed(20.5, SpeedKind.TAS))
    changed = lines(with_edit(text, edit, LAUNCH))
    assert changed[0] == "name,kind,east_m,north_m,airspeed"
    assert changed[1] == "A,point,1,2,20.5 m/s TAS"


def test_an_order_must_name_the_items_there_are() -> None:
    assert [line.split(",")[0] for line in lines(with_order(ROUTE, ["Start", "Land", CLIFF]))] == [
        "name",
        "Start",
        "Land",
        '"Cliff',
    ]
    with pytest.raises(ValueError, match="the route holds"):
        with_order(ROUTE, ["Start", "Land"])
