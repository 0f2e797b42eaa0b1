"""Where a flight that was noted ends on the ribbon, against places worked by hand."""

from typing import Any

import pytest

from homeleg.briefing.palette import BLACK_ON_WHITE, BUFF
from homeleg.briefing.ribbon_flown import flown_ribbon
from homeleg.briefing.ribbon_form import LAPTOP, PHONE, SUNLIGHT
from homeleg.desk.releases import ribbon_of
from homeleg.formats.check_json import _ribbon


def dot(figure: Any) -> tuple[float, float]:
    [circle] = [one for one in figure.all("circle") if float(one.get("r")) == 8.0]
    return float(circle.get("cx")), float(circle.get("cy"))


def test_the_point_lies_at_its_second_and_charge(figure_of: Any, make_ribbon: Any) -> None:
    # The laptop's plot: 66 to 1064 across 1,000 s, 34 to 326 over a whole pack.
    figure = figure_of(flown_ribbon(make_ribbon(), 900.0, 0.25, LAPTOP, BUFF))
    # 900 s: 66 + 0.9 x 998 = 964.2; a quarter left: 326 - 0.25 x 292 = 253.
    assert dot(figure) == pytest.approx((964.2, 253.0), abs=0.051)
    [words] = [word.words for word in figure.words if word.words.startswith("flown: ")]
    assert words.endswith("left, 25 %")


@pytest.mark.parametrize(("landed_s", "left"), [(5000.0, 0.0), (10.0, 1.0), (900.0, 0.95)])
@pytest.mark.parametrize("form", [LAPTOP, PHONE, SUNLIGHT])
def test_point_and_words_stay_inside(
    figure_of: Any, make_ribbon: Any, form: Any, landed_s: float, left: float
) -> None:
    figure = figure_of(flown_ribbon(make_ribbon(), landed_s, left, form, BLACK_ON_WHITE))
    x, y = dot(figure)
    assert form.left <= x <= form.width - form.right
    assert form.top <= y <= form.height - form.bottom
    for word in figure.words:
        assert word.left >= 0.0
        assert word.right <= form.width


def test_the_ribbon_of_an_answer_is_the_one_released(make_ribbon: Any, make_release: Any) -> None:
    release, ribbon = make_release(), make_ribbon()
    assert ribbon_of(release) is None
    release.answer["ribbon"] = _ribbon(ribbon)
    assert ribbon_of(release) == ribbon
