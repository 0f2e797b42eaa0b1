"""The briefing as PDF: release page and flight card, for A4 or Letter, black only.

The words are put together here, the layout stands in `paper.typ`. The fonts travel with the
package and no other is looked at, so that the same input gives the same bytes everywhere.
"""

import json
from collections.abc import Mapping
from enum import Enum
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from homeleg.briefing.briefing_input import BriefingInput
from homeleg.briefing.flight_card import flight_card
from homeleg.briefing.release_page import release_page

if TYPE_CHECKING:
    from typst import Fonts

__all__ = ["PaperSize", "briefing_pdf", "typeset"]


class PaperSize(Enum):
    """What is in the printer."""

    A4 = "a4"
    LETTER = "us-letter"


def briefing_pdf(given: BriefingInput, paper: PaperSize = PaperSize.A4) -> bytes:
    """Return the two pages as a tagged PDF."""
    content = {"page": release_page(given), "card": flight_card(given)}
    return typeset("paper.typ", content, paper)


def typeset(layout: str, content: Mapping[str, Any], paper: PaperSize) -> bytes:
    """Return what a layout of this room makes of words and figures, as a tagged PDF.

    Raises RuntimeError where the typesetter warns: a page with a missing sign or font is no page.
    """
    import typst  # noqa: PLC0415 - half a second, wanted only where a page is made

    pdf, warnings = typst.compile_with_warnings(
        _layout(layout),
        sys_inputs={"content": json.dumps({"paper": paper.value, **content})},
        font_paths=_fonts(),
        format="pdf",
    )
    if warnings:
        raise RuntimeError("; ".join(str(warning.message) for warning in warnings))
    return bytes(pdf)


@cache
def _layout(name: str) -> bytes:
    return files("homeleg.briefing").joinpath(name).read_bytes()


@cache
def _fonts() -> "Fonts":
    from typst import Fonts  # noqa: PLC0415 - as above

    folder = files("homeleg.briefing").joinpath("fonts")
    return Fonts(include_system_fonts=False, font_paths=[str(folder)])
