"""What is turned on the day becomes what the files would say; each slip is told at its field."""

import math
from pathlib import Path

import pytest

from homeleg.desk.base import make_base
from homeleg.desk.examples import add_example
from homeleg.desk.face import SI, Face
from homeleg.desk.typed_number import FieldsError
from homeleg.desk.what_if_inputs import Turned, inputs_of, points_of, turned_files
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.heights import SpeedKind
from homeleg.sortie.sortie import Sortie

KELVIN = 273.15


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return add_example(make_base(tmp_path / "base"), "tern-point")


def turned(path: Path, **typed: str) -> Turned:
    return turned_files(read_sortie(path), path.parent, typed, SI)


def sortie(path: Path, **typed: str) -> Sortie:
    return turned(path, **typed).files.sortie


def wrong(path: Path, **typed: str) -> dict[str, str]:
    with pytest.raises(FieldsError) as refused:
        turned(path, **typed)
    return refused.value.wrong


def test_every_input_as_it_stands(path: Path) -> None:
    now = {one.name: (one.now, one.unit) for one in inputs_of(read_sortie(path).sortie, SI)}
    # As examples/tern-point says.
    assert now["speed"] == ("5.0", "m/s")
    assert now["from"] == ("225", "deg")
    assert now["gust"] == ("6.5", "m/s")
    assert now["temperature"] == ("14", "degC")
    assert now["charged"] == ("100", "%")
    assert now["capacity"] == ("97", "%")
    assert now["pack"] == ("18", "degC")
    assert now["work"] == ("15.5", "m/s")
    assert now["launch"] == ("17:00", "UTC")
    assert points_of(read_sortie(path).sortie) == tuple("ABCDEFG")


def test_in_the_units_of_the_face(path: Path) -> None:
    face = Face(speed="kt", length="ft")
    now = {one.name: (one.now, one.unit) for one in inputs_of(read_sortie(path).sortie, face)}
    # A knot is 1852 m an hour: 5 m/s are 9.719 kt.
    assert now["speed"] == ("9.7", "kt")
    typed = {"speed": "15", "gust": "20", "up": "100"}
    told = turned_files(read_sortie(path), path.parent, typed, face).files.sortie
    assert told.weather.surface is not None
    assert told.weather.surface.speed_m_s.value == pytest.approx(15.0 * 1852.0 / 3600.0)
    # A foot is 0.3048 m; the route's file holds whole metres.
    assert told.route.items[1].height is not None
    assert told.route.items[1].height.value_m == pytest.approx(60.0 + 30.48, abs=0.5)


def test_wind_keeps_what_was_not_turned(path: Path) -> None:
    wind = sortie(path, speed="6").weather.surface
    assert wind is not None
    assert (wind.speed_m_s.value, wind.gust_m_s, wind.height_agl_m) == (6.0, 6.5, 10.0)
    assert math.degrees(wind.from_true_rad.value) == pytest.approx(225.0)
    veered = sortie(path, **{"from": "260"}).weather.surface
    assert veered is not None
    assert math.degrees(veered.from_true_rad.value) == pytest.approx(260.0)
    assert veered.speed_m_s.value == 5.0


def test_a_sign_on_land_gives_way_to_a_speed(path: Path) -> None:
    text = path.read_text()
    line = next(one for one in text.splitlines() if one.startswith("surface_wind"))
    seen = 'beaufort = { sign = "leaves and small twigs move all the time", from = "SW", seen = '
    path.write_text(text.replace(line, seen + '"2026-06-09 16:45Z" }'))
    wind = sortie(path, speed="8").weather.surface
    assert wind is not None
    assert wind.speed_m_s.value == 8.0
    assert math.degrees(wind.from_true_rad.value) == pytest.approx(225.0)


def test_pack_air_and_load(path: Path) -> None:
    told = sortie(
        path, temperature="4", charged="80", capacity="85", pack="-2", mass="150", arm="20"
    )
    assert told.weather.temperature_k.value == pytest.approx(KELVIN + 4.0)
    assert told.pack.charged_fraction.value == pytest.approx(0.80)
    assert told.pack.capacity_fraction.value == pytest.approx(0.85)
    assert told.pack.capacity_fraction.sd == 0.0  # as the file says
    assert told.pack.temperature_k is not None
    assert told.pack.temperature_k.value == pytest.approx(KELVIN - 2.0)
    (change,) = told.loading.changes
    assert [change.mass_kg, change.arm_m] == pytest.approx([0.150, 0.020])


def test_what_nobody_measured_is_to_be_told_again(path: Path) -> None:
    told = {one.item: one.seen for one in read_sortie(path).sortie.told}
    assert told["pack.temperature"] is not None
    after = {one.item: one.seen for one in sortie(path, pack="10").told}
    assert after.get("pack.temperature") is None
    assert "route_aboard" not in {one.item for one in sortie(path, up="10").told}
    assert "settings" not in {one.item for one in sortie(path, home="18").told}


def test_airspeeds_at_work_and_coming_home(path: Path) -> None:
    told = sortie(path, work="17", home="19")
    speeds = {item.name: item.airspeed for item in told.route.items if item.airspeed is not None}
    assert {speeds[name].value_m_s for name in "ABCDEFG"} == {17.0}
    assert speeds["return"].value_m_s == 19.0
    assert speeds["A"].kind is SpeedKind.TAS
    assert told.aircraft.link_loss.airspeed is not None
    assert told.aircraft.link_loss.airspeed.value_m_s == 19.0


def test_a_point_moved_by_bearing_and_metres(path: Path) -> None:
    moved = {
        one.name: one for one in sortie(path, point="D", bearing="270", metres="100").route.items
    }
    assert (moved["D"].east_m, moved["D"].north_m) == pytest.approx((660.0, 130.0))
    assert (moved["C"].east_m, moved["C"].north_m) == pytest.approx((540.0, -140.0))


def test_turned_round_the_same_legs_are_for_pictures(path: Path) -> None:
    route = sortie(path, round="yes").route
    assert "".join(one.name for one in route.items[1:-2]) == "GFEDCBA"
    # Legs B to C and C to D before: D to C and C to B now.
    assert [one.name for one in route.items if one.picture] == ["C", "B"]
    again = turned(path, round="yes", up="0").files
    assert again.sortie.route == route


def test_launched_another_way_at_another_time(path: Path) -> None:
    told = sortie(path, heading="245", launch="17:40Z")
    assert told.site.launch_heading_true_rad == pytest.approx(math.radians(245.0))
    assert f"{told.launch_time:%Y-%m-%d %H:%M}" == "2026-06-09 17:40"
    assert told.aircraft.takeoff == read_sortie(path).sortie.aircraft.takeoff


def test_several_at_once_in_words_and_comments_stay(path: Path) -> None:
    path.write_text(f"# Ours, and it stays.\n{path.read_text()}")
    before = path.read_bytes()
    made = turned(path, speed="6,5", gust="9", charged="90")
    assert made.words == ("wind 6.5 m/s from 225, gusts 9 m/s", "pack charged to 90 %")
    ((name, text),) = made.edited
    assert name == path.name
    assert text.text.startswith("# Ours, and it stays.\n")
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("typed", "field", "says"),
    [
        ({}, "speed", "Nothing is turned yet"),
        ({"speed": "fast"}, "speed", "fast is no number"),
        ({"speed": "nan"}, "speed", "nan is no number"),
        ({"speed": "9"}, "gust", "6.5 m/s would be below"),
        ({"from": "400"}, "from", "from 0 to 360"),
        ({"temperature": "300"}, "temperature", "from -60 to 60"),
        ({"charged": "120"}, "charged", "from 5 to 100"),
        ({"mass": "100"}, "arm", "nothing is no number"),
        ({"mass": "-9000", "arm": "0"}, "mass", "kg"),
        ({"work": "2"}, "work", "m/s"),
        ({"up": "900000"}, "up", "no number"),
        ({"up": "-100"}, "up", "launch"),
        ({"point": "Z", "bearing": "1", "metres": "1"}, "point", "Pick the point"),
        ({"bearing": "10"}, "point", "Pick the point"),
        ({"point": "D"}, "bearing", "nothing is no number"),
        ({"point": "D", "bearing": "10"}, "metres", "nothing is no number"),
        ({"launch": "half past"}, "launch", "17:30, UTC"),
        ({"launch": "15:00"}, "launch", "after the launch"),
    ],
)
def test_a_slip_is_told_at_its_field(
    path: Path, typed: dict[str, str], field: str, says: str
) -> None:
    told = wrong(path, **typed)
    assert set(told) == {field}
    assert says in told[field]


def test_slips_are_told_together(path: Path) -> None:
    assert set(wrong(path, speed="x", charged="y", up="5")) == {"speed", "charged"}


def test_a_weighed_load_is_weighed_again(path: Path) -> None:
    path.write_text(f'{path.read_text()}\n[loading]\nweighed = "2.55 kg"\n')
    assert "weigh it again" in wrong(path, mass="100", arm="20")["mass"]


def test_heights_above_another_datum_are_left(path: Path) -> None:
    route = path.with_name("route.csv")
    route.write_text(
        route.read_text().replace("B,point,130,-300,70,launch", "B,point,130,-300,70,AGL")
    )
    assert "B flies at 70 m AGL" in wrong(path, up="10")["up"]


def test_a_wind_from_a_report_is_measured_first(path: Path) -> None:
    text = path.read_text()
    line = next(one for one in text.splitlines() if one.startswith("surface_wind"))
    path.write_text(
        text.replace(line, 'metar = "METAR XXXX 091650Z 25012KT 9999 FEW030 14/08 Q1016"')
    )
    assert "Measure it first" in wrong(path, speed="6")["speed"]


def test_a_route_without_two_points_is_not_turned(path: Path) -> None:
    route = path.with_name("route.csv")
    kept = [one for one in route.read_text().splitlines() if one[:2] not in ("B,", "C,", "D,")]
    route.write_text("\n".join(one for one in kept if one[:2] not in ("E,", "F,", "G,")))
    assert "no two points" in wrong(path, round="yes")["round"]


def test_a_route_in_the_sorties_file_is_turned_there(path: Path) -> None:
    items = """route = [
  { name = "up", kind = "takeoff", height = "60 m above launch" },
  { name = "A", kind = "point", east = "-200 m", north = "-190 m", height = "60 m above launch" },
  { name = "B", kind = "point", east = "130 m", north = "-300 m", height = "60 m above launch" },
  { name = "land", kind = "land" },
]"""
    path.write_text(path.read_text().replace('route = "route.csv"', items))
    assert "in the sortie's file" in wrong(path, round="yes")["round"]
    assert "in the sortie's file" in wrong(path, up="5")["up"]
