"""The forms in which the come-home ribbon is drawn: laptop, phone and paper."""

from dataclasses import dataclass

__all__ = ["LAPTOP", "PAPER", "PHONE", "RibbonForm"]


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
