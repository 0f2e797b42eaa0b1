"""The flight card as one page for a phone: word, ribbon, the eight numbers, gates, what if."""

from homeleg.briefing.briefing_input import BriefingInput
from homeleg.briefing.charge_axis import ChargeUnit
from homeleg.briefing.field_numbers import field_numbers
from homeleg.briefing.field_words import occasion
from homeleg.briefing.flight_card import flight_card
from homeleg.briefing.palette import BLACK_ON_WHITE
from homeleg.briefing.phone_page import drawn, phone_page
from homeleg.briefing.plate import fill_of, plate
from homeleg.briefing.ribbon import ribbon_figure
from homeleg.briefing.ribbon_form import PHONE
from homeleg.verdict.cautions import cautions
from homeleg.verdict.wording import why

__all__ = ["card_page"]


def card_page(given: BriefingInput) -> str:
    """Return the HTML of the card; a NO-GO that nobody flies against has no figures to fly by."""
    verdict = given.verdict
    turn_back = None if verdict.way_home is None else verdict.way_home.turn_back
    ribbon = ""
    if verdict.ribbon is not None:
        ribbon = ribbon_figure(
            verdict.ribbon, turn_back, ChargeUnit.MAH, PHONE, BLACK_ON_WHITE, name="ribbon"
        )
    fill = fill_of(verdict.word)
    decides = why(verdict)
    return phone_page(
        "card.html",
        given=given,
        card=flight_card(given),
        occasion=occasion(given),
        plate=drawn(plate(verdict.word.value, fill, BLACK_ON_WHITE, name="plate")),
        ribbon=drawn(ribbon),
        decides=f"{decides[0].upper()}{decides[1:].rstrip('.')}.",
        numbers=field_numbers(verdict, given.sortie) if given.may_fly else [],
        cautions=cautions(verdict.word),
    )
