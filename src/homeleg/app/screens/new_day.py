"""Again today: on one page all that is of today, for a sortie whose aircraft and site are known."""

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import base_of, entry_of, office_of
from homeleg.app.page import Form, page, posted
from homeleg.app.screens.calls import to_do_of
from homeleg.desk.base import SortieEntry
from homeleg.desk.changed import Asked, enter_changes, still_asked
from homeleg.desk.logbook_laptop import laptop_of
from homeleg.desk.new_day import NewDay, keep_new_day, new_day
from homeleg.desk.typed_number import FieldsError
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/again"
_NOTHING = "NOTHING"
_SAY = "Say that nothing changed, or what did."


def again(request: Request) -> Response:
    """Ask what is of today; wind, pack and calls empty, the rest as it stands."""
    asked = _asked(request)
    return _shown(request, asked, asked.offered)


def keep(request: Request, form: Form) -> Response:
    """Write it into the sortie's file, and go on to the release."""
    office, entry = office_of(request), entry_of(request)
    asked = _asked(request)
    said = {
        call.item: [form.get(f"{call.item}-{n}", "").strip() for n in range(len(call.calls))]
        for call in asked.calls
    }
    changed = _changed(request, entry)
    if changed is not None and form.get("changed") != _NOTHING:
        return _shown(request, asked, form, wrong={"changed": _SAY})
    try:
        unit = office.face.unit_for("m/s")
        keep_new_day(entry.path, asked, form, said, unit, office.now())
    except FieldsError as refused:
        return _shown(request, asked, form, wrong=refused.wrong)
    except InputFileError as refused:
        return _shown(request, asked, form, problems=refused.problems)
    aircraft = office.aircraft(entry.record)
    if changed is not None and aircraft is not None:
        laptop = laptop_of(office.user_folder)
        enter_changes(base_of(request), laptop, office.now(), aircraft, (), by=changed.by)
    return RedirectResponse(f"/sortie/{quote(entry.name)}/release", 303)


def _asked(request: Request) -> NewDay:
    office, entry = office_of(request), entry_of(request)
    if entry.problems:
        raise InputFileError(list(entry.problems))
    return new_day(entry.path, to_do_of(office, entry), office.now())


def _changed(request: Request, entry: SortieEntry) -> Asked | None:
    """Return what is still to be said of the aircraft since it last flew; None for nothing."""
    office = office_of(request)
    laptop = laptop_of(office.user_folder)
    return still_asked(base_of(request), laptop, entry.record, office.now())


def _shown(
    request: Request,
    asked: NewDay,
    typed: Form,
    *,
    wrong: dict[str, str] | None = None,
    problems: tuple[Problem, ...] = (),
) -> Response:
    entry = entry_of(request)
    return page(
        request,
        "new_day.html",
        status=422 if wrong or problems else 200,
        entry=entry,
        changed=_changed(request, entry),
        nothing=_NOTHING,
        asked=asked,
        typed=typed,
        wrong=wrong or {},
        problems=problems,
    )


ROUTES = (
    Route(_ADDRESS, again),
    Route(_ADDRESS, posted(keep), methods=["POST"]),
)
