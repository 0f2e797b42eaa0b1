"""The logbook: what is open, how aircraft, packs and papers stand, and every entry made here."""

from collections.abc import Mapping
from dataclasses import dataclass

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import base_of, office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.logbook import Logbook, open_logbook
from homeleg.desk.logbook_typed import Choices, choices_of, enter_typed
from homeleg.desk.logbook_view import logbook_view
from homeleg.desk.logbook_words import thing_words
from homeleg.foundation.errors import InputFileError, Problem
from homeleg.readiness.entries import Entry

__all__ = ["ROUTES"]

_LATEST = 30
_BY = "Who says so"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Field:
    """One field of a form; `among` names the choices it has, `free` lets others be typed."""

    name: str
    words: str
    among: str = ""
    free: bool = False
    hint: str = ""
    needed: bool = False
    numeric: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """A form: its question, what follows from it, and its fields."""

    sentence: str
    second: str
    fields: tuple[_Field, ...]


_AIRCRAFT = _Field(name="aircraft", words="Aircraft", among="aircraft", needed=True)
_WHO = _Field(name="by", words=_BY, among="people", free=True, needed=True)

_FORMS: Mapping[str, _Asked] = {
    "defect": _Asked(
        sentence="What was found wrong?",
        second="It stays open until it is put right, or somebody decides to fly on with it.",
        fields=(_AIRCRAFT, _Field(name="words", words="What is wrong", needed=True), _WHO),
    ),
    "pack": _Asked(
        sentence="Which pack, and how is it?",
        second="Put into an aircraft, its flights from now on are counted on it.",
        fields=(
            _Field(name="pack", words="Name on the pack", among="packs", free=True, needed=True),
            _Field(name="aircraft", words="Put into, if into one", among="aircraft"),
            _Field(name="temperature", words="Temperature", hint="21 degC"),
            _Field(name="capacity", words="Capacity, if measured,", hint="4700 mAh"),
            _Field(name="resistance", words="Resistance, if measured,", hint="30 mohm"),
            _Field(name="cycles", words="Times charged so far, if known", numeric=True),
            _Field(name="swollen", words="Swollen, if looked at", among="swollen"),
        ),
    ),
    "paper": _Asked(
        sentence="Which paper?",
        second="Its end is told 30 days before.",
        fields=(
            _Field(name="kind", words="Kind", among="papers", needed=True),
            _Field(name="holder", words="Whose it is", among="holders", free=True, needed=True),
            _Field(name="number", words="Number"),
            _Field(name="until", words="Last day", hint="2027-03-31"),
            _Field(name="conditions", words="Conditions"),
        ),
    ),
    "flight": _Asked(
        sentence="Which flight is missing?",
        second="One that was noted on a release has entered itself.",
        fields=(
            _AIRCRAFT,
            _Field(name="minutes", words="Minutes, launch to landing", needed=True, numeric=True),
            _Field(name="charged", words="Charged back", hint="2290 mAh"),
            _Field(name="pilot", words="Pilot", among="people", free=True, needed=True),
            _Field(name="place", words="Place"),
            _Field(name="pack", words="Pack, if not the one put in", among="packs", free=True),
            _Field(name="at", words="Launched, if not just now,", hint="2026-06-09 17:00Z"),
        ),
    ),
    "maintenance": _Asked(
        sentence="What has to be done again and again?",
        second="What comes first counts.",
        fields=(
            _AIRCRAFT,
            _Field(name="task", words="What", needed=True),
            _Field(name="flights", words="Every so many flights", numeric=True),
            _Field(name="hours", words="Every so many hours in the air", numeric=True),
            _Field(name="months", words="Every so many months", numeric=True),
        ),
    ),
    "person": _Asked(
        sentence="Who?",
        second="Names typed once are offered from then on.",
        fields=(
            _Field(name="name", words="Name", needed=True),
            _Field(name="roles", words="Roles", hint="pilot, observer", needed=True),
        ),
    ),
    "card": _Asked(
        sentence="Which card was flown?",
        second="Cards give back the reach that new settings took.",
        fields=(
            _AIRCRAFT,
            _Field(name="card", words="Card", among="cards", free=True, needed=True),
            _WHO,
        ),
    ),
    "note": _Asked(
        sentence="What is worth keeping?",
        second="Words, of an aircraft or of none.",
        fields=(
            _Field(name="words", words="Words", needed=True),
            _Field(name="aircraft", words="Aircraft", among="aircraft"),
            _Field(name="by", words=_BY, among="people", free=True),
        ),
    ),
    "done": _Asked(
        sentence="What was done?",
        second="It is open no more.",
        fields=(_Field(name="words", words="What was done"), _WHO),
    ),
    "deferral": _Asked(
        sentence="Fly on with it?",
        second="Until when, and with what limitation. Then it is open again.",
        fields=(
            _Field(name="by", words="Who decides", among="people", free=True, needed=True),
            _Field(name="until", words="Last day", hint="2026-07-01"),
            _Field(name="flights", words="Or so many flights", numeric=True),
            _Field(name="limitation", words="What must not be done meanwhile"),
        ),
    ),
    "withdrawal": _Asked(
        sentence="Why does it not hold?",
        second="Both stay in the book: nothing is ever wiped out.",
        fields=(_Field(name="reason", words="Why", needed=True), _WHO),
    ),
}
_ABOUT = ("done", "deferral", "withdrawal")


def show(request: Request) -> Response:
    """Show the logbook, the latest entries or all."""
    office, base = office_of(request), base_of(request)
    now = office.now()
    book = open_logbook(base, office.laptop, now)
    view = logbook_view(book, now)
    everything = "all" in request.query_params
    return page(
        request,
        "logbook.html",
        view=view,
        rows=view.rows if everything else view.rows[:_LATEST],
        stops=sum(one.stops for one in view.open),
    )


def ask(request: Request) -> Response:
    """Ask for an entry of one kind."""
    return _asked(request, request.query_params)


def enter(request: Request, form: Form) -> Response:
    """Write the entry, or say in words why not."""
    kind, _ = _form_of(request)
    office = office_of(request)
    typed = {name: words for name, words in form.items() if words.strip()}
    try:
        enter_typed(base_of(request), office.laptop, office.now(), kind, typed)
    except InputFileError as error:
        return _asked(request, form, error.problems)
    return RedirectResponse("/logbook", 303)


def _asked(request: Request, typed: Form, problems: tuple[Problem, ...] = ()) -> Response:
    kind, form = _form_of(request)
    office, base = office_of(request), base_of(request)
    book = open_logbook(base, office.laptop, office.now())
    about = _about(book, kind, typed.get("about", ""))
    choices = choices_of(base, book)
    words = {field.name: field.words for field in form.fields}
    return page(
        request,
        "logbook_form.html",
        status=422 if problems else 200,
        kind=kind,
        form=form,
        about=about,
        about_words="" if about is None else thing_words(about.thing),
        choices=choices,
        typed={field.name: typed.get(field.name, _usual(field, choices)) for field in form.fields},
        problems=[
            Problem(where=words.get(one.where, one.where), problem=one.problem, remedy=one.remedy)
            for one in problems
        ],
        wrong={one.where for one in problems},
    )


def _form_of(request: Request) -> tuple[str, _Asked]:
    kind = request.path_params["kind"]
    if kind not in _FORMS:
        raise HTTPException(404)
    return kind, _FORMS[kind]


def _about(book: Logbook, kind: str, code: str) -> Entry | None:
    return book.entry(code) if kind in _ABOUT else None


def _usual(field: _Field, choices: Choices) -> str:
    """Return what a field most likely holds: who wrote last, the only aircraft there is."""
    if field.needed and field.among == "people":
        return choices.last_person
    is_only = field.needed and field.among == "aircraft" and len(choices.aircraft) == 1
    return choices.aircraft[0] if is_only else ""


ROUTES = (
    Route("/logbook", show),
    Route("/logbook/{kind}", ask),
    Route("/logbook/{kind}", posted(enter), methods=["POST"]),
)
