"""The pages put together: every screen's routes, the files beside them, and what goes wrong."""

import traceback
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from http import HTTPStatus

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import BaseRoute, Mount, Route
from starlette.staticfiles import StaticFiles

from homeleg.app.made_from import MadeFrom
from homeleg.app.office import Office
from homeleg.app.page import page
from homeleg.app.screens import (
    after,
    aircraft,
    board,
    brought,
    calls,
    changed,
    compare,
    dial,
    evening,
    evidence,
    face,
    first,
    ground,
    link,
    logbook,
    lost,
    new_day,
    new_sortie,
    numbers,
    one_aircraft,
    release,
    releasing,
    sortie,
    start,
    today,
    turnaround,
    underlay,
    weather,
    what_if,
)
from homeleg.foundation.errors import HomelegError, InputFileError, Problem, RefusedError

__all__ = ["SCREENS", "application"]

# A screen is a module of screens/ with its routes; a new one is added here.
SCREENS: tuple[Sequence[BaseRoute], ...] = (
    today.ROUTES,
    start.ROUTES,
    first.ROUTES,
    aircraft.ROUTES,
    one_aircraft.ROUTES,
    changed.ROUTES,
    new_sortie.ROUTES,  # before a sortie of that name
    board.ROUTES,
    brought.ROUTES,
    underlay.ROUTES,
    dial.ROUTES,
    ground.ROUTES,
    weather.ROUTES,
    what_if.ROUTES,
    numbers.ROUTES,
    new_day.ROUTES,
    calls.ROUTES,
    evening.ROUTES,
    turnaround.ROUTES,
    releasing.ROUTES,
    link.ROUTES,
    release.ROUTES,
    compare.ROUTES,
    after.ROUTES,
    evidence.ROUTES,
    lost.ROUTES,
    sortie.ROUTES,
    logbook.ROUTES,
    face.ROUTES,
)


def application(office: Office) -> Starlette:
    """Return the application over an office, not yet guarded."""
    app = Starlette(
        routes=[
            Route("/alive", _alive),
            Mount("/static", StaticFiles(packages=[("homeleg.app", "static")])),
            Mount("/fonts", StaticFiles(packages=[("homeleg.briefing", "fonts")])),
            *(route for routes in SCREENS for route in routes),
        ],
        exception_handlers={
            HTTPException: _no_page,
            HomelegError: _bad_input,
            Exception: _fault,
        },
        middleware=[Middleware(MadeFrom, office=office)],
        lifespan=_lifespan,
    )
    app.state.office = office
    return app


@asynccontextmanager
async def _lifespan(app: Starlette) -> AsyncIterator[None]:
    """Have a process ready for the first check, and none left at the end."""
    office: Office = app.state.office
    office.checks.quick.start()
    try:
        yield
    finally:
        if office.link is not None:
            office.link.close()  # first: a load is cancelled in the aircraft
        office.checks.end()
        office.errands.end()


async def _alive(_request: Request) -> Response:
    """Tell a page that the program is there."""
    return PlainTextResponse("here")


def _no_page(request: Request, error: Exception) -> Response:
    status = error.status_code if isinstance(error, HTTPException) else 404
    words = HTTPStatus(status).phrase
    problem = Problem(where=request.url.path, problem=words, remedy="Go back to the base.")
    return page(
        request, "problems.html", status=status, sentence="No such page.", problems=(problem,)
    )


def _bad_input(request: Request, error: Exception) -> Response:
    return page(
        request,
        "problems.html",
        status=422,
        sentence="This cannot be done yet.",
        problems=_problems_of(error),
    )


def _problems_of(error: Exception) -> tuple[Problem, ...]:
    if isinstance(error, InputFileError | RefusedError):
        return error.problems
    return (Problem(where="This sortie", problem=str(error), remedy="Change it and ask again."),)


def _fault(request: Request, error: Exception) -> Response:
    last = traceback.extract_tb(error.__traceback__)[-1]
    what = f"{type(error).__name__}: {' '.join(str(error).split())} ({last.name}:{last.lineno})"
    problem = Problem(
        where="A fault of this program, not of your files",
        problem=what,
        remedy="Please report this line.",
    )
    return page(
        request,
        "problems.html",
        status=500,
        sentence="Something broke. Your files are as they were.",
        problems=(problem,),
    )
