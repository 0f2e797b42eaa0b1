"""The route on a board about the launch point: looked at, moved, stamped."""

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from homeleg.app.made_from import HEADER, remembered
from homeleg.app.office import entry_of, office_of
from homeleg.app.page import Form, drawn, page, posted
from homeleg.app.worker import Refused
from homeleg.desk.base import SortieEntry
from homeleg.desk.board import RouteEdit, board_of, change_route, stamp_route
from homeleg.desk.dropped import ASKED_KINDS, DATUMS
from homeleg.desk.edit_conflict import files_of_sortie
from homeleg.desk.flown_board import flown_board
from homeleg.desk.relief import relief_of
from homeleg.desk.sentence_changes import changes_since
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]

_ADDRESS = "/sortie/{name}/route"


def board(request: Request) -> Response:
    """Show the board of a sortie."""
    entry = _readable(request)
    return page(
        request,
        "board.html",
        entry=entry,
        board=board_of(entry.path),
        kinds=ASKED_KINDS,
        datums=DATUMS,
    )


def board_now(request: Request) -> Response:
    """Tell what is on the board, as plain values."""
    path = _readable(request).path
    state = remembered(office_of(request), files_of_sortie(path))
    return JSONResponse(board_of(path), headers={HEADER: state})


def computed(request: Request) -> Response:
    """Show what the last answer puts on the board and beside it; nothing where there is none."""
    entry, office = _readable(request), office_of(request)
    standing = office.checks.standing(entry.path)
    answer = None if standing is None else standing.answer
    if standing is None or answer is None:
        return Response(status_code=204)
    shown = office.errands.do(flown_board, entry.path, answer.verdict, office.face)
    if isinstance(shown, Refused):
        return Response(status_code=204)  # the verdict's own page says why
    before = standing.before
    return page(
        request,
        "board_beside.html",
        entry=entry,
        shown=shown,
        drawn=drawn,
        quick=not standing.full,
        word=answer.verdict.word.value,
        changes=None if before is None else changes_since(before.verdict, answer.verdict),
    )


def relief(request: Request) -> Response:
    """Give the shades of the ground, a byte each."""
    shades = relief_of(_readable(request).path)
    if shades is None:
        raise HTTPException(404)
    return Response(shades.shades, media_type="application/octet-stream")


def change(request: Request, form: Form) -> Response:
    """Make one change and answer with the board as it is then, and what was refused."""
    entry = _readable(request)
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


def _readable(request: Request) -> SortieEntry:
    entry = entry_of(request)
    if entry.problems:
        raise InputFileError(list(entry.problems))
    return entry


ROUTES = (
    Route(_ADDRESS, board),
    Route(_ADDRESS, posted(change), methods=["POST"]),
    Route(f"{_ADDRESS}/board", board_now),
    Route(f"{_ADDRESS}/computed", computed),
    Route(f"{_ADDRESS}/relief", relief),
)
