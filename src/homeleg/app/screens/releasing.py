"""From a sortie to its release: the verdict on the field's numbers, who signs, and the code."""

from urllib.parse import quote

from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.errands import Errand, told
from homeleg.app.office import base_of, entry_of, office_of
from homeleg.app.page import Form, page, posted
from homeleg.app.worker import Refused
from homeleg.desk.base import SortieEntry
from homeleg.desk.field_release import Typed, candidate_of, is_of, release_here
from homeleg.desk.release import Candidate
from homeleg.desk.releases import last_signature
from homeleg.desk.verdict_view import verdict_view
from homeleg.foundation.errors import InputFileError, Problem, RefusedError
from homeleg.release.refusals import blocking

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/release"
_MOST_SIGNERS = 2


def release(request: Request) -> Response:
    """Show what would be released, and ask who signs: the one who signed last, to be read back."""
    entry = entry_of(request)
    typed = office_of(request).unsigned.get(entry.name)
    last = None if typed is not None else last_signature(base_of(request), entry)
    offered = {} if last is None else {"name-0": last.name, "role-0": last.role}
    return _shown(request, offered if typed is None else typed)


def progress(request: Request) -> Response:
    """Tell how far the flights are that would be signed."""
    return JSONResponse(told(office_of(request).errands.errand(entry_of(request).name)))


def stop(request: Request, form: Form) -> Response:
    """Stop flying what would be signed, and go back to the sortie."""
    del form
    entry = entry_of(request)
    office_of(request).errands.forget(entry.name)
    return RedirectResponse(f"/sortie/{quote(entry.name)}", 303)


def sign(request: Request, form: Form) -> Response:
    """Sign it, or say in words why not; what was typed stays where it has to be flown again."""
    office, entry = office_of(request), entry_of(request)
    base = office.base
    made = office.candidates.get(entry.name)
    is_shown = made is not None and form.get("shown", made.draft.code) == made.draft.code
    if base is None or made is None or not is_shown or not is_of(made, entry.path):
        office.unsigned[entry.name] = form
        return RedirectResponse(f"/sortie/{quote(entry.name)}/release", 303)
    names = [form.get(f"name-{n}", "").strip() for n in range(_MOST_SIGNERS)]
    people = [(name, form.get(f"role-{n}", "").strip()) for n, name in enumerate(names) if name]
    typed = Typed(
        people=people,
        code=form.get("code", "").strip(),
        figure=form.get("figure", "").strip(),
        reason=form.get("reason", "").strip(),
    )
    try:
        released = release_here(base, made, typed, office.now())
    except (RefusedError, InputFileError) as error:
        return _shown(request, form, error.problems)
    del office.candidates[entry.name]
    office.unsigned.pop(entry.name, None)
    office.tell_the_logbook()
    path = base.releases / f"{released.code}.release.json"
    office.errands.print(path, base.releases / released.code, made.result.verdict, office.now())
    return RedirectResponse(f"/release/{released.code}", 303)


def _shown(request: Request, typed: Form, problems: tuple[Problem, ...] = ()) -> Response:
    entry = entry_of(request)
    made = _candidate(request, entry)
    if isinstance(made, Errand):
        return page(
            request,
            "waits.html",
            title=f"Release {entry.title}",
            sentence=f"{entry.title}: every flight of it is being computed, then you sign.",
            second="The verdict that is signed is of these numbers, and of no earlier ones.",
            here=f"/sortie/{quote(entry.name)}/release",
            stop="Stop, sign later",
            errand=made,
        )
    result = made.result
    return page(
        request,
        "release_sign.html",
        status=422 if problems else 200,
        entry=entry,
        made=made,
        view=verdict_view(result.verdict, result.sortie.weather, result.sortie.launch_time),
        launch_time=result.sortie.launch_time,
        valid_until=made.draft.valid_until,
        open_items=blocking(result.verdict),
        typed=typed,
        again=entry.name in office_of(request).unsigned,
        problems=problems,
    )


def _candidate(request: Request, entry: SortieEntry) -> Candidate | Errand:
    """Return the sortie as checked, or how far that is where its file has changed since."""
    office = office_of(request)
    made = office.candidates.get(entry.name)
    if made is not None and is_of(made, entry.path):
        return made
    errands = office.errands
    errand = errands.errand(entry.name)
    if errand is None:
        errand = errands.begin(entry.name, candidate_of, entry.path, office.now())
    outcome = errand.outcome
    if outcome is None:
        return errand
    errands.forget(entry.name)
    if isinstance(outcome, Refused):
        raise InputFileError(list(outcome.problems))
    office.candidates[entry.name] = outcome
    return _candidate(request, entry)


ROUTES = (
    Route(_ADDRESS, release),
    Route(_ADDRESS, posted(sign), methods=["POST"]),
    Route(_ADDRESS + "/progress", progress),
    Route(_ADDRESS + "/stop", posted(stop), methods=["POST"]),
)
