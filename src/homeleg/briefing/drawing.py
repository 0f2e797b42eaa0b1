"""A small writer of SVG: shapes and words in the order in which they are laid down.

Colours are presentation attributes, not style attributes: a page that forbids inline style shows
them all the same. Lengths are the figure's own units, one to a CSS pixel; y grows downward.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Literal
from xml.sax.saxutils import escape, quoteattr

from homeleg.briefing.lettering import FAMILY, Weight

__all__ = ["Anchor", "Drawing", "Point"]

Point = tuple[float, float]
Anchor = Literal["start", "middle", "end"]


class Drawing:
    """One figure being drawn; `name` keeps its patterns apart from those of its neighbours."""

    def __init__(self, name: str, width: float, height: float) -> None:
        """Begin an empty figure of that width and height."""
        self._name = name
        self._size = (width, height)
        self._definitions: dict[str, str] = {}
        self._marks: list[str] = []
        self._leads = False

    @contextmanager
    def leading_to(self, address: str) -> Iterator[None]:
        """Have what is drawn within lead to an address; with none it leads nowhere."""
        begin = len(self._marks)
        yield
        if address and len(self._marks) > begin:
            self._leads = True
            self._marks.insert(begin, f"<a href={quoteattr(address)}>")
            self._marks.append("</a>")

    def rectangle(
        self, corner: Point, size: Point, *, fill: str, stroke: str = "none", line: float = 0.0
    ) -> None:
        """Draw a rectangle whose stroke, `line` wide, lies inside it."""
        (x, y), (width, height) = corner, size
        inset = 0.5 * line
        self._mark(
            "rect",
            x=x + inset,
            y=y + inset,
            width=width - line,
            height=height - line,
            fill=fill,
            **_stroke(stroke, line),
        )

    def line(
        self,
        points: Sequence[Point],
        *,
        stroke: str,
        line: float,
        dash: str = "",
        halo: str = "",
    ) -> None:
        """Draw a line through points, on a wider line of the colour `halo` if one is named."""
        for colour, width in ((halo, line + 4.0), (stroke, line)):
            if colour:
                attributes = _stroke(colour, width)
                if dash and colour == stroke:
                    attributes["stroke_dasharray"] = dash
                self._mark("polyline", points=_points(points), fill="none", **attributes)

    def polygon(
        self, points: Iterable[Point], *, fill: str, stroke: str = "none", line: float = 0.0
    ) -> None:
        """Draw a closed shape."""
        self._mark("polygon", points=_points(points), fill=fill, **_stroke(stroke, line))

    def circle(
        self, centre: Point, radius: float, *, fill: str, stroke: str = "none", line: float = 0.0
    ) -> None:
        """Draw a circle."""
        x, y = centre
        self._mark("circle", cx=x, cy=y, r=radius, fill=fill, **_stroke(stroke, line))

    def text(
        self,
        at: Point,
        words: str,
        size: float,
        *,
        fill: str,
        weight: Weight = "regular",
        anchor: Anchor = "start",
        halo: str = "",
    ) -> None:
        """Set words with their baseline at a point, outlined in the colour `halo` if one is named.

        The outline is a second, wider setting underneath: not every reader of SVG knows how to
        paint an outline first.
        """
        attributes: dict[str, str | float] = {"x": at[0], "y": at[1], "font_size": size}
        if weight == "bold":
            attributes["font_weight"] = "bold"
        if anchor != "start":
            attributes["text_anchor"] = anchor
        if halo:
            outline = {**_stroke(halo, 5.0), "stroke_linejoin": "round", "fill": halo}
            self._mark("text", escape(words), aria_hidden="true", **attributes, **outline)
        self._mark("text", escape(words), fill=fill, **attributes)

    def hatch(self, ink: str, ground: str, *, spacing: float, line: float) -> str:
        """Return a fill of rising diagonal lines, `line` wide and `spacing` apart."""
        stripes = f'<rect width="{_number(line)}" height="{_number(spacing)}" fill="{ink}"/>'
        return self._pattern("hatch", stripes, ink, ground, spacing, line)

    def cross_hatch(self, ink: str, ground: str, *, spacing: float, line: float) -> str:
        """Return a fill of diagonal lines both ways."""
        stripes = (
            f'<rect width="{_number(line)}" height="{_number(spacing)}" fill="{ink}"/>'
            f'<rect width="{_number(spacing)}" height="{_number(line)}" fill="{ink}"/>'
        )
        return self._pattern("cross", stripes, ink, ground, spacing, line)

    def svg(self, title: str, description: str) -> str:
        """Return the figure as SVG text; title and description say what it shows."""
        width, height = (_number(length) for length in self._size)
        definitions = "".join(self._definitions.values())
        role = "group" if self._leads else "img"  # a picture holds nothing to be opened
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="{role}" '
            f'viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
            f'font-family="{FAMILY}, sans-serif">'
            f"<title>{escape(title)}</title><desc>{escape(description)}</desc>"
            + (f"<defs>{definitions}</defs>" if definitions else "")
            + "".join(self._marks)
            + "</svg>"
        )

    def _pattern(
        self, kind: str, stripes: str, ink: str, ground: str, spacing: float, line: float
    ) -> str:
        key = f"{self._name}-{kind}-{ink[1:]}-{ground[1:]}-{_number(spacing)}-{_number(line)}"
        side = _number(spacing)
        self._definitions[key] = (
            f'<pattern id="{key}" patternUnits="userSpaceOnUse" width="{side}" height="{side}" '
            f'patternTransform="rotate(45)">'
            f'<rect width="{side}" height="{side}" fill="{ground}"/>{stripes}</pattern>'
        )
        return f"url(#{key})"

    def _mark(self, tag: str, content: str | None = None, /, **attributes: str | float) -> None:
        written = "".join(
            f" {name.replace('_', '-')}={quoteattr(_written(value))}"
            for name, value in attributes.items()
        )
        self._marks.append(
            f"<{tag}{written}>{content}</{tag}>" if content else f"<{tag}{written}/>"
        )


def _stroke(colour: str, width: float) -> dict[str, str | float]:
    return {} if colour == "none" else {"stroke": colour, "stroke_width": width}


def _points(points: Iterable[Point]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _written(value: str | float) -> str:
    return value if isinstance(value, str) else _number(value)


def _number(value: float) -> str:
    """Return a length to a tenth, without a zero that says nothing."""
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")
