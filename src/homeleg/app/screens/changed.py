"""What changed on an aircraft since it last flew: one page, answered before every flying day."""

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import base_of, office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.base import AircraftEntry
from homeleg.desk.changed import asked_of, enter_changes
from homeleg.desk.logbook_laptop import laptop_of
from homeleg.readiness.changes import Change

__all__ = ["ROUTES"]

_ADDRESS = "/aircraft/{name}/changed"


def ask(request: Request) -> Response:
    """Ask what changed; what the record lets suppose is ticked already."""
    office, entry = office_of(request), _asked_for(request)
    laptop = laptop_of(office.user_folder)
    asked = asked_of(base_of(request), laptop, entry.name, office.now())
    return page(request, "changed.html", entry=entry, asked=asked)


def enter(request: Request, form: Form) -> Response:
    """Enter what was ticked, or that nothing changed; show what is open then."""
    office, entry = office_of(request), _asked_for(request)
    made = [change for change in Change if form.get(change.name) is not None]
    by = " ".join(form.get("by", "").split())[:80]
    enter_changes(base_of(request), laptop_of(office.user_folder), office.now(), entry, made, by=by)
    return RedirectResponse("/", 303)


def _asked_for(request: Request) -> AircraftEntry:
    entry = office_of(request).aircraft(request.path_params["name"])
    if entry is None:
        raise HTTPException(404)
    return entry


ROUTES = (
    Route(_ADDRESS, ask),
    Route(_ADDRESS, posted(enter), methods=["POST"]),
)
