"""One aircraft of the base: what is known of it; weighing and balancing it by questions."""

from collections.abc import Mapping

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.app.questions import Choice, Question, one_of, read_answers
from homeleg.desk.aircraft_view import aircraft_view
from homeleg.desk.base import AircraftEntry
from homeleg.desk.weighing import (
    Way,
    keep_weighing,
    lacks_sweep,
    length_refusal,
    mass_refusal,
    way_drawing,
    weighed,
)

__all__ = ["ROUTES"]

_READY = "Ready to fly: pack and camera in their places. Propeller off, pack not connected."


def _mass(name: str, words: str, more: str = _READY) -> Question:
    return Question(
        name=name, words=words, more=more, units=("g", "kg", "lb"), refusal=mass_refusal
    )


def _distance(name: str, words: str, more: str) -> Question:
    return Question(
        name=name, words=words, more=more, units=("mm", "cm", "in"), refusal=length_refusal
    )


_WAY = Question(
    name="way",
    words="What do you have to weigh it with?",
    more=_READY,
    choices=(
        Choice(
            Way.TWO_SCALES.value,
            "Two kitchen scales",
            "mass and balance in one",
            drawn(way_drawing(Way.TWO_SCALES)),
        ),
        Choice(
            Way.ONE_SCALE.value,
            "One scale, two fingers",
            "mass, then balance",
            drawn(way_drawing(Way.ONE_SCALE)),
        ),
        Choice(Way.FINGERS.value, "Two fingers", "balance alone", drawn(way_drawing(Way.FINGERS))),
    ),
    refusal=one_of(tuple(way.value for way in Way)),
)
_BALANCE = _distance(
    "balance",
    "How far behind the wing's front edge does it hang level?",
    "A finger under each wing, beside the body; measured at the body.",
)
_SWEEP = _distance(
    "sweep",
    "How far does the front edge sweep back?",
    "From the front edge at the body to the front edge half-way out, along the body.",
)
_THEN: Mapping[str, tuple[Question, ...]] = {
    Way.TWO_SCALES.value: (
        _mass("front-mass", "What does the front scale show?"),
        _mass("rear-mass", "What does the rear scale show?", "Level, hands off, tare taken away."),
        _distance(
            "ahead",
            "How far ahead of the wing's front edge does the front support stand?",
            "Measured along the body; 0 right under the edge.",
        ),
        _distance(
            "behind",
            "How far behind the wing's front edge does the rear support stand?",
            "Measured along the body.",
        ),
    ),
    Way.ONE_SCALE.value: (_mass("mass", "What does the scale show?"), _BALANCE),
    Way.FINGERS.value: (_BALANCE,),
}


def aircraft(request: Request) -> Response:
    """Show what is known of an aircraft; a broken one with all that is wrong in its file."""
    entry = _asked_for(request)
    if entry.problems:
        return page(
            request,
            "problems.html",
            sentence=f"{entry.title} cannot be read yet.",
            problems=entry.problems,
        )
    view = aircraft_view(entry.path, office_of(request).face)
    return page(request, "one_aircraft.html", entry=entry, view=view, drawn=drawn)


def weigh(request: Request) -> Response:
    """Ask the next question; after the last, show before and now and offer to write it."""
    entry = _asked_for(request)
    questions = _questions(entry, request.query_params)
    answers = read_answers(questions, request.query_params)
    if answers.asked is None:
        known = {name: text or "" for name, text in answers.given.items()}
        result = weighed(entry.path, known)
        return page(
            request, "weigh_keep.html", entry=entry, answers=answers, result=result, drawn=drawn
        )
    way = answers.given.get("way")
    return page(
        request,
        "weigh_question.html",
        answers=answers,
        number=answers.number,
        count=answers.count if way else max(len(then) for then in _THEN.values()) + 1,
        address=f"/aircraft/{entry.name}/weigh",
        drawing=drawn(way_drawing(Way(way), answers.asked.name)) if way else "",
    )


def keep(request: Request, form: Form) -> Response:
    """Write mass and balance into the aircraft's file."""
    entry = _asked_for(request)
    answers = read_answers(_questions(entry, form), form)
    if answers.asked is None:
        keep_weighing(entry.path, {name: text or "" for name, text in answers.given.items()})
    return RedirectResponse(f"/aircraft/{entry.name}", 303)


def _questions(entry: AircraftEntry, fields: Mapping[str, str]) -> tuple[Question, ...]:
    then = _THEN.get(fields.get("way", ""), ())
    return (_WAY, *then, _SWEEP) if then and lacks_sweep(entry.path) else (_WAY, *then)


def _asked_for(request: Request) -> AircraftEntry:
    entry = office_of(request).aircraft(request.path_params["name"])
    if entry is None:
        raise HTTPException(404)
    return entry


ROUTES = (
    Route("/aircraft/{name}", aircraft),
    Route("/aircraft/{name}/weigh", weigh),
    Route("/aircraft/{name}/weigh", posted(keep), methods=["POST"]),
)
