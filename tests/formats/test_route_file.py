"""Route files: columns, units, and what a route must be."""

import re
from pathlib import Path

import pytest

from homeleg.formats.plane import Plane
from homeleg.formats.route_file import read_route
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.heights import Datum, SpeedKind, StatedAirspeed, StatedHeight
from homeleg.foundation.side import Side
from homeleg.route.items import Passing, Route

LAUNCH = Plane(0.96, -0.087)
HEADER = "name,kind,east_m,north_m,height_m,above"
LINES = ["up,takeoff,,,,", "A,point,100,200,60,launch", "land,land,,,,"]


def route(tmp_path: Path, *lines: str) -> Route:
    path = tmp_path / "route.csv"
    path.write_text("\n".join(lines) + "\n", "utf-8")
    return read_route(path, LAUNCH)


def problems(tmp_path: Path, *lines: str) -> str:
    with pytest.raises(InputFileError) as caught:
        route(tmp_path, *lines)
    return str(caught.value)


def test_plain_route(tmp_path: Path) -> None:
    items = route(tmp_path, HEADER, *LINES).items
    assert [item.name for item in items] == ["up", "A", "land"]
    assert (items[1].east_m, items[1].north_m) == (100.0, 200.0)
    assert items[1].height == StatedHeight(60.0, Datum.ABOVE_LAUNCH)
    assert items[1].airspeed is None
    assert items[1].passing is Passing.FLY_BY
    assert items[2].height is None


def test_units_in_the_columns_or_in_the_cells(tmp_path: Path) -> None:
    header = "name,kind,east_m,north_m,height,above,airspeed_kt,airspeed_kind,pass,picture"
    lines = (
        "up,takeoff,,,,,,,,",
        "A,point,0,500,200 ft,AGL,30,EAS,fly-over,yes",
        "B,point,0,900,100 m AMSL,,25,TAS,fly-by,no",
        "end,hand_over,,,,,,,,",
    )
    items = route(tmp_path, header, *lines).items
    assert items[1].height == StatedHeight(pytest.approx(60.96), Datum.AGL)  # type: ignore[arg-type]
    assert items[1].airspeed == StatedAirspeed(30 * 1852 / 3600, SpeedKind.EAS)
    assert items[1].passing is Passing.FLY_OVER
    assert items[1].picture
    assert items[2].height == StatedHeight(100.0, Datum.AMSL)
    assert not items[2].picture


def test_feet_in_the_column(tmp_path: Path) -> None:
    items = route(tmp_path, HEADER.replace("height_m", "height_ft"), *LINES).items
    assert items[1].height is not None
    assert items[1].height.value_m == pytest.approx(18.288)


def test_orbits(tmp_path: Path) -> None:
    header = HEADER + ",radius_m,side,turns,minutes"
    lines = (
        "up,takeoff,,,,,,,,",
        "A,orbit,0,500,60,launch,80,left,3,",
        "B,orbit,0,900,60,launch,80,,,2.5",
        "end,land,,,,,,,,",
    )
    items = route(tmp_path, header, *lines).items
    assert items[1].side is Side.LEFT
    assert items[1].turns == 3.0
    assert items[2].side is Side.RIGHT
    assert items[2].duration_s == 150.0
    bad = [line.replace("80,left,3,", ",left,3,2") for line in lines]
    text = problems(tmp_path, header, *bad)
    assert "an orbit has no radius" in text
    assert "both turns and minutes" in text
    assert "does not end" in problems(tmp_path, header, *[x.replace("2.5", "") for x in lines])


ERRORS = [
    (["A,point,100,200,60,"], "60 m above what?"),
    (["A,point,1O0,200,60,launch"], "column east_m"),
    (["A,point,100,,60,launch"], "one pair of figures"),
    (["A,point,100,200,,"], "column height_m: is missing"),
    (["A,pont,100,200,60,launch"], "the nearest is point"),
    (["A,POINT,100,200,60,launch"], '"POINT" is not known; the nearest is point'),
    (["A,point,100,200,60,launch,x"], "7 cells under 6 columns"),
    (["A,point,90000,200,60,launch"], "90 km from the launch point"),
    (["A,point,1,2,60,launch", "B,point,1.5,2,60,launch"], "a leg without length"),
    (["A,point,1,2,60,launch", "A,point,50,2,60,launch"], "a second item is called A"),
    (["A,land,1,2,60,launch"], "in the middle of the route"),
]


@pytest.mark.parametrize(("middle", "said"), ERRORS)
def test_errors_of_items(tmp_path: Path, middle: list[str], said: str) -> None:
    text = problems(tmp_path, HEADER, LINES[0], *middle, LINES[2])
    assert said in text
    assert text.startswith("route.csv, line ")


def test_order(tmp_path: Path) -> None:
    assert "is not a take-off" in problems(tmp_path, HEADER, *LINES[1:])
    assert "neither lands nor hands over" in problems(tmp_path, HEADER, *LINES[:2])
    assert "holds no route" in problems(tmp_path, HEADER)


def test_a_quote_that_is_not_closed(tmp_path: Path) -> None:
    line = '"A,point,100,200,60,launch'
    text = problems(tmp_path, HEADER, LINES[0], line, LINES[2])
    assert text.startswith("route.csv, line 3: a quote is opened here and not closed")
    assert text.count("route.csv") == 1
    assert "line 1: a quote" in problems(tmp_path, HEADER.replace("kind", '"kind'), *LINES)
    closed = route(tmp_path, HEADER, LINES[0], '"A, north" ,point,100,200,60,launch', LINES[2])
    assert closed.items[1].name == "A, north"


@pytest.mark.parametrize(("other", "name"), [(";", "semicolons"), ("\t", "tabs")])
def test_other_separators(tmp_path: Path, other: str, name: str) -> None:
    text = problems(tmp_path, *(line.replace(",", other) for line in (HEADER, *LINES)))
    assert text.startswith(f"route.csv, line 1: the columns are separated by {name}\n  Use commas")
    assert text.count("route.csv") == 1


def test_problems_stand_in_the_order_of_lines(tmp_path: Path) -> None:
    lines = ["A,point,100,200,60,launch", "B,point,1,2,,", "C,point,3,,60,launch"]
    text = problems(tmp_path, HEADER, LINES[0], lines[0], *lines, LINES[2])
    found = [int(number) for number in re.findall(r"route\.csv, line (\d+)", text)]
    # Line 4 repeats line 3: no length, the same name. Places are checked after all heights.
    assert found == [4, 4, 5, 6]


def test_columns(tmp_path: Path) -> None:
    assert "nearest is east_m" in problems(tmp_path, HEADER.replace("east_m", "eastm"), *LINES)
    assert 'more than one column gives "height"' in problems(tmp_path, HEADER + ",height_ft")
    assert 'no column "kind"' in problems(tmp_path, HEADER.replace("kind", "pass"), *LINES)
