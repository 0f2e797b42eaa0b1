"""Winds aloft as published: every group with its source in the table."""

import csv
from pathlib import Path

import pytest

from homeleg.formats.winds_aloft import parse_group
from homeleg.foundation.units import TextError

ROWS = list(
    csv.DictReader(
        (Path(__file__).parents[1] / "reference" / "winds_aloft_cases.csv")
        .read_text("utf-8")
        .splitlines()
    )
)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['group']}-{row['level_ft']}")
def test_published_groups(row: dict[str, str]) -> None:
    wind = parse_group(row["group"], int(row["level_ft"]))
    assert str(wind.from_true_deg or "") == row["dir_true_deg"]
    assert str("" if wind.temperature_c is None else wind.temperature_c) == row["temp_C"]
    if row["speed_kt"].startswith("<"):
        assert wind.speed_kt < float(row["speed_kt"].removeprefix("<"))
    else:
        assert wind.at_least == row["speed_kt"].startswith(">=")
        assert wind.speed_kt == float(row["speed_kt"].removeprefix(">="))


@pytest.mark.parametrize(
    ("group", "level_ft"),
    [("2435+7", 9000), ("0035", 3000), ("9935+07", 9000), ("4512", 9000), ("2435 07", 9000),
     ("243507", 9000), ("24-35", 9000), ("", 3000), ("P2435", 3000)],
)  # fmt: skip
def test_groups_that_are_none(group: str, level_ft: int) -> None:
    with pytest.raises(TextError):
        parse_group(group, level_ft)
