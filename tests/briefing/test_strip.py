"""The strip against coordinates worked by hand, and words that never meet."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeleg.briefing.palette import BLACK_ON_WHITE, BUFF
from homeleg.briefing.strip import strip
from homeleg.verdict.limits import Limit, Question, Reading, RowKind, Sense
from homeleg.verdict.result import Percentiles, Row, Status


def _row(sense: Sense = Sense.AT_LEAST, unit: str = "", **changed: Any) -> Row:
    limit = Limit(
        slug="headway.ground_speed",
        question=Question.HEADWAY,
        title="Slowest over the ground",
        kind=RowKind.FLOWN,
        unit=unit,
        sense=sense,
        reading=Reading.ADVERSE,
        want=5.0,
        hard=3.0,
        physical=None,
        extra={},
        source="our own",
    )
    row = Row(
        limit=limit,
        status=Status.NO_GO,
        value=Percentiles(p10=0.0, p50=4.0, p90=10.0),
        reading=0.0,
        want=5.0,
        hard=3.0,
        shortfall=2.5,
        share_beyond_hard=None,
        wind_share=0.0,
        where=None,
        cause="wind aloft",
        act=None,
        note="",
    )
    return replace(row, **changed)


def _drawn(row: Row, width: float = 714.0) -> str:
    svg = strip(row, BUFF, width=width)
    assert svg is not None
    return svg


def test_rail_at_hand_worked_places(figure_of: Any) -> None:
    # Values 0 to 10, 15 % of that to spare, held at 0 below: 11.5 across 700 from 7.
    # 3 lies at 7 + 700 x 3 / 11.5 = 189.6 and 5 at 311.3; a stroke of 1.6 lies inside, half of it
    # each side of what is written.
    *rail, bar = figure_of(_drawn(_row())).all("rect")
    fills = [part.attrib["fill"] for part in rail]
    assert (fills[0], fills[1][:5], fills[2]) == ("#FFFFFF", "url(#", "#14202B")
    ends = []
    for part in rail:
        x, width = float(part.attrib["x"]), float(part.attrib["width"])
        ends.append((x - 0.8, x + width + 0.8))
    assert ends[0] == pytest.approx((7.0, 189.6), abs=0.11)
    assert ends[1] == pytest.approx((189.6, 311.3), abs=0.11)
    assert ends[2] == pytest.approx((311.3, 707.0), abs=0.11)
    # The flights: 0 to 10, 7 + 700 x 10 / 11.5 = 615.7.
    x, width = float(bar.attrib["x"]), float(bar.attrib["width"])
    assert (x, x + width) == pytest.approx((7.0, 615.7), abs=0.11)


def test_pointer_stands_on_what_is_judged(figure_of: Any) -> None:
    figure = figure_of(_drawn(_row(reading=4.0)))
    tip = figure.points(figure.all("polygon")[0])[-1]
    assert tip[0] == pytest.approx(7.0 + 700.0 * 4.0 / 11.5, abs=0.06)


def test_at_most_turns_the_rail_round(figure_of: Any) -> None:
    row = _row(Sense.AT_MOST, want=3.0, hard=5.0)
    solid_last = figure_of(_drawn(row)).all("rect")[2]
    assert solid_last.attrib["fill"] == "#14202B"
    assert float(solid_last.attrib["x"]) - 0.8 == pytest.approx(7.0, abs=0.06)
    words = {word.words: word for word in figure_of(_drawn(row)).words}
    assert words["want 3.00"].right < words["hard 5.00"].left


def test_no_hard_limit_no_hollow_end(figure_of: Any) -> None:
    fills = [part.attrib["fill"] for part in figure_of(_drawn(_row(hard=None))).all("rect")]
    assert fills[0].startswith("url(")
    assert "#FFFFFF" not in fills


def test_sentence_says_what_is_drawn(figure_of: Any) -> None:
    assert figure_of(_drawn(_row(unit="m/s"))).said("desc") == (
        "Slowest over the ground: 0.0 m/s, 8 in 10 between 0.0 m/s and 10.0 m/s, "
        "want at least 5.0 m/s, hard at least 3.0 m/s. NO-GO."
    )


@pytest.mark.parametrize("changed", [{"reading": None}, {"want": None, "hard": None}])
def test_nothing_to_hold_it_to_no_strip(changed: dict[str, Any]) -> None:
    assert strip(_row(**changed), BLACK_ON_WHITE) is None


FIGURES = st.floats(-200.0, 10_000.0).map(lambda value: round(value, 1))


@settings(max_examples=40)
@given(
    figures=st.tuples(FIGURES, FIGURES, FIGURES, FIGURES, FIGURES),
    sense=st.sampled_from(Sense),
    unit=st.sampled_from(["", "m/s", "%", "V/cell", "deg"]),
    width=st.sampled_from([326.0, 360.0]),
)
def test_words_of_limits_never_meet_nor_leave(
    figure_of: Any, figures: tuple[float, ...], sense: Sense, unit: str, width: float
) -> None:
    first, second, *flights = figures
    low, high = min(first, second), max(first, second)
    hard, want = (low, high) if sense is Sense.AT_LEAST else (high, low)
    low, middle, high = sorted(flights)
    row = _row(
        sense,
        unit,
        want=want,
        hard=hard,
        value=Percentiles(p10=low, p50=middle, p90=high),
        reading=low if sense is Sense.AT_LEAST else high,
    )
    figure = figure_of(_drawn(row, width))
    assert figure.overlapping() == []
    assert figure.outside() == []
