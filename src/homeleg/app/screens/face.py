"""Units, clock and light: how figures and pages are shown."""

from starlette.requests import Request
from starlette.responses import RedirectResponse, Response
from starlette.routing import Route

from homeleg.app.office import office_of
from homeleg.app.page import Form, page, posted
from homeleg.desk.face import CHOICES, write_face

__all__ = ["ROUTES"]


def face(request: Request) -> Response:
    """Show the choices."""
    return page(request, "face.html", choices=CHOICES)


def choose(request: Request, form: Form) -> Response:
    """Keep the choices that were made."""
    base = office_of(request).base
    if base is not None:
        for name, choice in form.items():
            write_face(base, name, choice)
    return RedirectResponse("/face", 303)


ROUTES = (
    Route("/face", face),
    Route("/face", posted(choose), methods=["POST"]),
)
