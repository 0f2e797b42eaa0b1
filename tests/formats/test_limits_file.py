"""The shipped limits against the table of rows they were agreed in."""

import re
from pathlib import Path

import pytest

from homeleg.formats.limits_file import read_limits
from homeleg.verdict.limits import Limit, Reading, RowKind, Sense

TABLE = Path(__file__).parent.parent / "reference" / "verdict_rows.md"
NUMBER = re.compile(r"(?<![\w.])\d+(?:,\d{3})*(?:\.\d+)?")
# Rows about the plan are read on stated values, not on draws.
STATED = {"mass.total", "in.speed", "corners.bank"}
# Limits that are no number, or whose number depends on another limit.
IN_WORDS = {
    "home.arrives",
    "headway.wind_aloft",
    "mass.balance",
    "motor.reach",
    "heard.hidden",
    "weather.icing",
    "reach.step",
}
NOT_IN_THE_TABLE = {
    *("sense", "wing", "heading", "position", "walk", "airspace", "route_aboard", "settings"),
    *("crew", "papers"),
}


def table_rows() -> dict[str, tuple[str, list[str]]]:
    """Return slug: kind, and the cells value, want, hard, read at."""
    rows = {}
    for line in TABLE.read_text("utf-8").splitlines():
        if match := re.match(r"\|[^|]*\| `([a-z._]+)` (\w+) \|(.*)\|$", line):
            cells = [cell.strip() for cell in match.group(3).split("|")]
            rows[match.group(1)] = (match.group(2), cells)
    return rows


ROWS = table_rows()
LIMITS = read_limits()


def first_number(cell: str) -> float | None:
    match = NUMBER.search(cell)
    return float(match.group().replace(",", "")) if match else None


def test_the_same_rows_in_the_same_order() -> None:
    assert len(ROWS) == 43
    in_table = [slug for slug in LIMITS if slug not in NOT_IN_THE_TABLE]
    assert in_table == list(ROWS)
    assert set(LIMITS) - set(ROWS) == NOT_IN_THE_TABLE


@pytest.mark.parametrize("slug", list(ROWS))
def test_kind_and_question(slug: str) -> None:
    assert LIMITS[slug].kind is RowKind(ROWS[slug][0])
    question = LIMITS[slug].question
    assert question is not None
    assert question.value == slug.partition(".")[0]


@pytest.mark.parametrize("slug", sorted(set(ROWS) - IN_WORDS - {"inside.ceiling", "sight.sun"}))
def test_want_hard_and_physical(slug: str) -> None:
    _, want, hard, _ = ROWS[slug][1]
    hard, _, physical = hard.partition("physical:" if "physical:" in hard else "physical")
    limit = LIMITS[slug]
    assert limit.want == first_number(want)
    expected_hard = limit.want if hard == "the same" else first_number(hard)
    assert limit.hard == expected_hard
    shares = [float(number) for number in NUMBER.findall(physical)]
    assert limit.physical == (shares[-1] if shares else None)


def test_limits_stated_in_words() -> None:
    assert LIMITS["inside.ceiling"].hard == first_number(ROWS["inside.ceiling"][1][2])
    assert LIMITS["inside.ceiling"].want == 120.0 - 10.0
    sun = LIMITS["sight.sun"]
    assert [sun.extra["want_within_deg"], sun.want] == [25.0, 10.0]
    assert [sun.extra["hard_within_deg"], sun.hard] == [10.0, 5.0]
    assert LIMITS["headway.ground_speed"].extra["want_airspeed_fraction"] == 0.30
    health = LIMITS["pack.health"].extra
    assert [health["want_resistance"], health["hard_resistance"]] == [1.5, 2.0]
    assert health["want_cell_spread_v"] == 0.050
    for slug in IN_WORDS:
        assert LIMITS[slug].want is None
        assert LIMITS[slug].hard is None


@pytest.mark.parametrize("slug", list(ROWS))
def test_sense(slug: str) -> None:
    _, want, _, _ = ROWS[slug][1]
    sense = LIMITS[slug].sense
    if want.startswith(">"):
        assert sense is Sense.AT_LEAST
    if want.startswith("<"):
        assert sense is Sense.AT_MOST
    want_value, hard_value = LIMITS[slug].want, LIMITS[slug].hard
    if want_value is not None and hard_value is not None and slug != "sight.sun":
        assert (want_value >= hard_value) if sense is Sense.AT_LEAST else (want_value <= hard_value)


@pytest.mark.parametrize("slug", [slug for slug, (_, cells) in ROWS.items() if cells[3]])
def test_reading(slug: str) -> None:
    read_at = ROWS[slug][1][3].partition(";")[0]
    expected = Reading.STATED if slug in STATED else None
    expected = expected or (Reading.MEDIAN if "p50" in read_at else Reading(read_at))
    assert LIMITS[slug].reading is expected


def test_every_row_is_named_and_sourced() -> None:
    limits: list[Limit] = list(LIMITS.values())
    assert all(limit.title and limit.source for limit in limits)
    assert len({limit.title for limit in limits}) == len(limits)
