"""One sortie: its verdict, which follows the files, with everything behind each number."""

import asyncio
from datetime import UTC, datetime
from urllib.parse import quote

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.checks import Standing
from homeleg.app.office import Office, office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.app.screens.events import event_stream
from homeleg.desk.amend import apply_proposal
from homeleg.desk.base import SortieEntry
from homeleg.desk.edit import set_in_file
from homeleg.desk.new import refusal_of
from homeleg.desk.starting_files import SORTIE_ASKS
from homeleg.desk.verdict_view import change_view, verdict_view
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_WIND = next(ask for ask in SORTIE_ASKS if ask.option == "wind")


def sortie(request: Request) -> Response:
    """Show the verdict as far as it has come; a broken sortie with all that is wrong."""
    office, entry = _asked_for(request)
    return _shown(request, entry, office.checks.standing(entry.path), wind_refused="")


def _shown(
    request: Request, entry: SortieEntry, standing: Standing | None, *, wind_refused: str
) -> Response:
    """Return the page on a sortie: its last answer where there is one."""
    refused = None if standing is None else standing.refused
    problems = entry.problems or (() if refused is None else refused.problems)
    answer = None if standing is None else standing.answer
    if standing is None or answer is None:
        return page(request, "sortie.html", entry=entry, problems=problems)
    office = office_of(request)
    made = office.last_made(entry.path)
    return page(
        request,
        "verdict.html",
        status=422 if wind_refused else 200,
        entry=entry,
        problems=problems,
        standing=standing,
        view=verdict_view(
            answer.verdict,
            answer.weather,
            answer.launch_time,
            proposal=None if standing.change is None else standing.change.proposal,
            large=office.face.light == "sunlight",
        ),
        launch_time=answer.launch_time,
        drawn=drawn,
        made=None if made is None else made.words,
        wind_refused=wind_refused,
    )


async def events(request: Request) -> Response:
    """Say what happens to the answer, as server-sent events."""
    office, entry = await asyncio.to_thread(_asked_for, request)
    if office.base is None:
        raise HTTPException(404)
    return event_stream(office.checks.follow(entry.path, office.base.aircraft))


async def stop(request: Request) -> Response:
    """Stop the full check; the quick answer stays."""
    office, entry = await asyncio.to_thread(_asked_for, request)
    office.checks.stop(entry.path)
    return RedirectResponse(f"/sortie/{entry.name}", 303)


def wind(request: Request, form: Form) -> Response:
    """Write the wind as it is now into the sortie's file; the answer follows by itself."""
    office, entry = _asked_for(request)
    told = form.get("wind", "").strip()
    if refused := refusal_of(_WIND, told):
        return _shown(request, entry, office.checks.standing(entry.path), wind_refused=refused)
    now = f"{datetime.now(UTC):%Y-%m-%d %H:%MZ}"
    for key, value in (("value", told), ("gust", None), ("seen", now)):
        set_in_file(entry.path, ["weather", "surface_wind", key], value)
    set_in_file(entry.path, ["time", "launch"], now)
    return RedirectResponse(f"/sortie/{entry.name}", 303)


def change(request: Request, form: Form) -> Response:
    """Write the proposed change into the sortie's files; the answer follows by itself.

    Refused where it is not the change that the page showed, or a file was changed since.
    """
    office, entry = _asked_for(request)
    standing = office.checks.standing(entry.path)
    sought = None if standing is None else standing.change
    proposal = None if sought is None else sought.proposal
    if proposal is None or change_view(proposal).key != form.get("key"):
        problem = "this change is no longer proposed"
        remedy = "Look at the verdict again: it may have moved on."
        raise InputFileError([Problem(where=entry.title, problem=problem, remedy=remedy)])
    made = apply_proposal(entry.path, proposal)
    office.made.setdefault(entry.path, []).append(made)
    return RedirectResponse(f"/sortie/{quote(entry.name)}", 303)


def undo(request: Request, _form: Form) -> Response:
    """Put the files back as they were before the last change; the answer follows by itself."""
    office, entry = _asked_for(request)
    made = office.last_made(entry.path)
    if made is None:
        problem = "the files were changed by another hand since, or there is nothing to take back"
        remedy = "Nothing was written. Look at the sortie again."
        raise InputFileError([Problem(where=entry.title, problem=problem, remedy=remedy)])
    made.take_back()
    office.made[entry.path].pop()
    return RedirectResponse(f"/sortie/{quote(entry.name)}", 303)


def _asked_for(request: Request) -> tuple[Office, SortieEntry]:
    office = office_of(request)
    entry = office.sortie(request.path_params["name"])
    if entry is None:
        raise HTTPException(404)
    return office, entry


ROUTES = (
    Route("/sortie/{name}", sortie),
    Route("/sortie/{name}/events", events),
    Route("/sortie/{name}/stop", stop, methods=["POST"]),
    Route("/sortie/{name}/change", posted(change), methods=["POST"]),
    Route("/sortie/{name}/undo", posted(undo), methods=["POST"]),
    Route("/sortie/{name}/wind", posted(wind), methods=["POST"]),
)
