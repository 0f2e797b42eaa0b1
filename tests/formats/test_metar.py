"""Surface weather reports: every published and constructed case, and what must be refused."""

import csv
import math
import pathlib
from collections.abc import Callable

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from homeleg.formats.metar import Bound, MetarReport, parse_metar
from homeleg.formats.metar_remarks import PeakWind
from homeleg.foundation.constants import CELSIUS_ZERO_K, KNOT_M_S, MILE_M

TESTS = pathlib.Path(__file__).parents[1]
CORPUS = sorted((TESTS / "fuzz" / "metar").glob("*.txt"))


def rows(name: str) -> list[dict[str, str]]:
    with (TESTS / "reference" / name).open(newline="") as file:
        return list(csv.DictReader(file))


def number(text: str) -> float | None:
    return float(text) if text else None


def told(text: str) -> MetarReport:
    report, problems = parse_metar(text)
    assert problems == ()
    assert report is not None
    return report


@pytest.mark.parametrize("row", rows("metar_cases.csv"), ids=lambda row: row["id"])
def test_whole_reports(row: dict[str, str]) -> None:
    report = told(row["report"])
    direction = number(row["wind_dir_true_deg"])
    if direction == 0.0 and number(row["wind_mps"]) == 0.0:
        direction = None  # calm: the table writes 0, and a calm comes from nowhere
    got = report.wind_from_true_rad
    assert (None if got is None else round(math.degrees(got))) == direction
    assert report.wind_speed_m_s == pytest.approx(number(row["wind_mps"]), abs=0.06)
    assert report.gust_m_s == pytest.approx(number(row["gust_mps"]), abs=0.06)
    sector = report.varying_true_rad or (None, None)
    ends = [None if end is None else round(math.degrees(end)) for end in sector]
    assert ends == [number(row["var_from"]), number(row["var_to"])]
    for kelvin, celsius in ((report.temperature_k, "temp_C"), (report.dew_point_k, "dew_C")):
        expected = number(row[celsius])
        assert kelvin == (
            None if expected is None else pytest.approx(expected + CELSIUS_ZERO_K, abs=1e-9)
        )
    hectopascal = None if report.qnh_pa is None else report.qnh_pa / 100.0
    assert hectopascal == pytest.approx(number(row["qnh_hPa"]), abs=0.6)


@pytest.mark.parametrize("row", rows("metar_must_flag.csv"), ids=lambda row: row["id"])
def test_what_must_be_flagged(row: dict[str, str]) -> None:
    _, problems = parse_metar(row["input"])
    assert len(problems) == 1


@pytest.mark.parametrize(
    ("group", "likely"),
    [
        ("250125KT", "25012KT"),
        ("250012KT", "25012KT"),
        ("VRB003KT", "VRB03KT"),
        ("250012G25KT", "25012G25KT"),
        ("250110G25MPS", "25011G25MPS"),
    ],
)
def test_a_digit_too_many_is_asked_about(group: str, likely: str) -> None:
    report, problems = parse_metar(f"METAR EGPC 241950Z {group} 9999 FEW035 05/M01 Q1013")
    assert report is None
    assert [f"Is it {likely}?" in problem.remedy for problem in problems] == [True]


@pytest.mark.parametrize("group", ["250P99KT", "210103G130KT", "250100KMH"])
def test_speeds_of_three_digits_that_are_meant(group: str) -> None:
    assert with_wind(group).wind_speed_m_s is not None


ONE = "EGPC 241950Z 25012KT 9999 FEW035 05/M01 Q1013"


def test_a_report_may_run_over_lines() -> None:
    assert told(f"METAR {ONE}") == told(f"METAR {ONE}".replace(" FEW", "\r\n  FEW"))


@pytest.mark.parametrize(
    "text",
    [
        f"METAR {ONE}= SPECI {ONE}",
        f"METAR COR {ONE}\nMETAR COR {ONE}",
        f"{ONE} {ONE.replace('25012KT', 'AUTO VRB02KT')}",
        f"{ONE} RMK AO2 {ONE}",
        f"METAR {ONE} METAR EGPE 241950Z NIL=",
    ],
)
def test_two_reports_are_one_problem(text: str) -> None:
    report, problems = parse_metar(text)
    assert report is None
    assert [problem.problem for problem in problems] == ["holds two reports; give one"]


FLAGGED_WORDS = {
    "b1": "empty", "b2": "no METAR", "b3": "NIL", "b4": "2501 stands where the wind",
    "b5": "450 is no direction", "b6": "321950Z is no day", "b7": "gust", "b8": "850 to 1085 hPa",
}  # fmt: skip


@pytest.mark.parametrize("row", rows("metar_must_flag.csv"), ids=lambda row: row["id"])
def test_the_flag_says_what_is_wrong(row: dict[str, str]) -> None:
    assert FLAGGED_WORDS[row["id"]] in parse_metar(row["input"])[1][0].problem


def with_wind(group: str) -> MetarReport:
    return told(f"METAR EGPC 241950Z {group} 9999 FEW035 05/M01 Q1013")


def with_group(group: str) -> MetarReport:
    return told(f"METAR EGPC 241950Z 25012KT {group}")


def with_remark(group: str) -> MetarReport:
    return told(f"KBIL 162256Z 29017KT 10SM CLR A2961 RMK AO2 {group}")


def wind(text: str) -> tuple[float | None, ...]:
    """Return direction, speed and gust in degrees and knots."""
    report = with_wind(text)
    from_rad = report.wind_from_true_rad
    speeds = [
        None if speed is None else round(speed / KNOT_M_S, 6)
        for speed in (report.wind_speed_m_s, report.gust_m_s)
    ]
    return (None if from_rad is None else round(math.degrees(from_rad)), *speeds)


def sector(text: str) -> tuple[int, ...]:
    return tuple(round(math.degrees(end)) for end in with_wind(text).varying_true_rad or ())


def celsius(kelvin: float | None) -> float | None:
    return None if kelvin is None else round(kelvin - CELSIUS_ZERO_K, 6)


def air(text: str) -> tuple[float | None, float | None]:
    report = with_group(text)
    return celsius(report.temperature_k), celsius(report.dew_point_k)


def tenths(text: str) -> tuple[float | None, float | None]:
    report = with_remark(text)
    return celsius(report.temperature_k), celsius(report.dew_point_k)


def seen(text: str) -> tuple[Bound, float]:
    report = with_group(text)
    assert report.visibility_m is not None
    return report.visibility_bound, report.visibility_m


def extreme(name: str) -> Callable[[str], float | None]:
    return lambda text: celsius(getattr(with_remark(text).remarks, name))


def both_extremes(text: str) -> tuple[float | None, float | None]:
    remarks = with_remark(text).remarks
    return celsius(remarks.highest_24_h_k), celsius(remarks.lowest_24_h_k)


def least_m_s(text: str) -> tuple[Bound, float | None]:
    report = with_wind(f"240{text}")
    return report.wind_bound, report.wind_speed_m_s


def setting_pa(text: str) -> float | None:
    return with_group(text).qnh_pa


# What the column "meaning" of the table says, in figures; A and Q are told rounded down.
GROUPS: dict[str, tuple[Callable[[str], object], object]] = {
    "27020G35KT": (wind, (270, 20, 35)),
    "VRB03KT": (wind, (None, 3, None)),
    "21010KT 180V240": (sector, (180, 240)),
    "00000KT": (wind, (None, 0, None)),
    "13008KT": (wind, (130, 8, None)),
    "08032G45KT": (wind, (80, 32, 45)),
    "VRB04KT": (wind, (None, 4, None)),
    "210103G130KT": (wind, (210, 103, 130)),
    "32012G22KT 280V350": (sector, (280, 350)),
    "PK WND 28045/1955": (
        lambda text: with_remark(text).remarks.peak_wind,
        PeakWind(speed_m_s=45 * KNOT_M_S, from_true_deg=280.0, hour=19, minute=55),
    ),
    "PK WND 28045/15": (
        lambda text: with_remark(text).remarks.peak_wind,
        PeakWind(speed_m_s=45 * KNOT_M_S, from_true_deg=280.0, hour=None, minute=15),
    ),
    "22015KT 180V250": (sector, (180, 250)),
    "27025G40KT": (wind, (270, 25, 40)),
    "04/M02": (air, (4, -2)),
    "00": (lambda text: air(f"{text}/M02"), (0, -2)),
    "M00": (lambda text: air(f"{text}/M02"), (0, -2)),
    "M09": (lambda text: air(f"{text}/M12"), (-9, -12)),
    "02/": (air, (2, None)),
    "T00261015": (tenths, (2.6, -1.5)),
    "T01820159": (tenths, (18.2, 15.9)),
    "10142": (extreme("highest_6_h_k"), 14.2),
    "11021": (extreme("highest_6_h_k"), -2.1),
    "21001": (extreme("lowest_6_h_k"), -0.1),
    "20012": (extreme("lowest_6_h_k"), 1.2),
    "401001015": (both_extremes, (10.0, -1.5)),
    "SLP982": (lambda text: with_remark(text).remarks.sea_level_pressure_pa, 99_820.0),
    "Q0995": (setting_pa, pytest.approx(99_560.0, abs=60.0)),
    "A2991": (setting_pa, pytest.approx(29.91 * 3386.389, abs=0.01)),
    "A3027": (setting_pa, pytest.approx(30.27 * 3386.389, abs=0.01)),
    "A2924": (setting_pa, pytest.approx(29.248 * 3386.389, abs=60.0)),
    "P99KT": (least_m_s, (Bound.AT_LEAST, pytest.approx(50.93, abs=0.005))),
    "P49MPS": (least_m_s, (Bound.AT_LEAST, 49.0)),
    "P199KMH": (least_m_s, (Bound.AT_LEAST, pytest.approx(55.28, abs=0.005))),
    "M1/4SM": (seen, (Bound.LESS, MILE_M / 4.0)),
    "1 1/2SM": (seen, (Bound.EXACT, 1.5 * MILE_M)),
    "9999": (seen, (Bound.AT_LEAST, 10_000.0)),
    "CAVOK": (seen, (Bound.AT_LEAST, 10_000.0)),
}


@pytest.mark.parametrize("group", [row["group"] for row in rows("metar_groups.csv")])
def test_single_groups(group: str) -> None:
    read, expected = GROUPS[group]
    assert read(group) == expected


def test_a_tenths_group_goes_before_the_body_and_must_agree() -> None:
    body = "KBIL 162256Z 29017KT 10SM CLR 03/M01 A2961 RMK AO2"
    assert celsius(told(f"{body} T00261015").temperature_k) == 2.6
    _, problems = parse_metar(f"{body} T00521015")
    assert "different temperatures" in problems[0].problem


@pytest.mark.parametrize(
    ("remark", "said"), [("T19991999", "cold or hot"), ("T00200030", "dew point is above")]
)
def test_remarks_have_limits_too(remark: str, said: str) -> None:
    _, problems = parse_metar(f"KBIL 162256Z 29017KT 10SM CLR A2961 RMK AO2 {remark}")
    assert said in problems[0].problem


def test_the_worst_of_several_visibilities() -> None:
    assert seen("6000 1500SW") == (Bound.EXACT, 1500.0)


def test_clouds_with_their_base() -> None:
    clouds = with_group("FEW018CB BKN030 OVC///").clouds
    assert [cloud.most_eighths for cloud in clouds] == [2, 7, 8]
    assert [cloud.base_m for cloud in clouds] == [pytest.approx(548.64), pytest.approx(914.4), None]
    assert with_group("SKC").clear
    assert not with_group("CAVOK").clear


WRONG = [
    ("25012KT 9999 FEW035 05/M01 Q1013 2501KT", "2501KT is not a known group"),
    ("25012KT 9999 FEW035 05/07 Q1013", "dew point is above"),
    ("25012KT 9999 FEW035 05/M01 Q1013 A2843", "contradicts"),
    ("25012KT 9999 75/M01 Q1013", "never that cold or hot"),
    ("25012KT 9999 05/M01 06/M01", "second temperature"),
    ("00012KT 9999", "north is 360"),
    ("25012KT 200V400", "360 at most"),
    ("25012KT 1/0SM", "divides by nothing"),
    ("25012KT 9999 FEW0E5 05/M01", "FEW0E5 is not a known"),
    ("", "nothing stands where the wind"),
]


@pytest.mark.parametrize(("groups", "said"), WRONG)
def test_each_wrong_group_is_one_problem(groups: str, said: str) -> None:
    _, problems = parse_metar(f"METAR EGPC 241950Z {groups}")
    assert [said in problem.problem for problem in problems] == [True]
    assert all(problem.remedy for problem in problems)


def test_all_problems_come_together() -> None:
    _, problems = parse_metar("METAR EGPC 241950Z 25012KT 99990 05/07 Q0113")
    assert len(problems) == 3


@pytest.mark.parametrize("path", CORPUS, ids=lambda path: path.stem)
def test_the_corpus_is_read_or_refused(path: pathlib.Path) -> None:
    for line in path.read_text("utf-8").splitlines():
        report, problems = parse_metar(line)
        assert report is not None or problems


PIECES = st.sampled_from(
    [row["report"] for row in rows("metar_cases.csv")]
    + ["RMK", "/", "P", "//", "KT", "SM", "=", " "]
)


@given(st.lists(PIECES | st.text(max_size=8), max_size=5).map(" ".join))
@example("METAR EGPC 241950Z 25012KT ٤٤٤٤")
def test_any_text_is_read_or_refused(text: str) -> None:
    report, problems = parse_metar(text)
    assert report is not None or problems
    assert all(problem.remedy for problem in problems)


@given(st.sampled_from(rows("metar_cases.csv")), st.integers(0, 200), st.text(max_size=3))
def test_a_slip_never_moves_the_wind_unseen(row: dict[str, str], place: int, piece: str) -> None:
    # A letter lost or put into the wind group gives another wind group or a problem, never a
    # report without wind.
    changed = row["report"][:place] + piece + row["report"][place + 1 :]
    report, problems = parse_metar(changed)
    if report is not None and not problems and "/////KT" not in changed.upper():
        assert report.wind_speed_m_s is not None or "//" in changed
