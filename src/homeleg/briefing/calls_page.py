"""The calls as one page for a phone: one a screen, and at the end a line to type back."""

from homeleg.briefing.briefing_input import BriefingInput
from homeleg.briefing.calls import calls_of
from homeleg.briefing.drawing import Drawing
from homeleg.briefing.palette import BLACK_ON_WHITE
from homeleg.briefing.phone_page import drawn, phone_page

__all__ = ["calls_page", "from_behind"]


def calls_page(given: BriefingInput) -> str:
    """Return the HTML of the calls still open for a sortie."""
    calls = calls_of(given.verdict, given.sortie.aircraft.plan)
    return phone_page("calls.html", given=given, calls=calls, drawing=drawn(from_behind()))


def from_behind() -> str:
    """Return the aircraft seen from behind: which side is which, and no hint of the answer."""
    drawing, ink, white = (
        Drawing("behind", 358.0, 176.0),
        BLACK_ON_WHITE.ink,
        BLACK_ON_WHITE.channel,
    )
    middle = 179.0
    drawing.line(((middle, 20.0), (middle, 80.0)), stroke=ink, line=4.0)
    drawing.line(((middle - 46.0, 20.0), (middle + 46.0, 20.0)), stroke=ink, line=5.0)
    for side in (-1.0, 1.0):
        wing = ((0.0, 84.0), (0.0, 96.0), (168.0, 62.0), (168.0, 57.0))
        drawing.polygon([(middle + side * x, y) for x, y in wing], fill=ink)
        flap = ((78.0, 86.0), (78.0, 106.0), (160.0, 90.0), (161.0, 70.0))
        drawing.polygon([(middle + side * x, y) for x, y in flap], fill=white, stroke=ink, line=3.0)
        for tip, start in ((24.0, 50.0), (140.0, 114.0)):
            x, back = middle + side * 119.0, tip + (10.0 if tip < start else -10.0)
            drawing.line(((x, start), (x, back)), stroke=ink, line=3.0)
            drawing.polygon(((x - 6.0, back), (x + 6.0, back), (x, tip)), fill=ink)
        words = "left wing" if side < 0.0 else "right wing"
        at = (middle + side * 119.0, 164.0)
        drawing.text(at, words, 18.0, fill=ink, weight="bold", anchor="middle")
    drawing.circle((middle, 90.0), 22.0, fill=white, stroke=ink, line=4.0)
    drawing.text((middle, 138.0), "seen from", 18.0, fill=ink, anchor="middle")
    drawing.text((middle, 160.0), "behind", 18.0, fill=ink, anchor="middle")
    return drawing.svg(
        "The aircraft seen from behind", "Left wing at the left, right at the right."
    )
