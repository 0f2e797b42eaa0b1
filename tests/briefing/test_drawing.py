"""What the writer of SVG promises: well-formed, escaped, no inline style."""

from typing import Any

from homeleg.briefing.drawing import Drawing


def test_words_are_escaped_and_stay_words(figure_of: Any) -> None:
    drawing = Drawing("figure", 100.0, 50.0)
    drawing.text((10.0, 20.0), 'A < B & "C"', 12.0, fill="#000000", halo="#FFFFFF")
    figure = figure_of(drawing.svg("<title>", "a & b"))
    assert [text.text for text in figure.all("text")] == ['A < B & "C"'] * 2
    assert (figure.said("title"), figure.said("desc")) == ("<title>", "a & b")
    assert figure.root.get("role") == "img"


def test_colours_are_attributes_never_style(figure_of: Any) -> None:
    drawing = Drawing("figure", 100.0, 50.0)
    hatch = drawing.hatch("#000000", "#FFFFFF", spacing=6.0, line=2.0)
    drawing.rectangle((0.0, 0.0), (10.0, 10.0), fill=hatch, stroke="#000000", line=2.0)
    text = drawing.svg("a", "b")
    assert "style" not in text
    rectangle = figure_of(text).all("rect")[0]
    # A stroke of 2 inside a square of 10: its middle runs 1 inside the edge.
    assert [rectangle.get(name) for name in ("x", "y", "width", "height")] == ["1", "1", "8", "8"]


def test_patterns_of_two_figures_are_told_apart(figure_of: Any) -> None:
    ids: set[str] = set()
    for name in ("one", "other"):
        drawing = Drawing(name, 10.0, 10.0)
        drawing.hatch("#000000", "#FFFFFF", spacing=6.0, line=2.0)
        (definitions,) = figure_of(drawing.svg("a", "b")).all("defs")
        ids.update(pattern.get("id") for pattern in definitions)
    assert len(ids) == 2


def test_lengths_are_written_to_a_tenth(figure_of: Any) -> None:
    drawing = Drawing("figure", 10.0, 10.0)
    drawing.line([(0.04, 1.25001), (-0.04, 3.0)], stroke="#000000", line=1.0)
    line = figure_of(drawing.svg("a", "b")).all("polyline")[0]
    assert line.get("points") == "0,1.3 0,3"
