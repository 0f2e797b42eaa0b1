"""The forms in which the wind dial is drawn: laptop, phone and paper."""

from dataclasses import dataclass

__all__ = ["DIAL_LAPTOP", "DIAL_PAPER", "DIAL_PHONE", "DialForm"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DialForm:
    """Lengths of one form. `corner` is where words in a corner begin, from the centre."""

    width: float
    height: float
    radius: float
    letter: float
    hatch: float
    corner: tuple[float, float]
    closes_shown: bool


DIAL_LAPTOP = DialForm(
    width=800.0,
    height=680.0,
    radius=264.0,
    letter=16.0,
    hatch=8.0,
    corner=(232.0, 290.0),
    closes_shown=True,
)
DIAL_PHONE = DialForm(
    width=358.0,
    height=330.0,
    radius=124.0,
    letter=14.0,
    hatch=7.0,
    corner=(0.0, 0.0),
    closes_shown=False,
)
DIAL_PAPER = DialForm(
    width=266.0,
    height=250.0,
    radius=92.0,
    letter=12.0,
    hatch=6.0,
    corner=(0.0, 0.0),
    closes_shown=False,
)
