"""A ribbon of straight lines, and a reader of figures as a person with XML tools would be."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from fontTools.ttLib import TTFont

import homeleg.briefing
from homeleg.verdict.result import Block, Narrowest, Percentiles, Ribbon

MakeRibbon = Callable[..., Ribbon]
FONTS = Path(homeleg.briefing.__file__).parent / "fonts"
SVG = "{http://www.w3.org/2000/svg}"


class Lettering:
    """Widths of letters as a font file gives them, read by another library."""

    def __init__(self, name: str) -> None:
        font = TTFont(FONTS / name)
        self._glyphs, self._widths = font.getBestCmap(), font["hmtx"]
        self._em = font["head"].unitsPerEm

    def width(self, words: str, size: float) -> float:
        units = sum(self._widths[self._glyphs[ord(sign)]][0] for sign in words)
        return float(units) * size / float(self._em)


REGULAR, BOLD = Lettering("ClearSans-Regular.ttf"), Lettering("ClearSans-Bold.ttf")


@dataclass(frozen=True, slots=True)
class Word:
    """Words set in a figure, with the box they take up."""

    words: str
    left: float
    right: float
    top: float
    bottom: float


class Figure:
    """A figure as drawn: its shapes, and its words with the boxes they take up."""

    def __init__(self, svg: str) -> None:
        self.root = ET.fromstring(svg)  # noqa: S314 - our own text
        shown = (text for text in self.root.iter(f"{SVG}text") if not text.get("aria-hidden"))
        self.words = [self._word(text) for text in shown]

    @staticmethod
    def _word(text: ET.Element) -> Word:
        x, y, size = (float(text.attrib[name]) for name in ("x", "y", "font-size"))
        words = text.text or ""
        width = (BOLD if text.get("font-weight") == "bold" else REGULAR).width(words, size)
        before = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")]
        left = x - before * width
        return Word(words, left, left + width, y - 0.75 * size, y + 0.1 * size)

    def all(self, tag: str) -> list[ET.Element]:
        """Return the shapes of a kind that are drawn, not those of patterns."""
        return self.root.findall(f"{SVG}{tag}")

    def said(self, tag: str) -> str:
        return self.root.findtext(f"{SVG}{tag}") or ""

    @staticmethod
    def points(shape: ET.Element) -> list[tuple[float, float]]:
        pairs = (pair.split(",") for pair in shape.attrib["points"].split())
        return [(float(x), float(y)) for x, y in pairs]

    def overlapping(self) -> list[tuple[str, str]]:
        """Return the pairs of words that are set over each other."""
        return [
            (one.words, other.words)
            for one, other in combinations(self.words, 2)
            if one.left < other.right
            and other.left < one.right
            and one.top < other.bottom
            and other.top < one.bottom
        ]

    def outside(self) -> list[str]:
        """Return the words that leave the figure."""
        width, height = (float(self.root.attrib[name]) for name in ("width", "height"))
        return [
            one.words
            for one in self.words
            if one.left < 0.0 or one.right > width or one.top < 0.0 or one.bottom > height
        ]


@pytest.fixture(scope="session")
def figure_of() -> type[Figure]:
    return Figure


@pytest.fixture(scope="session")
def font_width() -> Callable[[str, float, str], float]:
    """Return a measure of words in the shipped font: words, size, weight."""
    return lambda words, size, weight: (BOLD if weight == "bold" else REGULAR).width(words, size)


def _band(*shares: tuple[float, float, float]) -> tuple[Percentiles, ...]:
    return tuple(Percentiles(p10=low, p50=middle, p90=high) for low, middle, high in shares)


@pytest.fixture
def make_ribbon() -> MakeRibbon:
    """Return a maker of ribbons of 1,000 s: full at launch, least need `most_need` at 400 s."""

    def make(most_need: float = 0.4) -> Ribbon:
        return Ribbon(
            times_s=(0.0, 400.0, 800.0, 1000.0),
            left_fraction=_band(
                (0.98, 1.0, 1.0), (0.7, 0.8, 0.9), (0.4, 0.6, 0.8), (0.3, 0.5, 0.7)
            ),
            needed_fraction=_band(
                (0.0, 0.0, 0.02), (0.3, 0.35, most_need), (0.05, 0.1, 0.2), (0.0, 0.0, 0.02)
            ),
            legs=(
                Block(name="launch", start_s=0.0, end_s=100.0),
                Block(name="launch to Far & away", start_s=100.0, end_s=400.0),
                Block(name="Far & away to return", start_s=400.0, end_s=800.0),
                Block(name="landing", start_s=800.0, end_s=1000.0),
            ),
            narrowest=Narrowest(time_s=800.0, margin_fraction=0.23),
            want_fraction=0.15,
            usable_ah=9.19,
            usable_wh=136.0,
        )

    return make
