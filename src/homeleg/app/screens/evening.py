"""The evening before a sortie: what to charge and pack, how packs travel, what is missing."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from homeleg.app.office import base_of, entry_of, office_of
from homeleg.app.page import page
from homeleg.desk.evening import evening

__all__ = ["ROUTES"]

_FEW = 2


def show(request: Request) -> Response:
    """Show the list; `packs` says how many go into one case."""
    entry = entry_of(request)
    typed = request.query_params.get("packs", "").strip()
    count = int(typed) if typed.isascii() and typed.isdecimal() and len(typed) < 4 else _FEW
    if entry.problems:
        sentence = f"{entry.title} cannot be read yet."
        return page(request, "problems.html", sentence=sentence, problems=entry.problems)
    shown = evening(base_of(request), entry, count, office_of(request).now())
    return page(request, "evening.html", entry=entry, evening=shown, packs=count)


ROUTES = (Route("/sortie/{name}/evening", show),)
