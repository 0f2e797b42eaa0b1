"""Sortie files: the examples as written, defaults, and errors across the files."""

import hashlib
import math
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from homeleg.aircraft.loading import loaded_mass
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.estimate import Basis
from homeleg.foundation.heights import SpeedKind, StatedAirspeed
from homeleg.readiness.told import ToldAnswer
from homeleg.route.items import ItemKind
from homeleg.sortie.sortie import FlownBy, Sortie
from homeleg.world.ground import GroundByEye
from homeleg.world.weather import WindSource

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
EditExample = Callable[..., Path]


def example(place: str) -> Sortie:
    return read_sortie(EXAMPLES / place / "sortie.toml").sortie


def problems(path: Path) -> str:
    with pytest.raises(InputFileError) as caught:
        read_sortie(path)
    return str(caught.value)


def test_tern_point_as_written() -> None:
    sortie = example("tern-point")
    assert sortie.launch_time == datetime(2026, 6, 9, 17, 0, tzinfo=UTC)
    assert sortie.flown_by is FlownBy.ROUTE
    assert sortie.seed == 1
    assert not sortie.beyond_sight
    site = sortie.site
    assert site.latitude_rad == pytest.approx(math.radians(55.0))
    assert site.longitude_rad == pytest.approx(math.radians(-5.0))
    assert site.elevation_amsl_m == 35.0
    assert site.strip.length_m == 250.0
    assert site.ground == GroundByEye(flat_within_m=5.0, radius_m=1200.0, flat_to_m=1200.0)
    assert len(site.come_down) == 4
    assert site.boundary is not None
    assert site.boundary.hull_margin_m == 250.0
    wind = sortie.weather.surface
    assert wind is not None
    assert wind.source is WindSource.ANEMOMETER
    assert wind.speed_m_s.value == 5.0
    assert wind.speed_m_s.sd == pytest.approx(0.8)
    assert wind.from_true_rad.sd == pytest.approx(math.radians(10.0))
    assert wind.height_agl_m == 10.0
    assert wind.gust_m_s == 6.5
    assert sortie.weather.exponent.value == pytest.approx(0.16)
    assert sortie.weather.exponent.sd == pytest.approx(0.03)
    assert sortie.weather.temperature_k.value == pytest.approx(287.15)
    assert sortie.weather.cloud_base_above_launch_m == 900.0
    assert sortie.pack.capacity_fraction.value == pytest.approx(0.97)
    assert sortie.pack.cell_spread_v == pytest.approx(0.010)
    assert sortie.pack.swollen is False
    names = [item.name for item in sortie.route.items]
    assert names == ["takeoff", "A", "B", "C", "D", "E", "F", "G", "return", "land"]
    assert [item.name for item in sortie.route.items if item.picture] == ["C", "D"]
    east = sortie.route.items[5]
    assert (east.east_m, east.north_m) == (690.0, 400.0)


def test_skarv_moor_works_in_an_orbit() -> None:
    sortie = example("skarv-moor")
    assert sortie.beyond_sight
    orbit = sortie.route.items[1]
    assert orbit.kind is ItemKind.ORBIT
    assert orbit.radius_m == 200.0
    assert orbit.duration_s == 600.0
    assert orbit.turns is None


def test_mesa_alta_leaves_by_bungee() -> None:
    sortie = example("mesa-alta")
    assert sortie.aircraft.takeoff.release_speed_m_s.value == 12.0
    assert sortie.aircraft.guidance.bank_rad == pytest.approx(math.pi / 4.0)
    assert sortie.route.items[2].airspeed == StatedAirspeed(13.0, SpeedKind.EAS)


def test_bracken_workshop_balances_behind_its_envelope() -> None:
    sortie = example("bracken-workshop")
    loaded = loaded_mass(sortie.aircraft, sortie.loading)
    # Worked by hand: 2.35 - 0.120 + 0.260 kg; 0.2074 kg m over 2.49 kg is 83.3 mm of 245 mm.
    assert loaded.total_kg.value == pytest.approx(2.49)
    assert loaded.centre_of_gravity_fraction.value == pytest.approx(0.340, abs=5e-4)


def test_sources_are_the_files_with_their_digests() -> None:
    files = read_sortie(EXAMPLES / "tern-point" / "sortie.toml")
    assert [name for name, _ in files.sources] == ["sortie.toml", "petrel.toml", "route.csv"]
    route = (EXAMPLES / "tern-point" / "route.csv").read_bytes()
    assert files.sources[2][1] == hashlib.sha256(route).hexdigest()


def test_told_answers_carry_their_figures_and_times() -> None:
    told = {answer.item: answer for answer in example("tern-point").told}
    seen = datetime(2026, 6, 9, 16, 40, tzinfo=UTC)
    figures = {"offset": 0.4, "residual": 0.6}
    assert told["pitot"] == ToldAnswer(item="pitot", good=True, numbers=figures, seen=seen)
    assert told["pack.temperature"].numbers["temperature"] == pytest.approx(291.15)
    assert told["pack.health"].good is None
    assert len(told) == 13


def test_a_swollen_pack_is_a_bad_answer(edit_example: EditExample) -> None:
    path = edit_example("sortie.toml", ("swollen = false", "swollen = true"))
    told = {answer.item: answer for answer in read_sortie(path).sortie.told}
    assert told["pack.health"].good is False


def test_silence_about_the_day_is_assumed(edit_example: EditExample) -> None:
    path = edit_example(
        "sortie.toml",
        ('temperature = "18 degC"\n', ""),
        ('charged = "100 %"\n', ""),
        ("health = {", "# health = {"),
        ('humidity = "65 %"\n', ""),
        (', exponent = "0.16"', ""),
        (', at = "10 m"', ""),
        (', direction_sd = "10 deg"', ""),
    )
    sortie = read_sortie(path).sortie
    assert sortie.pack.temperature_k is None
    assert sortie.pack.charged_fraction.is_assumed
    assert sortie.pack.capacity_fraction.is_assumed
    assert sortie.pack.cell_spread_v is None
    assert sortie.weather.humidity_fraction == 0.65
    assert sortie.weather.exponent.is_assumed
    assert sortie.weather.surface is not None
    assert sortie.weather.surface.height_agl_m == 2.0
    assert sortie.weather.surface.from_true_rad.sd == pytest.approx(math.radians(15.0))
    assert "pack.temperature" not in {answer.item for answer in sortie.told}


def test_layers_and_pressure(edit_example: EditExample) -> None:
    layers = (
        'qnh = "1013.25 hPa"\n'
        'layers = [{ value = "12 m/s from 270", at = "125 m AMSL", seen = "2026-06-09 12:00Z" }]\n'
    )
    weather = read_sortie(edit_example("sortie.toml", ("temperature", layers + "temperature")))
    layer = weather.sortie.weather.layers[0]
    assert layer.source is WindSource.LAYER
    assert layer.height_agl_m == 90.0
    assert layer.speed_m_s.sd == 2.0
    # Standard atmosphere at 35 m: 101325 (1 - 0.0065 * 35 / 288.15)^5.25588.
    assert weather.sortie.weather.pressure_pa == pytest.approx(100_905.0, abs=1.0)


def test_a_weighing_of_today_counts_as_measured(edit_example: EditExample) -> None:
    weighed = '[loading]\nweighed = "2.55 kg"\ncentre_of_gravity = "27.5 % MAC"\n[site]'
    loading = read_sortie(edit_example("sortie.toml", ("[site]", weighed))).sortie.loading
    assert loading.weighed_kg is not None
    assert loading.weighed_kg.basis is Basis.BENCH
    assert loading.weighed_kg.sd == pytest.approx(0.005 * 2.55)
    assert loading.weighed_centre_fraction is not None
    assert loading.weighed_centre_fraction.value == pytest.approx(0.275)


def test_inline_route_is_the_same_as_a_route_file(edit_example: EditExample) -> None:
    inline = """route = [
  { name = "up", kind = "takeoff", height = "60 m above launch" },
  { name = "A", kind = "point", east = "-200 m", north = "-190 m", height = "60 m above launch" },
  { name = "land", kind = "land" },
]"""
    files = read_sortie(edit_example("sortie.toml", ('route = "route.csv"', inline)))
    a = files.sortie.route.items[1]
    assert (a.east_m, a.north_m) == (-200.0, -190.0)
    assert [name for name, _ in files.sources] == ["sortie.toml", "petrel.toml"]


def test_limits_changed_in_either_file_are_kept(edit_example: EditExample) -> None:
    change = '[[limits.changed]]\nrow = "home.charge"\nhard = "8 %"\nby = "M"\non = "1 May"\n'
    edit_example("petrel.toml", ("[radio]", change + 'reason = "field below"\n[radio]'))
    path = edit_example("sortie.toml", ("[rules]", change + 'reason = "no wind"\n[rules]'))
    assert [limit.reason for limit in read_sortie(path).sortie.changed_limits] == [
        "field below",
        "no wind",
    ]


SORTIE_ERRORS = [
    ('"55.0000 N", "5.0000 W"', '"5.0000 W", "55.0000 N"', "are the two swapped?"),
    ('"35 m AMSL"', '"35 m AGL"', "above mean sea level"),
    ('"35 m AMSL"', '"35 m"', "35 m above what?"),
    ("16:45Z", "18:45Z", "is after the launch"),
    ("2026-06-09 16:45Z", "2026-06-07 16:45Z", "48 hours before the launch"),
    ("16:40Z", "17:40Z", "is after the launch"),
    ('gust = "6.5 m/s"', 'gust = "1.5 m/s"', "below the mean wind"),
    ("sense = {", "sence = {", "the nearest is sense"),
    ('answer = "good"', 'answer = "fine"', "good, bad"),
    (
        'ground = { by_eye = "flat within 5 m", radius',
        'ground = { terrain = "t.tif", radius',
        "is given, and terrain too",
    ),
    ("keep_out = []", 'keep_out = [{ name = "x", kind = "road" }]', "vertices_m: is missing"),
    ('[time]\nlaunch = "2026-06-09 17:00Z"\n', "", "Add [time] with launch."),
    ('launch = "2026-06-09 17:00Z"', "", 'Add it, such as launch = "2026-06-09 17:00Z"'),
    ('"petrel.toml"', '"petrle.toml"', "no such file"),
    ("surface_wind = {", "# surface_wind = {", "no wind is told"),
    ('profile = "own"', 'profile = "theirs"', "There are: own, EU open A3"),
    ("[site]", '[[loading.move]]\nstation = "pakc"\nby = "5 mm"\n[site]', "nearest is pack"),
    ("[site]", '[[loading.move]]\nstation = "pack"\nby = "-90 mm"\n[site]', "40 mm at most"),
    (
        "[site]",
        '[[loading.change]]\nname = "all"\nmass = "-3 kg"\narm = "0 mm"\n[site]',
        "the changes leave",
    ),
]


@pytest.mark.parametrize(("old", "new", "said"), SORTIE_ERRORS)
def test_errors_of_the_sortie(edit_example: EditExample, old: str, new: str, said: str) -> None:
    text = problems(edit_example("sortie.toml", (old, new)))
    assert said in text
    assert "sortie.toml" in text or "petrle.toml" in text


def test_a_missing_terrain_file_is_one_error(edit_example: EditExample) -> None:
    change = ('by_eye = "flat within 5 m", radius = "1200 m"', 'terrain = "tile.tif"')
    with pytest.raises(InputFileError) as caught:
        read_sortie(edit_example("sortie.toml", change))
    assert len(caught.value.problems) == 1
    assert "there is no such file" in caught.value.problems[0].problem


def test_problems_of_all_files_come_together(edit_example: EditExample) -> None:
    edit_example("petrel.toml", ("cells = 4", "cells = 0"))
    edit_example("route.csv", ("A,point,-200", "A,point,-2OO"))
    text = problems(edit_example("sortie.toml", ("seed = 1", "seed = -1")))
    assert "sortie.toml, line 5, seed: -1 is outside" in text
    assert "petrel.toml, line 41, [battery] cells: 0 is outside" in text
    assert "route.csv, line 3, column east_m" in text


def test_a_way_home_over_points_needs_them(edit_example: EditExample) -> None:
    path = edit_example("petrel.toml", ('path = "straight"', 'path = ["Q"]'))
    assert "returns over Q, and there is no such point" in problems(path)
    path = edit_example("petrel.toml", ('path = ["Q"]', 'path = ["G"]'))
    assert read_sortie(path).sortie.aircraft.link_loss.path == ("G",)


def test_route_far_from_the_launch_point_names_the_likely_cause(edit_example: EditExample) -> None:
    header = "name,kind,latitude_deg,longitude_deg,height_m,above\n"
    lines = "up,takeoff,,,,\nA,point,55.001,-5.0,60,launch\nland,land,,,,\n"
    path = edit_example("sortie.toml")
    (path.parent / "route.csv").write_text(header + lines, "utf-8")
    near = read_sortie(path).sortie.route.items[1]
    # A thousandth of a degree of latitude at 55 N is 111.32 m.
    assert near.east_m == pytest.approx(0.0, abs=1e-6)
    assert near.north_m == pytest.approx(111.32, abs=0.005)
    (path.parent / "route.csv").write_text(header + lines.replace("-5.0", "5.0"), "utf-8")
    text = problems(path)
    assert "638 km from the launch point" in text or "639 km from the launch point" in text
    # A thousandth of a degree from the launch point, as above.
    assert "with longitude 5.0000 W it would lie 0.1 km away" in text


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("-55.001,-5.0", "with latitude 55.0010 N it would lie 0.1 km away"),
        ("-55.001,5.0", "with 55.0010 N, 5.0000 W it would lie 0.1 km away"),
        ("-5.0,55.001", "with latitude and longitude exchanged it would lie 0.1 km away"),
        ("45.001,-5.0", "is a degree mistyped"),
    ],
)
def test_the_slip_that_put_an_item_far_away(
    edit_example: EditExample, place: str, words: str
) -> None:
    path = edit_example("sortie.toml")
    (path.parent / "route.csv").write_text(
        "name,kind,latitude_deg,longitude_deg,height_m,above\nup,takeoff,,,,\n"
        f"A,point,{place},60,launch\nland,land,,,,\n",
        "utf-8",
    )
    assert words in problems(path)


def test_heights_below_the_launch_point(edit_example: EditExample) -> None:
    text = problems(edit_example("route.csv", ("60,launch,15.5", "30,AMSL,15.5")))
    assert "route.csv, line 3, column height_m: 30 m AMSL is 5 m below the launch point" in text
    assert "Did you mean above launch?" in text


@pytest.mark.parametrize("height", ["-20,launch", "5,launch", "40,AMSL", "3,AGL"])
def test_a_take_off_climbs(edit_example: EditExample, height: str) -> None:
    # The launch point lies at 35 m AMSL; 10 m above it are the least that is flown anywhere.
    text = problems(
        edit_example("route.csv", ("takeoff,takeoff,0,0,60,launch", f"t,takeoff,0,0,{height}"))
    )
    assert "line 2, column height_m: the take-off ends" in text


@pytest.mark.parametrize("top", ["-5 m above launch", "9 m AGL", "44 m AMSL"])
def test_a_boundary_leaves_room_to_fly(edit_example: EditExample, top: str) -> None:
    text = problems(edit_example("sortie.toml", ("118 m above launch", top)))
    assert "[site] boundary, top: " in text
    assert "m to fly in" in text


def test_the_lowest_boundary_and_take_off_that_can_be_flown(edit_example: EditExample) -> None:
    edit_example("route.csv", ("takeoff,takeoff,0,0,60,launch", "t,takeoff,0,0,45,AMSL"))
    path = edit_example("sortie.toml", ("118 m above launch", "45 m AMSL"))
    assert read_sortie(path).sortie.site.boundary is not None


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            'pattern_height = "40 m above launch"',
            'pattern_height = "30 m AMSL"',
            "pattern_height of Petrel, 30 m AMSL, is -5 m above the launch point",
        ),
        (
            'return_height = "85 m above launch"',
            'return_height = "44 m AMSL"',
            "return_height of Petrel, 44 m AMSL, is 9 m above the launch point",
        ),
    ],
)
def test_heights_of_the_record_too_low_at_this_site(
    edit_example: EditExample, old: str, new: str, said: str
) -> None:
    # The launch point lies 35 m above the sea.
    text = problems(edit_example("petrel.toml", (old, new)))
    assert text.startswith("sortie.toml, line 2, aircraft: ")
    assert said in text
    edit_example("petrel.toml", (new, new.replace("30 m", "75 m").replace("44 m", "120 m")))
    assert read_sortie(edit_example("sortie.toml")).sortie.aircraft.name == "Petrel"


def test_problems_stand_in_the_order_of_files_and_lines(edit_example: EditExample) -> None:
    edit_example("route.csv", ("A,point", "A,pont"))
    edit_example("petrel.toml", ("cells = 4", "cells = 0"), ("span = ", "spam = "))
    changes = (('humidity = "65 %"', 'humidity = "165 %"'), ("seed = 1", 'seed = "one"'))
    text = problems(edit_example("sortie.toml", *changes))
    found = [words.split(",")[:2] for words in text.splitlines() if ", line " in words]
    assert [(name, int(line.split(":")[0][6:])) for name, line in found] == [
        ("sortie.toml", 5),
        ("sortie.toml", 25),
        ("petrel.toml", 8),
        ("petrel.toml", 9),
        ("petrel.toml", 41),
        ("route.csv", 3),
    ]


def test_another_kind_of_file_is_one_problem(edit_example: EditExample) -> None:
    path = edit_example("sortie.toml", ('"petrel.toml"', '"sortie.toml"'))
    with pytest.raises(InputFileError) as caught:
        read_sortie(path)
    assert [str(problem) for problem in caught.value.problems] == [
        'sortie.toml, line 1, schema: "homeleg/sortie/1" is not "homeleg/aircraft/1"\n'
        '  Write "homeleg/aircraft/1".'
    ]


POINT = 'diversion_points = [{ name = "bend", east = "620 m", north = "-480 m" }]'


@pytest.mark.parametrize(
    ("points", "words"),
    [
        (POINT.replace('name = "bend", ', ""), "diversion_points, item 1, name: is missing"),
        (POINT.replace("620 m", "620"), "no unit"),
        (POINT.replace("620 m", "620 km"), "620"),
        (POINT.replace("}]", '}, { name = "bend", east = "1 m", north = "1 m" }]'), "second point"),
        (POINT.replace("}]", ', height = "80 m" }]'), "height"),
        (POINT.replace("}]", ', hight = "80 m AGL" }]'), "hight"),
        ("diversion_points = 3", "diversion_points"),
    ],
)
def test_diversion_points_that_are_none(edit_example: EditExample, points: str, words: str) -> None:
    path = edit_example("sortie.toml", ("[site]\n", f"[site]\n{points}\n"))
    found = problems(path)
    assert "sortie.toml" in found
    assert words in found


@pytest.mark.parametrize("way", ["along the diversion points", "over the nearest diversion point"])
def test_a_path_over_points_needs_points(edit_example: EditExample, way: str) -> None:
    path = edit_example("petrel.toml", ('path = "straight"', f'path = "{way}"'))
    assert f"Petrel returns {way}, and [site] has none" in problems(path)
    edit_example("sortie.toml", ("[site]\n", f"[site]\n{POINT}\n"))
    (point,) = read_sortie(path).sortie.site.diversion_points
    assert (point.name, point.east_m, point.north_m, point.height) == ("bend", 620.0, -480.0, None)
