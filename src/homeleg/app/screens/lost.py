"""An aircraft that did not come back: where it was last, and where to look for it."""

from dataclasses import replace

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.errands import told
from homeleg.app.office import office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.app.screens.release import release_of
from homeleg.app.worker import Refused
from homeleg.briefing.search_sheet import SEARCH_CAUTIONS, spot_line
from homeleg.desk.search import ENDS, SearchedWithPapers, Sighting, search_with_papers
from homeleg.foundation.errors import Problem

__all__ = ["ROUTES"]

_ADDRESS = "/release/{code}/lost"
# What the command line calls what is typed here, and this page.
_LABELS = {
    "--last-seen": "Where it was last",
    "--at": "When that was",
    "--launched": "Launched at",
    "--only": "How it may have come down",
}
_KML = "application/vnd.google-earth.kml+xml"


def lost(request: Request) -> Response:
    """Ask where it was last; show how far the flights are, or where to look."""
    _base, entry, held = release_of(request)
    key = _key(request)
    errand, typed = office_of(request).errands.errand(key), _typed(request)
    if errand is not None and errand.outcome is None:
        return page(
            request,
            "waits.html",
            title=f"Looking for {entry.code}",
            sentence=f"{entry.title} comes down in computation, a few hundred times.",
            second="Where somebody may be hurt or something burns, ring first; this can wait.",
            here=key,
            stop="Stop, type something else",
            errand=errand,
        )
    outcome = None if errand is None else errand.outcome
    problems = outcome.problems if isinstance(outcome, Refused) else ()
    made = outcome if isinstance(outcome, SearchedWithPapers) else None
    return page(
        request,
        "lost.html",
        entry=entry,
        launched=held.launch_time,
        sheet=None if made is None else made.found.sheet,
        papers=() if made is None else tuple(made.papers),
        line=spot_line,
        drawn=drawn,
        cautions=SEARCH_CAUTIONS,
        typed=typed,
        problems=[_in_words(problem) for problem in problems],
    )


def look(request: Request, form: Form) -> Response:
    """Begin to compute where to look."""
    _base, entry, _held = release_of(request)
    sighting = Sighting(
        place=form.get("place", "").strip(),
        at=form.get("at", "").strip(),
        launched=form.get("launched", "").strip() or None,
        only=tuple(end for end in ENDS if form.get(end) == "yes"),
    )
    office, key = office_of(request), _key(request)
    office.sightings[key] = sighting
    office.errands.forget(key)
    office.errands.begin(key, search_with_papers, entry.path, sighting)
    return RedirectResponse(key, 303)


def progress(request: Request) -> Response:
    """Tell how far the flights are."""
    return JSONResponse(told(office_of(request).errands.errand(_key(request))))


def stop(request: Request, form: Form) -> Response:
    """Stop computing; what was typed stays."""
    del form
    office_of(request).errands.forget(_key(request))
    return RedirectResponse(_key(request), 303)


def carried(request: Request) -> Response:
    """Hand out the page to walk with, or the areas for a map."""
    errand = office_of(request).errands.errand(_key(request))
    outcome = None if errand is None else errand.outcome
    name = request.path_params["name"]
    if not isinstance(outcome, SearchedWithPapers):
        raise HTTPException(404)
    files = {f"{paper}.pdf": (held, "application/pdf") for paper, held in outcome.papers.items()}
    files["kml"] = (outcome.found.kml.encode(), _KML)
    if name not in files:
        raise HTTPException(404)
    content, kind = files[name]
    saved = f"{request.path_params['code']}-search{'.' if name == 'kml' else '-'}{name}"
    headers = {"Content-Disposition": f'attachment; filename="{saved}"'}
    return Response(content, media_type=kind, headers=headers)


def _key(request: Request) -> str:
    """Return the address of this page, by which its errand and what was typed are kept."""
    _base, entry, _held = release_of(request)
    return f"/release/{entry.code}/lost"


def _typed(request: Request) -> Sighting:
    return office_of(request).sightings.get(_key(request), Sighting(place="", at=""))


def _in_words(problem: Problem) -> Problem:
    where, what, remedy = problem.where, problem.problem, problem.remedy
    for option, label in _LABELS.items():
        where, what, remedy = (text.replace(option, f"“{label}”") for text in (where, what, remedy))
    return replace(problem, where=where.strip("“”"), problem=what, remedy=remedy)


ROUTES = (
    Route(_ADDRESS, lost),
    Route(_ADDRESS, posted(look), methods=["POST"]),
    Route(_ADDRESS + "/progress", progress),
    Route(_ADDRESS + "/stop", posted(stop), methods=["POST"]),
    Route(_ADDRESS + "/file/{name}", carried),
)
