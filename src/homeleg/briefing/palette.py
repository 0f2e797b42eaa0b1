"""The inks of the figures: on the buff page, and black on white for sunlight and paper."""

from dataclasses import dataclass

__all__ = ["BLACK_ON_WHITE", "BUFF", "Palette"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """Colours by what they say, each a `#` and six hexadecimal digits.

    `ink` text, plates and limits; `has` what the aircraft has or does; `needs` what it needs or
    could hit; `second` second lines. `has_pale` and `needs_pale` are fills and never text.
    `channel` is the ground of a chart, `shade` falls through it; `ring` carries no meaning alone.
    """

    ink: str
    has: str
    needs: str
    second: str
    has_pale: str
    needs_pale: str
    channel: str
    shade: str
    ring: str


BUFF = Palette(
    ink="#14202B",
    has="#0E5666",
    needs="#84360E",
    second="#43505A",
    has_pale="#D3E1E2",
    needs_pale="#F0DCCB",
    channel="#FFFFFF",
    shade="#E4DFCF",
    ring="#77818A",
)
BLACK_ON_WHITE = Palette(
    ink="#000000",
    has="#000000",
    needs="#000000",
    second="#000000",
    has_pale="#FFFFFF",
    needs_pale="#FFFFFF",
    channel="#FFFFFF",
    shade="#FFFFFF",
    ring="#000000",
)
