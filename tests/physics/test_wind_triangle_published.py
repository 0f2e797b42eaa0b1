"""The wind triangle against published worked problems and independent vector algebra.

Slide-rule and plotted answers: 1 deg and 1.5 speed units. Instructor's three cases: 0.1.
"""

import csv
import math
import pathlib

import numpy as np
import pytest

from homeleg.physics.wind_triangle import head_and_cross_wind, track_solution, wind_components

REFERENCE = pathlib.Path(__file__).parents[1] / "reference"


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


# War Department, Mathematics for Air Crew Trainees, 1942, and others named in the table. FOUND.
PUBLISHED = rows("flight_wind_triangle_published.csv")
COURSE_GIVEN = "course+tas+wind>heading+gs"
HEADING_GIVEN = "heading+tas+wind>track+gs"
GROUND_SPEED_WANTED = "course+gs+wind>heading+tas"
WIND_WANTED = "heading+tas+track+gs>wind"


def of_kind(kind: str) -> list[dict[str, str]]:
    return [row for row in PUBLISHED if row["kind"] == kind]


def off_deg(got_rad: float, expected_deg: float) -> float:
    return abs((math.degrees(got_rad) - expected_deg + 180.0) % 360.0 - 180.0)


def wind_of(row: dict[str, str]) -> tuple[float, float]:
    east, north = wind_components(
        float(row["wind_speed"]), math.radians(float(row["wind_from_deg"]))
    )
    return float(east), float(north)


def air_velocity(speed: float, heading_deg: float) -> tuple[float, float]:
    heading = math.radians(heading_deg)
    return speed * math.sin(heading), speed * math.cos(heading)


def test_every_published_case_is_used() -> None:
    kinds = [COURSE_GIVEN, HEADING_GIVEN, GROUND_SPEED_WANTED, WIND_WANTED]
    assert sum(len(of_kind(kind)) for kind in kinds) == len(PUBLISHED) == 11


@pytest.mark.parametrize("row", of_kind(COURSE_GIVEN), ids=lambda row: row["case_id"])
def test_heading_and_ground_speed_on_a_course(row: dict[str, str]) -> None:
    course = math.radians(float(row["course_deg"]))
    ground_speed, crab = track_solution(float(row["true_airspeed"]), course, *wind_of(row))
    is_precise = "." in row["published_b"]  # wt-07 is truncated from 96.90 to 96
    assert off_deg(course + float(crab), float(row["published_a"])) < (0.1 if is_precise else 1.0)
    assert ground_speed == pytest.approx(float(row["published_b"]), abs=0.1 if is_precise else 1.0)


@pytest.mark.parametrize("row", of_kind(HEADING_GIVEN), ids=lambda row: row["case_id"])
def test_track_and_ground_speed_of_a_heading(row: dict[str, str]) -> None:
    wind_east, wind_north = wind_of(row)
    air_east, air_north = air_velocity(float(row["true_airspeed"]), float(row["heading_deg"]))
    east, north = air_east + wind_east, air_north + wind_north
    assert off_deg(math.atan2(east, north), float(row["published_a"])) < 1.0
    assert math.hypot(east, north) == pytest.approx(float(row["published_b"]), abs=0.5)
    # and back: that course needs the heading we began with
    _, crab = track_solution(
        float(row["true_airspeed"]), math.atan2(east, north), wind_east, wind_north
    )
    assert off_deg(math.atan2(east, north) + float(crab), float(row["heading_deg"])) < 1e-6


@pytest.mark.parametrize("row", of_kind(GROUND_SPEED_WANTED), ids=lambda row: row["case_id"])
def test_airspeed_for_a_scheduled_ground_speed(row: dict[str, str]) -> None:
    course = math.radians(float(row["course_deg"]))
    ground_speed, crab = track_solution(float(row["published_b"]), course, *wind_of(row))
    assert ground_speed == pytest.approx(float(row["ground_speed"]), abs=1.0)
    assert off_deg(course + float(crab), float(row["published_a"])) < 1.0


@pytest.mark.parametrize("row", of_kind(WIND_WANTED), ids=lambda row: row["case_id"])
def test_wind_between_heading_and_track(row: dict[str, str]) -> None:
    air_east, air_north = air_velocity(float(row["true_airspeed"]), float(row["heading_deg"]))
    east, north = air_velocity(float(row["ground_speed"]), float(row["track_deg"]))
    wind_from = math.radians(float(row["published_a"]))
    wind_east, wind_north = wind_components(float(row["published_b"]), wind_from)
    # 1.5 units of speed, and 1 deg of 108 units sideways: wt-02 was read off a circular computer
    assert math.hypot(wind_east - east + air_east, wind_north - north + air_north) < 1.5


# Vector algebra in numpy at 12 to 25 m/s, COMPUTED. Tolerance: half the last printed digit.
def test_small_aircraft_table() -> None:
    table = rows("flight_wind_triangle_computed.csv")
    column = {key: np.array([float(row[key]) for row in table]) for key in list(table[0])[:7]}
    wind = wind_components(column["wind_speed_m_per_s"], np.radians(column["wind_from_deg"]))
    course = np.radians(column["course_deg"])
    ground_speed, crab = track_solution(column["true_airspeed_m_per_s"], course, *wind)
    assert len(table) == 60
    printed_deg = column["wind_correction_angle_deg"]
    np.testing.assert_allclose(np.degrees(crab), printed_deg, rtol=0.0, atol=5.1e-7)
    printed_m_s = column["ground_speed_m_per_s"]
    np.testing.assert_allclose(ground_speed, printed_m_s, rtol=0.0, atol=5.1e-7)


# FAA knowledge test, figure 37: runway 18, wind 220/30. FOUND, chart: 1.5 kt stated, 0.5 met.
def test_faa_crosswind_figure() -> None:
    row = rows("flight_crosswind_published.csv")[0]
    wind_from = math.radians(float(row["wind_from_deg"]))
    runway = math.radians(float(row["runway_direction_deg"]))
    head, cross = head_and_cross_wind(wind_from, float(row["wind_speed_kt"]), runway)
    assert head == pytest.approx(float(row["published_headwind_kt"]), abs=0.5)
    assert cross == pytest.approx(float(row["published_crosswind_kt"]), abs=0.5)


# ATPL question 19: 60 deg off the runway, 10 kt of head wind needs 20 kt; 35 kt across allows 40.
def test_wind_limits_of_the_exam_question() -> None:
    head, _ = head_and_cross_wind(math.radians(60.0), 20.0, 0.0)
    assert head == pytest.approx(10.0, abs=0.005)
    _, cross = head_and_cross_wind(math.radians(60.0), 40.0, 0.0)
    assert cross == pytest.approx(35.0, abs=0.5)
