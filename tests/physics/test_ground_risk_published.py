"""Critical area, ground risk class and volumes."""

import math
import re

import pytest

from homeleg.physics.ground_risk import (
    contingency_height,
    contingency_width,
    critical_area,
    falling_distance,
    ground_risk_class,
)
from tests.published import Published, table

CASEX = "casex 1.2.3, the JARUS Annex F model by its authors; by hand to 0.001 m2. FOUND"
SORA = "JARUS SORA 2.5, Table 3, two transcriptions that agree. FOUND"
# Its tables are of multirotors, which stop within v^2 / (2 g tan 30 deg).
VOLUMES = "STS-BOS v1.0 (BBK/LBA, June 2025), page 13: every term rounded up to 0.1 m. FOUND"
VACUUM = "A fall in a vacuum. COMPUTED"
NUMBER = re.compile(r"\d+(?:\.\d+)?")


def checks(quantity: str) -> list[tuple[str, str, float]]:
    rows = [row for row in table("ground_risk_checks.csv") if row["quantity"] == quantity]
    return [(row["case"], row["value"], float(row["tol"])) for row in rows]


def numbers(case: str) -> list[float]:
    return [float(text) for text in NUMBER.findall(case)]


def up_to_a_tenth(value: float) -> float:
    return math.ceil(10.0 * value - 1e-9) / 10.0


@pytest.mark.parametrize(("case", "area_m2", "tolerance_m2"), checks("critical_area_m2"))
def test_critical_area(published: Published, case: str, area_m2: str, tolerance_m2: float) -> None:
    span_m, mass_kg, speed_m_s, impact_deg = numbers(case)
    got_m2 = critical_area(span_m, mass_kg, speed_m_s, math.radians(impact_deg))
    why = "stated with the row"
    published(
        "critical area", got_m2, area_m2, "m2", source=CASEX, within=tolerance_m2, because=why
    )


def test_a_small_aircraft_is_never_assessed_gliding() -> None:
    gliding, steep = (critical_area(1.0, 1.0, 15.0, math.radians(d)) for d in (10.0, 35.0))
    assert gliding == steep


DENSITIES: dict[str, list[float | None]] = {
    "controlled": [None],
    "<5": [0.0, 4.9],
    "<50": [5.0, 49.9],
    "<500": [50.0, 499.0],
    "<5000": [500.0, 4999.0],
    "<50000": [5_000.0, 49_999.0],
    ">50000": [50_000.0, 1e6],
}


def class_rows() -> list[dict[str, str]]:
    return table("sora_ground_risk_classes.csv")


@pytest.mark.parametrize("row", class_rows(), ids=lambda r: f"{r['row']} {r['col']}")
def test_ground_risk_class(published: Published, row: dict[str, str]) -> None:
    span_m, speed_m_s = numbers(row["col"])
    expected = None if row["value"] == "out" else int(row["value"])
    for density in DENSITIES[row["row"]]:
        # At both limits of the column, and with either alone: the stricter rules.
        ours = ground_risk_class(span_m, 5.0, speed_m_s, density)
        who = f"{row['row']} people per km2"
        published.exactly(f"class, {who}, {row['col']}", ours, expected, source=SORA)
        assert ground_risk_class(0.5 * span_m, 5.0, speed_m_s, density) == expected or span_m == 1.0
        assert ground_risk_class(span_m, 5.0, 0.1 * speed_m_s, density) == expected


def test_the_whole_table_is_held() -> None:
    assert len(class_rows()) == 35


def test_the_worked_aeroplane() -> None:
    # A 2 m span at 22 m/s uses the 3 m column: 3 below 5 people per km2, 4 below 50, 5 below 500.
    assert [ground_risk_class(2.0, 5.0, 22.0, d) for d in (4.0, 40.0, 400.0)] == [3, 4, 5]


def test_a_quarter_of_a_kilogram_is_class_one() -> None:
    assert ground_risk_class(0.5, 0.25, 25.0, 1e5) == 1
    assert ground_risk_class(0.5, 0.26, 25.0, 1e5) == 7
    assert ground_risk_class(0.5, 0.25, 25.1, 1e5) == 8


def test_beyond_the_table_there_is_no_class() -> None:
    assert ground_risk_class(41.0, 5.0, 22.0, 1.0) is None
    assert ground_risk_class(2.0, 5.0, 201.0, None) is None


@pytest.mark.parametrize(("case", "width_m", "tolerance_m"), checks("multirotor_CV_m"))
def test_contingency_width(
    published: Published, case: str, width_m: str, tolerance_m: float
) -> None:
    speed_m_s = numbers(case)[0]
    stop_m = up_to_a_tenth(speed_m_s**2 / (2.0 * 9.80665 * math.tan(math.radians(30.0))))
    published(
        "contingency volume, width",
        contingency_width(speed_m_s, stop_m),
        width_m,
        "m",
        source=VOLUMES,
        within=tolerance_m,
        because="stated with the row",
    )


@pytest.mark.parametrize(("case", "buffer_m", "tolerance_m"), checks("multirotor_GRB_m"))
def test_falling_distance(
    published: Published, case: str, buffer_m: str, tolerance_m: float
) -> None:
    speed_m_s, height_m, size_m = numbers(case)
    top_m = height_m + contingency_height(speed_m_s)
    got_m = falling_distance(speed_m_s, top_m, size_m)
    assert got_m <= float(buffer_m) + tolerance_m
    published(
        "ground risk buffer",
        got_m,
        buffer_m,
        "m",
        source=VOLUMES,
        within=0.23,
        because="rounded up there: height 0.2 m (0.08 m of distance), fall 0.1, size 0.05",
    )


@pytest.mark.parametrize(("case", "distance_m", "tolerance_m"), checks("vacuum_distance_m"))
def test_falling_in_a_vacuum(
    published: Published, case: str, distance_m: str, tolerance_m: float
) -> None:
    height_m, speed_m_s = numbers(case.replace(" m/s", "/s"))[:2]
    published(
        "distance of a fall",
        falling_distance(speed_m_s, height_m, 0.0),
        distance_m,
        "m",
        source=VACUUM,
        within=tolerance_m,
        because="stated with the row",
    )


@pytest.mark.parametrize(
    "bad",
    [
        (0.0, 5.0, 22.0, 0.6),
        (41.0, 5.0, 22.0, 0.6),
        (2.0, math.nan, 22.0, 0.6),
        (2.0, 5.0, -1.0, 0.6),
        (2.0, 5.0, 22.0, 0.1),
    ],
)
def test_outside_its_range(bad: tuple[float, float, float, float]) -> None:
    with pytest.raises(ValueError, match="valid is"):
        critical_area(*bad)
