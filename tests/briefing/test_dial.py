"""The wind dial against places worked by hand."""

import math
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from homeleg.briefing.dial import DialWinds, dial_figure, dial_sentence
from homeleg.briefing.dial_form import DIAL_LAPTOP, DIAL_PAPER, DIAL_PHONE
from homeleg.briefing.dial_winds import dial_winds
from homeleg.briefing.likely_winds import likely_winds
from homeleg.briefing.palette import BUFF
from homeleg.formats.sortie_file import read_sortie
from homeleg.verdict.limits import Question
from homeleg.verdict.result import Status, WindPoint, WindWindow

GO, MARGINAL, NO_GO = Status.GO, Status.MARGINAL, Status.NO_GO
SORTIE = Path(__file__).parents[2] / "examples" / "tern-point" / "sortie.toml"


@pytest.fixture
def winds() -> DialWinds:
    """Return 16 directions by 8 m/s: GO to 4, MARGINAL to 6; from the east GO to 2 alone."""
    usual = (GO,) * 4 + (MARGINAL,) * 2 + (NO_GO,) * 2
    # A wind that is GO again above one that is not: it may not be shown as GO.
    east = (GO, GO, MARGINAL, GO, GO, NO_GO, NO_GO, NO_GO)
    return DialWinds(
        directions_rad=tuple(math.radians(22.5 * k) for k in range(16)),
        speeds_m_s=tuple(float(k) for k in range(1, 9)),
        statuses=tuple(east if k == 4 else usual for k in range(16)),
        closes=tuple("Makes headway" if k < 8 else "" for k in range(16)),
        measured=(4.0, math.radians(180.0)),
    )


def test_fields_end_where_the_status_first_changes(figure_of: Any, winds: DialWinds) -> None:
    figure = figure_of(dial_figure(winds, DIAL_LAPTOP, BUFF))
    hatched, solid = figure.all("polygon")[:2]
    # Centre 400, 340; the rim, 264 out, is 8 m/s. North 4 m/s: 132 up; east 2 m/s: 66 right.
    assert figure.points(solid)[0] == pytest.approx((400.0, 208.0))
    assert figure.points(solid)[4] == pytest.approx((466.0, 340.0))
    # 6 m/s from the north: 198 up. From the east MARGINAL reaches 5 m/s: 165 right.
    assert figure.points(hatched)[0] == pytest.approx((400.0, 142.0))
    assert figure.points(hatched)[4] == pytest.approx((565.0, 340.0))
    assert solid.attrib["fill"] == BUFF.ink
    assert hatched.attrib["fill"].startswith("url(")


def test_the_measured_wind_stands_where_it_comes_from(figure_of: Any, winds: DialWinds) -> None:
    rings = figure_of(dial_figure(winds, DIAL_LAPTOP, BUFF)).all("circle")
    measured = [ring for ring in rings if ring.get("r") == "13"]
    assert {(ring.get("cx"), ring.get("cy")) for ring in measured} == {("400", "472")}


def test_a_wind_beyond_the_rim_lies_on_the_rim(figure_of: Any, winds: DialWinds) -> None:
    strong = replace(winds, measured=None, likely=((20.0, 0.0),))
    rings = figure_of(dial_figure(strong, DIAL_LAPTOP, BUFF)).all("circle")
    (likely,) = [ring for ring in rings if ring.get("r") == "3"]
    assert (likely.get("cx"), likely.get("cy")) == ("400", "76")


def test_edges_name_the_question_that_closes_them(figure_of: Any, winds: DialWinds) -> None:
    words = [word.words for word in figure_of(dial_figure(winds, DIAL_LAPTOP, BUFF)).words]
    # North-east and south-east are closed by a question, the other two corners by none.
    assert words.count("Makes headway") == 2
    assert words.count("closes at 4.0 m/s") == 2


@pytest.mark.parametrize("form", [DIAL_LAPTOP, DIAL_PHONE, DIAL_PAPER])
def test_words_neither_meet_nor_leave(figure_of: Any, winds: DialWinds, form: Any) -> None:
    figure = figure_of(dial_figure(winds, form, BUFF))
    assert figure.overlapping() == []
    assert figure.outside() == []


def test_sentence(winds: DialWinds) -> None:
    assert dial_sentence(winds) == (
        "GO from every side up to 2.0 m/s, least from 090; up to 4.0 m/s from 000. "
        "What closes it: Makes headway. Measured: 4.0 m/s from 180."
    )


def test_sentence_where_a_side_is_shut_from_the_start(winds: DialWinds) -> None:
    shut = ((NO_GO,) * 8, *winds.statuses[1:])
    words = dial_sentence(replace(winds, statuses=shut))
    assert words.startswith("Not GO from every side, not from 000; up to 4.0 m/s from 022.")


def test_likely_winds_have_the_spread_of_the_reports() -> None:
    # The example: 5.0 m/s from 225 by hand anemometer, direction sd 10 degrees, 15 minutes old.
    # Speed sd 10 % + 0.3 m/s of the reading and 1.2 x sqrt(0.25 h) of age: 0.8 and 0.6, 1.0 m/s.
    drawn = likely_winds(read_sortie(SORTIE).sortie)
    speeds = [speed for speed, _ in drawn]
    mean = math.fsum(speeds) / len(speeds)
    spread = math.sqrt(math.fsum((speed - mean) ** 2 for speed in speeds) / len(speeds))
    assert mean == pytest.approx(5.0, abs=0.1)
    assert spread == pytest.approx(1.0, abs=0.1)
    off_rad = [math.remainder(angle - math.radians(225.0), math.tau) for _, angle in drawn]
    assert math.degrees(math.fsum(off_rad) / len(off_rad)) == pytest.approx(0.0, abs=1.5)


def test_winds_of_a_window() -> None:
    sortie = read_sortie(SORTIE).sortie
    # Told out of order: two directions, two speeds; from the north the corners end GO first.
    points = tuple(
        WindPoint(
            from_true_rad=direction,
            speed_m_s=speed,
            status=MARGINAL if (direction, speed) == (0.0, 6.0) else GO,
            question=Question.CORNERS if (direction, speed) == (0.0, 6.0) else None,
        )
        for speed in (6.0, 3.0)
        for direction in (math.pi, 0.0)
    )
    winds = dial_winds(WindWindow(height_agl_m=10.0, members=32, points=points), sortie)
    assert winds.directions_rad == (0.0, math.pi)
    assert winds.speeds_m_s == (3.0, 6.0)
    assert winds.statuses == ((GO, MARGINAL), (GO, GO))
    assert winds.closes == ("Makes the corners", "")
    assert winds.measured == pytest.approx((5.0, math.radians(225.0)))
