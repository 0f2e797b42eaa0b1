"""The route on a board about the launch point: looked at, moved, stamped."""

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.base import SortieEntry
from homeleg.desk.board import RouteEdit, board_of, change_route, stamp_route
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/route"


def board(request: Request) -> Response:
    """Show the board of a sortie."""
    entry = _entry(request)
    return page(request, "board.html", entry=entry, board=board_of(entry.path))


def change(request: Request, form: Form) -> Response:
    """Make one change and answer with the board as it is then, and what was refused."""
    entry = _entry(request)
    problems: tuple[Problem, ...] = ()
    try:
        if "stamp" in form:
            stamp_route(entry.path, form["stamp"], _number(form, "size") or 0.0)
        else:
            change_route(entry.path, _edit(form))
    except InputFileError as error:
        problems = error.problems
    told = {
        "ok": not problems,
        "errors": [
            {"where": one.where, "problem": one.problem, "remedy": one.remedy} for one in problems
        ],
        "board": board_of(entry.path),
    }
    return JSONResponse(told, 422 if problems else 200)


def _edit(form: Form) -> RouteEdit:
    return RouteEdit(
        name=form.get("name", ""),
        new_name=form.get("new_name") or None,
        east_m=_number(form, "east"),
        north_m=_number(form, "north"),
        height_m=_number(form, "height"),
        drop=form.get("drop") == "yes",
    )


def _number(form: Form, name: str) -> float | None:
    """Return a number of a form, None where it is missing; raises InputFileError."""
    text = form.get(name, "")
    if not text:
        return None
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not abs(value) < 1e6:
        problem = Problem(where=name, problem=f"{text} is no distance.", remedy="Type a number.")
        raise InputFileError([problem])
    return value


def _entry(request: Request) -> SortieEntry:
    entry = office_of(request).sortie(request.path_params["name"])
    if entry is None:
        raise HTTPException(404)
    if entry.problems:
        raise InputFileError(list(entry.problems))
    return entry


ROUTES = (
    Route(_ADDRESS, board),
    Route(_ADDRESS, posted(change), methods=["POST"]),
)
