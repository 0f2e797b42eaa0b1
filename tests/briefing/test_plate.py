"""Solid is GO, hatched MARGINAL, hollow NO-GO: told apart without colour."""

from typing import Any

import pytest

from homeleg.briefing.palette import BLACK_ON_WHITE, BUFF
from homeleg.briefing.plate import fill_of, plate, status_mark
from homeleg.verdict.result import Status


@pytest.mark.parametrize(
    ("status", "ground", "word"),
    [
        (Status.GO, "#14202B", "#FFFFFF"),
        (Status.MARGINAL, "url(", "#14202B"),
        (Status.NO_GO, "#FFFFFF", "#14202B"),
    ],
)
def test_weight_of_a_plate(figure_of: Any, status: Status, ground: str, word: str) -> None:
    figure = figure_of(plate(status.value, fill_of(status), BUFF, name="plate"))
    first = figure.all("rect")[0]
    text = figure.all("text")[0]
    assert first.attrib["fill"].startswith(ground)
    assert (text.text, text.get("fill")) == (status.value, word)


@pytest.mark.parametrize("word", ["GO", "MARGINAL", "NO-GO", "NOT THE SAME", "CANNOT TELL"])
def test_word_stands_inside_its_plate(figure_of: Any, word: str) -> None:
    svg = plate(word, fill_of(Status.MARGINAL), BLACK_ON_WHITE, height=40.0, name="plate")
    assert figure_of(svg).outside() == []


def test_marks_of_all_statuses_differ_without_colour() -> None:
    marks = {status_mark(status, BLACK_ON_WHITE, name="mark") for status in Status}
    drawn = {mark.split("</desc>")[1] for mark in marks}
    assert len(drawn) == len(Status)
