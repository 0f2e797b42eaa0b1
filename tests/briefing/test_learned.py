"""What a flight taught, in words and as two bars."""

from homeleg.briefing.learned import Lesson, learned
from homeleg.briefing.palette import BLACK_ON_WHITE

# By hand: the middle from 100 to 110 is 10 % more; the span from 40 to 10 leaves a quarter.
SHARP = Lesson(name="Power", unit="W", before=(80.0, 100.0, 120.0), after=(105.0, 110.0, 115.0))
DULL = Lesson(name="Charge", unit="mAh", before=(80.0, 100.0, 120.0), after=(80.0, 100.2, 120.0))


def test_what_moved_and_what_is_no_better_known() -> None:
    assert SHARP.words == "10.0 % more than thought, 75 % of the doubt gone"
    assert DULL.words == "as thought, no better known: these numbers do not tell"
    assert SHARP.figures == "100 W (80 to 120) before, 110 W (105 to 115) after"


def test_the_bars_are_as_long_as_their_spans() -> None:
    drawn = learned(SHARP, BLACK_ON_WHITE)
    widths = sorted(float(part.split('"')[0]) for part in drawn.split(' width="')[2:])
    # Two marks of one width, then the spans 10 and 40, less the stroke of 2.4 that lies inside.
    assert abs((widths[3] + 2.4) / (widths[2] + 2.4) - 4.0) < 0.02
    assert "100 W (80 to 120) before" in drawn
