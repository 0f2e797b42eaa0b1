"""Turner's stability classes, and Pasquill's own."""

import math

import pytest

from homeleg.foundation.constants import FOOT_M, KNOT_M_S
from homeleg.physics.stability import (
    RURAL_EXPONENTS,
    StabilityClass,
    day_radiation_index,
    night_radiation_index,
    stability_class,
)
from tests.published import Published

# EPA-454/R-99-005 (FOUND): classes 6 and 7 are combined and count as 6.
TURNERS = "Turner 1964, as an encyclopedia prints it; 6 and 7 combined by EPA-454/R-99-005. FOUND"
PASQUILLS = "Pasquill 1961, as NOAA's air resources laboratory prints it. FOUND"
GUIDANCE = "EPA-454/R-99-005 tables 6-5 and 6-6. FOUND, but for high overcast: MEMORY"
EXPONENTS = "ISC3 default rural exponents, A to F. FOUND"
# Wind in knots, then radiation index 4 to -2.
TURNER = """
0 1 1 2 3 4 6 7
1 1 1 2 3 4 6 7
2 1 2 2 3 4 6 7
3 1 2 2 3 4 6 7
4 1 2 3 4 4 5 6
5 1 2 3 4 4 5 6
6 2 2 3 4 4 5 6
7 2 2 3 4 4 4 5
8 2 3 3 4 4 4 5
9 2 3 3 4 4 4 5
10 3 3 4 4 4 4 5
11 3 3 4 4 4 4 4
12 3 4 4 4 4 4 4
30 3 4 4 4 4 4 4
"""


@pytest.mark.parametrize("line", TURNER.split("\n")[1:-1])
def test_turners_table(published: Published, line: str) -> None:
    knots, *classes = map(int, line.split())
    got = [stability_class(knots * KNOT_M_S, index).value for index in range(4, -3, -1)]
    combined = [min(number, 6) for number in classes]
    published.exactly(f"class for index 4 to -2 in {knots} kt", got, combined, source=TURNERS)


# Wind; by night above, then below half cloud; by day strong, moderate and slight sun. Two letters:
# between the two.
PASQUILL = [
    (1.5, "E", "F", "A", "AB", "B"),
    (2.5, "E", "F", "AB", "B", "C"),
    (4.0, "D", "E", "B", "BC", "C"),
    (5.5, "D", "D", "C", "CD", "D"),
    (8.0, "D", "D", "C", "D", "D"),
]


@pytest.mark.parametrize("row", PASQUILL, ids=lambda row: str(row[0]))
def test_within_a_class_of_pasquill(
    published: Published, row: tuple[float, str, str, str, str, str]
) -> None:
    wind, *letters = row
    cloudy, clear = night_radiation_index(0.8, 9_000.0), night_radiation_index(0.1, 9_000.0)
    suns = [day_radiation_index(math.radians(e), 0.2, 9_000.0) for e in (65.0, 45.0, 25.0)]
    for index, letter in zip((cloudy, clear, *suns), letters, strict=True):
        of_pasquill = sum(StabilityClass[one].value for one in letter) / len(letter)
        published(
            "class of a wind and a sky (A is 1)",
            stability_class(wind, index).value,
            str(of_pasquill),
            source=PASQUILLS,
            within=1.0,
            because="two schemes for one thing: within a class",
        )


# Elevation, tenths of cloud, ceiling in feet, index. High overcast (10 tenths, 16 000 ft): MEMORY.
DAY = [
    (61, 0, 30_000, 4), (60, 5, 5_000, 3), (35, 0, 30_000, 2), (15, 0, 30_000, 1), (5, 3, 900, 1),
    (61, 6, 6_900, 2), (61, 6, 7_000, 3), (61, 6, 16_000, 4), (61, 10, 16_000, 3),
    (61, 10, 15_900, 2), (20, 9, 3_000, 1), (61, 10, 6_900, 0),
]  # fmt: skip


@pytest.mark.parametrize(("elevation", "tenths", "feet", "index"), DAY)
def test_radiation_index_by_day(
    published: Published, elevation: int, tenths: int, feet: int, index: int
) -> None:
    ours = day_radiation_index(math.radians(elevation), tenths / 10.0, feet * FOOT_M)
    published.exactly("radiation index by day", ours, index, source=GUIDANCE)


@pytest.mark.parametrize(
    ("tenths", "feet", "index"),
    [(4, 3_000, -2), (5, 3_000, -1), (10, 7_000, -1), (10, 6_900, 0), (0, 0, -2)],
)
def test_radiation_index_by_night(published: Published, tenths: int, feet: int, index: int) -> None:
    ours = night_radiation_index(tenths / 10.0, feet * FOOT_M)
    published.exactly("radiation index by night", ours, index, source=GUIDANCE)


def test_exponents_as_printed(published: Published) -> None:
    published.exactly(
        "exponents of the wind, A to F",
        list(RURAL_EXPONENTS.values()),
        [0.07, 0.07, 0.10, 0.15, 0.35, 0.55],
        source=EXPONENTS,
    )
    noon = stability_class(4.0, day_radiation_index(math.radians(50.0), 0.0, 9_000.0))
    night = stability_class(1.0, night_radiation_index(0.0, 9_000.0))
    published(
        "exponent on a sunny afternoon, on a clear night",
        [RURAL_EXPONENTS[noon], RURAL_EXPONENTS[night]],
        ["0.1", "0.6"],
        source="EPA-454/R-99-005, 6.2.5: from about 0.1 to 0.6. FOUND",
    )


@pytest.mark.parametrize("call", [lambda: stability_class(-1.0, 0), lambda: stability_class(1.0, 5),
    lambda: day_radiation_index(2.0, 0.0, 0.0), lambda: day_radiation_index(0.5, 1.1, 0.0),
    lambda: night_radiation_index(0.5, -1.0), lambda: stability_class(math.nan, 0)])  # fmt: skip
def test_outside_its_range(call: object) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=r"valid is|is not one of"):
        call()
