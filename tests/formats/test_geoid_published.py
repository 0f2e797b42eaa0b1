"""The geoid, and where it must be seamless."""

import math

import pytest

from homeleg.formats.geoid import undulation
from tests.published import Published, table

POINTS = "Points of EGM96, each with its source in the table"
OFFICIAL = "The six official test points of EGM96, quoted in five public test suites. FOUND"
NEWER = "Points of EGM2008, a newer model"
ROWS = table("geoid_checks.csv")
EGM96 = [row for row in ROWS if row["model"].startswith("EGM96")]
EGM2008 = [row for row in ROWS if row["model"] == "EGM2008"]


def got_m(row: dict[str, str]) -> float:
    place = (math.radians(float(row["lat"])), math.radians(float(row["lon_east"])))
    return undulation(*place).value


@pytest.mark.parametrize("row", EGM96, ids=lambda row: row["N_m"])
def test_published_points(published: Published, row: dict[str, str]) -> None:
    published(
        "undulation",
        got_m(row),
        row["N_m"],
        "m",
        source=POINTS,
        within=float(row["tol_m"]),
        because="stated with the row",
    )


@pytest.mark.parametrize("row", EGM96[:6], ids=lambda row: row["N_m"])
def test_official_points_closer_than_a_linear_grid(
    published: Published, row: dict[str, str]
) -> None:
    published(
        "undulation",
        got_m(row),
        row["N_m"],
        "m",
        source=OFFICIAL,
        within=0.02,
        because="the error of whole centimetres and of the curve between the nodes",
    )


@pytest.mark.parametrize("row", EGM2008, ids=lambda row: row["N_m"])
def test_a_newer_model_lies_within_two_standard_deviations(
    published: Published, row: dict[str, str]
) -> None:
    published(
        "undulation",
        got_m(row),
        row["N_m"],
        "m",
        source=NEWER,
        within=2.0 * undulation(0.9, 0.1).sd,
        because="two of the standard deviations that a height carries in here",
    )


def test_a_point_to_the_east_of_the_antimeridian_is_the_one_to_its_west() -> None:
    for latitude_deg in (-60.0, 0.1, 52.0):
        latitude_rad = math.radians(latitude_deg)
        at_m = [undulation(latitude_rad, turn).value for turn in (-math.pi, math.pi)]
        assert at_m[0] == pytest.approx(at_m[1], abs=1e-9)
        near_m = undulation(latitude_rad, math.pi - 1e-7).value
        assert near_m == pytest.approx(at_m[0], abs=1e-3)


@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_a_pole_is_one_place(sign: float) -> None:
    poles_m = [
        undulation(sign * math.pi / 2.0, math.radians(turn)).value for turn in (-180, -3, 90.1)
    ]
    assert poles_m == [pytest.approx(poles_m[0], abs=0.011)] * 3
