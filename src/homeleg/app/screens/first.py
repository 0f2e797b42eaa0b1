"""The first start: where the base will lie."""

from pathlib import Path

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.base import make_base
from homeleg.desk.user_folder import remember_base_folder
from homeleg.foundation.errors import InputFileError, Problem

__all__ = ["ROUTES"]


def first(request: Request) -> Response:
    """Ask where the base shall lie, with a place offered."""
    office = office_of(request)
    if office.base is not None:
        return RedirectResponse("/", 303)
    return page(request, "first.html", folder=office.offered_folder, problems=())


def make(request: Request, form: Form) -> Response:
    """Make the base where it was asked for, and remember it."""
    office = office_of(request)
    told = form.get("folder", "").strip()
    try:
        office.base = make_base(_whole(told, office.offered_folder))
    except InputFileError as error:
        return page(request, "first.html", status=422, folder=told, problems=error.problems)
    remember_base_folder(office.user_folder, office.base.folder)
    return RedirectResponse("/", 303)


def _whole(told: str, such_as: Path) -> Path:
    """Return the folder that was told; raises InputFileError where it depends on another."""
    folder = Path(told).expanduser()
    if not folder.is_absolute():
        remedy = f"Write it from the root, such as {such_as}."
        where = told or "The folder"
        problem = "this is not a whole path"
        raise InputFileError([Problem(where=where, problem=problem, remedy=remedy)])
    return folder


ROUTES = (
    Route("/first", first),
    Route("/first", posted(make), methods=["POST"]),
)
