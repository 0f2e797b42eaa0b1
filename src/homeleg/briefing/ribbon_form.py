"""The forms in which the come-home ribbon is drawn: laptop, phone and paper, the pages' own."""

from dataclasses import dataclass, replace

__all__ = ["LAPTOP", "PAPER", "PHONE", "SCREEN", "SCREEN_PHONE", "SUNLIGHT", "RibbonForm"]


@dataclass(frozen=True, slots=True, kw_only=True)
class RibbonForm:
    """Lengths of one form: the whole, the margins around the plot, letters and texture.

    `top` holds the flag of the last turn-back, `bottom` legs and clock, `left` the figures of the
    axis, `right` the shares at touchdown where they are `shown_at_end`. `wordy` says whether there
    is room for the words inside the banks and a second line in the box.
    """

    width: float
    height: float
    left: float
    right: float
    top: float
    bottom: float
    letter: float
    box_letter: float
    block: float
    hatch: float
    ticks: int
    shown_at_end: bool
    wordy: bool


LAPTOP = RibbonForm(
    width=1224.0,
    height=408.0,
    left=66.0,
    right=160.0,
    top=34.0,
    bottom=82.0,
    letter=14.5,
    box_letter=16.0,
    block=26.0,
    hatch=8.0,
    ticks=5,
    shown_at_end=True,
    wordy=True,
)
PHONE = RibbonForm(
    width=358.0,
    height=206.0,
    left=52.0,
    right=10.0,
    top=26.0,
    bottom=52.0,
    letter=14.0,
    box_letter=14.0,
    block=24.0,
    hatch=8.0,
    ticks=3,
    shown_at_end=False,
    wordy=False,
)
PAPER = RibbonForm(
    width=722.0,
    height=240.0,
    left=66.0,
    right=96.0,
    top=28.0,
    bottom=54.0,
    letter=12.5,
    box_letter=12.5,
    block=24.0,
    hatch=7.0,
    ticks=5,
    shown_at_end=True,
    wordy=False,
)
# On a page no word is under 16, and the whole verdict fits a laptop's window.
SCREEN = replace(LAPTOP, height=336.0, left=70.0, right=178.0, top=36.0, bottom=88.0, letter=16.0)
SCREEN_PHONE = replace(
    PHONE, height=216.0, left=58.0, top=30.0, bottom=56.0, letter=16.0, box_letter=16.0
)
# Black on white in the sun, no word of it under 18.
SUNLIGHT = replace(
    LAPTOP,
    height=340.0,
    left=84.0,
    right=204.0,
    top=42.0,
    bottom=98.0,
    letter=18.0,
    box_letter=18.0,
    block=32.0,
)
