"""The evidence on a release: put together into one zip, with what is missing from it."""

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.errands import told
from homeleg.app.office import office_of
from homeleg.app.page import Form, page, posted
from homeleg.app.screens.release import release_of
from homeleg.app.worker import Refused
from homeleg.desk.evidence import Evidence, evidence_here

__all__ = ["ROUTES"]

_ADDRESS = "/release/{code}/evidence"


def evidence(request: Request) -> Response:
    """Say what goes in; show how far it is, or what came of it."""
    _base, entry, _held = release_of(request)
    key = _key(request)
    errand = office_of(request).errands.errand(key)
    if errand is not None and errand.outcome is None:
        return page(
            request,
            "waits.html",
            title=f"Evidence on {entry.code}",
            sentence=f"The evidence on {entry.code} is being put together.",
            second="A long recording takes a while: all of it is read for its digest.",
            here=key,
            stop="Stop",
            errand=errand,
        )
    outcome = None if errand is None else errand.outcome
    return page(
        request,
        "evidence.html",
        entry=entry,
        made=outcome if isinstance(outcome, Evidence) else None,
        problems=outcome.problems if isinstance(outcome, Refused) else (),
    )


def build(request: Request, form: Form) -> Response:
    """Begin to put it together."""
    _base, entry, _held = release_of(request)
    errands, key = office_of(request).errands, _key(request)
    errands.forget(key)
    errands.begin(key, evidence_here, entry.path, form.get("people") == "yes")
    return RedirectResponse(key, 303)


def progress(request: Request) -> Response:
    """Tell whether it is put together."""
    return JSONResponse(told(office_of(request).errands.errand(_key(request))))


def stop(request: Request, form: Form) -> Response:
    """Stop putting it together."""
    del form
    office_of(request).errands.forget(_key(request))
    return RedirectResponse(_key(request), 303)


def carried(request: Request) -> Response:
    """Hand out the zip that the page tells the digest of."""
    errand = office_of(request).errands.errand(_key(request))
    if errand is None or not isinstance(errand.outcome, Evidence):
        raise HTTPException(404)
    saved = f"{errand.outcome.release.code}-evidence.zip"
    headers = {"Content-Disposition": f'attachment; filename="{saved}"'}
    return Response(errand.outcome.content, media_type="application/zip", headers=headers)


def _key(request: Request) -> str:
    """Return the address of this page, by which its errand is kept."""
    _base, entry, _held = release_of(request)
    return f"/release/{entry.code}/evidence"


ROUTES = (
    Route(_ADDRESS, evidence),
    Route(_ADDRESS, posted(build), methods=["POST"]),
    Route(_ADDRESS + "/progress", progress),
    Route(_ADDRESS + "/stop", posted(stop), methods=["POST"]),
    Route(_ADDRESS + "/zip", carried),
)
