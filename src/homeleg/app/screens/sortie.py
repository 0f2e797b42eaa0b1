"""One sortie of the base."""

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import page

__all__ = ["ROUTES"]


def sortie(request: Request) -> Response:
    """Show a sortie; a broken one with all that is wrong in its files."""
    entry = office_of(request).sortie(request.path_params["name"])
    if entry is None:
        raise HTTPException(404)
    if entry.problems:
        return page(
            request,
            "problems.html",
            sentence=f"{entry.title} cannot be read yet.",
            problems=entry.problems,
        )
    return page(request, "sortie.html", entry=entry)


ROUTES = (Route("/sortie/{name}", sortie),)
