"""Winds aloft in five-figure groups."""

import pytest

from homeleg.formats.winds_aloft import parse_group
from homeleg.foundation.units import TextError
from tests.published import Published, table

GROUPS = "Groups of published winds aloft, each with its source in the table"


@pytest.mark.parametrize(
    "row", table("winds_aloft_cases.csv"), ids=lambda row: f"{row['group']}-{row['level_ft']}"
)
def test_published_groups(published: Published, row: dict[str, str]) -> None:
    wind = parse_group(row["group"], int(row["level_ft"]))
    if row["speed_kt"].startswith("<"):
        assert wind.speed_kt < float(row["speed_kt"].removeprefix("<"))
        speed_kt = row["speed_kt"]
    else:
        speed_kt = f"{'>=' if wind.at_least else ''}{wind.speed_kt:g}"
    published.exactly(
        f"{row['group']} at {row['level_ft']} ft: from [deg true], speed [kt], temperature [degC]",
        [
            str(wind.from_true_deg or ""),
            speed_kt,
            "" if wind.temperature_c is None else str(wind.temperature_c),
        ],
        [row["dir_true_deg"], row["speed_kt"], row["temp_C"]],
        source=GROUPS,
    )


@pytest.mark.parametrize(
    ("group", "level_ft"),
    [("2435+7", 9000), ("0035", 3000), ("9935+07", 9000), ("4512", 9000), ("2435 07", 9000),
     ("243507", 9000), ("24-35", 9000), ("", 3000), ("P2435", 3000)],
)  # fmt: skip
def test_groups_that_are_none(group: str, level_ft: int) -> None:
    with pytest.raises(TextError):
        parse_group(group, level_ft)
