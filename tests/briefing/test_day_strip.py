"""The day across: blocks, bars and words, found again in the drawing."""

import re
from datetime import UTC, datetime, timedelta

import pytest
from defusedxml.ElementTree import fromstring

from homeleg.briefing.day_strip import (
    DAY_LAPTOP,
    DAY_PHONE,
    DayForm,
    DayRow,
    WindRow,
    day_strip,
    length_words,
)
from homeleg.briefing.palette import BLACK_ON_WHITE, BUFF
from homeleg.briefing.reach_bar import reach_bar
from homeleg.readiness.day import Bar, Holds, Span

SVG = "{http://www.w3.org/2000/svg}"
FORMS = (DAY_LAPTOP, DAY_PHONE)


def at(hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 6, 9, hour, minute, tzinfo=UTC)


DAY = Span(at(4), at(22))
LIGHT = DayRow(
    name="Light and sun",
    lines=((Bar(span=Span(at(4), at(21)), holds=Holds.MET, words="daylight"),),),
)
WIND = WindRow(
    name="Wind at 10 m",
    under="8 in 10 inside",
    moments=((at(8), 2.0, 4.0, 6.0), (at(20), 2.0, 5.0, 8.0)),
    closes_m_s=7.0,
    words="this sortie's window closes at 7.0 m/s",
)
PACKS = DayRow(name="Packs charged", lines=(), without="none in the logbook")
BLOCKS = (Span(at(8, 20), at(9, 10)), Span(at(16, 40), at(18, 50)))


def drawn(form: DayForm, blocks: tuple[Span, ...] = BLOCKS, *, solid: bool = True) -> str:
    rows = (LIGHT, WIND, PACKS)
    return day_strip(DAY, rows, blocks, at(15, 5), form, BUFF, solid=solid)


def words(svg: str) -> list[str]:
    return ["".join(one.itertext()) for one in fromstring(svg).iter(f"{SVG}text")]


@pytest.mark.parametrize("form", FORMS)
def test_a_block_spans_its_hours(form: DayForm) -> None:
    # By hand: 16:40 and 18:50 are 12 2/3 and 14 5/6 of 18 hours across.
    root = fromstring(drawn(form))
    solid = [one for one in root.iter(f"{SVG}rect") if one.get("fill") == BUFF.ink]
    left, room = form.beside, form.width - 12.0 - form.beside
    spans = [
        (float(one.get("x", "")), float(one.get("width", "")))
        for one in solid
        if float(one.get("height", "0")) == form.block
    ]
    for (x, width), (begin, end) in zip(spans, ((260, 310), (760, 890)), strict=True):
        assert x == pytest.approx(left + begin / 1080 * room, abs=0.1)
        assert width == pytest.approx((end - begin) / 1080 * room, abs=0.1)


@pytest.mark.parametrize("form", FORMS)
def test_begin_and_end_of_each_block_are_written(form: DayForm) -> None:
    said = words(drawn(form))
    assert {"08:20", "09:10", "16:40", "18:50", "now 15:05"} <= set(said)
    assert "none in the logbook" in said


def test_a_long_block_says_its_length() -> None:
    assert "2 h 10 min" in words(drawn(DAY_LAPTOP))


def test_a_block_that_is_not_solid_is_hatched() -> None:
    assert drawn(DAY_LAPTOP, solid=False).count("url(#day-hatch") == len(BLOCKS)
    assert "url(#day-hatch" not in drawn(DAY_LAPTOP)


def test_what_it_shows_is_said_in_words() -> None:
    assert "All of it holds 08:20 to 09:10, 16:40 to 18:50 UTC." in drawn(DAY_LAPTOP)
    assert "At no time of the day does all of it hold." in drawn(DAY_LAPTOP, ())


@pytest.mark.parametrize("form", FORMS)
def test_nothing_is_drawn_outside_the_figure(form: DayForm) -> None:
    root = fromstring(drawn(form))
    width, height = float(root.get("width", "")), float(root.get("height", ""))
    for one in root.iter(f"{SVG}polyline"):
        for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", one.get("points", "")):
            assert 0.0 <= float(x) <= width
            assert 0.0 <= float(y) <= height


@pytest.mark.parametrize(
    ("minutes", "said"), [(50, "50 min"), (60, "1 h"), (130, "2 h 10 min"), (0.4, "0 min")]
)
def test_lengths_in_words(minutes: float, said: str) -> None:
    assert length_words(timedelta(minutes=minutes)) == said


@pytest.mark.parametrize("step", [0, 1, 2, 3])
def test_the_reach_bar_grows_with_the_step(step: int) -> None:
    svg = reach_bar(step, "words", BLACK_ON_WHITE, name="reach")
    widths = [
        float(one.get("width", ""))
        for one in fromstring(svg).iter(f"{SVG}rect")
        if one.get("fill") == "#000000" and one.get("height") == "18"
    ]
    assert widths == [pytest.approx(300.0 * (0.18, 0.36, 0.87, 1.0)[step])]
    assert ("hatch" in svg) == (step < 3)
