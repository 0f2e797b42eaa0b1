"""A new aircraft by questions, one a page, with the picture of what follows from the answers."""

from collections.abc import Mapping
from functools import partial

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.app.questions import Answers, Choice, Offer, Question, always, one_of, read_answers
from homeleg.desk.guide import (
    AT_A_RUN,
    LAUNCHES,
    PLANS,
    balance_clash,
    balance_refusal,
    keep_aircraft,
    needs_range,
    needs_sweep,
    pack_refusal,
    plan_drawing,
    range_clash,
    range_refusal,
    what_follows,
)
from homeleg.desk.new import refusal_of
from homeleg.desk.starting_files import AIRCRAFT_ASKS
from homeleg.foundation.units import Dimension, parse_quantity

__all__ = ["QUESTIONS", "ROUTES"]

_ADDRESS = "/aircraft/new"
_ASKS = {ask.option: ask for ask in AIRCRAFT_ASKS}
_LAUNCHES = {
    "hand": ("Hand", "thrown from a stand"),
    AT_A_RUN: ("Hand, at a run", "a few steps, then thrown"),
    "bungee": ("Bungee", "pulled up by a stretched cord"),
    "runway": ("Runway", "rolls on wheels"),
}
_THROWN_BELOW_KG = 5.0
_SHORT = ("mm", "cm", "in")


# The file takes span and area instead; here nobody is asked for the area.
_NEEDED_HERE = ("chord",)


def _question(
    option: str,
    words: str,
    more: str = "",
    *,
    units: tuple[str, ...] = (),
    choices: tuple[Choice, ...] = (),
) -> Question:
    """Return the question behind an option of the file, in the words of a conversation."""
    ask = _ASKS[option]
    return Question(
        name=option,
        words=words,
        more=more,
        units=units,
        choices=choices,
        unknown=None if option in _NEEDED_HERE else ask.unknown,
        refusal=partial(refusal_of, ask),
    )


def _usual_name(given: Mapping[str, str | None]) -> Offer:
    return Offer(f"{given['span']} {given['plan']}", "what it is; its file holds the name")


def _usual_launch(given: Mapping[str, str | None]) -> Offer | None:
    mass_kg = parse_quantity(given["mass"] or "", Dimension.MASS)
    if mass_kg >= _THROWN_BELOW_KG:
        return None
    return Offer(AT_A_RUN, f"under {_THROWN_BELOW_KG:.0f} kg, into the wind")


def _range_clash(text: str, given: Mapping[str, str | None]) -> str | None:
    return range_clash(_known({**given, "balance-range": text}))


def _clash(name: str, text: str, given: Mapping[str, str | None]) -> str | None:
    """Return why an answer about the balance cannot go with those before it."""
    return balance_clash(_known({**given, name: text}))


QUESTIONS = (
    _question(
        "plan",
        "Which of these is it most like?",
        "Seen from above, nose up.",
        choices=tuple(
            Choice(plan, plan.capitalize(), picture=drawn(plan_drawing(plan))) for plan in PLANS
        ),
    ),
    _question("span", "How wide is it, tip to tip?", units=("m", "cm", "ft")),
    _question(
        "chord",
        "How deep is the wing?",
        "From front edge to back edge, half-way out along one side.",
        units=_SHORT,
    ),
    _question(
        "mass",
        "What does it weigh, ready to fly?",
        "With the pack and the camera in it.",
        units=("kg", "g", "lb"),
    ),
    Question(
        name="pack",
        words="What stands on the label of its pack?",
        more="Cells and charge, such as 4S 5200 mAh.",
        refusal=pack_refusal,
    ),
    Question(
        name="launch",
        words="How does it get into the air?",
        choices=tuple(Choice(way, *_LAUNCHES[way]) for way in LAUNCHES),
        offer=_usual_launch,
        refusal=one_of(LAUNCHES),
    ),
    Question(
        name="flights",
        words="How many flights has it made?",
        more="Under five, it is held closer to home.",
        offer=always("0", "a new aircraft; it makes its maiden first"),
        unknown=_ASKS["flights"].unknown,
        refusal=partial(refusal_of, _ASKS["flights"]),
        choices=tuple(
            Choice(n, words)
            for n, words in (("0", "none"), ("1", "one"), ("3", "three"), ("5", "five or more"))
        ),
    ),
    Question(
        name="balance",
        words="Where does it balance?",
        more="Two fingers under the wing: how far behind its front edge, at the body?",
        units=_SHORT,
        unknown=_ASKS["balance"].unknown,
        refusal=balance_refusal,
        clash=partial(_clash, "balance"),
    ),
    Question(
        name="sweep",
        words="How far does the front edge sweep back?",
        more="From the front edge at the body to the front edge half-way out, along the body.",
        units=_SHORT,
        unknown="the balance you told is left out, and assumed from the body plan",
        refusal=partial(refusal_of, _ASKS["sweep"]),
        clash=partial(_clash, "sweep"),
        is_asked=needs_sweep,
    ),
    Question(
        name="balance-range",
        words="Between which two places may it balance?",
        more="What its maker says, or what it has flown with: such as 60 to 75 mm behind the "
        "front edge, at the body.",
        unknown=_ASKS["balance-range"].unknown,
        refusal=range_refusal,
        clash=_range_clash,
        is_asked=needs_range,
    ),
    _question(
        "full-power",
        "What does the motor draw at full throttle?",
        "From a wattmeter; aircraft held, nobody in the plane of the propeller.",
        units=("W",),
    ),
    _question("cruise", "At which airspeed do you fly it?", "Say which airspeed: 15 m/s IAS."),
    Question(
        name="name",
        words="What do you call it?",
        offer=_usual_name,
        refusal=partial(refusal_of, _ASKS["name"]),
    ),
)


def new(request: Request) -> Response:
    """Ask the next question; after the last, show what follows and offer to keep it."""
    answers = read_answers(QUESTIONS, request.query_params)
    follows = _follows(request, answers)
    if answers.asked is None:
        return page(request, "aircraft_keep.html", answers=answers, follows=follows)
    return page(
        request,
        "aircraft_question.html",
        answers=answers,
        number=answers.number,
        count=answers.count,
        address=_ADDRESS,
        follows=follows,
    )


def picture(request: Request) -> Response:
    """Return only what follows, for an answer that is still being typed."""
    answers = read_answers(QUESTIONS, request.query_params)
    follows = _follows(request, answers)
    return page(request, "aircraft_follows.html", follows=follows)


def keep(request: Request, form: Form) -> Response:
    """Write the aircraft's file and go on to where it will fly."""
    base = office_of(request).base
    if base is None:
        return RedirectResponse("/first", 303)
    answers = read_answers(QUESTIONS, form)
    if answers.asked is not None:
        return page(
            request, "problems.html", status=422, sentence="Some answers are missing.", problems=()
        )
    name = keep_aircraft(base, _known(answers.given))
    return RedirectResponse(f"/sortie/new?aircraft={name}", 303)


def _follows(request: Request, answers: Answers) -> tuple[Markup, str] | None:
    """Return the figure of what follows from the answers, and what would narrow it most."""
    found = what_follows(_known(answers.given), office_of(request).face)
    return None if found is None else (drawn(found[0]), found[1])


def _known(given: Mapping[str, str | None]) -> dict[str, str]:
    """Return the answers that somebody knew."""
    return {name: text for name, text in given.items() if text is not None}


ROUTES = (
    Route(_ADDRESS, new),
    Route(_ADDRESS + "/picture", picture),
    Route(_ADDRESS, posted(keep), methods=["POST"]),
)
