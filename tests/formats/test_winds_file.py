"""Winds of a file as layers of the weather: height, spread, age, and what is left out."""

import math
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from importlib.util import find_spec
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.constants import FOOT_M, KNOT_M_S
from homeleg.foundation.errors import InputFileError
from homeleg.world.weather import WindReport, WindSource

EditExample = Callable[..., Path]
# The example is launched at 17:00Z on 9 June 2026 from 35 m AMSL. The form of the tables as public
# pages show it (common practice); figures of our own.
ALOFT = """DATA BASED ON 091200Z
VALID 091800Z   FOR USE 1400-2100Z. TEMPS NEG ABV 24000

FT  3000    6000    9000   12000   18000   24000  30000  34000  39000
AAA 2619 2728+01 2635-05 2538-10 2542-21 2674-33 760249 750956 751956
BBB      9900+05 2332+02 2339-03 2356-15 2373-26 239440 730649 731960
"""
SOUNDING = """03808 Field Observations at 12Z 09 Jun 2026

-----------------------------------------------------------------------------
   PRES   HGHT   TEMP   DWPT   RELH   MIXR   DRCT   SKNT   THTA   THTE   THTV
    hPa     m      C      C      %    g/kg    deg   knot     K      K      K
-----------------------------------------------------------------------------
 1009.0     30   15.0   10.0     72   7.70    200      8  287.4  309.1  288.8
 1000.0    110   13.9    9.3     74   7.42                287.1  308.0  288.4
  989.0    205   12.9    8.6     75   7.16    215     15  287.0  307.2  288.2
  925.0    763    8.0    5.0     81   5.96    230     25  287.5  304.5  288.5
  850.0   1455    3.0    0.0     81   4.55    240     31  289.3  302.6  290.1
"""
CSV = "height_m,above,speed_kt,from_deg,seen\n300,AMSL,20,240,2026-06-09 15:00Z\n"


def layers(
    edit_example: EditExample, text: str, rest: str = "", name: str = ""
) -> list[WindReport]:
    path = edit_example(
        "sortie.toml",
        ("temperature =", f'winds_file = {{ file = "w{name}"{rest} }}\ntemperature ='),
    )
    (path.parent / f"w{name}").write_text(text, "utf-8")
    reports = read_sortie(path).sortie.weather.reports
    return [report for report in reports if report.source is WindSource.LAYER]


def refusal(edit_example: EditExample, text: str, rest: str = "", name: str = "") -> str:
    with pytest.raises(InputFileError) as caught:
        layers(edit_example, text, rest, name)
    return str(caught.value)


def test_winds_aloft(edit_example: EditExample) -> None:
    (lowest,) = layers(edit_example, ALOFT, ', station = "AAA"')
    assert lowest.height_agl_m == pytest.approx(3000 * FOOT_M - 35.0)
    assert lowest.speed_m_s.value == pytest.approx(19 * KNOT_M_S)
    assert lowest.speed_m_s.sd == 4.0
    assert lowest.from_true_rad.value == pytest.approx(math.radians(260.0))
    # Valid an hour after the launch: as good as an hour before it.
    assert lowest.seen == datetime(2026, 6, 9, 16, 0, tzinfo=UTC)


def test_a_level_left_out_shifts_nothing(edit_example: EditExample) -> None:
    (lowest,) = layers(edit_example, ALOFT, ', station = "BBB"')
    assert lowest.height_agl_m == pytest.approx(6000 * FOOT_M - 35.0)
    assert lowest.speed_m_s.value < 5 * KNOT_M_S
    assert lowest.from_true_rad.sd == pytest.approx(math.pi)


def test_sounding(edit_example: EditExample) -> None:
    lower, upper = layers(edit_example, SOUNDING)
    # The level at 30 m lies below the launch point, that at 110 m has no wind, 1455 m is far above.
    assert [lower.height_agl_m, upper.height_agl_m] == [170.0, 728.0]
    assert lower.speed_m_s.value == pytest.approx(15 * KNOT_M_S)
    assert upper.from_true_rad.value == pytest.approx(math.radians(230.0))
    assert lower.seen == datetime(2026, 6, 9, 12, 0, tzinfo=UTC)


def test_csv(edit_example: EditExample) -> None:
    (layer,) = layers(edit_example, CSV, name=".csv")
    assert layer.height_agl_m == 265.0
    assert layer.speed_m_s.sd == 2.0
    assert layer.from_true_rad.sd == pytest.approx(math.radians(15.0))
    assert layer.seen == datetime(2026, 6, 9, 15, 0, tzinfo=UTC)


def test_csv_of_another_country(edit_example: EditExample) -> None:
    (layer,) = layers(edit_example, CSV.replace(",", ";"), name=".csv")
    assert layer.height_agl_m == 265.0


def test_what_the_sortie_says_goes_first(edit_example: EditExample) -> None:
    (layer,) = layers(edit_example, CSV, ', sd = "3 m/s", seen = "2026-06-09 12:00Z"', ".csv")
    assert layer.speed_m_s.sd == 3.0
    assert layer.seen == datetime(2026, 6, 9, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "rest", "name", "words"),
    [
        (ALOFT, "", "", "no station is named"),
        (ALOFT, ', station = "CCC"', "", "There are: AAA, BBB."),
        (ALOFT.replace("VALID", ""), ', station = "AAA"', "", "does not say when it is valid"),
        (ALOFT.replace("2619 ", "4519 "), ', station = "AAA"', "", "blows from no direction"),
        (ALOFT.replace("2619", "2619 2619"), ', station = "AAA"', "", "more groups than levels"),
        (SOUNDING.replace("12Z 09 Jun 2026", ""), "", "", "does not say when"),
        (SOUNDING.replace("12Z 09 Jun", "12Z 07 Jun"), "", "", "53 hours before the launch"),
        ("calm\n", "", "", "neither a winds-aloft forecast"),
        (CSV.replace("from_deg", "dir"), "", ".csv", '"dir" is not a column'),
        (CSV.replace("AMSL", ""), "", ".csv", "w.csv, line 2, column height_m and above"),
        (CSV.replace("240", "400"), "", ".csv", 'column speed_kt and from_deg: "400" is not'),
        (CSV.replace("00Z\n", "00Z,7\n"), "", ".csv", "line 2: has 6 cells under 5 columns"),
        (SOUNDING.replace("215     15", "999     15"), "", "", "line 9, column SKNT and DRCT"),
        (CSV.replace("300", "30"), "", ".csv", "holds no wind above the launch point"),
        (CSV + CSV.splitlines()[1], "", ".csv", "2 winds are told for 265 m above launch"),
        (CSV.replace(",20,", ",,"), "", ".csv", "line 2"),
    ],
)
def test_refused(edit_example: EditExample, text: str, rest: str, name: str, words: str) -> None:
    assert words in refusal(edit_example, text, rest, name)


@pytest.mark.parametrize("tries", [25, pytest.param(500, marks=pytest.mark.slow)])
@pytest.mark.parametrize(("text", "name"), [(ALOFT, ""), (SOUNDING, ""), (CSV, ".csv")])
def test_anything(edit_example: EditExample, text: str, name: str, tries: int) -> None:
    path = edit_example(
        "sortie.toml", ("temperature =", f'winds_file = {{ file = "w{name}" }}\ntemperature =')
    )
    pieces = st.sampled_from(["0", "-", "99", "\n", " ", "FT", ",", '"', "nan", "VALID 991800Z"])

    @settings(max_examples=tries)
    @given(st.integers(0, len(text)), st.integers(0, 20), pieces | st.text(max_size=9))
    def check(start: int, length: int, piece: str) -> None:
        changed = text[:start] + piece + text[start + length :]
        (path.parent / f"w{name}").write_bytes(changed.encode())
        with suppress(InputFileError):
            assert read_sortie(path).sortie.weather.reports

    check()


@pytest.mark.skipif(find_spec("eccodes") is None, reason="reads GRIB only with its extra")
def test_grib_in_a_sortie(edit_example: EditExample) -> None:
    sample = Path(__file__).parents[1] / "reference" / "grib" / "uv_levels_2017-10-18.grib1"
    path = edit_example(
        "sortie.toml",
        ("temperature =", f"winds_file = {{ file = '{sample.as_posix()}' }}\ntemperature ="),
    )
    with pytest.raises(InputFileError, match=r"this wind was seen 7\d+ hours before the launch"):
        read_sortie(path)
