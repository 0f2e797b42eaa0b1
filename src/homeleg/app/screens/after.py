"""After landing: two numbers, what the aircraft taught, its reach, defects, and what is due."""

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.app.screens.release import release_of
from homeleg.app.worker import Refused
from homeleg.desk.field_note import (
    FLOWN,
    FLOWN_PHONE,
    flown_on,
    landed,
    lessons_of,
    note_typed,
    reach_words,
)
from homeleg.desk.found_after import defects_of, next_due, tell_defect
from homeleg.desk.note import noted_aircraft, undo_note
from homeleg.desk.note_kept import is_noted, noted_before
from homeleg.desk.releases import inside, sortie_released
from homeleg.desk.route_aboard import aboard_of
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_ADDRESS = "/release/{code}/after"
_TYPED = ("minutes", "charge", "wind", "accept")
_STEPS = range(1, 4)


def after(request: Request) -> Response:
    """Ask for the two numbers, or show what they taught."""
    return _shown(request, {})


def note(request: Request, form: Form) -> Response:
    """Write down a flight; numbers that cannot be are refused, far ones asked about."""
    office = office_of(request)
    base, entry, held = release_of(request)
    inside(base, noted_aircraft(held, entry.path))
    typed = {name: form.get(name, "").strip() for name in _TYPED}
    typed["minutes"] = typed["minutes"].replace(",", ".")
    said = office.errands.do(note_typed, entry.path, typed)
    if isinstance(said, Refused):
        return _shown(request, typed, said.problems, insist=said.insist)
    office.tell_the_logbook()
    return RedirectResponse(f"/release/{entry.code}/after", 303)


def undo(request: Request, form: Form) -> Response:
    """Put the aircraft back as it was before the note."""
    del form
    base, entry, held = release_of(request)
    inside(base, noted_aircraft(held, entry.path))
    undo_note(entry.path)
    office_of(request).tell_the_logbook()
    return RedirectResponse(f"/release/{entry.code}/after", 303)


def defect(request: Request, form: Form) -> Response:
    """Write down what was found wrong on the aircraft."""
    office = office_of(request)
    base, entry, held = release_of(request)
    aircraft = inside(base, noted_aircraft(held, entry.path))
    words, by = form.get("defect", ""), held.signatures[0].name
    try:
        tell_defect(base, office.user_folder, aircraft, words, by, office.now())
    except InputFileError as error:
        return _shown(request, form, error.problems)
    return RedirectResponse(f"/release/{entry.code}/after", 303)


def _shown(
    request: Request,
    typed: Form,
    problems: tuple[Problem, ...] = (),
    *,
    insist: bool = False,
) -> Response:
    base, entry, held = release_of(request)
    now = office_of(request).now()
    aircraft = inside(base, noted_aircraft(held, entry.path))
    noted = noted_before(aircraft, entry.code)
    proof = aboard_of(held, entry.path, now).proof
    return page(
        request,
        "after.html",
        status=422 if problems else 200,
        entry=entry,
        release=held,
        proven=proof is not None and proof.end.value == "SAME",
        noted=is_noted(aircraft, entry.code),
        taught=noted,
        sentence="" if noted is None else landed(noted),
        ribbons=()
        if noted is None
        else [
            drawn(flown_on(noted, held, form, name))
            for form, name in ((FLOWN, "flown"), (FLOWN_PHONE, "flown-phone"))
        ],
        lessons=()
        if noted is None
        else [(lesson, drawn(bars)) for lesson, bars in lessons_of(noted)],
        reach="" if noted is None else reach_words(noted),
        steps=_STEPS,
        typed={name: typed.get(name, "") for name in (*_TYPED, "defect")},
        problems=problems,
        insist=insist,
        defects=defects_of(base, aircraft, now),
        due=next_due(base, aircraft, now),
        sortie=sortie_released(base, entry),
    )


ROUTES = (
    Route(_ADDRESS, after),
    Route(_ADDRESS, posted(note), methods=["POST"]),
    Route(_ADDRESS + "/undo", posted(undo), methods=["POST"]),
    Route(_ADDRESS + "/defect", posted(defect), methods=["POST"]),
)
