"""The air of a sortie file: METAR, signs on land, sky and time; what is stated goes first."""

import math
import re
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.constants import KNOT_M_S
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.mixture import Mixture
from homeleg.world.weather import Weather, WindSource

EditExample = Callable[..., Path]
LAUNCH = "2026-06-09 17:00Z"
STATED = (
    'surface_wind = { value = "5.0 m/s from 225", gust = "6.5 m/s", at = "10 m", '
    'direction_sd = "10 deg", seen = "2026-06-09 16:45Z", exponent = "0.16" }'
)
METAR = 'metar = "METAR EGPC 091650Z 25012G22KT 9999 FEW035 BKN040 15/08 Q1013"'
REST = 'temperature = "14 degC"\nhumidity = "65 %"\nvisibility = "10 km"\n'
CLOUD = 'cloud_base = "900 m above launch"\n'


@pytest.fixture
def air(edit_example: EditExample) -> Callable[..., Weather]:
    """Return a reader of the example's weather with its wind and its other lines exchanged."""

    def read(wind: str, rest: str = REST + CLOUD, launch: str = LAUNCH) -> Weather:
        path = edit_example("sortie.toml", (STATED, wind), (REST + CLOUD, rest), (LAUNCH, launch))
        before, behind, field = path.read_text("utf-8").partition("[time]")
        # The field is looked at just before this launch.
        looked_at = re.sub(r'seen = "[^"]*"', f'seen = "{launch}"', field)
        path.write_text(before + behind + looked_at, "utf-8")
        return read_sortie(path).sortie.weather

    return read


def problems(air: Callable[..., Weather], *lines: str) -> list[str]:
    with pytest.raises(InputFileError) as caught:
        air(*lines)
    return [str(problem) for problem in caught.value.problems]


def test_a_metar_alone_is_enough(air: Callable[..., Weather]) -> None:
    weather = air(f'{METAR}\nmetar_distance = "12 km"\nmetar_elevation = "85 m AMSL"', "")
    wind = weather.surface
    assert wind is not None
    assert wind.source is WindSource.METAR
    assert wind.seen == datetime(2026, 6, 9, 16, 50, tzinfo=UTC)
    assert wind.height_agl_m == 10.0
    assert wind.speed_m_s.value == pytest.approx(12.0 * KNOT_M_S)
    # 0.5 m/s and 0.05 m/s a kilometre.
    assert wind.speed_m_s.sd == pytest.approx(1.1)
    assert wind.from_true_rad.value == pytest.approx(math.radians(250.0))
    assert wind.from_true_rad.sd == pytest.approx(math.radians(10.0))
    assert wind.gust_m_s == pytest.approx(22.0 * KNOT_M_S)
    # The station lies 50 m above the launch point: 0.325 K by the standard lapse.
    assert weather.temperature_k.value == pytest.approx(288.15 + 0.325)
    # Magnus: 10.73 hPa of vapour at 8 degC, 17.04 hPa saturated at 15 degC (psychrometric table).
    assert weather.humidity_fraction == pytest.approx(10.73 / 17.04, abs=0.002)
    # Standard atmosphere from 1013 hPa at 35 m, by hand: 101 300 - 420.
    assert weather.pressure_pa == pytest.approx(100_880.0, abs=2.0)
    assert weather.visibility_m == 10_000.0
    # FEW035: 1066.8 m above the station, which lies 50 m higher.
    assert weather.cloud_base_above_launch_m == pytest.approx(1116.8)


def test_what_is_stated_goes_before_the_metar_but_all_winds_are_kept(
    air: Callable[..., Weather],
) -> None:
    weather = air(f"{STATED}\n{METAR}")
    assert [report.source for report in weather.reports] == [
        WindSource.ANEMOMETER,
        WindSource.METAR,
    ]
    assert weather.temperature_k.value == pytest.approx(287.15)
    assert weather.humidity_fraction == 0.65
    assert weather.cloud_base_above_launch_m == 900.0


@pytest.mark.parametrize(
    ("report", "sd_deg"), [("VRB03KT", 103.9), ("00000KT", 103.9), ("25012KT 200V300", 28.9)]
)
def test_an_uncertain_direction_is_wide(
    air: Callable[..., Weather], report: str, sd_deg: float
) -> None:
    # A direction evenly spread over an angle has a spread of a root-twelfth of it.
    wind = air(f'metar = "EGPC 091650Z {report} CAVOK 15/08 Q1013"', "").surface
    assert wind is not None
    assert math.degrees(wind.from_true_rad.sd) == pytest.approx(sd_deg, abs=0.05)


def test_the_day_is_the_nearest_of_its_number(air: Callable[..., Weather]) -> None:
    metar = 'metar = "EGPC 312350Z 25012KT CAVOK 15/08 Q1013"'
    wind = air(metar, "", "2026-06-01 00:20Z").surface
    assert wind is not None
    assert wind.seen == datetime(2026, 5, 31, 23, 50, tzinfo=UTC)


def test_cloud_of_a_station_of_unknown_height_is_not_used(air: Callable[..., Weather]) -> None:
    assert air(METAR, "").cloud_base_above_launch_m is None


# Force 3: 3.4 to 5.5 m/s (published), middle 4.45, a third of 2.1.
@pytest.mark.parametrize("key", ["force = 3", 'sign = "leaves and small twigs move all the time"'])
def test_beaufort_by_force_or_sign(air: Callable[..., Weather], key: str) -> None:
    told = f'beaufort = {{ {key}, from = "225 deg", gusty = true, seen = "2026-06-09 16:45Z" }}'
    wind = air(told).surface
    assert wind is not None
    assert wind.source is WindSource.BEAUFORT
    assert wind.speed_m_s.value == pytest.approx(4.45)
    assert wind.speed_m_s.sd == pytest.approx(0.7)
    assert math.degrees(wind.from_true_rad.sd) == pytest.approx(20.0)
    assert wind.height_agl_m == 10.0
    assert wind.gusty is True


def test_a_calm_has_no_direction(air: Callable[..., Weather]) -> None:
    wind = air("beaufort = { force = 0 }").surface
    assert wind is not None
    assert math.degrees(wind.from_true_rad.sd) > 100.0


CALM = 'surface_wind = { value = "1.0 m/s from 225", at = "10 m", seen = "2026-06-09 03:30Z" }'
# At 55 N 5 W on 9 June the sun rises at 03:38 UTC.
DAWN = "2026-06-09 03:45Z"


@pytest.mark.parametrize("sky", ['sky = "clear"\n', 'sky = "2/8"\n', ""])
def test_a_calm_clear_dawn_has_a_wind_aloft_of_its_own(
    air: Callable[..., Weather], sky: str
) -> None:
    weather = air(CALM, REST + sky, DAWN)
    assert weather.aloft is not None
    assert weather.aloft.value + 1.2816 * weather.aloft.sd == pytest.approx(10.0, abs=0.01)
    assert isinstance(weather.exponent, Mixture)
    assert weather.exponent.is_assumed is (not sky)


def test_a_wind_told_aloft_goes_before_the_assumed(air: Callable[..., Weather]) -> None:
    layer = 'layers = [{ value = "3 m/s from 250", at = "90 m above launch" }]'
    assert air(f"{CALM}\n{layer}", REST, DAWN).aloft is None


def test_sky_and_hour_give_the_exponent(air: Callable[..., Weather]) -> None:
    # 17:00 UTC on 9 June, clear, 5 m/s (10 kt): sun 30 degrees up, index 2, class D; an hour ago
    # 38 degrees, index 3, class C. Half each, and half of that beside, no E by day: B 1/8, C 3/8,
    # D 1/2.
    weather = air(STATED.replace(', exponent = "0.16"', ""), REST + 'sky = "clear"\n')
    assert isinstance(weather.exponent, Mixture)
    told = {middle: weight for weight, middle in weather.exponent.parts if weight}
    assert told == {0.07: 0.125, 0.10: 0.375, 0.15: 0.5}
    assert weather.aloft is None


def test_a_stated_exponent_is_kept(air: Callable[..., Weather]) -> None:
    weather = air(STATED, REST + 'sky = "overcast"\n')
    assert weather.exponent.value == 0.16
    assert weather.aloft is None


def test_a_metar_may_run_over_lines(air: Callable[..., Weather]) -> None:
    lines = METAR.replace('"', '"""').replace(" 9999", "\n  9999")
    wind = air(lines, "").surface
    assert wind is not None
    assert wind.gust_m_s == pytest.approx(11.32, abs=0.005)  # 22 kt of 0.5144 m/s


WRONG = [
    (METAR.replace('"METAR', f'"{METAR[9:-1]} METAR'), "", "holds two reports; give one"),
    (METAR.replace("25012G22KT", "250125KT"), "", "Is it 25012KT?"),
    (METAR.replace("Q1013", "Q1013 " + "9" * 500), "", "letters long"),
    (STATED.replace("2026-06-09 16:45Z", "0001-01-01 00:00Z"), REST, "at 0001-01-01 00:00Z"),
    (METAR.replace("25012G22KT", "2501"), "", "2501 stands where the wind"),
    (METAR.replace("091650Z", "081650Z"), "", "24 hours before the launch"),
    (METAR.replace("091650Z", "091710Z"), "", "is after the launch"),
    (METAR.replace("15/08", "//////"), "", "[weather] temperature: is missing"),
    (METAR.replace("25012G22KT", "/////KT"), REST, "no wind is told"),
    (f'{STATED}\nmetar_distance = "12 km"', REST, "given without a METAR"),
    (f'{METAR}\nmetar_elevation = "12 m AGL"', "", "above mean sea level"),
    (STATED, 'humidity = "65 %"\n', "[weather] temperature: is missing"),
    (STATED, REST + 'sky = "9/8"\n', "how much of the sky is cloud"),
    ('beaufort = { from = "225 deg" }', REST, "either a force or a sign"),
    ("beaufort = { force = 3 }", REST, "where the wind blows from"),
    ('beaufort = { force = 12, from = "225 deg" }', REST, "outside 0 to 11"),
    ('beaufort = { sign = "whole tree moves", from = "225" }', REST, "nearest is whole trees move"),
]


@pytest.mark.parametrize(("wind", "rest", "said"), WRONG)
def test_each_mistake_is_one_problem(
    air: Callable[..., Weather], wind: str, rest: str, said: str
) -> None:
    found = problems(air, wind, rest)
    assert len(found) == 1
    assert said in found[0]
