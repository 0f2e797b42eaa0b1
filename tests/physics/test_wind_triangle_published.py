"""The wind triangle against worked problems and vector algebra."""

import math

import numpy as np
import pytest

from homeleg.physics.wind_triangle import head_and_cross_wind, track_solution, wind_components
from tests.published import Published, table, texts, turned_to, values

SCHOOLBOOKS = (
    "War Department, Mathematics for Air Crew Trainees, 1942, and others named in the table. FOUND"
)
ALGEBRA = "Vector algebra in numpy at 12 to 25 m/s. COMPUTED"
FAA_FIGURE = "FAA knowledge test, figure 37: runway 18, wind 220/30. FOUND"
EXAM = "ATPL question 19: 10 kt of head wind 60 deg off the runway; 35 kt across. FOUND"
PLOTTED = "a slide rule or a plot"
PUBLISHED = table("flight_wind_triangle_published.csv")
COURSE_GIVEN = "course+tas+wind>heading+gs"
HEADING_GIVEN = "heading+tas+wind>track+gs"
GROUND_SPEED_WANTED = "course+gs+wind>heading+tas"
WIND_WANTED = "heading+tas+track+gs>wind"


def of_kind(kind: str) -> list[dict[str, str]]:
    return [row for row in PUBLISHED if row["kind"] == kind]


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
def test_heading_and_ground_speed_on_a_course(published: Published, row: dict[str, str]) -> None:
    course = math.radians(float(row["course_deg"]))
    ground_speed, crab = track_solution(float(row["true_airspeed"]), course, *wind_of(row))
    heading_deg = turned_to(math.degrees(course + float(crab)), row["published_a"])
    # wt-07 is truncated from 96.90 to 96
    if "." in row["published_b"]:
        how, within, why = "an instructor's case", 0.1, "three cases at a tenth"
    else:
        how, within, why = "plotted", 1.0, PLOTTED
    for quantity, ours, printed, unit in (
        ("heading", heading_deg, row["published_a"], "deg"),
        ("ground speed", ground_speed, row["published_b"], "speed units"),
    ):
        published(
            f"{quantity} on a course, {how}",
            ours,
            printed,
            unit,
            source=SCHOOLBOOKS,
            within=within,
            because=why,
        )


@pytest.mark.parametrize("row", of_kind(HEADING_GIVEN), ids=lambda row: row["case_id"])
def test_track_and_ground_speed_of_a_heading(published: Published, row: dict[str, str]) -> None:
    wind_east, wind_north = wind_of(row)
    air_east, air_north = air_velocity(float(row["true_airspeed"]), float(row["heading_deg"]))
    east, north = air_east + wind_east, air_north + wind_north
    track_deg = math.degrees(math.atan2(east, north))
    for quantity, ours, key, unit, within in (
        ("track", turned_to(track_deg, row["published_a"]), "published_a", "deg", 1.0),
        ("ground speed", math.hypot(east, north), "published_b", "speed units", 0.5),
    ):
        published(
            f"{quantity} of a heading",
            ours,
            row[key],
            unit,
            source=SCHOOLBOOKS,
            within=within,
            because=PLOTTED,
        )
    # and back: that course needs the heading we began with
    _, crab = track_solution(
        float(row["true_airspeed"]), math.atan2(east, north), wind_east, wind_north
    )
    heading_deg = turned_to(track_deg + math.degrees(float(crab)), row["heading_deg"])
    assert heading_deg == pytest.approx(float(row["heading_deg"]), abs=1e-6)


@pytest.mark.parametrize("row", of_kind(GROUND_SPEED_WANTED), ids=lambda row: row["case_id"])
def test_airspeed_for_a_scheduled_ground_speed(published: Published, row: dict[str, str]) -> None:
    course = math.radians(float(row["course_deg"]))
    ground_speed, crab = track_solution(float(row["published_b"]), course, *wind_of(row))
    heading_deg = turned_to(math.degrees(course + float(crab)), row["published_a"])
    for quantity, ours, key, unit in (
        ("ground speed at their airspeed", ground_speed, "ground_speed", "speed units"),
        ("heading at their airspeed", heading_deg, "published_a", "deg"),
    ):
        published(quantity, ours, row[key], unit, source=SCHOOLBOOKS, within=1.0, because=PLOTTED)


@pytest.mark.parametrize("row", of_kind(WIND_WANTED), ids=lambda row: row["case_id"])
def test_wind_between_heading_and_track(published: Published, row: dict[str, str]) -> None:
    air_east, air_north = air_velocity(float(row["true_airspeed"]), float(row["heading_deg"]))
    east, north = air_velocity(float(row["ground_speed"]), float(row["track_deg"]))
    wind_from = math.radians(float(row["published_a"]))
    wind_east, wind_north = wind_components(float(row["published_b"]), wind_from)
    published(
        "their wind less the one between heading and track",
        math.hypot(wind_east - east + air_east, wind_north - north + air_north),
        "0",
        "speed units",
        source=SCHOOLBOOKS,
        within=1.5,
        because="1 deg of 108 units sideways: one was read off a circular computer",
    )


def test_small_aircraft_table(published: Published) -> None:
    rows = table("flight_wind_triangle_computed.csv")
    assert len(rows) == 60
    column = {key: values(rows, key) for key in list(rows[0])[:7]}
    wind = wind_components(column["wind_speed_m_per_s"], np.radians(column["wind_from_deg"]))
    course = np.radians(column["course_deg"])
    ground_speed, crab = track_solution(column["true_airspeed_m_per_s"], course, *wind)
    for quantity, ours, key, unit in (
        ("wind correction angle", np.degrees(crab), "wind_correction_angle_deg", "deg"),
        ("ground speed", ground_speed, "ground_speed_m_per_s", "m/s"),
    ):
        published(
            quantity,
            ours,
            texts(rows, key),
            unit,
            source=ALGEBRA,
            within=5.1e-7,
            because="half of the sixth decimal, which some rows leave out",
        )


def test_faa_crosswind_figure(published: Published) -> None:
    row = table("flight_crosswind_published.csv")[0]
    wind_from = math.radians(float(row["wind_from_deg"]))
    runway = math.radians(float(row["runway_direction_deg"]))
    head, cross = head_and_cross_wind(wind_from, float(row["wind_speed_kt"]), runway)
    for quantity, ours, printed in (
        ("head wind", head, row["published_headwind_kt"]),
        ("cross wind", cross, row["published_crosswind_kt"]),
    ):
        published(
            quantity,
            ours,
            printed,
            "kt",
            source=FAA_FIGURE,
            within=0.5,
            because="a chart: 1.5 kt stated there, 0.5 met",
        )


# The answers, 20 kt and 40 kt, are put in.
def test_wind_limits_of_the_exam_question(published: Published) -> None:
    head, _ = head_and_cross_wind(math.radians(60.0), 20.0, 0.0)
    published("head wind of 20 kt", head, "10.00", "kt", source=EXAM)
    _, cross = head_and_cross_wind(math.radians(60.0), 40.0, 0.0)
    published("cross wind of 40 kt", cross, "35", "kt", source=EXAM)
