"""The ribbon against heights worked by hand, in all its forms and units."""

from typing import Any

import pytest

from homeleg.briefing.charge_axis import ChargeUnit, charge_axis
from homeleg.briefing.palette import BLACK_ON_WHITE, BUFF
from homeleg.briefing.ribbon import ribbon_figure
from homeleg.briefing.ribbon_form import LAPTOP, PAPER, PHONE, SCREEN, SCREEN_PHONE, SUNLIGHT
from homeleg.verdict.result import TurnBack

FORMS = [LAPTOP, PHONE, PAPER, SCREEN, SCREEN_PHONE, SUNLIGHT]
TURN_BACK = TurnBack(time_s=500.0, leg="Far & away to return", charge_left_fraction=0.6)


def test_banks_at_hand_worked_places(figure_of: Any, make_ribbon: Any) -> None:
    # The laptop's plot: 66 to 1224 - 160 = 1064 across 1,000 s, 34 to 408 - 82 = 326 over a pack.
    # 400 s lies at 66 + 0.4 x 998 = 465.2; 0.7 of a pack at 326 - 0.7 x 292 = 121.6.
    figure = figure_of(ribbon_figure(make_ribbon(), None, ChargeUnit.MAH, LAPTOP, BUFF))
    band = next(one for one in figure.all("polygon") if one.attrib["fill"] == BUFF.has)
    assert figure.points(band)[1] == pytest.approx((465.2, 121.6), abs=0.051)
    pale = next(one for one in figure.all("polygon") if one.attrib["fill"] == BUFF.needs_pale)
    # Least needed 0.3 at 400 s: 326 - 0.3 x 292 = 238.4.
    assert (465.2, 238.4) in figure.points(pale)


def test_last_turn_back_stands_at_its_second(figure_of: Any, make_ribbon: Any) -> None:
    figure = figure_of(ribbon_figure(make_ribbon(), TURN_BACK, ChargeUnit.MAH, LAPTOP, BUFF))
    bars = [one for one in figure.all("polyline") if one.get("stroke-width") == "4.5"]
    # 500 s lies at 66 + 0.5 x 998 = 565.
    assert [point[0] for point in figure.points(bars[0])] == [565.0, 565.0]
    assert "Last turn-back 8:20" in [word.words for word in figure.words]


@pytest.mark.parametrize("form", FORMS)
def test_shape_does_not_jump_with_the_unit(figure_of: Any, make_ribbon: Any, form: Any) -> None:
    drawn = [
        figure_of(ribbon_figure(make_ribbon(), TURN_BACK, unit, form, BUFF)).all("polygon")[:6]
        for unit in ChargeUnit
    ]
    shapes = [[polygon.attrib["points"] for polygon in figure] for figure in drawn]
    assert shapes[0] == shapes[1] == shapes[2]


def test_full_pack_in_each_unit(make_ribbon: Any) -> None:
    # The middle flight uses half a pack in 1,000 s: a full one lasts 2,000 s, 33.3 minutes.
    full = {unit: charge_axis(make_ribbon(), unit).figure(1.0) for unit in ChargeUnit}
    assert full == {
        ChargeUnit.MAH: "9,190 mAh",
        ChargeUnit.WH: "136 Wh",
        ChargeUnit.MINUTES: "33 min",
    }


def test_ticks_are_round_and_lie_under_a_full_pack(make_ribbon: Any) -> None:
    ticks = charge_axis(make_ribbon(), ChargeUnit.MAH).ticks(5)
    assert [words for _, words in ticks] == ["0", "2,000", "4,000", "6,000", "8,000"]
    assert ticks[2][0] == pytest.approx(4000.0 / 9190.0)


def test_short_of_the_want_is_hatched_from_where_it_begins(
    figure_of: Any, make_ribbon: Any
) -> None:
    # Most needed 0.6 at 400 s leaves 0.1, want 0.15. The margin falls from 0.96 to 0.1 in 400 s:
    # it passes 0.15 at 400 x 0.81 / 0.86 = 376.7 s, 66 + 0.3767 x 998 = 442.0; it grows again to
    # 0.2 at 800 s and passes 0.15 at 600 s, 664.8.
    open_figure, short_figure = (
        figure_of(ribbon_figure(make_ribbon(need), None, ChargeUnit.MAH, LAPTOP, BUFF))
        for need in (0.4, 0.6)
    )

    def crossed(figure: Any) -> list[Any]:
        return [one for one in figure.all("polygon") if "-cross-" in one.attrib["fill"]]

    assert crossed(open_figure) == []
    (short,) = crossed(short_figure)
    across = [point[0] for point in short_figure.points(short)]
    assert (min(across), max(across)) == pytest.approx((442.0, 664.8), abs=0.06)


def test_need_beyond_what_is_left_is_hatched_darker(figure_of: Any, make_ribbon: Any) -> None:
    figure = figure_of(ribbon_figure(make_ribbon(0.9), None, ChargeUnit.MAH, LAPTOP, BUFF))
    crossed = [one.attrib["fill"] for one in figure.all("polygon") if "-cross-" in one.get("fill")]
    assert sum("-cross-FFFFFF-14202B" in fill for fill in crossed) == 1


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("unit", list(ChargeUnit))
@pytest.mark.parametrize("most_need", [0.36, 0.6, 0.9])
@pytest.mark.parametrize("turn_back", [None, TURN_BACK])
def test_words_neither_meet_nor_leave(
    figure_of: Any, make_ribbon: Any, form: Any, unit: Any, most_need: float, turn_back: Any
) -> None:
    ribbon = make_ribbon(most_need)
    figure = figure_of(ribbon_figure(ribbon, turn_back, unit, form, BLACK_ON_WHITE))
    assert figure.overlapping() == []
    assert figure.outside() == []


def test_sentence_says_what_is_drawn(figure_of: Any, make_ribbon: Any) -> None:
    figure = figure_of(ribbon_figure(make_ribbon(), TURN_BACK, ChargeUnit.MAH, PHONE, BUFF))
    assert figure.said("desc") == (
        "Usable charge 9,190 mAh. At touchdown, 16:40 after launch, 50 % is left on the middle "
        "flight, 8 in 10 between 30 and 70 %. Narrowest at 13:20: 23 % left on a bad day, want "
        "15 %. Last turn-back 8:20, on Far & away to return."
    )


def test_figures_lead_to_their_rows(figure_of: Any, make_ribbon: Any) -> None:
    svg = ribbon_figure(
        make_ribbon(), TURN_BACK, ChargeUnit.MAH, SCREEN, BUFF, address_of=lambda row: f"#{row}"
    )
    figure = figure_of(svg)
    led = {
        word.text: link.attrib["href"]
        for link in figure.all("a")
        for word in link.iter("{http://www.w3.org/2000/svg}text")
    }
    assert led["50 % middle flight"] == "#reserve.charge"
    assert led["Last turn-back 8:20"] == led["23 % left on a bad day, 13:20"] == "#home.charge"
    # A picture that says it is one may hold nothing to be opened (WAI-ARIA 1.2, role img; MEMORY).
    assert figure.root.get("role") == "group"


def test_same_verdict_same_bytes(make_ribbon: Any) -> None:
    one, other = (
        ribbon_figure(make_ribbon(), TURN_BACK, ChargeUnit.WH, PAPER, BUFF) for _ in range(2)
    )
    assert one == other
