"""After landing: two numbers, and what the aircraft taught."""

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.app.screens.release import release_of
from homeleg.app.worker import Refused
from homeleg.desk.field_note import landed, lessons_of, note_typed
from homeleg.desk.note import is_noted, noted_aircraft, undo_note
from homeleg.desk.releases import inside, sortie_released

__all__ = ["ROUTES"]

_ADDRESS = "/release/{code}/after"
_TYPED = ("minutes", "charge", "wind", "accept")


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
        return _shown(request, typed, said)
    office.notes[entry.code] = said
    return RedirectResponse(f"/release/{entry.code}/after", 303)


def undo(request: Request, form: Form) -> Response:
    """Put the aircraft back as it was before the note."""
    del form
    base, entry, held = release_of(request)
    inside(base, noted_aircraft(held, entry.path))
    undo_note(entry.path)
    office_of(request).notes.pop(entry.code, None)
    return RedirectResponse(f"/release/{entry.code}/after", 303)


def _shown(request: Request, typed: Form, refused: Refused | None = None) -> Response:
    base, entry, held = release_of(request)
    noted = office_of(request).notes.get(entry.code)
    aircraft = inside(base, noted_aircraft(held, entry.path))
    return page(
        request,
        "after.html",
        status=200 if refused is None else 422,
        entry=entry,
        noted=is_noted(aircraft, entry.code),
        sentence="" if noted is None else landed(noted),
        lessons=()
        if noted is None
        else [(lesson, drawn(bars)) for lesson, bars in lessons_of(noted)],
        flights=0 if noted is None else noted.flights,
        typed={name: typed.get(name, "") for name in _TYPED},
        problems=() if refused is None else refused.problems,
        insist=refused is not None and refused.insist,
        sortie=sortie_released(base, entry),
    )


ROUTES = (
    Route(_ADDRESS, after),
    Route(_ADDRESS, posted(note), methods=["POST"]),
    Route(_ADDRESS + "/undo", posted(undo), methods=["POST"]),
)
