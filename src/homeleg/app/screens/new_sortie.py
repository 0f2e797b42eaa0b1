"""A first sortie by questions: where, what ground, three taps for the wind, a shape of route."""

from collections.abc import Mapping
from datetime import UTC, datetime

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, page, posted
from homeleg.app.questions import Choice, Offer, Question, always, one_of, read_answers
from homeleg.desk.base import SortieEntry, aircraft_in, sortie_named
from homeleg.desk.field_need import field_need, know_farther, lower_the_pattern
from homeleg.desk.guided_sortie import (
    COMPASS,
    FIELDS,
    PACK_KEPT,
    SIGNS,
    WARMTH,
    keep_sortie,
    place_refusal,
)
from homeleg.desk.route_shapes import SHAPES
from homeleg.foundation.errors import OutOfModelError

__all__ = ["QUESTIONS", "ROUTES"]

_ADDRESS = "/sortie/new"
_REACH = "/sortie/new/reach"
_FIELD_WORDS = {
    "small": ("A field", "100 m to land in, flat out to 500 m"),
    "large": ("A large field", "250 m to land in, flat out to 1 km"),
    "wide": ("Wide open", "300 m to land in, flat out to 2 km"),
}
_SHAPE_WORDS = {
    "circuit": "four corners, 350 m along the wind",
    "loop": "three turns, 150 m around you",
    "out and back": "two turns around you, 180 m up wind, and home",
}
_KEPT_WORDS = {
    "pocket": "against the body, or a warming bag",
    "room": "a house, or a car with the heater on",
    "outside": "as warm as the air by now",
}
_LIGHT = SIGNS[:3]
_SKIES = ("clear", "half cloud", "overcast")


def _usual_gusts(given: Mapping[str, str | None]) -> Offer | None:
    """Offer an even wind where it is light: in more wind somebody has to look."""
    if given["sign"] not in _LIGHT:
        return None
    return Offer("no", "in as little wind as this")


QUESTIONS = (
    Question(
        name="place",
        words="Where do you stand?",
        more="As your phone shows it: latitude, longitude, height above the sea.",
        refusal=place_refusal,
    ),
    Question(
        name="field",
        words="How much open ground is around you?",
        more="Flat within 5 m, by eye. Hills and trees are drawn later.",
        choices=tuple(Choice(size, *_FIELD_WORDS[size]) for size in FIELDS),
        offer=always("small", "a meadow; the least of the three"),
        refusal=one_of(tuple(FIELDS)),
    ),
    Question(
        name="sign",
        words="What does the wind do?",
        choices=tuple(Choice(sign, sign.capitalize()) for sign in SIGNS),
        refusal=one_of(SIGNS),
    ),
    Question(
        name="from",
        words="Where does it blow from?",
        more="Face into it and read a compass.",
        choices=tuple(Choice(point, point) for point in COMPASS),
        refusal=one_of(COMPASS),
    ),
    Question(
        name="gusty",
        words="Does it come in gusts?",
        choices=(Choice("no", "No", "even"), Choice("yes", "Yes", "it swells and drops")),
        offer=_usual_gusts,
        refusal=one_of(("no", "yes")),
    ),
    Question(
        name="sky",
        words="How much of the sky is cloud?",
        more="It tells how the wind grows with height.",
        choices=tuple(Choice(sky, sky.capitalize()) for sky in _SKIES),
        unknown="every kind of sky counts",
        refusal=one_of(_SKIES),
    ),
    Question(
        name="temperature",
        words="How warm is the air?",
        more="A cold pack gives less, and sags more.",
        choices=tuple(Choice(word, word.capitalize(), felt) for word, (_, felt) in WARMTH.items()),
        unknown="12 degC, with a wide spread",
        refusal=one_of(tuple(WARMTH)),
    ),
    Question(
        name="kept",
        words="Where has the pack been kept?",
        more="It tells how warm it is; what it reads just before launch is asked at the field.",
        choices=tuple(Choice(kept, kept.capitalize(), _KEPT_WORDS[kept]) for kept in PACK_KEPT),
        unknown="as warm as the air, with a wide spread",
        refusal=one_of(tuple(PACK_KEPT)),
    ),
    Question(
        name="shape",
        words="What shall it fly?",
        more="60 m above you. Draw your own route afterwards.",
        choices=tuple(
            Choice(shape, words, _SHAPE_WORDS[shape]) for shape, (words, _) in SHAPES.items()
        ),
        offer=always("circuit", "a first flight comes past you every minute"),
        refusal=one_of(tuple(SHAPES)),
    ),
)


def new(request: Request) -> Response:
    """Ask the next question; after the last, offer to check it."""
    base = office_of(request).base
    if base is None:
        return RedirectResponse("/first", 303)
    aircraft = request.query_params.get("aircraft", "")
    if aircraft not in {one.name for one in aircraft_in(base) if not one.problems}:
        return page(request, "which_aircraft.html", aircraft=aircraft_in(base))
    answers = read_answers(QUESTIONS, request.query_params)
    if answers.asked is None:
        return page(
            request, "sortie_keep.html", answers=answers, aircraft=aircraft, address=_ADDRESS
        )
    return page(
        request,
        "question.html",
        answers=answers,
        number=answers.number,
        count=answers.count,
        address=_ADDRESS,
        beside={"aircraft": aircraft},
    )


def keep(request: Request, form: Form) -> Response:
    """Write the sortie's files and go to its verdict."""
    base = office_of(request).base
    if base is None:
        return RedirectResponse("/first", 303)
    answers = read_answers(QUESTIONS, form)
    if answers.asked is not None:
        return RedirectResponse(_ADDRESS, 303)
    known = {name: text for name, text in answers.given.items() if text is not None}
    name = keep_sortie(base, form.get("aircraft", ""), known, datetime.now(UTC))
    return RedirectResponse(f"{_REACH}?sortie={name}", 303)


def reach(request: Request) -> Response:
    """Ask for more known ground, or a lower pattern, where the one leaves the other."""
    entry = _asked_for(request, request.query_params)
    try:
        need = field_need(entry.path)
    except OutOfModelError:
        need = None  # the verdict's screen says what the model does not cover
    if need is None:
        return RedirectResponse(f"/sortie/{entry.name}", 303)
    return page(request, "sortie_reach.html", entry=entry, need=need, address=_REACH)


def mend_reach(request: Request, form: Form) -> Response:
    """Write what was chosen and go to the verdict."""
    entry = _asked_for(request, form)
    mend = {"farther": know_farther, "lower": lower_the_pattern}.get(form.get("answer", ""))
    need = field_need(entry.path)
    if mend is not None and need is not None:
        mend(entry.path, need)
    return RedirectResponse(f"/sortie/{entry.name}", 303)


def _asked_for(request: Request, fields: Mapping[str, str]) -> SortieEntry:
    base = office_of(request).base
    entry = None if base is None else sortie_named(base, fields.get("sortie", ""))
    if entry is None or entry.problems:
        raise HTTPException(404)
    return entry


ROUTES = (
    Route(_ADDRESS, new),
    Route(_ADDRESS, posted(keep), methods=["POST"]),
    Route(_REACH, reach),
    Route(_REACH, posted(mend_reach), methods=["POST"]),
)
